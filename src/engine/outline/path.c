/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The coarse border: one radius for each ray about a seed.
 *
 * Along a ray the cost of a radius is the sum of the darkness (-1 … 1 for each mm) up to it: it
 * falls through fluid, rises through tissue and rests where nothing can be told, so its minimum
 * is the border, and in a shadow the neighbours decide.  Tissue of a few mm closes the ray,
 * lest dark behind a wall pay for going through it.  Rays are joined by a cost on the square of
 * the step in radius; the closed optimum is found by going round twice and keeping the second
 * lap. */
#include "engine/outline/parts.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* All own design values. */
#define STEP_COST    0.12f /* for one step, squared */
#define CLOSED_MM    4.0f  /* so much tissue closes a ray */
#define TISSUE_BIAS  0.25f /* for each mm: what is hardly dark is not worth going through */
#define UNKNOWN_COST 0.1f  /* for each mm where nothing can be told: no further than needed */
#define BEYOND_COST  2.0f  /* for each mm beyond the sector or a closed ray */

/* Where the ray from the seed leaves the sector. */
static float
exit_radius (const DarkMap *map, float u, float v, float du, float dv)
{
  float exit = 1e9f;

  /* The sides: half-planes through the centre of curvature. */
  for (int side = 0; side < 2; side++)
    {
      double angle = side ? map->side_high_rad : map->side_low_rad;
      float sign = side ? 1 : -1;
      float nu = sign * (float)cos (angle), nv = -sign * (float)sin (angle);
      float rate = du * nu + dv * nv, gap = -(u * nu + v * nv);
      if (rate > 1e-6f && gap / rate < exit)
        exit = gap / rate;
    }
  /* The depth limit: the far crossing of its circle. */
  float b = u * du + v * dv, square = u * u + v * v;
  float far = b * b - square + map->far_mm * map->far_mm;
  if (far > 0 && sqrtf (far) - b < exit)
    exit = sqrtf (far) - b;
  /* The face: the near crossing of its circle. */
  float near = b * b - square + map->near_mm * map->near_mm;
  if (near > 0 && b < 0 && -b - sqrtf (near) < exit)
    exit = -b - sqrtf (near);
  return exit > 0 ? exit : 0;
}

/* The cost along one ray. */
static void
fill_ray (const TarnOutlineWork *work, Path *path, int ray, float *cost)
{
  const DarkMap *map = &work->map;
  float du = work->ray_u[ray], dv = work->ray_v[ray];
  float angle[RADII], radius[RADII], sum = 0, tissue = 0;
  bool closed = false;

  path->exit_mm[ray] = exit_radius (map, path->u_mm, path->v_mm, du, dv);
  int inside = (int)(path->exit_mm[ray] / RADIUS_STEP_MM);
  inside = inside < RADII ? inside : RADII;
  work->kernels->places (path->u_mm + 0.5f * RADIUS_STEP_MM * du,
                         path->v_mm + 0.5f * RADIUS_STEP_MM * dv, RADIUS_STEP_MM * du,
                         RADIUS_STEP_MM * dv, (inside + 7) & ~7, angle, radius);
  for (int k = 0; k < RADII; k++)
    {
      if (closed || k >= inside)
        sum += BEYOND_COST * RADIUS_STEP_MM;
      else
        {
          int cell = tarn_dark_map_cell (map, angle[k], radius[k]);
          float dark = cell >= 0 ? map->dark[cell] : 0;
          dark = dark != 0 ? dark + TISSUE_BIAS : UNKNOWN_COST;
          sum += dark * RADIUS_STEP_MM;
          tissue += dark * RADIUS_STEP_MM;
          tissue = tissue > 0 ? tissue : 0;
          closed = tissue > CLOSED_MM;
        }
      cost[k] = sum;
    }
}

void
tarn_path_find (TarnOutlineWork *work, Path *path)
{
  for (int ray = 0; ray < RAYS; ray++)
    fill_ray (work, path, ray, work->cost + ray * RADII);

  for (int n = 0; n < LAPS_RAYS; n++)
    {
      float *best = work->best + n * PADDED_RADII;
      for (int k = 0; k < RADIUS_JUMPS; k++)
        best[k] = best[RADIUS_JUMPS + RADII + k] = NEVER_COST;
      if (n == 0)
        memcpy (best + RADIUS_JUMPS, work->cost, RADII * sizeof *best);
      else
        work->kernels->advance (best - PADDED_RADII + RADIUS_JUMPS,
                                work->cost + (n % RAYS) * RADII, RADII, RADIUS_JUMPS, STEP_COST,
                                best + RADIUS_JUMPS, work->from + n * RADII);
    }

  /* Back from the best end. */
  const float *last = work->best + (LAPS_RAYS - 1) * PADDED_RADII + RADIUS_JUMPS;
  int k = 0;
  for (int n = 1; n < RADII; n++)
    k = last[n] < last[k] ? n : k;
  for (int n = LAPS_RAYS - 1; n >= LAP_FIRST; n--)
    {
      if (n < LAP_FIRST + RAYS)
        path->radius_mm[n % RAYS] = (float)(k + 1) * RADIUS_STEP_MM;
      k += work->from[n * RADII + k];
    }
}
