/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/bytes.h"
#include "report/picture.h"
#include "report/window_map.h"

typedef void (*Draw) (cairo_t *cr, double width, double height, const void *what);

static TarnStatus
draw_to_png (int width, int height, Draw draw, const void *what, uint8_t **png, size_t *size)
{
  TarnBytes bytes = { 0 };
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  cairo_t *cr = cairo_create (surface);

  draw (cr, width, height, what);
  cairo_status_t status = cairo_status (cr);
  cairo_destroy (cr);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_write_to_png_stream (surface, tarn_bytes_append, &bytes);
  cairo_surface_destroy (surface);

  return tarn_bytes_take (&bytes, status, png, size);
}

static void
draw_plane (cairo_t *cr, double width, double height, const void *what)
{
  tarn_picture_draw_plane (cr, width, height, what);
}

static void
draw_sheet (cairo_t *cr, double width, double height, const void *what)
{
  tarn_picture_draw_sheet (cr, width, height, what);
}

TarnStatus
tarn_picture_plane_png (const TarnPlanePicture *plane, uint8_t **png, size_t *size)
{
  return draw_to_png (TARN_PLANE_PICTURE_WIDTH, TARN_PLANE_PICTURE_HEIGHT, draw_plane, plane,
                      png, size);
}

TarnStatus
tarn_picture_sheet_png (const TarnSheetPicture *sheet, uint8_t **png, size_t *size)
{
  int width, height;
  tarn_picture_sheet_size (sheet->planes, &width, &height);
  return draw_to_png (width, height, draw_sheet, sheet, png, size);
}

static void
draw_window (cairo_t *cr, double width, double height, const void *what)
{
  static const TarnPaper paper = { 0 };
  tarn_paper_source (cr, &paper, TARN_INK_GROUND);
  cairo_paint (cr);
  tarn_window_map_draw (cr, width, height, what, &paper);
}

TarnStatus
tarn_window_map_png (const TarnWindowMap *map, uint8_t **png, size_t *size)
{
  return draw_to_png (TARN_WINDOW_MAP_WIDTH, TARN_WINDOW_MAP_HEIGHT, draw_window, map, png,
                      size);
}
