/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/scene/store.h"

#include "base/units.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

bool
tarn_store_init (TarnStore *store)
{
  *store = (TarnStore){ 0 };
  store->x_mm = calloc (3 * (size_t)TARN_STORE_VERTICES, sizeof *store->x_mm);
  store->vertex = calloc (TARN_STORE_VERTICES, sizeof *store->vertex);
  store->index = calloc (TARN_STORE_INDICES, sizeof *store->index);
  if (store->x_mm == NULL || store->vertex == NULL || store->index == NULL)
    {
      tarn_store_clear (store);
      return false;
    }
  store->y_mm = store->x_mm + TARN_STORE_VERTICES;
  store->z_mm = store->y_mm + TARN_STORE_VERTICES;
  return true;
}

void
tarn_store_clear (TarnStore *store)
{
  free (store->x_mm);
  free (store->vertex);
  free (store->index);
  *store = (TarnStore){ 0 };
}

int
tarn_store_vertex (TarnStore *store, TarnVec3 p_mm, TarnPaint paint)
{
  assert (store->vertices < TARN_STORE_VERTICES);
  int at = store->vertices++;
  store->x_mm[at] = (float)p_mm.x;
  store->y_mm[at] = (float)p_mm.y;
  store->z_mm[at] = (float)p_mm.z;
  TarnSceneVertex *vertex = &store->vertex[at];
  *vertex = (TarnSceneVertex){ .shade = paint.shade, .shine = paint.shine, .dim = paint.dim };
  memcpy (vertex->colour, paint.colour, sizeof vertex->colour);
  return at;
}

void
tarn_store_triangle (TarnStore *store, int a, int b, int c)
{
  if (a == b || b == c || c == a)
    return;
  assert (store->indices + 3 <= TARN_STORE_INDICES);
  uint32_t *corner = &store->index[store->indices];
  corner[0] = (uint32_t)a;
  corner[1] = (uint32_t)b;
  corner[2] = (uint32_t)c;
  store->indices += 3;
}

void
tarn_store_end_part (TarnStore *store, TarnMaterial material, int first_index)
{
  if (store->indices == first_index)
    return;
  assert (store->parts < TARN_SCENE_PARTS_MAX);
  store->part[store->parts++]
      = (TarnScenePart){ material, first_index, store->indices - first_index };
}

void
tarn_store_grid (TarnStore *store, int first, int rows, int columns, bool closed)
{
  for (int row = 0; row + 1 < rows; row++)
    for (int k = 0; k < (closed ? columns : columns - 1); k++)
      {
        int low = first + row * columns, next = (k + 1) % columns;
        tarn_store_triangle (store, low + k, low + next, low + columns + next);
        tarn_store_triangle (store, low + k, low + columns + next, low + columns + k);
      }
}

void
tarn_store_cap (TarnStore *store, int ring, int columns, int tip, bool next)
{
  for (int k = 0; k < columns; k++)
    {
      int here = ring + k, after = ring + (k + 1) % columns;
      if (next)
        tarn_store_triangle (store, here, after, tip);
      else
        tarn_store_triangle (store, after, here, tip);
    }
}

