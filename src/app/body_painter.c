/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/body_painter.h"

#include "engine/scene/look.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#define SIZE_MAX_PX 4096
/* What lies on another surface is drawn this share of its depth nearer. */
#define NEARER 0.0006f

/* A vertex on the picture: place in pixels, inverse depth, colour as shown. */
typedef struct
{
  float x, y, w; /* w: distance along the view; not above 0 behind the eye */
  float inverse; /* 1 / w */
  float pixel[4];
} Spot;

struct TarnBodyPainter
{
  cairo_surface_t *surface;
  int width, height;
  float *depth; /* the greatest inverse distance so far */
  Spot *spot;
  int spots;
};

TarnBodyPainter *
tarn_body_painter_new (void)
{
  return g_new0 (TarnBodyPainter, 1);
}

void
tarn_body_painter_free (TarnBodyPainter *painter)
{
  if (painter == NULL)
    return;
  g_clear_pointer (&painter->surface, cairo_surface_destroy);
  g_free (painter->depth);
  g_free (painter->spot);
  g_free (painter);
}

static bool
resize (TarnBodyPainter *painter, int width, int height)
{
  if (width < 1 || height < 1 || width > SIZE_MAX_PX || height > SIZE_MAX_PX)
    return false;
  if (painter->surface != NULL && painter->width == width && painter->height == height)
    return true;
  g_clear_pointer (&painter->surface, cairo_surface_destroy);
  painter->surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  painter->width = width;
  painter->height = height;
  painter->depth = g_renew (float, painter->depth, (size_t)width *(size_t)height);
  return cairo_surface_status (painter->surface) == CAIRO_STATUS_SUCCESS;
}

/* Light, as the shader of app/gl has it. */

