/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/body/volume.h"

#include "base/units.h"
#include "engine/body/yield.h"

#include <stdio.h>

/* Contact is not overlap. */
#define TOUCH_MM 0.05
/* Cubes along each side of what two bodies may share. */
#define SHARE_BLOCK 8
#define SHARE_STEPS (12 * SHARE_BLOCK)

static TarnStatus
blame (const TarnBody *body, int index, TarnProblem *problem, const char *what)
{
  char key[64];
  snprintf (key, sizeof key, "[Structure %d] centre-mm", index + 1);
  return tarn_problem_set (problem, TARN_IMPOSSIBLE, key, "the %s %s",
                           tarn_structure_kind_name (body->solid[index].kind), what);
}

/* How far any point of the structure's surface lies beyond the lumen's. */
static double
furthest_out_mm (const TarnBody *body, const TarnSolid *solid, const TarnMesh *sphere)
{
  double out = -INFINITY;
  for (int k = 0; k < sphere->vertices; k++)
    {
      TarnVec3 p = tarn_solid_point_mm (solid, &solid->outer, sphere->vertex_mm[k]);
      out = fmax (out, tarn_lumen_distance_mm (&body->lumen, p, NULL));
    }
  return out;
}

/* Ascites flows around the bladder; all else of the belly keeps off it, or has been moved. */
static const char *
what_is_wrong (const TarnBody *body, const TarnSolid *solid, const TarnMesh *sphere)
{
  const TarnLumen *lumen = &body->lumen;
  double middle = tarn_lumen_distance_mm (lumen, solid->centre_mm, NULL);
  if (tarn_torso_level (&body->torso, TARN_LAYER_SKIN, solid->centre_mm) > 0)
    return "lies outside the body";
  if (solid->kind != TARN_STRUCTURE_SCAR
      && tarn_bones_distance_mm (&body->bones, solid->centre_mm, NULL) < 0)
    return "has its middle in a bone";
  if (tarn_structure_is_inside (solid->kind))
    return lumen->empty || furthest_out_mm (body, solid, sphere) > TOUCH_MM
               ? "does not lie within the bladder's lumen"
               : NULL;
  switch (solid->kind)
    {
    case TARN_STRUCTURE_DIVERTICULUM:
      return lumen->empty || middle < 0
                 ? "has its middle within the bladder or no bladder to join"
                 : NULL;
    case TARN_STRUCTURE_ASCITES:
      return middle < lumen->wall_mm ? "has its middle within the bladder" : NULL;
    case TARN_STRUCTURE_BOWEL:
    case TARN_STRUCTURE_BOWEL_GAS:
      return tarn_yield_meets (body, solid, sphere)
                 ? "lies too deep in the bladder to float aside"
                 : NULL;
    default:
      return tarn_yield_meets (body, solid, sphere) ? "overlaps the bladder and its wall"
                                                    : NULL;
    }
}

TarnStatus
tarn_volume_check (const TarnBody *body, const TarnMesh *sphere, TarnProblem *problem)
{
  for (int k = 0; k < body->solids; k++)
    {
      const char *wrong = what_is_wrong (body, &body->solid[k], sphere);
      if (wrong != NULL)
        return blame (body, k, problem, wrong);
    }
  return TARN_OK;
}

/* Volumes. */

/* Whether what is at @p has been counted before structure @index of the same kind of place. */
static double
taken_distance_mm (const TarnBody *body, int index, TarnVec3 p)
{
  const TarnSolid *solid = &body->solid[index];
  bool inside = tarn_structure_is_inside (solid->kind);
  double distance = inside ? INFINITY : tarn_lumen_distance_mm (&body->lumen, p, NULL);
  for (int k = 0; k < index; k++)
    if (tarn_structure_is_inside (body->solid[k].kind) == inside
        && body->solid[k].counts == solid->counts)
      distance = fmin (distance, tarn_solid_inner_distance_mm (&body->solid[k], p, NULL));
  return distance;
}

static bool
may_share (const TarnBody *body, int index, const TarnMesh *sphere)
{
  const TarnSolid *solid = &body->solid[index];
  for (int k = 0; k < index; k++)
    if (tarn_distance (solid->centre_mm, body->solid[k].centre_mm)
        < solid->reach_mm + body->solid[k].reach_mm)
      return true;
  if (tarn_structure_is_inside (solid->kind))
    return false;
  for (int k = 0; k < sphere->vertices; k++)
    {
      TarnVec3 p = tarn_solid_point_mm (solid, &solid->inner, sphere->vertex_mm[k]);
      if (tarn_lumen_distance_mm (&body->lumen, p, NULL) < 1)
        return true;
    }
  return false;
}

/* How much of a cube of side @step around a point at @distance from a surface lies within. */
static double
share (double distance, double step)
{
  return tarn_clamp (0.5 - distance / step, 0, 1);
}

/* What fluid shares with what has been counted before is looked for in small cubes, of which
 * blocks far from either are passed over. */
typedef struct
{
  const TarnBody *body;
  int index;
  TarnSolid plain; /* without its neck */
  TarnVec3 low_mm;
  double step_mm;
} Cubes;

