/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bowel.c: who reaches into the bladder, and bowel that floats off it. */
#include "engine/body/yield.h"

/* Contact is not overlap. */
#define TOUCH_MM 0.05
/* Bowel and gas go no further than this, in so many turns, and upwards by this share more than
 * the bladder's surface pushes them. */
#define FLOAT_MOST_MM 30.0
#define FLOAT_TURNS   60
#define FLOAT_UP      0.3

bool
tarn_yield_meets (const TarnBody *body, const TarnSolid *solid, const TarnMesh *sphere)
{
  const TarnLumen *lumen = &body->lumen;
  double room = solid->reach_mm + tarn_distance (lumen->box.low, lumen->box.high) / 2;
  TarnVec3 middle = tarn_scale (tarn_add (lumen->box.low, lumen->box.high), 0.5);
  if (tarn_distance (solid->centre_mm, middle) > room)
    return false;

  for (int k = 0; k < sphere->vertices; k++)
    {
      TarnVec3 p = tarn_solid_point_mm (solid, &solid->outer, sphere->vertex_mm[k]);
      if (tarn_lumen_distance_mm (lumen, p, NULL) < lumen->wall_mm - TOUCH_MM)
        return true;
    }
  for (int k = 0; k < body->wall_mesh.vertices; k++)
    if (tarn_solid_outer_distance_mm (solid, body->wall_mesh.vertex_mm[k], NULL) < -TOUCH_MM)
      return true;
  return false;
}

/* How deep the structure reaches into the wall at worst, and the way out there. */
static double
deepest_mm (const TarnBody *body, const TarnSolid *solid, const TarnMesh *look, TarnVec3 *way)
{
  double deepest = -INFINITY;
  for (int k = 0; k < look->vertices; k++)
    {
      TarnVec3 n, p = tarn_solid_point_mm (solid, &solid->outer, look->vertex_mm[k]);
      double depth = body->lumen.wall_mm - tarn_lumen_distance_mm (&body->lumen, p, &n);
      if (depth > deepest)
        {
          deepest = depth;
          *way = n;
        }
    }
  for (int k = 0; k < body->wall_mesh.vertices; k++)
    {
      TarnVec3 n, p = body->wall_mesh.vertex_mm[k];
      double depth = -tarn_solid_outer_distance_mm (solid, p, &n);
      if (depth > deepest)
        {
          deepest = depth;
          *way = tarn_scale (n, -1);
        }
    }
  return deepest;
}

void
tarn_yield_bowel (TarnBody *body, const TarnMesh *look)
{
  for (int k = 0; k < body->solids; k++)
    {
      TarnSolid *solid = &body->solid[k];
      if ((solid->kind != TARN_STRUCTURE_BOWEL && solid->kind != TARN_STRUCTURE_BOWEL_GAS)
          || !tarn_yield_meets (body, solid, look))
        continue;
      TarnVec3 start = solid->centre_mm;
      for (int turn = 0; turn < FLOAT_TURNS; turn++)
        {
          TarnVec3 way = { 0, 0, 1 };
          double depth = deepest_mm (body, solid, look, &way);
          if (depth < TOUCH_MM)
            break;
          /* It floats: never down, and rather up than aside. */
          way.z = fmax (way.z, 0) + FLOAT_UP;
          solid->centre_mm = tarn_add_scaled (solid->centre_mm, tarn_normalize (way), depth);
        }
      if (tarn_distance (solid->centre_mm, start) > FLOAT_MOST_MM)
        solid->centre_mm = start;
    }
}
