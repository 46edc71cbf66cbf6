/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * lookup.h: what lies at a point, by the body's cells. */
#pragma once

#include "engine/acoustic/plane.h"

/* A place in units of cells from the grid's corner. */
typedef struct
{
  float x, y, z;
} TarnCellPlace;

static inline TarnCellPlace
tarn_cell_place (const TarnCells *cells, TarnVec3 p_mm)
{
  TarnVec3 q = tarn_scale (tarn_sub (p_mm, cells->corner_mm), 1 / TARN_CELL_MM);
  return (TarnCellPlace){ (float)q.x, (float)q.y, (float)q.z };
}

static inline TarnVec3
tarn_cell_place_mm (const TarnCells *cells, TarnCellPlace at)
{
  return tarn_add_scaled (cells->corner_mm, tarn_vec3 (at.x, at.y, at.z), TARN_CELL_MM);
}

/* The cell around a place inside the grid; NULL outside. */
static inline const TarnCell *
tarn_lookup_cell (const TarnCells *cells, TarnCellPlace at)
{
  if (!(at.x >= 0 && at.y >= 0 && at.z >= 0 && at.x < (float)cells->cells_x
        && at.y < (float)cells->cells_y && at.z < (float)cells->cells_z))
    return NULL;
  return &cells->cell[((int)at.z * cells->cells_y + (int)at.y) * cells->cells_x + (int)at.x];
}

/* A place within its cell: mm from the cell's middle. */
static inline TarnCellPlace
tarn_place_in_cell (TarnCellPlace at)
{
  const float cell_mm = (float)TARN_CELL_MM;
  return (TarnCellPlace){ (at.x - (float)(int)at.x - 0.5f) * cell_mm,
                          (at.y - (float)(int)at.y - 0.5f) * cell_mm,
                          (at.z - (float)(int)at.z - 0.5f) * cell_mm };
}

/* Signed distance from a facet of the cell, mm. */
static inline float
tarn_facet_distance_mm (const TarnFacet *facet, TarnCellPlace in_cell)
{
  return facet->normal[0] * in_cell.x + facet->normal[1] * in_cell.y
         + facet->normal[2] * in_cell.z + facet->offset_mm;
}

static inline TarnTissue
tarn_lookup (const TarnBody *body, const TarnCells *cells, TarnCellPlace at)
{
  const TarnCell *cell = tarn_lookup_cell (cells, at);
  if (cell == NULL)
    return tarn_body_tissue (body, tarn_cell_place_mm (cells, at));
  if (cell->tissue != TARN_CELL_MIXED)
    return (TarnTissue)cell->tissue;
  if (cell->facets == 0)
    return tarn_body_tissue_in_cell (body, cell, tarn_cell_place_mm (cells, at));
  const TarnFacet *facet = cells->facet + cell->first_facet;
  TarnCellPlace in_cell = tarn_place_in_cell (at);
  for (int k = 0; k < cell->facets; k++)
    if (tarn_facet_distance_mm (&facet[k], in_cell) < 0)
      return (TarnTissue)facet[k].tissue;
  return (TarnTissue)cell->background;
}

/* Unit normal of the tissue border nearest to a place that lies about on one. */
static inline TarnVec3
tarn_lookup_normal (const TarnBody *body, const TarnCells *cells, TarnCellPlace at)
{
  const TarnCell *cell = tarn_lookup_cell (cells, at);
  if (cell == NULL || cell->tissue != TARN_CELL_MIXED || cell->facets == 0)
    return tarn_body_normal (body, tarn_cell_place_mm (cells, at), NULL);
  const TarnFacet *facet = cells->facet + cell->first_facet, *nearest = facet;
  TarnCellPlace in_cell = tarn_place_in_cell (at);
  for (int k = 1; k < cell->facets; k++)
    if (fabsf (tarn_facet_distance_mm (&facet[k], in_cell))
        < fabsf (tarn_facet_distance_mm (nearest, in_cell)))
      nearest = &facet[k];
  return tarn_vec3 (nearest->normal[0], nearest->normal[1], nearest->normal[2]);
}
