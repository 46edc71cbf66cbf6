/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dry is a dark disc with short dashes all over; wet is painted on it in the measured blue, so
 * that the two differ by shade and by texture. */
#include "report/face_picture.h"

#include "base/units.h"

#include <math.h>
#include <stdint.h>

#define MARK_ROOM 0.12 /* of the side, for the index mark */
#define DASH_ROWS 9
#define DRY_GREY  0.08
#define DASH_GREY 0.62
#define N         TARN_FACE_ELEMENTS

static void
draw_dry (cairo_t *cr, double left, double top, double across)
{
  double pitch = across / DASH_ROWS;
  cairo_set_source_rgb (cr, DRY_GREY, DRY_GREY, DRY_GREY * 1.15);
  cairo_paint (cr);
  cairo_set_source_rgb (cr, DASH_GREY, DASH_GREY, DASH_GREY);
  cairo_set_line_width (cr, fmax (1, across / 64));
  for (int row = 0; row < DASH_ROWS; row++)
    for (double at = row % 2 * pitch * 0.8; at < across; at += 1.6 * pitch)
      {
        cairo_move_to (cr, left + at, top + (row + 0.5) * pitch);
        cairo_rel_line_to (cr, 0.75 * pitch, 0);
      }
  cairo_stroke (cr);
}

/* Row 0 lies towards the image's front: at transverse, the patient's feet, so at the foot. */
static void
draw_wet (cairo_t *cr, double left, double top, double across, const float (*wet)[N])
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_A8, N, N);
  unsigned char *data = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);
  for (int row = 0; data != NULL && row < N; row++)
    for (int column = 0; column < N; column++)
      data[(N - 1 - row) * stride + column]
          = (unsigned char)lround (255 * fmin (fmax (wet[row][column], 0), 1));
  cairo_surface_mark_dirty (surface);

  cairo_save (cr);
  cairo_translate (cr, left, top);
  cairo_scale (cr, across / N, across / N);
  cairo_pattern_t *mask = cairo_pattern_create_for_surface (surface);
  cairo_pattern_set_filter (mask, CAIRO_FILTER_BILINEAR);
  cairo_pattern_set_extend (mask, CAIRO_EXTEND_PAD);
  cairo_set_source_rgb (cr, 0x56 / 255.0, 0xb4 / 255.0, 0xe9 / 255.0);
  cairo_mask (cr, mask);
  cairo_pattern_destroy (mask);
  cairo_restore (cr);
  cairo_surface_destroy (surface);
}

void
tarn_face_picture_draw (cairo_t *cr, double x, double y, double side, const float (*wet)[N],
                        const TarnPaper *paper)
{
  double room = MARK_ROOM * side, across = side - room;
  double radius = across / 2 - 1, middle_x = x + room + across / 2, middle_y = y + side / 2;

  cairo_save (cr);
  cairo_new_path (cr);
  cairo_arc (cr, middle_x, middle_y, radius, 0, 2 * TARN_PI);
  if (wet != NULL)
    {
      cairo_save (cr);
      cairo_clip_preserve (cr);
      cairo_path_t *ring = cairo_copy_path (cr);
      cairo_new_path (cr);
      draw_dry (cr, middle_x - across / 2, middle_y - across / 2, across);
      draw_wet (cr, middle_x - across / 2, middle_y - across / 2, across, wet);
      cairo_restore (cr);
      cairo_new_path (cr);
      cairo_append_path (cr, ring);
      cairo_path_destroy (ring);
    }
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);

  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  cairo_arc (cr, x + room / 2, middle_y, fmax (room * 0.35, 2.5), 0, 2 * TARN_PI);
  cairo_fill (cr);
  cairo_restore (cr);
}
