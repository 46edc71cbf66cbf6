/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * query.c: what a point is made of, and what a ray meets. */
#include "engine/body/region.h"

/* A ray looks this often, and more often as long as it may be in the skin; no layer that
 * matters is thinner. */
#define MARCH_MM      0.4
#define MARCH_SKIN_MM 0.1
#define SKIN_MOST_MM  8.0

TarnTissue
tarn_body_tissue (const TarnBody *body, TarnVec3 p_mm)
{
  for (int k = 0; k < body->regions; k++)
    {
      TarnTissue tissue = tarn_region_tissue (body, &body->region[k], p_mm);
      if (tissue != TARN_TISSUES)
        return tissue;
    }
  return TARN_TISSUE_SOFT;
}

TarnTissue
tarn_body_tissue_in_cell (const TarnBody *body, const TarnCell *cell, TarnVec3 p_mm)
{
  for (uint32_t rest = cell->candidates; rest != 0; rest &= rest - 1)
    {
      const TarnRegion *region = &body->region[__builtin_ctz (rest)];
      if (region->kind == TARN_REGION_LUMEN)
        {
          /* One look says whether the wall can matter too. */
          TarnBladderPlace place = tarn_lumen_place (&body->lumen, p_mm);
          if (place == TARN_IN_LUMEN)
            return region->tissue;
          if (place == TARN_OFF_BLADDER)
            rest &= ~body->wall_bit;
          continue;
        }
      TarnTissue tissue = tarn_region_tissue (body, region, p_mm);
      if (tissue != TARN_TISSUES)
        return tissue;
    }
  return (TarnTissue)cell->background;
}

const TarnCells *
tarn_body_cells (const TarnBody *body)
{
  return &body->cells;
}

static const TarnCell *
cell_at (const TarnBody *body, TarnVec3 p)
{
  const TarnCells *cells = &body->cells;
  TarnVec3 at = tarn_scale (tarn_sub (p, cells->corner_mm), 1 / TARN_CELL_MM);
  if (!(at.x >= 0 && at.x < cells->cells_x && at.y >= 0 && at.y < cells->cells_y && at.z >= 0
        && at.z < cells->cells_z))
    return NULL;
  return &cells->cell[((size_t)at.z * cells->cells_y + (size_t)at.y) * cells->cells_x
                      + (size_t)at.x];
}

/* By the table where there is one. */
static TarnTissue
tissue_at (const TarnBody *body, TarnVec3 p)
{
  const TarnCell *cell = cell_at (body, p);
  if (cell == NULL)
    return tarn_body_tissue (body, p);
  if (cell->tissue != TARN_CELL_MIXED)
    return (TarnTissue)cell->tissue;
  return tarn_body_tissue_in_cell (body, cell, p);
}

/* Normals. */

typedef struct
{
  double distance_mm;
  TarnVec3 normal;
} Surface;

/* Whether different tissues meet at the surface's point nearest to @p. */
static bool
is_border (const TarnBody *body, TarnVec3 p, const Surface *surface)
{
  double aside = 0.05 + 0.05 * fabs (surface->distance_mm);
  TarnVec3 in = tarn_add_scaled (p, surface->normal, -surface->distance_mm - aside);
  TarnVec3 out = tarn_add_scaled (p, surface->normal, -surface->distance_mm + aside);
  return tissue_at (body, in) != tissue_at (body, out);
}

/* The nearest border among the surfaces of @regions; false when none of them is one. */
static bool
nearest_border (const TarnBody *body, uint32_t regions, TarnVec3 p, Surface *found)
{
  Surface surface[2 * TARN_REGIONS_MAX];
  int count = 0;
  for (uint32_t rest = regions; rest != 0; rest &= rest - 1)
    {
      double distance[2];
      TarnVec3 normal[2];
      int n = tarn_region_surfaces (body, &body->region[__builtin_ctz (rest)], p, distance,
                                    normal);
      for (int k = 0; k < n; k++)
        surface[count++] = (Surface){ distance[k], normal[k] };
    }

  for (; count > 0; count--)
    {
      int best = 0;
      for (int k = 1; k < count; k++)
        if (fabs (surface[k].distance_mm) < fabs (surface[best].distance_mm))
          best = k;
      *found = surface[best];
      if (is_border (body, p, found))
        return true;
      surface[best] = surface[count - 1];
    }
  return false;
}

