/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/outline_stroke.h"
#include "report/palette.h"
#include "report/picture.h"
#include "report/sector.h"

#include <math.h>
#include <stdio.h>

#define SAMPLE      34 /* of a line, in the legend */
#define CELL_WIDTH  240
#define CELL_HEIGHT 204
#define GAP         12
#define LABEL       22
#define FOOT        104 /* room for the caption */
#define TEXT_LINE   21
#define WIDTH_MIN   516 /* that of two cells; the caption needs it */

static int
sheet_columns (int planes)
{
  int columns = (int)ceil (sqrt (planes));
  return columns < 1 ? 1 : columns;
}

void
tarn_picture_sheet_size (int planes, int *width, int *height)
{
  int columns = sheet_columns (planes);
  int rows = (planes + columns - 1) / columns;
  *width = GAP + columns * (CELL_WIDTH + GAP);
  *width = *width < WIDTH_MIN ? WIDTH_MIN : *width;
  *height = GAP + rows * (CELL_HEIGHT + GAP) + FOOT;
}

/* One plane in the cell whose corner is at (@x, @y), with the map of a cell at (0, 0). */
static void
draw_cell (cairo_t *cr, int x, int y, const TarnSectorMap *map,
           const TarnSectorPlace *at_origin, const TarnPlanePicture *plane, double angle_deg)
{
  TarnSectorPlace place = { at_origin->x0 + x, at_origin->y0 + y, at_origin->scale };
  tarn_sector_paint (cr, map, &plane->image, x, y);
  if (plane->outline != NULL)
    tarn_outline_stroke (cr, plane->outline, &place, 1.5);

  char label[32];
  snprintf (label, sizeof label, "%+.0f°", angle_deg);
  cairo_set_font_size (cr, 12);
  tarn_palette_source (cr, TARN_PALETTE_QUIET);
  cairo_move_to (cr, x + 2, y + 12);
  cairo_show_text (cr, label);
}

static void
draw_line_of_text (cairo_t *cr, double x, double y, TarnPalette colour, const char *text)
{
  tarn_palette_source (cr, colour);
  cairo_move_to (cr, x, y);
  cairo_show_text (cr, text);
}

/* A sample of each kind of line with its word. */
static void
draw_legend (cairo_t *cr, double x, double y)
{
  static const char *const words[] = { [TARN_EVIDENCE_SEEN] = "border seen",
                                       [TARN_EVIDENCE_BRIDGED] = "bridged over a gap",
                                       [TARN_EVIDENCE_AT_EDGE] = "at the picture's edge" };
  for (int k = 0; k < (int)(sizeof words / sizeof words[0]); k++)
    {
      cairo_text_extents_t extents;
      tarn_evidence_stroke (cr, (TarnEvidence)k, x, y - 4, SAMPLE, 1.5);
      draw_line_of_text (cr, x + SAMPLE + 6, y, TARN_PALETTE_QUIET, words[k]);
      cairo_text_extents (cr, words[k], &extents);
      x += SAMPLE + 6 + extents.x_advance + 16;
    }
}

static bool
any_outline (const TarnSheetPicture *sheet)
{
  for (int k = 0; k < sheet->planes; k++)
    if (sheet->plane[k].outline != NULL)
      return true;
  return false;
}

static void
draw_foot (cairo_t *cr, double height, const TarnSheetPicture *sheet)
{
  const TarnPlanePicture *plane = &sheet->plane[0];
  double y = height - FOOT + TEXT_LINE - 6;
  char orientation[64], lean[64], text[256];
  tarn_picture_orientation (plane->turn_rad, orientation, sizeof orientation);
  tarn_picture_lean (plane->turn_rad, lean, sizeof lean);

  cairo_set_font_size (cr, 14);
  snprintf (text, sizeof text, "%s%sTraining only, synthetic anatomy",
            sheet->title != NULL ? sheet->title : "", sheet->title != NULL ? ". " : "");
  draw_line_of_text (cr, GAP, y, TARN_PALETTE_TEXT, text);
  snprintf (text, sizeof text, "%s. Depth %.0f cm.", orientation,
            tarn_image_depth_limit_mm (&plane->image.geometry) / 10);
  draw_line_of_text (cr, GAP, y + TEXT_LINE, TARN_PALETTE_TEXT, text);
  cairo_set_font_size (cr, 13);
  snprintf (text, sizeof text, "Mark: each picture's left. Planes below 0° lean to %s.", lean);
  draw_line_of_text (cr, GAP, y + 2 * TEXT_LINE, TARN_PALETTE_QUIET, text);
  if (any_outline (sheet))
    draw_legend (cr, GAP, y + 3 * TEXT_LINE);
}

void
tarn_picture_draw_sheet (cairo_t *cr, double width, double height,
                         const TarnSheetPicture *sheet)
{
  int columns = sheet_columns (sheet->planes);
  int rows = (sheet->planes + columns - 1) / columns;
  int cell_width = (int)(width - GAP) / columns - GAP;
  int cell_height = (int)(height - GAP - FOOT) / rows - GAP;

  tarn_palette_source (cr, TARN_PALETTE_GROUND);
  cairo_paint (cr);
  cairo_select_font_face (cr, "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);

  /* All planes share their geometry, so one map serves every cell. */
  const TarnImageGeometry *geometry = &sheet->plane[0].image.geometry;
  TarnSectorPlace place = tarn_sector_fit (geometry, 0, 0, cell_width, cell_height - LABEL);
  TarnSectorMap *map = tarn_sector_map_new (geometry, &place);
  for (int k = 0; k < sheet->planes; k++)
    draw_cell (cr, GAP + k % columns * (cell_width + GAP),
               GAP + k / columns * (cell_height + GAP), map, &place, &sheet->plane[k],
               sheet->angle_deg[k]);
  tarn_sector_map_free (map);

  draw_foot (cr, height, sheet);
}
