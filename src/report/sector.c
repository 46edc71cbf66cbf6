/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A map holds taps² taps for each pixel of the sector's box, row by row:
 *
 *   pixel (0,0): tap, tap, …   pixel (1,0): tap, tap, …
 *
 * A tap names four samples by the first of them and says how to weigh them, and how much of
 * the tap lies inside the sector. */
#include "report/sector.h"

#include "base/vec.h"

#include <stddef.h>
#include <stdlib.h>

#define TAPS_MAX 3 /* along each side of a pixel */

typedef struct
{
  uint16_t line, sample;
  uint8_t next_line, next_sample; /* their weights, in 256ths */
  uint16_t cover;                 /* 0 … 256 */
} Tap;

struct TarnSectorMap
{
  int left, top, width, height; /* of the box, in whole pixels */
  int taps;                     /* in a pixel */
  Tap tap[];
};

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

static uint8_t
weight_of (double share)
{
  return (uint8_t)fmin (256 * share + 0.5, 255);
}

/* @soft_mm: half a pixel, over which the sector's borders fade. */
static Tap
tap_at (const TarnImageGeometry *geometry, double u_mm, double v_mm, double soft_mm)
{
  double radius_mm = sqrt (u_mm * u_mm + v_mm * v_mm);
  double line = (atan2 (u_mm, v_mm) - geometry->first_angle_rad) / geometry->line_pitch_rad;
  double depth_mm = radius_mm - geometry->face_radius_mm;

  /* How far inside each border, in mm; the least of them decides. */
  double side_mm
      = fmin (line, geometry->lines - 1 - line) * geometry->line_pitch_rad * radius_mm;
  double arc_mm = fmin (depth_mm, tarn_image_depth_limit_mm (geometry) - depth_mm);
  double cover = 0.5 + fmin (side_mm, arc_mm) / (2 * soft_mm);

  line = tarn_clamp (line, 0, geometry->lines - 1);
  double sample
      = tarn_clamp (depth_mm / geometry->sample_pitch_mm - 0.5, 0, geometry->samples - 1);
  Tap tap = { .line = (uint16_t)fmin (line, geometry->lines - 2),
              .sample = (uint16_t)fmin (sample, geometry->samples - 2),
              .cover = (uint16_t)(256 * tarn_clamp (cover, 0, 1) + 0.5) };
  tap.next_line = weight_of (line - tap.line);
  tap.next_sample = weight_of (sample - tap.sample);
  return tap;
}

/* The taps of one pixel whose middle is at (@u_mm, @v_mm), on a grid of @side by @side. */
static void
place_taps (const TarnImageGeometry *geometry, double u_mm, double v_mm, double pixel_mm,
            int side, Tap *tap)
{
  for (int j = 0; j < side; j++)
    for (int i = 0; i < side; i++)
      *tap++ = tap_at (geometry, u_mm + ((i + 0.5) / side - 0.5) * pixel_mm,
                       v_mm + ((j + 0.5) / side - 0.5) * pixel_mm, pixel_mm / 2);
}

TarnSectorMap *
tarn_sector_map_new (const TarnImageGeometry *geometry, const TarnSectorPlace *place)
{
  Box box = sector_box (geometry);
  double pixel_mm = 1 / place->scale;
  int side = (int)lround (pixel_mm / geometry->sample_pitch_mm);
  side = side < 1 ? 1 : side > TAPS_MAX ? TAPS_MAX : side;

  /* Whole pixels around the box, one to spare on each side for the smooth borders. */
  int width = (int)ceil ((box.right_mm - box.left_mm) * place->scale) + 3;
  int height = (int)ceil ((box.bottom_mm - box.top_mm) * place->scale) + 3;
  size_t pixels = (size_t)width * (size_t)height, taps = (size_t)side * (size_t)side;
  TarnSectorMap *map = malloc (sizeof *map + pixels * taps * sizeof (Tap));
  if (map == NULL)
    return NULL;
  map->left = (int)floor (place->x0 + box.left_mm * place->scale) - 1;
  map->top = (int)floor (place->y0 + box.top_mm * place->scale) - 1;
  map->width = width;
  map->height = height;
  map->taps = (int)taps;

  Tap *tap = map->tap;
  for (int j = 0; j < height; j++)
    for (int i = 0; i < width; i++, tap += taps)
      place_taps (geometry, (map->left + i + 0.5 - place->x0) * pixel_mm,
                  (map->top + j + 0.5 - place->y0) * pixel_mm, pixel_mm, side, tap);
  return map;
}

void
tarn_sector_map_free (TarnSectorMap *map)
{
  free (map);
}

