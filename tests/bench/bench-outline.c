/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bench-outline.c: what outlining a plane costs.  Prints CSV: what, value, unit, processor.
 * Each figure is the best of several runs on one core. */
#include "engine/outline/outline.h"
#include "painter.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define RUNS 40

static char processor[128] = "unknown";

static double
now_s (void)
{
  struct timespec now;
  clock_gettime (CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static void
name_processor (void)
{
  FILE *info = fopen ("/proc/cpuinfo", "r");
  char line[256];
  while (info != NULL && fgets (line, sizeof line, info) != NULL)
    if (sscanf (line, "model name : %127[^\n]", processor) == 1)
      break;
  if (info != NULL)
    fclose (info);
}

static void
measure (const char *what, const Painting *painting, const TarnOutlineHints *hints)
{
  const TarnImageGeometry *geometry = &painting->geometry;
  uint8_t *grey = malloc ((size_t)geometry->lines * (size_t)geometry->samples);
  TarnOutlineWork *work = tarn_outline_work_new ();
  TarnOutline outline;
  double best = 1e9;

  if (grey == NULL || work == NULL)
    exit (1);
  painter_paint (painting, grey);
  TarnImage image = { *geometry, grey, geometry->samples };
  for (int run = 0; run < RUNS; run++)
    {
      double start = now_s ();
      if (tarn_outline_find (work, &image, hints, &outline) != TARN_OK)
        exit (1);
      double took = now_s () - start;
      best = took < best ? took : best;
    }
  printf ("%s,%.3f,ms,\"%s\"\n", what, best * 1e3, processor);
  tarn_outline_work_free (work);
  free (grey);
}

int
main (void)
{
  Painting painting = painter_default (), wide;

  name_processor ();
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
