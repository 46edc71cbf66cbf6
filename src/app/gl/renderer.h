/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * renderer.h: draws a scene's triangles with OpenGL, and knows nothing of what they show.
 *
 * Floor: app.  OpenGL 3.2 core or OpenGL ES 3, whichever context is current; the same context
 * must be current in all calls for a renderer.  No static state.  Threads: the context's. */
#pragma once

#include "base/vec.h"
#include "engine/scene/scene.h"

#include <glib.h>

typedef struct TarnGlRenderer TarnGlRenderer;

/* Returns NULL with @error set where the context is too old or the driver refuses. */
TarnGlRenderer *tarn_gl_renderer_new (GError **error);
/* Frees what it has in the context; NULL is allowed. */
void tarn_gl_renderer_free (TarnGlRenderer *renderer);
/* The same when the context is gone. */
void tarn_gl_renderer_forget (TarnGlRenderer *renderer);

typedef struct
{
  const TarnSceneMesh *mesh; /* NULL: an empty view */
  gboolean changed;          /* else the mesh is the one of the last call */
  const float *matrix;       /* clip from patient, column-major, 16 */
  TarnVec3 eye_mm;
  int width, height; /* pixels */
  gboolean stays;    /* no other picture is coming soon: worth some work */
} TarnGlFrame;

/* Draws into the framebuffer that is bound.  Returns FALSE with @error set when the context
 * has failed; what is bound then shows nothing of use. */
gboolean tarn_gl_renderer_draw (TarnGlRenderer *renderer, const TarnGlFrame *frame,
                                GError **error);
