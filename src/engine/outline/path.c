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
#define STEPS        5     /* a radius may change so many steps from ray to ray */
#define STEP_COST    0.12f /* for one step, squared */
#define CLOSED_MM    4.0f  /* so much tissue closes a ray */
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
fill_ray (const DarkMap *map, Path *path, int ray, float du, float dv, float *cost)
{
  float sum = 0, tissue = 0;
  bool closed = false;

  path->exit_mm[ray] = exit_radius (map, path->u_mm, path->v_mm, du, dv);
  for (int k = 0; k < RADII; k++)
    {
      float r = (float)(k + 1) * RADIUS_STEP_MM, middle = r - 0.5f * RADIUS_STEP_MM;
      if (closed || r > path->exit_mm[ray])
        sum += BEYOND_COST * RADIUS_STEP_MM;
      else
        {
          float dark
              = tarn_dark_map_at (map, path->u_mm + middle * du, path->v_mm + middle * dv);
          dark = dark == dark && dark != 0 ? dark : UNKNOWN_COST;
          sum += dark * RADIUS_STEP_MM;
          tissue = tissue + dark * RADIUS_STEP_MM > 0 ? tissue + dark * RADIUS_STEP_MM : 0;
          closed = tissue > CLOSED_MM;
        }
      cost[k] = sum;
    }
}

/* One step of the programme, from the ray before to this one. */
static void
advance (const float *before, const float *cost, float *best, int8_t *jump)
{
  float padded[RADII + 2 * STEPS];

  for (int k = 0; k < STEPS; k++)
    padded[k] = padded[RADII + STEPS + k] = 1e9f;
  memcpy (padded + STEPS, before, RADII * sizeof *padded);
  for (int k = 0; k < RADII; k++)
    {
      best[k] = padded[k + STEPS];
      jump[k] = 0;
    }
  for (int s = 1; s <= STEPS; s++)
    {
      float price = STEP_COST * (float)(s * s);
      for (int k = 0; k < RADII; k++)
        {
          float up = padded[k + STEPS + s] + price, down = padded[k + STEPS - s] + price;
          jump[k] = up < best[k] ? (int8_t)s : jump[k];
          best[k] = up < best[k] ? up : best[k];
          jump[k] = down < best[k] ? (int8_t)-s : jump[k];
          best[k] = down < best[k] ? down : best[k];
        }
    }
  for (int k = 0; k < RADII; k++)
    best[k] += cost[k];
}

void
tarn_path_find (TarnOutlineWork *work, Path *path)
{
  for (int ray = 0; ray < RAYS; ray++)
    fill_ray (&work->map, path, ray, work->ray_u[ray], work->ray_v[ray],
              work->cost + ray * RADII);

  memcpy (work->best, work->cost, RADII * sizeof *work->best);
  for (int n = 1; n < 2 * RAYS; n++)
    advance (work->best + (n - 1) * RADII, work->cost + (n % RAYS) * RADII,
             work->best + n * RADII, work->jump + n * RADII);

  /* Back from the best end; the first half of the way back is the second lap. */
  const float *last = work->best + (2 * RAYS - 1) * RADII;
  int k = 0;
  for (int n = 1; n < RADII; n++)
    k = last[n] < last[k] ? n : k;
  for (int n = 2 * RAYS - 1; n > 0; n--)
    {
      if (n < RAYS + RAYS / 2 && n >= RAYS / 2)
        path->radius_mm[n % RAYS] = (float)(k + 1) * RADIUS_STEP_MM;
      k += work->jump[n * RADII + k];
    }
}
