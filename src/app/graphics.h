/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * graphics.h: whether there is a graphics card worth the name.
 *
 * Floor: app.  The one place that looks at what only Linux has. */
#pragma once

#include <glib.h>

/* Before the first window: where a processor would have to play the graphics card, GTK and the
 * 3-D view are told to draw without one, which is several times as fast there.  What the
 * environment asks for (GSK_RENDERER) stands. */
void tarn_graphics_choose (void);

/* Whether the 3-D view is to draw without OpenGL from the start. */
gboolean tarn_graphics_plain (void);

/* The calling thread lets others go first: what it draws may come a little late. */
void tarn_graphics_step_back (void);
