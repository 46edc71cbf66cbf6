/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trial.h"

#include <glib.h>
#include <math.h>

TarnOutline
trial_outline (const Painting *painting, const TarnOutlineHints *hints)
{
  const TarnImageGeometry *geometry = &painting->geometry;
  uint8_t *grey = g_malloc ((gsize)geometry->lines * (gsize)geometry->samples);
  TarnImage image = { *geometry, grey, geometry->samples };
  TarnOutlineWork *work = tarn_outline_work_new ();
  TarnOutline outline;

  painter_paint (painting, grey);
  g_assert_cmpint (tarn_outline_find (work, &image, hints, &outline), ==, TARN_OK);
  tarn_outline_work_free (work);
  g_free (grey);
  return outline;
}

TrialErrors
trial_errors (Painting painting, int seeds)
{
  TrialErrors errors = { 0 };
  double area, moment;

  painter_truth (&painting, &area, &moment);
  for (int seed = 1; seed <= seeds; seed++)
    {
      painting.seed = (uint64_t)seed;
      TarnOutline outline = trial_outline (&painting, NULL);
      g_assert_cmpint (outline.found, ==, true);
      double percent = 100 * (outline.area_mm2 / area - 1);
      g_test_message ("seed %d: %+.2f %%", seed, percent);
      errors.mean_percent += percent / seeds;
      errors.worst_percent = fmax (errors.worst_percent, fabs (percent));
      errors.seen += outline.seen / seeds;
      errors.bridged += outline.bridged / seeds;
      errors.at_edge += outline.at_edge / seeds;
    }
  return errors;
}

Painting
trial_ellipse (double u_mm, double v_mm, double half_x_mm, double half_y_mm, double turn_rad)
{
  Painting painting = painter_default ();

  painting.regions = 1;
  painting.region[0] = (PainterRegion){ .u_mm = u_mm,
                                        .v_mm = v_mm,
                                        .half_x_mm = half_x_mm,
                                        .half_y_mm = half_y_mm,
                                        .turn_rad = turn_rad };
  return painting;
}
