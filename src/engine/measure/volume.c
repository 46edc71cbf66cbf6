/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Volumes by Pappus.
 *
 * Why the ends matter: the moment of a smooth body falls to zero with a slope, so the plain
 * sum over planes is off by up to h²/12 of that slope at each end, and by chance either way.
 * Following the slope to the axis takes the chance out. */
#include "engine/measure/volume.h"

#include "base/units.h"

#include <assert.h>
#include <math.h>

/* What lies beyond the last section.  @m: the moments from it inwards; @sections of them
 * count, up to 3.  @slope: out, outwards, for the trapezoid's correction. */
static double
end_volume (const double m[3], int sections, double h, bool open, double *slope)
{
  double bend = 0;
  *slope = 0;
  if (sections == 2)
    *slope = (m[0] - m[1]) / h;
  if (sections >= 3)
    {
      *slope = (3 * m[0] - 4 * m[1] + m[2]) / (2 * h);
      bend = (m[0] - 2 * m[1] + m[2]) / (h * h);
    }

  double reach = h;
  if (open || sections == 1 || *slope >= 0)
    reach = h / 2;
  else
    {
      /* The first zero of m0 + slope x + bend x²/2, in the form that bears bend = 0. */
      double inside = *slope * *slope - 2 * bend * m[0];
      if (inside >= 0)
        reach = fmin (h, 2 * m[0] / (-*slope + sqrt (inside)));
    }
  return fmax (0, m[0] * reach + *slope * reach * reach / 2 + bend * reach * reach * reach / 6);
}

/* The moments from the plane @from inwards by @way, over planes that saw one. */
static int
end_moments (const double *moment_mm3, int from, int to, int way, double m[3])
{
  int sections = 0;
  for (int k = from; sections < 3 && (to - k) * way >= 0; k += way)
    {
      if (moment_mm3[k] < 0)
        break;
      m[sections++] = moment_mm3[k];
    }
  return sections;
}

double
tarn_moments_volume_mm3 (const double *moment_mm3, int planes, double step_rad, bool open_first,
                         bool open_last)
{
  assert (planes >= 0 && step_rad > 0);

  int first = 0, last = planes - 1;
  while (first < planes && moment_mm3[first] < 0)
    first++;
  while (last > first && moment_mm3[last] < 0)
    last--;
  if (first >= planes)
    return 0;

  /* Trapezoids, a gap being one wide trapezoid. */
  double sum = 0;
  for (int k = first, before = first; k <= last; k++)
    if (moment_mm3[k] >= 0)
      {
        sum += (moment_mm3[before] + moment_mm3[k]) / 2 * (k - before) * step_rad;
        before = k;
      }

  double m[3] = { 0 }, slope_first, slope_last;
  int sections = end_moments (moment_mm3, first, last, +1, m);
  sum += end_volume (m, sections, step_rad, open_first, &slope_first);
  sections = end_moments (moment_mm3, last, first, -1, m);
  sum += end_volume (m, sections, step_rad, open_last, &slope_last);
  if (last > first)
    sum -= step_rad * step_rad / 12 * (slope_first + slope_last);
  return fmax (sum, 0);
}

/* ∫ sign(u) u²/2 dv along an edge that stays on one side of u = 0. */
static double
edge_moment (double u0, double v0, double u1, double v1)
{
  double side = u0 + u1 < 0 ? -1 : 1;
  return side * (v1 - v0) * (u0 * u0 + u0 * u1 + u1 * u1) / 6;
}

double
tarn_rotation_volume_ml (const TarnOutlinePoint *point, int points_each, int planes)
{
  assert (points_each >= 3 && planes >= 1);

  double sum = 0;
  for (int plane = 0; plane < planes; plane++)
    {
      const TarnOutlinePoint *polygon = point + (long)plane * points_each;
      for (int k = 0; k < points_each; k++)
        {
          const TarnOutlinePoint *a = &polygon[k], *b = &polygon[(k + 1) % points_each];
          double u0 = a->u_mm, v0 = a->v_mm, u1 = b->u_mm, v1 = b->v_mm;
          if (u0 * u1 >= 0)
            {
              sum += edge_moment (u0, v0, u1, v1);
              continue;
            }
          double v = v0 + (v1 - v0) * u0 / (u0 - u1);
          sum += edge_moment (u0, v0, 0, v) + edge_moment (0, v, u1, v1);
        }
    }
  return sum * TARN_PI / planes / TARN_MM3_PER_ML;
}