static TarnVec3
cube_point (const Cubes *cubes, double i, double j, double k)
{
  return tarn_add_scaled (cubes->low_mm, tarn_vec3 (i, j, k), cubes->step_mm);
}

/* Distances are known to first order only, so twice as far is far enough. */
static bool
is_far (const Cubes *cubes, int i, int j, int k)
{
  const double half = 0.5 * SHARE_BLOCK;
  TarnVec3 middle = cube_point (cubes, i + half, j + half, k + half);
  double far_mm = 2 * (sqrt (3) * half + 1) * cubes->step_mm;
  return tarn_solid_inner_distance_mm (&cubes->plain, middle, NULL) > far_mm
         || taken_distance_mm (cubes->body, cubes->index, middle) > far_mm;
}

static double
block_share (const Cubes *cubes, int i0, int j0, int k0)
{
  double sum = 0;
  for (int k = k0; k < k0 + SHARE_BLOCK; k++)
    for (int j = j0; j < j0 + SHARE_BLOCK; j++)
      for (int i = i0; i < i0 + SHARE_BLOCK; i++)
        {
          TarnVec3 p = cube_point (cubes, i + 0.5, j + 0.5, k + 0.5);
          double own = tarn_solid_inner_distance_mm (&cubes->plain, p, NULL);
          if (own < cubes->step_mm)
            sum += share (fmax (own, taken_distance_mm (cubes->body, cubes->index, p)),
                          cubes->step_mm);
        }
  return sum;
}

/* Of the ellipsoid, what has been counted before. */
static double
shared_mm3 (const TarnBody *body, int index)
{
  Cubes cubes = { .body = body, .index = index, .plain = body->solid[index] };
  cubes.plain.has_neck = false;
  TarnVec3 h = cubes.plain.inner.half_mm;
  double reach = fmax (h.x, fmax (h.y, h.z)), sum = 0;
  cubes.low_mm = tarn_sub (cubes.plain.centre_mm, tarn_vec3 (reach, reach, reach));
  cubes.step_mm = 2 * reach / SHARE_STEPS;
  for (int k = 0; k < SHARE_STEPS; k += SHARE_BLOCK)
    for (int j = 0; j < SHARE_STEPS; j += SHARE_BLOCK)
      for (int i = 0; i < SHARE_STEPS; i += SHARE_BLOCK)
        if (!is_far (&cubes, i, j, k))
          sum += block_share (&cubes, i, j, k);
  return sum * cubes.step_mm * cubes.step_mm * cubes.step_mm;
}

/* Of the neck, what lies neither in its diverticulum nor in what has been counted before. */
static double
neck_mm3 (const TarnBody *body, int index)
{
  TarnSolid plain = body->solid[index];
  plain.has_neck = false;
  TarnVec3 a = plain.neck.a_mm, b = plain.neck.b_mm;
  double n = plain.neck.radius_mm, step = n / 10, sum = 0;
  TarnVec3 low = { fmin (a.x, b.x) - n, fmin (a.y, b.y) - n, fmin (a.z, b.z) - n };
  TarnVec3 size
      = { fabs (a.x - b.x) + 2 * n, fabs (a.y - b.y) + 2 * n, fabs (a.z - b.z) + 2 * n };
  for (double z = step / 2; z < size.z; z += step)
    for (double y = step / 2; y < size.y; y += step)
      for (double x = step / 2; x < size.x; x += step)
        {
          TarnVec3 p = tarn_add (low, tarn_vec3 (x, y, z));
          double neck = tarn_capsule_distance_mm (&plain.neck, p, NULL);
          if (neck >= step)
            continue;
          double own = tarn_solid_inner_distance_mm (&plain, p, NULL);
          double taken = taken_distance_mm (body, index, p);
          sum += share (fmax (neck, fmax (-own, -taken)), step);
        }
  return sum * step * step * step;
}

static double
solid_volume_mm3 (const TarnBody *body, int index, const TarnMesh *sphere)
{
  const TarnSolid *solid = &body->solid[index];
  double volume = tarn_ellipsoid_volume_mm3 (&solid->inner);
  if (may_share (body, index, sphere))
    volume -= shared_mm3 (body, index);
  if (solid->has_neck)
    volume += neck_mm3 (body, index);
  return volume;
}

double
tarn_volume_displaced_ml (const TarnBody *body, const TarnMesh *sphere)
{
  double volume = 0;
  for (int k = 0; k < body->solids; k++)
    if (tarn_structure_is_inside (body->solid[k].kind) && !body->solid[k].counts)
      volume += solid_volume_mm3 (body, k, sphere);
  return volume / TARN_MM3_PER_ML;
}

double
tarn_volume_counted_ml (const TarnBody *body, const TarnMesh *sphere)
{
  double volume = 0;
  for (int k = 0; k < body->solids; k++)
    if (!tarn_structure_is_inside (body->solid[k].kind) && body->solid[k].counts)
      volume += solid_volume_mm3 (body, k, sphere);
  return volume / TARN_MM3_PER_ML;
}
