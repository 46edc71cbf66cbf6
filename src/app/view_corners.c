/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/view_corners.h"

#include "app/style.h"

#include <math.h>

#define CORNER_PX 9.0

/* The piece between a corner and the arc that rounds it. */
static void
corner (cairo_t *cr, double x, double y, double angle)
{
  double middle_x = x + CORNER_PX * (cos (angle) - sin (angle));
  double middle_y = y + CORNER_PX * (sin (angle) + cos (angle));
  cairo_move_to (cr, x, y);
  cairo_arc (cr, middle_x, middle_y, CORNER_PX, angle + G_PI, angle + 1.5 * G_PI);
  cairo_close_path (cr);
}

void
tarn_view_corners (cairo_t *cr, double width, double height)
{
  /* light_ground and dark_ground of ui/style.css */
  if (tarn_style_is_dark ())
    cairo_set_source_rgb (cr, 0x1B / 255.0, 0x1D / 255.0, 0x1F / 255.0);
  else
    cairo_set_source_rgb (cr, 0xF6 / 255.0, 0xF5 / 255.0, 0xF2 / 255.0);
  corner (cr, 0, 0, 0);
  corner (cr, width, 0, 0.5 * G_PI);
  corner (cr, width, height, G_PI);
  corner (cr, 0, height, 1.5 * G_PI);
  cairo_fill (cr);
}
