/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * facets.c: borders within a cell, taken as flat.
 *
 * A cell is 4 mm, a bladder's or a layer's radius of curvature 20 mm and more, so a border
 * strays less than 0.3 mm from its tangent plane at the point nearest to the cell's middle,
 * and only near the cell's corners.  Where a border is bent more, or is more than a surface
 * (small structures, necks, scars), the cell gets no facets and must be asked exactly. */
#include "engine/body/facets.h"

#include <stdlib.h>

/* Below this radius a structure's border is not taken as flat. */
#define ROUND_MM 12.0

/* Whether at most one of the capsules that make sacrum and spine is near. */
static bool
is_one_bone (const TarnBones *bones, TarnVec3 middle)
{
  int near = 0;
  for (int k = TARN_RAMI; k < bones->capsules; k++)
    near += tarn_capsule_distance_mm (&bones->capsule[k], middle, NULL) < TARN_CELL_MM;
  return near <= 1;
}

/* Whether the region is well described by flat pieces around @middle. */
static bool
is_flat (const TarnBody *body, const TarnRegion *region, TarnVec3 middle)
{
  if (region->kind == TARN_REGION_SCAR)
    return false;
  if (region->kind == TARN_REGION_SPINE)
    return is_one_bone (&body->bones, middle);
  if (region->kind == TARN_REGION_LUMEN || region->kind == TARN_REGION_WALL)
    return !tarn_lumen_is_bent (&body->lumen, middle);
  if (region->kind != TARN_REGION_SOLID)
    return true;
  const TarnSolid *solid = &body->solid[region->index];
  return !solid->has_neck && solid->outer.least_mm >= ROUND_MM
         && (!solid->has_inner || solid->inner.least_mm >= ROUND_MM);
}

static TarnFacet
facet_of (TarnVec3 normal, double distance_mm, TarnTissue tissue, bool outside)
{
  float sign = outside ? -1.0f : 1.0f;
  return (TarnFacet){
    .normal = { sign * (float)normal.x, sign * (float)normal.y, sign * (float)normal.z },
    .offset_mm = sign * (float)distance_mm,
    .tissue = (uint8_t)tissue,
  };
}

/* Writes the cell's facets; returns how many, 0 when it must be asked exactly. */
static int
cell_facets (const TarnBody *body, const TarnCell *cell, TarnVec3 middle,
             TarnFacet facet[TARN_FACETS_MAX])
{
  int count = 0;
  for (uint32_t rest = cell->candidates; rest != 0; rest &= rest - 1)
    {
      const TarnRegion *region = &body->region[__builtin_ctz (rest)];
      if (!is_flat (body, region, middle) || count > TARN_FACETS_MAX - 2)
        return 0;
      double distance_mm[2];
      TarnVec3 normal[2];
      int n = tarn_region_surfaces (body, region, middle, distance_mm, normal);
      bool outside = region->kind == TARN_REGION_LAYER || region->kind == TARN_REGION_BACK;
      if (region->kind != TARN_REGION_SOLID)
        {
          facet[count++] = facet_of (normal[0], distance_mm[0], region->tissue, outside);
          continue;
        }
      const TarnSolid *solid = &body->solid[region->index];
      if (n == 2)
        facet[count++] = facet_of (normal[1], distance_mm[1], solid->inner_tissue, false);
      facet[count++] = facet_of (normal[0], distance_mm[0],
                                 n == 2 ? solid->outer_tissue : solid->inner_tissue, false);
    }
  return count;
}

TarnStatus
tarn_facets_build (TarnBody *body)
{
  TarnCells *cells = &body->cells;
  uint32_t used = 0, room = 0;
  TarnCell *cell = body->cell;
  for (int z = 0; z < cells->cells_z; z++)
    for (int y = 0; y < cells->cells_y; y++)
      for (int x = 0; x < cells->cells_x; x++, cell++)
        {
          if (cell->tissue != TARN_CELL_MIXED)
            continue;
          if (used + TARN_FACETS_MAX > room)
            {
              room = room > 0 ? 2 * room : 1u << 15;
              TarnFacet *grown = realloc (body->facet, room * sizeof *grown);
              if (grown == NULL)
                return TARN_NO_MEMORY;
              body->facet = grown;
            }
          TarnVec3 middle = tarn_add_scaled (
              cells->corner_mm, tarn_vec3 (x + 0.5, y + 0.5, z + 0.5), TARN_CELL_MM);
          cell->first_facet = used;
          cell->facets = (uint8_t)cell_facets (body, cell, middle, body->facet + used);
          used += cell->facets;
        }
  cells->facet = body->facet;
  return TARN_OK;
}
