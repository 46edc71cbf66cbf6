/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * target.h: a picture off the screen with several samples for each pixel, to be copied to
 * where the toolkit wants it.  Private to app/gl. */
#pragma once

#include <epoxy/gl.h>
#include <glib.h>

typedef struct
{
  GLuint framebuffer, colour, depth;
  int width, height, samples;
} TarnGlTarget;

/* Makes the target that large, when it is not yet.  @samples: for each pixel; fewer where the
 * driver has no more.  A context must be current.  Returns FALSE with @error set and nothing
 * made. */
gboolean tarn_gl_target_resize (TarnGlTarget *target, int width, int height, int samples,
                                GError **error);
/* A zeroed target is allowed. */
void tarn_gl_target_clear (TarnGlTarget *target);
