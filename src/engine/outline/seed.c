/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dark patches: connected cells whose surroundings of a few millimetres are dark.  The mean
 * over the surroundings cuts thin bridges and drops lone dark speckles. */
#include "engine/outline/parts.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* All own design values. */
#define AROUND_MM       2.5f  /* half the surroundings' side */
#define AROUND_DARK     -0.5f /* mean darkness in them */
#define PATCH_LEAST_MM2 6.0f

enum
{
  PATCH_NONE = -1, /* not dark */
  PATCH_OPEN = -2, /* dark, not visited */
};

/* Means over the surroundings, down and then across, into work->folded. */
static void
spread (TarnOutlineWork *work)
{
  const DarkMap *map = &work->map;
  int lines = map->lines;
  int reach = (int)(AROUND_MM / map->row_pitch_mm + 0.5f);

  for (int row = 0; row < map->rows; row++)
    {
      int low = row - reach > 0 ? row - reach : 0;
      int high = row + reach < map->rows ? row + reach : map->rows - 1;
      float column[TARN_LINES_MAX + 8];
      work->kernels->add_rows (map->dark + low * lines, lines, high - low + 1, lines,
                               1 / (float)(high - low + 1), column);
      tarn_box_across (work, column, tarn_lines_within (map, row, AROUND_MM),
                       work->folded + row * lines);
    }
}

static void
cell_place (const DarkMap *map, int cell, float *u_mm, float *v_mm)
{
  double radius = map->first_radius_mm + map->row_pitch_mm * (float)(cell / map->lines);
  double angle = map->first_angle_rad + map->line_pitch_rad * (float)(cell % map->lines);
  *u_mm = (float)(radius * sin (angle));
  *v_mm = (float)(radius * cos (angle));
}

/* Fills the patch that @cell belongs to; work->queue then holds its cells. */
static int
flood (TarnOutlineWork *work, int cell, int name)
{
  const DarkMap *map = &work->map;
  int count = 0;

  work->patch[cell] = name;
  work->queue[count++] = cell;
  for (int k = 0; k < count; k++)
    {
      int here = work->queue[k], line = here % map->lines, row = here / map->lines;
      int next[4] = { line > 0 ? here - 1 : here, line + 1 < map->lines ? here + 1 : here,
                      row > 0 ? here - map->lines : here,
                      row + 1 < map->rows ? here + map->lines : here };
      for (int n = 0; n < 4; n++)
        if (work->patch[next[n]] == PATCH_OPEN)
          {
            work->patch[next[n]] = name;
            work->queue[count++] = next[n];
          }
    }
  return count;
}

/* Sizes up the @count cells in work->queue: the seed is the cell nearest to their centroid. */
static Seed
size_up (const TarnOutlineWork *work, int count, float u_mm, float v_mm)
{
  const DarkMap *map = &work->map;
  double area = 0, line_sum = 0, row_sum = 0;
  Seed seed = { .distance_mm = INFINITY };

  for (int k = 0; k < count; k++)
    {
      int line = work->queue[k] % map->lines, row = work->queue[k] / map->lines;
      double radius = map->first_radius_mm + map->row_pitch_mm * (float)row;
      area += radius;
      line_sum += radius * line;
      row_sum += radius * row;
    }
  double line = line_sum / area, row = row_sum / area;
  float at_line, at_row, least = INFINITY, least_seed = INFINITY;
  tarn_dark_map_place (map, u_mm, v_mm, &at_line, &at_row);
  int nearest = work->queue[0], middle = work->queue[0];
  for (int k = 0; k < count; k++)
    {
      float cell_line = (float)(work->queue[k] % map->lines);
      float cell_row = (float)(work->queue[k] / map->lines);
      float across
          = (map->first_radius_mm + map->row_pitch_mm * cell_row) * map->line_pitch_rad;
      float dl = (cell_line - at_line) * across, dr = (cell_row - at_row) * map->row_pitch_mm;
      float ml = (cell_line - (float)line) * across;
      float mr = (cell_row - (float)row) * map->row_pitch_mm;
      if (dl * dl + dr * dr < least)
        {
          least = dl * dl + dr * dr;
          nearest = work->queue[k];
        }
      if (ml * ml + mr * mr < least_seed)
        {
          least_seed = ml * ml + mr * mr;
          middle = work->queue[k];
        }
    }
  float near_u, near_v;
  cell_place (map, nearest, &near_u, &near_v);
  cell_place (map, middle, &seed.u_mm, &seed.v_mm);
  seed.area_mm2 = (float)area * map->line_pitch_rad * map->row_pitch_mm;
  seed.distance_mm
      = sqrtf ((near_u - u_mm) * (near_u - u_mm) + (near_v - v_mm) * (near_v - v_mm));
  return seed;
}

/* Keeps the nearest PATCHES, sorted. */
static int
insert (Seed *seed, int count, Seed fresh)
{
  int k = count < PATCHES ? count : PATCHES - 1;

  if (count == PATCHES && fresh.distance_mm >= seed[k].distance_mm)
    return count;
  while (k > 0 && seed[k - 1].distance_mm > fresh.distance_mm)
    {
      seed[k] = seed[k - 1];
      k--;
    }
  seed[k] = fresh;
  return count < PATCHES ? count + 1 : count;
}

int
tarn_seed_find (TarnOutlineWork *work, float u_mm, float v_mm, Seed *seed)
{
  const DarkMap *map = &work->map;
  int cells = map->rows * map->lines;
  int count = 0, name = 0;

  spread (work);
  for (int k = 0; k < cells; k++)
    work->patch[k] = work->folded[k] < AROUND_DARK ? PATCH_OPEN : PATCH_NONE;
  for (int k = 0; k < cells; k++)
    if (work->patch[k] == PATCH_OPEN)
      {
        int size = flood (work, k, name++);
        Seed fresh = size_up (work, size, u_mm, v_mm);
        if (fresh.area_mm2 >= PATCH_LEAST_MM2)
          count = insert (seed, count, fresh);
      }
  return count;
}
