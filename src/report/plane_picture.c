/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One plane: the sector, a depth scale at its right, a filled dot on the side of the index
 * mark, a caption below.  Nothing lies over the picture but the outline. */
#include "report/outline_stroke.h"
#include "report/palette.h"
#include "report/picture.h"
#include "report/sector.h"

#include "base/units.h"

#include <math.h>
#include <stdio.h>

#define MARGIN      24.0
#define SCALE_WIDTH 48.0 /* room for the depth scale */
#define CAPTION     42.0 /* room for the caption */

#define ALL_LABELS_BELOW_MM 100.0

void
tarn_picture_orientation (double turn_rad, char *text, size_t size)
{
  /* Which way the mark points, to the nearest of eight. */
  static const char *const name[8] = {
    "Transverse, mark to the patient's right",
    "Oblique, mark to the right and head",
    "Sagittal, mark to the head",
    "Oblique, mark to the left and head",
    "Transverse, mark to the patient's left",
    "Oblique, mark to the left and feet",
    "Sagittal, mark to the feet",
    "Oblique, mark to the right and feet",
  };
  int eighth = (int)lround (turn_rad / (TARN_PI / 4)) % 8;
  snprintf (text, size, "%s", name[(eighth + 8) % 8]);
}

void
tarn_picture_lean (double turn_rad, char *text, size_t size)
{
  /* The beam of a negative angle goes the way that the feet lie when the turn is 0, and turns
   * with the probe. */
  static const char *const name[8]
      = { "the feet", "the feet and right", "the patient's right", "the right and head",
          "the head", "the head and left",  "the patient's left",  "the left and feet" };
  int eighth = (int)lround (turn_rad / (TARN_PI / 4)) % 8;
  snprintf (text, size, "%s", name[(eighth + 8) % 8]);
}

/* Ticks every centimetre, longer and with a number every five, or every one where these are so
 * few that a number of five tells little. */
static void
draw_depth_scale (cairo_t *cr, const TarnImageGeometry *geometry, const TarnSectorPlace *place,
                  double x)
{
  double limit_mm = tarn_image_depth_limit_mm (geometry);
  int labelled_cm = limit_mm < ALL_LABELS_BELOW_MM ? 1 : 5;
  tarn_palette_source (cr, TARN_PALETTE_QUIET);
  cairo_set_line_width (cr, 1);
  cairo_set_font_size (cr, 12);
  for (int cm = 0; cm * 10 <= limit_mm + 0.5; cm++)
    {
      double y = floor (place->y0 + (geometry->face_radius_mm + cm * 10) * place->scale) + 0.5;
      double length = cm % labelled_cm == 0 ? 9 : 4;
      cairo_move_to (cr, x, y);
      cairo_line_to (cr, x + length, y);
      cairo_stroke (cr);
      if (cm % labelled_cm != 0)
        continue;
      char label[16];
      snprintf (label, sizeof label, cm == 0 ? "0 cm" : "%d", cm);
      cairo_move_to (cr, x + 13, y + 4);
      cairo_show_text (cr, label);
    }
}

/* Beside the face, on the image's left. */
static void
draw_index_mark (cairo_t *cr, const TarnImageGeometry *geometry, const TarnSectorPlace *place)
{
  double angle = geometry->first_angle_rad;
  double x = place->x0 + geometry->face_radius_mm * sin (angle) * place->scale - 18;
  double y = place->y0 + geometry->face_radius_mm * cos (angle) * place->scale + 4;
  tarn_palette_source (cr, TARN_PALETTE_TEXT);
  cairo_arc (cr, x, y, 6, 0, 2 * TARN_PI);
  cairo_fill (cr);
}

static void
draw_caption (cairo_t *cr, double width, double height, const TarnPlanePicture *plane)
{
  static const char safety[] = "Training only, synthetic anatomy";
  cairo_text_extents_t extents;
  char orientation[64], text[128];

  tarn_picture_orientation (plane->turn_rad, orientation, sizeof orientation);
  snprintf (text, sizeof text, "%s. Depth %.0f cm.", orientation,
            tarn_image_depth_limit_mm (&plane->image.geometry) / 10);
  cairo_set_font_size (cr, 14);
  tarn_palette_source (cr, TARN_PALETTE_TEXT);
  cairo_move_to (cr, MARGIN, height - MARGIN + 4);
  cairo_show_text (cr, text);

  tarn_palette_source (cr, TARN_PALETTE_QUIET);
  cairo_text_extents (cr, safety, &extents);
  cairo_move_to (cr, width - MARGIN - extents.x_advance, height - MARGIN + 4);
  cairo_show_text (cr, safety);
}

void
tarn_picture_draw_plane (cairo_t *cr, double width, double height,
                         const TarnPlanePicture *plane)
{
  const TarnImageGeometry *geometry = &plane->image.geometry;

  tarn_palette_source (cr, TARN_PALETTE_GROUND);
  cairo_paint (cr);
  cairo_select_font_face (cr, "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);

  TarnSectorPlace place
      = tarn_sector_fit (geometry, MARGIN, MARGIN, width - 2 * MARGIN - SCALE_WIDTH,
                         height - 2 * MARGIN - CAPTION);
  TarnSectorMap *map = tarn_sector_map_new (geometry, &place);
  tarn_sector_paint (cr, map, &plane->image, 0, 0);
  tarn_sector_map_free (map);
  if (plane->outline != NULL)
    tarn_outline_stroke (cr, plane->outline, &place, 2);
  draw_depth_scale (cr, geometry, &place, width - MARGIN - SCALE_WIDTH + 6);
  draw_index_mark (cr, geometry, &place);
  draw_caption (cr, width, height, plane);
}
