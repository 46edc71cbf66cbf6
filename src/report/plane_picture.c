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

/* Lengths that follow the size of the text. */
static double
text_size (const TarnSurroundings *around)
{
  return around != NULL && around->text_size > 0 ? around->text_size : 1;
}

/* Ticks every centimetre, longer and with a number every five, or every one where these are so
 * few that a number of five tells little. */
static void
draw_depth_scale (cairo_t *cr, const TarnImageGeometry *geometry, const TarnSectorPlace *place,
                  double x, const TarnSurroundings *around)
{
  double size = text_size (around), limit_mm = tarn_image_depth_limit_mm (geometry);
  double pitch = 10 * place->scale;
  bool every = limit_mm < ALL_LABELS_BELOW_MM && pitch > 14 * size;
  int labelled_cm = every ? 1 : 5, per_cm = around->millimetres ? 10 : 1;
  const char *unit = around->millimetres ? "mm" : "cm";

  tarn_palette_source (cr, TARN_PALETTE_QUIET);
  cairo_set_line_width (cr, 1);
  cairo_set_font_size (cr, 12 * size);
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
      snprintf (label, sizeof label, "%d%s%s", cm * per_cm, cm == 0 ? " " : "",
                cm == 0 ? unit : "");
      cairo_move_to (cr, x + 13, y + 4 * size);
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
draw_caption (cairo_t *cr, double width, double height, const TarnImageGeometry *geometry,
              const TarnSurroundings *around)
{
  static const char safety[] = "Training only, synthetic anatomy";
  cairo_text_extents_t extents;
  char orientation[64], text[128];

  tarn_picture_orientation (around->turn_rad, orientation, sizeof orientation);
  double depth_mm = tarn_image_depth_limit_mm (geometry);
  snprintf (text, sizeof text, "%s. Depth %.0f %s.", orientation,
            around->millimetres ? depth_mm : depth_mm / 10, around->millimetres ? "mm" : "cm");
  cairo_set_font_size (cr, 14 * text_size (around));
  tarn_palette_source (cr, TARN_PALETTE_TEXT);
  cairo_move_to (cr, MARGIN, height - MARGIN + 4);
  cairo_show_text (cr, around->caption != NULL ? around->caption : text);

  if (!around->safety)
    return;
  tarn_palette_source (cr, TARN_PALETTE_QUIET);
  cairo_text_extents (cr, safety, &extents);
  cairo_move_to (cr, width - MARGIN - extents.x_advance, height - MARGIN + 4);
  cairo_show_text (cr, safety);
}

TarnSectorPlace
tarn_picture_plane_place (const TarnImageGeometry *geometry, double width, double height,
                          const TarnSurroundings *around)
{
  double size = text_size (around);
  double wide = width - 2 * MARGIN - SCALE_WIDTH * size;
  double high = height - 2 * MARGIN - CAPTION * size;
  TarnSectorPlace place
      = tarn_sector_fit (geometry, MARGIN, MARGIN, fmax (wide, 1), fmax (high, 1));
  /* What a tall paper leaves over lies above and below alike. */
  double far_mm = geometry->face_radius_mm + tarn_image_depth_limit_mm (geometry);
  place.y0 += floor (fmax (0, MARGIN + high - (place.y0 + far_mm * place.scale)) / 2);
  return place;
}

void
tarn_picture_draw_surroundings (cairo_t *cr, double width, double height,
                                const TarnImageGeometry *geometry, const TarnSectorPlace *place,
                                const TarnSurroundings *around)
{
  const TarnSurroundings plain = { 0 };
  around = around != NULL ? around : &plain;
  cairo_select_font_face (cr, "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
  draw_depth_scale (cr, geometry, place, width - MARGIN - SCALE_WIDTH * text_size (around) + 6,
                    around);
  draw_index_mark (cr, geometry, place);
  draw_caption (cr, width, height, geometry, around);
}

void
tarn_picture_draw_plane (cairo_t *cr, double width, double height,
                         const TarnPlanePicture *plane)
{
  const TarnImageGeometry *geometry = &plane->image.geometry;
  const TarnSurroundings around = { .turn_rad = plane->turn_rad, .safety = true };

  tarn_palette_source (cr, TARN_PALETTE_GROUND);
  cairo_paint (cr);

  TarnSectorPlace place = tarn_picture_plane_place (geometry, width, height, &around);
  TarnSectorMap *map = tarn_sector_map_new (geometry, &place);
  tarn_sector_paint (cr, map, &plane->image, 0, 0);
  tarn_sector_map_free (map);
  if (plane->outline != NULL)
    tarn_outline_stroke (cr, plane->outline, &place, 2);
  tarn_picture_draw_surroundings (cr, width, height, geometry, &place, &around);
}