TarnVec3
tarn_body_normal (const TarnBody *body, TarnVec3 p_mm, double *distance_mm)
{
  const TarnCell *cell = cell_at (body, p_mm);
  Surface found = { INFINITY, { 0, -1, 0 } };
  bool known = cell != NULL && cell->candidates != 0
               && nearest_border (body, cell->candidates, p_mm, &found);

  /* The cell knows only what crosses it; something nearer may pass by outside. */
  if (!known || fabs (found.distance_mm) > TARN_CELL_MM / 4)
    {
      uint32_t all = body->regions == 32 ? ~0u : (1u << body->regions) - 1;
      nearest_border (body, all, p_mm, &found);
    }
  if (distance_mm != NULL)
    *distance_mm = found.distance_mm;
  return found.normal;
}

/* Columns. */

static bool
is_fluid (TarnTissue tissue)
{
  return tissue == TARN_TISSUE_URINE || tissue == TARN_TISSUE_FLUID
         || tissue == TARN_TISSUE_BALLOON;
}

/* @deep: whether the ray has left skin and fat for good. */
static void
add_to_column (TarnColumn *column, TarnTissue tissue, double length_mm, bool *deep)
{
  switch (tissue)
    {
    case TARN_TISSUE_SKIN:
    case TARN_TISSUE_SCAR:
      column->skin_mm += length_mm;
      return;
    case TARN_TISSUE_FAT:
      *(*deep ? &column->soft_mm : &column->fat_mm) += length_mm;
      return;
    case TARN_TISSUE_MUSCLE:
      column->muscle_mm += length_mm;
      *deep = true;
      return;
    default:
      column->soft_mm += length_mm;
      column->fluid_mm += is_fluid (tissue) ? length_mm : 0;
      *deep = true;
    }
}

/* Where between @low and @high the tissue stops being what it is at @low. */
static double
change_at (const TarnBody *body, TarnVec3 from, TarnVec3 direction, double low, double high)
{
  TarnTissue before = tissue_at (body, tarn_add_scaled (from, direction, low));
  for (int k = 0; k < 12; k++)
    {
      double middle = 0.5 * (low + high);
      if (tissue_at (body, tarn_add_scaled (from, direction, middle)) == before)
        low = middle;
      else
        high = middle;
    }
  return 0.5 * (low + high);
}

void
tarn_body_column (const TarnBody *body, TarnVec3 from_mm, TarnVec3 direction, double reach_mm,
                  TarnColumn *column)
{
  *column = (TarnColumn){ .bone_mm = INFINITY };
  column->crease = tarn_torso_crease (&body->torso, from_mm.x, from_mm.z);

  TarnTissue tissue = tissue_at (body, from_mm);
  double begin = 0, skin = 0;
  bool deep = false;
  for (double at = 0; at < reach_mm && tissue != TARN_TISSUE_BONE;)
    {
      double next = fmin (at + (at < SKIN_MOST_MM ? MARCH_SKIN_MM : MARCH_MM), reach_mm);
      TarnTissue there = tissue_at (body, tarn_add_scaled (from_mm, direction, next));
      if (there != tissue)
        {
          double end = change_at (body, from_mm, direction, at, next);
          if (tissue == TARN_TISSUE_AIR)
            skin = end;
          else
            add_to_column (column, tissue, end - begin, &deep);
          begin = end;
          if (there == TARN_TISSUE_AIR)
            return;
        }
      tissue = there;
      at = next;
    }
  if (tissue == TARN_TISSUE_BONE)
    column->bone_mm = begin - skin;
  else if (tissue != TARN_TISSUE_AIR)
    add_to_column (column, tissue, reach_mm - begin, &deep);
}
