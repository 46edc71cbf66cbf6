/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bench-body.c: what building and asking a body costs.  */
#include "bench.h"

#include "base/random.h"
#include "engine/body/body.h"

#include <stdlib.h>

#define RUNS   7
#define POINTS 100000

static volatile double sink;

typedef struct
{
  const TarnBody *body;
  TarnVec3 point[POINTS];
  const TarnCell *cell[POINTS];
} Points;

typedef double Ask (const Points *points, int k);

static double
ask_tissue (const Points *points, int k)
{
  return tarn_body_tissue (points->body, points->point[k]);
}

static double
ask_in_cell (const Points *points, int k)
{
  return tarn_body_tissue_in_cell (points->body, points->cell[k], points->point[k]);
}

static double
ask_lumen (const Points *points, int k)
{
  return tarn_body_lumen_distance_mm (points->body, points->point[k]);
}

static double
ask_bones (const Points *points, int k)
{
  TarnVec3 gradient;
  return tarn_bones_distance_mm (tarn_body_bones (points->body), points->point[k], &gradient);
}

static double
ask_normal (const Points *points, int k)
{
  return tarn_body_normal (points->body, points->point[k], NULL).y;
}

static double
ask_skin (const Points *points, int k)
{
  TarnVec3 point, inward;
  return tarn_body_skin_at (points->body, 40 + k % 50, k % 70, &point, &inward);
}

static double
ask_column (const Points *points, int k)
{
  TarnColumn column;
  tarn_body_column (points->body, tarn_vec3 (k % 40, -24, 40), tarn_vec3 (0, 1, 0), 150,
                    &column);
  return column.soft_mm;
}

static void
time_ask (const char *what, const Points *points, Ask *ask, int count)
{
  double ns[RUNS];
  for (int run = 0; run < RUNS; run++)
    {
      double sum = 0, begin = bench_now_ms ();
      for (int k = 0; k < count; k++)
        sum += ask (points, k);
      ns[run] = (bench_now_ms () - begin) / count * 1e6;
      sink = sum;
    }
  bench_row (what, "ns", ns, RUNS, "");
}

/* Points in mixed cells around the bladder, where the questions are. */
static void
fill (Points *points, const TarnBody *body)
{
  const TarnCells *cells = tarn_body_cells (body);
  points->body = body;
  uint64_t draw = 0;
  for (int k = 0; k < POINTS;)
    {
      TarnVec3 p = { 160 * tarn_uniform_at (1, draw) - 80, 160 * tarn_uniform_at (2, draw) - 25,
                     190 * tarn_uniform_at (3, draw) - 60 };
      draw++;
      TarnVec3 at = tarn_scale (tarn_sub (p, cells->corner_mm), 1 / TARN_CELL_MM);
      if (at.x < 0 || at.y < 0 || at.z < 0 || at.x >= cells->cells_x || at.y >= cells->cells_y
          || at.z >= cells->cells_z)
        continue;
      const TarnCell *cell = &cells->cell[((size_t)at.z * (size_t)cells->cells_y + (size_t)at.y)
                                              * (size_t)cells->cells_x
                                          + (size_t)at.x];
      if (cell->tissue != TARN_CELL_MIXED)
        continue;
      points->point[k] = p;
      points->cell[k++] = cell;
    }
}

static void
time_build (const char *what, const TarnPatient *patient)
{
  double ms[RUNS];
  for (int run = 0; run < RUNS; run++)
    {
      TarnBody *body = NULL;
      double begin = bench_now_ms ();
      if (tarn_body_new (patient, 0, &body, NULL) != TARN_OK)
        abort ();
      ms[run] = bench_now_ms () - begin;
      tarn_body_free (body);
    }
  bench_row (what, "ms", ms, RUNS, "300");
}

int
main (void)
{
  bench_header ();

  TarnPatient plain = tarn_patient_default (), large = plain;
  large.habitus.torso_width_mm = 480;
  large.habitus.torso_depth_mm = 330;
  large.habitus.fat_mm = 50;
  large.habitus.pannus_mm = 40;
  large.bladder.irregular = 1;
  time_build ("body_plain", &plain);
  time_build ("body_large", &large);

  TarnBody *body = NULL;
  Points *points = malloc (sizeof *points);
  if (points == NULL || tarn_body_new (&plain, 0, &body, NULL) != TARN_OK)
    abort ();
  fill (points, body);
  const TarnCells *cells = tarn_body_cells (body);
  size_t count = (size_t)cells->cells_x * (size_t)cells->cells_y * (size_t)cells->cells_z;
  size_t mixed = 0;
  for (size_t k = 0; k < count; k++)
    mixed += cells->cell[k].tissue == TARN_CELL_MIXED;
  double number[]
      = { (double)count, (double)mixed, (double)(count * sizeof *cells->cell) / 1e6 };
  bench_row ("cells", "", &number[0], 1, "");
  bench_row ("cells_mixed", "", &number[1], 1, "");
  bench_row ("cells_size", "MB", &number[2], 1, "");
  time_ask ("tissue", points, ask_tissue, POINTS);
  time_ask ("tissue_in_cell", points, ask_in_cell, POINTS);
  time_ask ("lumen_distance", points, ask_lumen, POINTS);
  time_ask ("bones_distance", points, ask_bones, POINTS);
  time_ask ("normal", points, ask_normal, POINTS / 10);
  time_ask ("skin_at", points, ask_skin, 1000);
  time_ask ("column", points, ask_column, 1000);
  tarn_body_free (body);
  free (points);
  return 0;
}
