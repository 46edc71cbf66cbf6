/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/outline_stroke.h"
#include "report/palette.h"
#include "report/picture.h"
#include "report/sector.h"

#include <math.h>
#include <stdio.h>

#define CELL_WIDTH  240
#define CELL_HEIGHT 204
#define GAP         12
#define LABEL       22
#define FOOT        36

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

  char text[256];
  snprintf (text, sizeof text, "%s%sTraining only, synthetic anatomy",
            sheet->title != NULL ? sheet->title : "", sheet->title != NULL ? ". " : "");
  cairo_set_font_size (cr, 14);
  tarn_palette_source (cr, TARN_PALETTE_TEXT);
  cairo_move_to (cr, GAP, height - GAP - 4);
  cairo_show_text (cr, text);
}