static float
dot3 (const float *a, const float *b)
{
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

static float
unit3 (float *v)
{
  float length = sqrtf (dot3 (v, v));
  for (int k = 0; k < 3 && length > 0; k++)
    v[k] /= length;
  return length;
}

static void
light_spot (Spot *spot, const TarnSceneVertex *vertex, const float eye[3],
            const TarnMaterialLook *look)
{
  static const float light[3]
      = { (float)TARN_LIGHT_X, (float)TARN_LIGHT_Y, (float)TARN_LIGHT_Z };
  static const float key[3] = { 0.90f, 0.83f, 0.76f }, fill[3] = { 0.10f, 0.095f, 0.09f };
  static const float low[3] = { 0.088f, 0.064f, 0.058f }, high[3] = { 0.190f, 0.176f, 0.182f };
  static const float rim[3] = { 0.62f, 0.70f, 0.86f }, gleam[3] = { 1, 0.985f, 0.96f };
  static const float dusk[3] = { TARN_DUSK_R, TARN_DUSK_G, TARN_DUSK_B };

  const float *n = vertex->normal;
  float v[3], h[3], shade = (float)vertex->shade / 255, shine = (float)vertex->shine / 255;
  for (int k = 0; k < 3; k++)
    v[k] = eye[k] - vertex->position_mm[k];
  unit3 (v);
  for (int k = 0; k < 3; k++)
    h[k] = v[k] + light[k];
  unit3 (h);
  float facing = CLAMP (dot3 (n, v), 0, 1), towards = dot3 (n, light);
  float up = 0.5f - 0.5f * n[1], edge = 1 - facing, dim = (float)vertex->dim / 255;
  float peak = powf (MAX (dot3 (n, h), 0), 10 + 170 * shine * shine);
  float gloss = shine * (0.10f + 0.95f * shine * shine) * peak * (0.25f + 0.75f * shade);
  float opacity = (float)vertex->colour[3] / 255;

  for (int k = 0; k < 3; k++)
    {
      float wrap = look->wrap[k], base = (float)vertex->colour[k] / 255;
      float lit = CLAMP ((towards + wrap) / (1 + wrap), 0, 1) * key[k] * shade;
      lit += (low[k] + (high[k] - low[k]) * up) * (0.45f + 0.55f * shade) + fill[k] * facing;
      lit = base * base * lit
            + look->rim * edge * edge * edge * (0.3f + 0.7f * up) * rim[k]
                  * (0.3f + 0.7f * shade);
      float out = sqrtf (lit) * opacity + gleam[k] * gloss;
      spot->pixel[k] = 255 * (out + (dusk[k] * opacity - out) * dim);
    }
  spot->pixel[3] = MIN (1, opacity + gloss * (1 - dim));
}

static void
place_spot (Spot *spot, const float matrix[16], const float *p, int width, int height)
{
  float clip[4];
  for (int k = 0; k < 4; k++)
    clip[k] = matrix[k] * p[0] + matrix[4 + k] * p[1] + matrix[8 + k] * p[2] + matrix[12 + k];
  spot->w = clip[3];
  spot->inverse = clip[3] > 1 ? 1 / clip[3] : 0;
  spot->x = (clip[0] * spot->inverse * 0.5f + 0.5f) * (float)width;
  spot->y = (0.5f - clip[1] * spot->inverse * 0.5f) * (float)height;
}

/* Triangles. */

typedef struct
{
  bool blends, through, lies_on;
} PartKind;

static uint32_t
packed (const float *c)
{
  return (uint32_t)CLAMP (c[0], 0, 255) << 16 | (uint32_t)CLAMP (c[1], 0, 255) << 8
         | (uint32_t)CLAMP (c[2], 0, 255);
}

static uint32_t
over (uint32_t below, const float *c)
{
  float left = 1 - c[3];
  float mixed[3]
      = { c[0] + left * (float)(below >> 16 & 255), c[1] + left * (float)(below >> 8 & 255),
          c[2] + left * (float)(below & 255) };
  return packed (mixed);
}

/* Values that change evenly over the picture: inverse depth, then the pixel's four. */
typedef struct
{
  float at[5], per_x[5];
} Run;

static void
fill_row (TarnBodyPainter *painter, uint32_t *pixels, float *depth, int first, int last,
          Run run, PartKind kind)
{
  (void)painter;
  for (int x = first; x <= last; x++)
    {
      float near = kind.lies_on ? run.at[0] * (1 + NEARER) : run.at[0];
      if (kind.through || near >= depth[x])
        {
          if (!kind.blends)
            {
              depth[x] = near;
              pixels[x] = packed (&run.at[1]);
            }
          else
            pixels[x] = over (pixels[x], &run.at[1]);
        }
      for (int k = 0; k < 5; k++)
        run.at[k] += run.per_x[k];
    }
}

static void
fill_triangle (TarnBodyPainter *painter, const Spot *const s[3], PartKind kind)
{
  float ax = s[1]->x - s[0]->x, ay = s[1]->y - s[0]->y;
  float bx = s[2]->x - s[0]->x, by = s[2]->y - s[0]->y;
  float area = ax * by - ay * bx;
  /* Counter-clockwise seen with y upwards is negative here. */
  if (area > -1e-4f && !(kind.through && area > 1e-4f))
    return;
  float lowest = MIN (s[0]->y, MIN (s[1]->y, s[2]->y));
  float highest = MAX (s[0]->y, MAX (s[1]->y, s[2]->y));
  int top = MAX (0, (int)ceilf (lowest - 0.5f));
  int bottom = MIN (painter->height - 1, (int)ceilf (highest - 0.5f) - 1);

  /* Each value as a plane over the picture. */
  Run run;
  float per_y[5], start[5];
  for (int k = 0; k < 5; k++)
    {
      float f[3];
      for (int j = 0; j < 3; j++)
        f[j] = k == 0 ? s[j]->inverse : s[j]->pixel[k - 1];
      float u = f[1] - f[0], v = f[2] - f[0];
      run.per_x[k] = (u * by - v * ay) / area;
      per_y[k] = (v * ax - u * bx) / area;
      start[k] = f[0] - run.per_x[k] * s[0]->x - per_y[k] * s[0]->y;
    }

  int stride = cairo_image_surface_get_stride (painter->surface) / 4;
  uint32_t *pixels = (uint32_t *)(void *)cairo_image_surface_get_data (painter->surface);
  for (int y = top; y <= bottom; y++)
    {
      float at = (float)y + 0.5f, left = INFINITY, right = -INFINITY;
      for (int k = 0; k < 3; k++)
        {
          const Spot *a = s[k], *b = s[(k + 1) % 3];
          if ((a->y <= at) == (b->y <= at))
            continue;
          float x = a->x + (b->x - a->x) * (at - a->y) / (b->y - a->y);
          left = MIN (left, x);
          right = MAX (right, x);
        }
      if (!(left <= right))
        continue;
      int first = (int)ceilf (MAX (left - 0.5f, 0));
      int last = (int)ceilf (MIN (right - 0.5f, (float)painter->width)) - 1;
      for (int k = 0; k < 5; k++)
        run.at[k] = start[k] + run.per_x[k] * ((float)first + 0.5f) + per_y[k] * at;
      fill_row (painter, pixels + (size_t)y * (size_t)stride,
                painter->depth + (size_t)y * (size_t)painter->width, first, last, run, kind);
    }
}

static void
paint_part (TarnBodyPainter *painter, const TarnSceneMesh *mesh, const TarnScenePart *part,
            const float eye[3])
{
  bool glass
      = mesh->glass
        && (part->material == TARN_MATERIAL_SKIN || part->material == TARN_MATERIAL_DRAPE);
  PartKind kind = { glass || tarn_material_blends (part->material),
                    tarn_material_shines_through (part->material),
                    tarn_material_lies_on (part->material) };
  TarnMaterialLook look = tarn_material_look (part->material);
  for (int k = part->first; k < part->first + part->count; k++)
    {
      Spot *spot = &painter->spot[mesh->index[k]];
      if (spot->pixel[3] < 0)
        light_spot (spot, &mesh->vertex[mesh->index[k]], eye, &look);
    }
  for (int k = part->first; k < part->first + part->count; k += 3)
    {
      const Spot *const s[3]
          = { &painter->spot[mesh->index[k]], &painter->spot[mesh->index[k + 1]],
              &painter->spot[mesh->index[k + 2]] };
      if (s[0]->w > 1 && s[1]->w > 1 && s[2]->w > 1)
        fill_triangle (painter, s, kind);
    }
}

cairo_surface_t *
tarn_body_painter_paint (TarnBodyPainter *painter, const TarnSceneMesh *mesh,
                         const float matrix[16], TarnVec3 eye_mm, int width, int height)
{
  if (!resize (painter, width, height))
    return NULL;
  cairo_surface_flush (painter->surface);
  float dusk[3] = { 255 * TARN_DUSK_R, 255 * TARN_DUSK_G, 255 * TARN_DUSK_B };
  uint32_t empty = packed (dusk);
  int stride = cairo_image_surface_get_stride (painter->surface) / 4;
  uint32_t *pixels = (uint32_t *)(void *)cairo_image_surface_get_data (painter->surface);
  for (size_t k = 0; k < (size_t)stride * (size_t)height; k++)
    pixels[k] = empty;
  memset (painter->depth, 0, (size_t)width * (size_t)height * sizeof *painter->depth);

  if (mesh != NULL)
    {
      float eye[3] = { (float)eye_mm.x, (float)eye_mm.y, (float)eye_mm.z };
      if (painter->spots < mesh->vertices)
        {
          painter->spots = mesh->vertices;
          painter->spot = g_renew (Spot, painter->spot, painter->spots);
        }
      for (int k = 0; k < mesh->vertices; k++)
        {
          place_spot (&painter->spot[k], matrix, mesh->vertex[k].position_mm, width, height);
          painter->spot[k].pixel[3] = -1; /* not lit yet */
        }
      for (int k = 0; k < mesh->parts; k++)
        paint_part (painter, mesh, &mesh->part[k], eye);
    }
  cairo_surface_mark_dirty (painter->surface);
  return painter->surface;
}