/* The grey value between four samples, in 65536ths. */
static inline uint32_t
tap_grey (const Tap *tap, const TarnImage *image)
{
  const uint8_t *here
      = image->grey + (size_t)tap->line * (size_t)image->stride + (size_t)tap->sample;
  const uint8_t *next = here + image->stride;
  uint32_t s = tap->next_sample, l = tap->next_line;
  uint32_t a = here[0] * (256 - s) + here[1] * s;
  uint32_t b = next[0] * (256 - s) + next[1] * s;
  return a * (256 - l) + b * l;
}

/* One pixel as premultiplied grey with alpha. */
static inline uint32_t
pixel_of (const Tap *tap, int taps, const TarnImage *image)
{
  /* Most pixels of a large picture: one tap, well within the sector or well outside. */
  if (taps == 1 && tap->cover == 256)
    return 0xff000000u | ((tap_grey (tap, image) + 0x8000) >> 16) * 0x010101u;
  if (taps == 1 && tap->cover == 0)
    return 0;
  uint64_t grey = 0;
  uint32_t cover = 0;
  for (int k = 0; k < taps; k++)
    if (tap[k].cover > 0)
      {
        grey += (uint64_t)tap[k].cover * tap_grey (&tap[k], image);
        cover += tap[k].cover;
      }
  if (cover == 0)
    return 0;
  uint32_t a = (cover * 255 + (uint32_t)taps * 128) / ((uint32_t)taps * 256);
  uint32_t g = (uint32_t)((grey / (uint32_t)taps + 0x800000) >> 24);
  g = g < a ? g : a;
  return a << 24 | g << 16 | g << 8 | g;
}

/* @under: what stands there, RGB24. */
static inline uint32_t
pixel_over (uint32_t pixel, uint32_t under)
{
  uint32_t clear = 255 - (pixel >> 24);
  uint32_t red_blue = (under & 0xff00ff) * clear + 0x800080;
  uint32_t green = (under & 0x00ff00) * clear + 0x008000;
  red_blue = ((red_blue + (red_blue >> 8 & 0xff00ff)) >> 8) & 0xff00ff;
  green = ((green + (green >> 8 & 0x00ff00)) >> 8) & 0x00ff00;
  return pixel + red_blue + green;
}

void
tarn_sector_write (cairo_surface_t *paper, const TarnSectorMap *map, const TarnImage *image)
{
  int wide = cairo_image_surface_get_width (paper);
  int high = cairo_image_surface_get_height (paper);
  int stride = cairo_image_surface_get_stride (paper), taps = map->taps;
  int first = map->left < 0 ? -map->left : 0;
  int last = map->left + map->width > wide ? wide - map->left : map->width;

  cairo_surface_flush (paper);
  unsigned char *data = cairo_image_surface_get_data (paper);
  for (int j = 0; j < map->height; j++)
    {
      if (map->top + j < 0 || map->top + j >= high)
        continue;
      uint32_t *row
          = (uint32_t *)(void *)(data + (size_t)(map->top + j) * (size_t)stride) + map->left;
      const Tap *tap = map->tap + (size_t)j * (size_t)map->width * (size_t)taps;
      for (int i = first; i < last; i++)
        {
          uint32_t pixel = pixel_of (&tap[(size_t)i * (size_t)taps], taps, image);
          if (pixel >= 0xff000000u)
            row[i] = pixel;
          else if (pixel != 0)
            row[i] = pixel_over (pixel, row[i]);
        }
    }
  cairo_surface_mark_dirty (paper);
}

void
tarn_sector_paint (cairo_t *cr, const TarnSectorMap *map, const TarnImage *image, int right,
                   int down)
{
  /* An image without room is cairo's own way to say that memory ran out. */
  cairo_surface_t *surface = cairo_image_surface_create (
      CAIRO_FORMAT_ARGB32, map != NULL ? map->width : -1, map != NULL ? map->height : -1);
  if (map != NULL && cairo_surface_status (surface) == CAIRO_STATUS_SUCCESS)
    {
      unsigned char *data = cairo_image_surface_get_data (surface);
      int stride = cairo_image_surface_get_stride (surface);
      const Tap *tap = map->tap;
      for (int j = 0; j < map->height; j++)
        {
          uint32_t *row = (uint32_t *)(void *)(data + (size_t)j * (size_t)stride);
          for (int i = 0; i < map->width; i++, tap += map->taps)
            row[i] = pixel_of (tap, map->taps, image);
        }
      cairo_surface_mark_dirty (surface);
    }
  cairo_set_source_surface (cr, surface, right + (map != NULL ? map->left : 0),
                            down + (map != NULL ? map->top : 0));
  cairo_paint (cr);
  cairo_surface_destroy (surface);
}
