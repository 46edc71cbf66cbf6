/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bench-outline.c: what outlining a plane costs on one core. */
#include "bench.h"
#include "engine/outline/outline.h"
#include "painter.h"

#include <stdlib.h>

#define RUNS 40

static void
measure (const char *what, const Painting *painting, const TarnOutlineHints *hints)
{
  const TarnImageGeometry *geometry = &painting->geometry;
  uint8_t *grey = malloc ((size_t)geometry->lines * (size_t)geometry->samples);
  TarnOutlineWork *work = tarn_outline_work_new ();
  TarnOutline outline;
  double ms[RUNS];

  if (grey == NULL || work == NULL)
    exit (1);
  painter_paint (painting, grey);
  TarnImage image = { *geometry, grey, geometry->samples };
  for (int run = 0; run < RUNS; run++)
    {
      double start = bench_now_ms ();
      if (tarn_outline_find (work, &image, hints, &outline) != TARN_OK)
        exit (1);
      ms[run] = bench_now_ms () - start;
    }
  bench_row (what, "ms", ms, RUNS, "");
  tarn_outline_work_free (work);
  free (grey);
}

int
main (void)
{
  Painting painting = painter_default (), wide;

  bench_header ();
  measure ("outline, plain tissue", &painting, NULL);
  painting.regions = 1;
  painting.region[0]
      = (PainterRegion){ .u_mm = 5, .v_mm = 90, .half_x_mm = 45, .half_y_mm = 28 };
  painting.haze_db = -15;
  measure ("outline, clean region", &painting, NULL);

  wide = painting;
  wide.geometry.lines = 360;
  wide.geometry.samples = 925;
  wide.geometry.first_angle_rad = -1.309;
  wide.geometry.line_pitch_rad = 2 * 1.309 / 359;
  measure ("outline, clean region, 75 degrees and 260 mm", &wide, NULL);

  painting.obstacles = 1;
  painting.obstacle[0] = (PainterObstacle){ PAINTER_BONE, 0.25, 0.8, 25 };
  measure ("outline, region in shadow", &painting, NULL);
  return 0;
}
