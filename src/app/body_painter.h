/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * body_painter.h: draws a scene's triangles without a graphics card, into a cairo picture.
 *
 * Floor: app.  The light is that of app/gl, found for each vertex.  Depth is kept for each
 * pixel, as triangles of probe and skin pass through each other.  Threads: one at a time for
 * each painter. */
#pragma once

#include "base/vec.h"
#include "engine/scene/scene.h"

#include <cairo.h>

typedef struct TarnBodyPainter TarnBodyPainter;
TarnBodyPainter *tarn_body_painter_new (void);
void tarn_body_painter_free (TarnBodyPainter *painter); /* NULL is allowed */

/* @matrix: clip from patient, column-major.  @mesh: NULL for an empty view.
 * Returns the painter's own picture, RGB24, valid until the next call; NULL for a size that
 * cannot be. */
cairo_surface_t *tarn_body_painter_paint (TarnBodyPainter *painter, const TarnSceneMesh *mesh,
                                          const float matrix[16], TarnVec3 eye_mm, int width,
                                          int height);
