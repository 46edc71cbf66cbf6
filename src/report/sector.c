/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/sector.h"

#include "base/vec.h"

#include <stddef.h>

#define TAPS_MAX 4 /* averaged along each side of a pixel */

/* The sector's own box in the plane's frame. */
typedef struct
{
  double left_mm, right_mm, top_mm, bottom_mm;
} Box;

static Box
sector_box (const TarnImageGeometry *geometry)
{
  double first = geometry->first_angle_rad;
  double last = tarn_image_angle_rad (geometry, geometry->lines - 1);
  double far_mm = geometry->face_radius_mm + tarn_image_depth_limit_mm (geometry);
  double widest = fmax (fabs (first), fabs (last));
  return (Box){
    .left_mm = far_mm * fmin (sin (first), 0),
    .right_mm = far_mm * fmax (sin (last), 0),
    .top_mm = geometry->face_radius_mm * cos (widest),
    .bottom_mm = far_mm,
  };
}

TarnSectorPlace
tarn_sector_fit (const TarnImageGeometry *geometry, double x, double y, double width,
                 double height)
{
  Box box = sector_box (geometry);
  double wide_mm = box.right_mm - box.left_mm, high_mm = box.bottom_mm - box.top_mm;
  TarnSectorPlace place = { .scale = fmin (width / wide_mm, height / high_mm) };
  place.x0 = x + (width - wide_mm * place.scale) / 2 - box.left_mm * place.scale;
  place.y0 = y - box.top_mm * place.scale;
  return place;
}

/* The grey value between four samples. */
static double
sample_at (const TarnImage *image, double line, double sample)
{
  const TarnImageGeometry *g = &image->geometry;
  line = tarn_clamp (line, 0, g->lines - 1);
  sample = tarn_clamp (sample, 0, g->samples - 1);
  int k = (int)line < g->lines - 1 ? (int)line : g->lines - 2;
  int j = (int)sample < g->samples - 1 ? (int)sample : g->samples - 2;
  double a = line - k, b = sample - j;

  const uint8_t *here = image->grey + (size_t)k * (size_t)image->stride + j;
  const uint8_t *next = here + image->stride;
  return (1 - a) * ((1 - b) * here[0] + b * here[1]) + a * ((1 - b) * next[0] + b * next[1]);
}

/* Grey and coverage of one point of the plane; @soft_mm is half a pixel. */
static double
point_at (const TarnImage *image, double u_mm, double v_mm, double soft_mm, double *coverage)
{
  const TarnImageGeometry *g = &image->geometry;
  double radius_mm = hypot (u_mm, v_mm), angle_rad = atan2 (u_mm, v_mm);
  double line = (angle_rad - g->first_angle_rad) / g->line_pitch_rad;
  double depth_mm = radius_mm - g->face_radius_mm;

  /* How far inside each border, in mm; the least of them decides. */
  double side_mm = fmin (line, g->lines - 1 - line) * g->line_pitch_rad * radius_mm;
  double arc_mm = fmin (depth_mm, tarn_image_depth_limit_mm (g) - depth_mm);
  double inside_mm = fmin (side_mm, arc_mm);
  *coverage = tarn_clamp (0.5 + inside_mm / (2 * soft_mm), 0, 1);
  return *coverage > 0 ? sample_at (image, line, depth_mm / g->sample_pitch_mm - 0.5) : 0;
}

/* One pixel as premultiplied grey with alpha. */
static uint32_t
pixel_at (const TarnImage *image, double u_mm, double v_mm, double pixel_mm, int taps)
{
  double grey = 0, alpha = 0;
  for (int j = 0; j < taps; j++)
    for (int i = 0; i < taps; i++)
      {
        double coverage, du = ((i + 0.5) / taps - 0.5) * pixel_mm,
                         dv = ((j + 0.5) / taps - 0.5) * pixel_mm;
        double value = point_at (image, u_mm + du, v_mm + dv, pixel_mm / 2, &coverage);
        grey += value * coverage;
        alpha += coverage;
      }
  uint32_t g = (uint32_t)(grey / (taps * taps) + 0.5);
  uint32_t a = (uint32_t)(alpha / (taps * taps) * 255 + 0.5);
  g = g < a ? g : a;
  return a << 24 | g << 16 | g << 8 | g;
}

void
tarn_sector_paint (cairo_t *cr, const TarnImage *image, const TarnSectorPlace *place)
{
  if (image->geometry.lines < 2 || image->geometry.samples < 2)
    return;
  Box box = sector_box (&image->geometry);
  double pixel_mm = 1 / place->scale;
  int taps = (int)ceil (pixel_mm / image->geometry.sample_pitch_mm);
  taps = taps < 1 ? 1 : taps > TAPS_MAX ? TAPS_MAX : taps;

  /* Whole pixels around the box, one to spare on each side for the smooth borders. */
  int left = (int)floor (place->x0 + box.left_mm * place->scale) - 1;
  int top = (int)floor (place->y0 + box.top_mm * place->scale) - 1;
  int width = (int)ceil ((box.right_mm - box.left_mm) * place->scale) + 3;
  int height = (int)ceil ((box.bottom_mm - box.top_mm) * place->scale) + 3;

  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, width, height);
  if (cairo_surface_status (surface) == CAIRO_STATUS_SUCCESS)
    {
      unsigned char *data = cairo_image_surface_get_data (surface);
      int stride = cairo_image_surface_get_stride (surface);
      for (int j = 0; j < height; j++)
        {
          uint32_t *row = (uint32_t *)(void *)(data + (size_t)j * (size_t)stride);
          double v_mm = (top + j + 0.5 - place->y0) * pixel_mm;
          for (int i = 0; i < width; i++)
            row[i] = pixel_at (image, (left + i + 0.5 - place->x0) * pixel_mm, v_mm, pixel_mm,
                               taps);
        }
      cairo_surface_mark_dirty (surface);
      cairo_set_source_surface (cr, surface, left, top);
      cairo_paint (cr);
    }
  cairo_surface_destroy (surface);
}