void
tarn_store_capsule (TarnStore *store, TarnVec3 a_mm, TarnVec3 b_mm, double radius_mm,
                    int around, int rings, TarnPaint paint)
{
  TarnVec3 axis = tarn_normalize (tarn_sub (b_mm, a_mm));
  if (tarn_length (axis) < 0.5)
    axis = tarn_vec3 (0, 0, 1);
  TarnVec3 aside = fabs (axis.x) < 0.7 ? tarn_vec3 (1, 0, 0) : tarn_vec3 (0, 1, 0);
  TarnVec3 u = tarn_normalize (tarn_cross (axis, aside)), v = tarn_cross (axis, u);

  int first = store->vertices;
  for (int ring = 0; ring < 2 * rings; ring++)
    {
      /* From the first end's equator-less half to the second's. */
      int step = ring < rings ? ring - rings + 1 : ring - rings;
      double angle = step * TARN_PI / 2 / rings;
      TarnVec3 end
          = tarn_add_scaled (ring < rings ? a_mm : b_mm, axis, radius_mm * sin (angle));
      for (int j = 0; j < around; j++)
        {
          double turn = 2 * TARN_PI * j / around;
          TarnVec3 p = tarn_add_scaled (end, u, radius_mm * cos (angle) * cos (turn));
          p = tarn_add_scaled (p, v, radius_mm * cos (angle) * sin (turn));
          tarn_store_vertex (store, p, paint);
        }
    }
  tarn_store_grid (store, first, 2 * rings, around, true);
  int low = tarn_store_vertex (store, tarn_add_scaled (a_mm, axis, -radius_mm), paint);
  int high = tarn_store_vertex (store, tarn_add_scaled (b_mm, axis, radius_mm), paint);
  tarn_store_cap (store, first, around, low, false);
  tarn_store_cap (store, first + (2 * rings - 1) * around, around, high, true);
}

void
tarn_store_append (TarnStore *store, const TarnStore *other)
{
  assert (store->vertices + other->vertices <= TARN_STORE_VERTICES);
  assert (store->indices + other->indices <= TARN_STORE_INDICES);
  assert (store->parts + other->parts <= TARN_SCENE_PARTS_MAX);
  size_t count = (size_t)other->vertices;
  memcpy (store->x_mm + store->vertices, other->x_mm, count * sizeof *store->x_mm);
  memcpy (store->y_mm + store->vertices, other->y_mm, count * sizeof *store->y_mm);
  memcpy (store->z_mm + store->vertices, other->z_mm, count * sizeof *store->z_mm);
  memcpy (store->vertex + store->vertices, other->vertex, count * sizeof *store->vertex);
  for (int k = 0; k < other->indices; k++)
    store->index[store->indices + k] = other->index[k] + (uint32_t)store->vertices;
  for (int k = 0; k < other->parts; k++)
    {
      store->part[store->parts] = other->part[k];
      store->part[store->parts++].first += store->indices;
    }
  store->vertices += other->vertices;
  store->indices += other->indices;
}

static void
add_face (TarnStore *store, const uint32_t *corner)
{
  TarnSceneVertex *v[3];
  for (int k = 0; k < 3; k++)
    v[k] = &store->vertex[corner[k]];
  float a[3], b[3];
  for (int k = 0; k < 3; k++)
    {
      a[k] = v[1]->position_mm[k] - v[0]->position_mm[k];
      b[k] = v[2]->position_mm[k] - v[0]->position_mm[k];
    }
  float n[3]
      = { a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0] };
  for (int j = 0; j < 3; j++)
    for (int k = 0; k < 3; k++)
      v[j]->normal[k] += n[k];
}

void
tarn_store_finish (TarnStore *store)
{
  for (int k = 0; k < store->vertices; k++)
    {
      TarnSceneVertex *vertex = &store->vertex[k];
      vertex->position_mm[0] = store->x_mm[k];
      vertex->position_mm[1] = store->y_mm[k];
      vertex->position_mm[2] = store->z_mm[k];
      memset (vertex->normal, 0, sizeof vertex->normal);
    }
  for (int k = 0; k < store->indices; k += 3)
    add_face (store, &store->index[k]);
  for (int k = 0; k < store->vertices; k++)
    {
      float *n = store->vertex[k].normal;
      float length2 = n[0] * n[0] + n[1] * n[1] + n[2] * n[2];
      if (!(length2 > 1e-12f))
        {
          n[0] = n[2] = 0;
          n[1] = -1;
          continue;
        }
      float scale = 1 / sqrtf (length2);
      for (int j = 0; j < 3; j++)
        n[j] *= scale;
    }
}

TarnPaint
tarn_paint_darker (TarnPaint paint, double share)
{
  static const double bend[3] = { 0.9, 1.05, 1.1 };
  for (int k = 0; k < 3; k++)
    paint.colour[k] = (uint8_t)tarn_clamp (paint.colour[k] * pow (share, bend[k]), 0, 255);
  return paint;
}
