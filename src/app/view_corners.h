/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * view_corners.h: the round corners of the dark views, drawn in the page's own ground.  A clip
 * would cost more than all else that is drawn in them.
 *
 * Floor: app.  Main thread. */
#pragma once

#include <cairo.h>

void tarn_view_corners (cairo_t *cr, double width, double height);
