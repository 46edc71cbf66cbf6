/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * lookup.h: what lies at a point, by the body's cells; private. */
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

static inline TarnTissue
tarn_lookup (const TarnBody *body, const TarnCells *cells, TarnCellPlace at)
{
  if (!(at.x >= 0 && at.y >= 0 && at.z >= 0 && at.x < (float)cells->cells_x
        && at.y < (float)cells->cells_y && at.z < (float)cells->cells_z))
    return tarn_body_tissue (body, tarn_cell_place_mm (cells, at));
  const TarnCell *cell
      = &cells->cell[((int)at.z * cells->cells_y + (int)at.y) * cells->cells_x + (int)at.x];
  return cell->tissue != TARN_CELL_MIXED
             ? (TarnTissue)cell->tissue
             : tarn_body_tissue_in_cell (body, cell, tarn_cell_place_mm (cells, at));
}
