/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/body/follow.h"

#include <stdlib.h>

/* How far dents come in, and a vertex goes, at a time. */
#define STEP_MM     3.0
#define WAY_MOST_MM 400.0
#define SETTLE_MOST 12
#define HOLD_MOST   20

static double
area_mm2 (const TarnMesh *mesh, const int *corner)
{
  TarnVec3 a = mesh->vertex_mm[corner[0]];
  return 0.5
         * tarn_length (tarn_cross (tarn_sub (mesh->vertex_mm[corner[1]], a),
                                    tarn_sub (mesh->vertex_mm[corner[2]], a)));
}

/* How far the dent has to go back, or the bulge to shrink, to leave all of @p alone. */
static double
way_back_mm (const TarnDent *dent, TarnVec3 way, const TarnVec3 *p, int count)
{
  TarnDent there = *dent;
  double back = 0;
  for (bool clear = false; !clear && back < WAY_MOST_MM;)
    {
      clear = true;
      double least = INFINITY;
      for (int k = 0; k < count; k++)
        {
          double distance = tarn_dent_distance_mm (&there, p[k], NULL);
          least = fmin (least, (dent->bulge ? distance : -distance) - dent->round_mm);
        }
      if (least < 0)
        {
          clear = false;
          back += fmax (-least, 1);
          if (dent->bulge)
            there.gap_mm = dent->gap_mm - back;
          else
            there.centre_mm = tarn_add_scaled (dent->centre_mm, way, back);
        }
    }
  return back;
}

static bool
is_touched (const TarnLumen *lumen, TarnVec3 p)
{
  for (int k = 0; k < lumen->dents; k++)
    {
      const TarnDent *dent = &lumen->dent[k];
      double distance = tarn_dent_distance_mm (dent, p, NULL);
      if ((dent->bulge ? distance : -distance) < dent->round_mm)
        return true;
    }
  return false;
}

double
tarn_follow_settle (const TarnLumen *lumen, TarnVec3 *p, double level_mm, double within_mm)
{
  double off = 0;
  for (int k = 0; k < SETTLE_MOST; k++)
    {
      TarnVec3 n;
      off = tarn_lumen_distance_mm (lumen, *p, &n) - level_mm;
      if (fabs (off) < within_mm)
        break;
      *p = tarn_add_scaled (*p, n, -tarn_clamp (off, -STEP_MM, STEP_MM));
    }
  return fabs (off);
}

double
tarn_follow_dents (TarnLumen *lumen, const TarnDent *dent, const TarnVec3 *way, int dents,
                   TarnVec3 *p, int count)
{
  double from[TARN_STRUCTURES_MAX], most = 0, worst = 0;
  for (int d = 0; d < dents; d++)
    {
      from[d] = way_back_mm (&dent[d], way[d], p, count);
      most = fmax (most, from[d]);
    }
  bool *moved = calloc ((size_t)count, sizeof *moved);
  if (moved == NULL)
    return INFINITY;

  lumen->dents = dents;
  lumen->bulges = 0;
  for (int d = 0; d < dents; d++)
    lumen->bulges += dent[d].bulge;
  int steps = (int)fmax (ceil (most / STEP_MM), 1);
  for (int step = 1; step <= steps; step++)
    {
      double left = 1 - step / (double)steps;
      for (int d = 0; d < dents; d++)
        {
          lumen->dent[d] = dent[d];
          if (dent[d].bulge)
            lumen->dent[d].gap_mm -= left * from[d];
          else
            lumen->dent[d].centre_mm
                = tarn_add_scaled (dent[d].centre_mm, way[d], left * from[d]);
        }
      worst = 0;
      for (int k = 0; k < count; k++)
        if (moved[k] || is_touched (lumen, p[k]))
          {
            moved[k] = true;
            worst
                = fmax (worst, tarn_follow_settle (lumen, &p[k], 0, step < steps ? 0.1 : 1e-4));
          }
    }
  free (moved);
  return worst;
}

/* Over each triangle a quadratic with the surface's own normals at the corners holds A / 12 for
 * each unit of bend of an edge. */
TarnStatus
tarn_follow_volume_mm3 (const TarnLumen *lumen, const TarnMesh *mesh, double *volume)
{
  TarnVec3 *normal = malloc ((size_t)mesh->vertices * sizeof *normal);
  if (normal == NULL)
    return TARN_NO_MEMORY;
  for (int k = 0; k < mesh->vertices; k++)
    tarn_lumen_distance_mm (lumen, mesh->vertex_mm[k], &normal[k]);
  *volume = tarn_mesh_volume_mm3 (mesh);
  for (int k = 0; k < mesh->triangles; k++)
    {
      const int *c = mesh->corner[k];
      double bend = 0;
      for (int e = 0; e < 3; e++)
        {
          int i = c[e], j = c[(e + 1) % 3];
          bend += 0.5
                  * tarn_dot (tarn_sub (normal[j], normal[i]),
                              tarn_sub (mesh->vertex_mm[j], mesh->vertex_mm[i]));
        }
      *volume += area_mm2 (mesh, c) * bend / 12;
    }
  free (normal);
  return TARN_OK;
}

void
tarn_follow_hold_volume (const TarnLumen *lumen, TarnMesh *mesh, double wanted_mm3)
{
  for (int turn = 0; turn < HOLD_MOST; turn++)
    {
      double area = 0, missing = wanted_mm3 - tarn_mesh_volume_mm3 (mesh);
      if (fabs (missing) < 1e-9 * wanted_mm3)
        break;
      for (int k = 0; k < mesh->triangles; k++)
        area += area_mm2 (mesh, mesh->corner[k]);
      double out = missing / area;
      for (int k = 0; k < mesh->vertices; k++)
        {
          TarnVec3 n;
          tarn_lumen_distance_mm (lumen, mesh->vertex_mm[k], &n);
          mesh->vertex_mm[k] = tarn_add_scaled (mesh->vertex_mm[k], n, out);
        }
    }
}
