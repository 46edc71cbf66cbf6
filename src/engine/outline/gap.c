/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sections of a bladder are nearly ellipses: where no better guide is known, a gap takes the
 * shape of one, of least squares through the points that were seen. */
#include "engine/outline/gap.h"

#include <math.h>
#include <stddef.h>

#define POINTS TARN_OUTLINE_POINTS

/* All own design values. */
#define TERMS       5    /* of a conic: x², xy, y², x, y */
#define RIDGE       0.02 /* pulls the conic towards a circle, as a share of its weight */
#define RATIO_LEAST 0.6f /* of the ellipse to the mean radius, else it is not believed */
#define RATIO_MOST  1.7f
#define END_POINTS  3 /* over which the border is averaged beside a gap */

/* Solves a symmetric positive definite system in place, by Cholesky. */
static void
solve (double a[TERMS][TERMS], double b[TERMS])
{
  for (int k = 0; k < TERMS; k++)
    {
      for (int n = 0; n < k; n++)
        a[k][k] -= a[k][n] * a[k][n];
      a[k][k] = sqrt (a[k][k]);
      for (int r = k + 1; r < TERMS; r++)
        {
          for (int n = 0; n < k; n++)
            a[r][k] -= a[r][n] * a[k][n];
          a[r][k] /= a[k][k];
        }
    }
  for (int k = 0; k < TERMS; k++)
    {
      for (int n = 0; n < k; n++)
        b[k] -= a[k][n] * b[n];
      b[k] /= a[k][k];
    }
  for (int k = TERMS - 1; k >= 0; k--)
    {
      for (int n = k + 1; n < TERMS; n++)
        b[k] -= a[n][k] * b[n];
      b[k] /= a[k][k];
    }
}

/* The ellipse a x² + b xy + c y² + d x + e y = 1 through the seen points, lengths in units of
 * their mean radius; as radii in the border's directions. */
static void
fit_ellipse (const TarnGapBorder *border, float ellipse_mm[POINTS])
{
  double mean = 0, a[TERMS][TERMS] = { 0 }, b[TERMS] = { 0 };
  int seen = 0;

  for (int k = 0; k < POINTS; k++)
    if (border->evidence[k] == TARN_EVIDENCE_SEEN)
      {
        mean += border->radius_mm[k];
        seen++;
      }
  mean = seen > 0 ? mean / seen : border->radius_mm[0];
  for (int k = 0; k < POINTS; k++)
    if (border->evidence[k] == TARN_EVIDENCE_SEEN)
      {
        double x = border->radius_mm[k] * border->turn_cos[k] / mean;
        double y = border->radius_mm[k] * border->turn_sin[k] / mean;
        double term[TERMS] = { x * x, x * y, y * y, x, y };
        for (int i = 0; i < TERMS; i++)
          {
            b[i] += term[i];
            for (int j = 0; j < TERMS; j++)
              a[i][j] += term[i] * term[j];
          }
      }
  double ridge = RIDGE * (seen + 1);
  for (int i = 0; i < TERMS; i++)
    a[i][i] += ridge;
  b[0] += ridge;
  b[2] += ridge;
  solve (a, b);
  for (int k = 0; k < POINTS; k++)
    {
      double c = border->turn_cos[k], s = border->turn_sin[k];
      double square = b[0] * c * c + b[1] * c * s + b[2] * s * s, line = b[3] * c + b[4] * s;
      double under = line * line + 4 * square;
      double r = square > 0.05 && under > 0 ? (sqrt (under) - line) / (2 * square) : 1;
      r = r < RATIO_LEAST ? RATIO_LEAST : r > RATIO_MOST ? RATIO_MOST : r;
      ellipse_mm[k] = (float)(r * mean);
    }
}

/* The border over the guide beside a gap. */
static float
end_ratio (const TarnGapBorder *border, const float *guide, int end, int way)
{
  float sum = 0;
  int count = 0;

  for (int k = 0; k < END_POINTS; k++)
    {
      int at = (end + way * k + POINTS) % POINTS;
      if (border->evidence[at] == TARN_EVIDENCE_BRIDGED)
        break;
      sum += border->radius_mm[at] / guide[at];
      count++;
    }
  return count > 0 ? sum / (float)count : 1;
}

static void
bridge_gap (const TarnGapBorder *border, const float *ellipse_mm, int first, int run)
{
  const float *guide
      = border->guide != NULL ? border->guide (border->context, first, run) : NULL;
  if (guide == NULL)
    guide = ellipse_mm;
  float from = end_ratio (border, guide, first - 1, -1);
  float to = end_ratio (border, guide, first + run, 1);
  for (int k = 0; k < run; k++)
    {
      int at = (first + k) % POINTS;
      float r = guide[at] * (from + (to - from) * (float)(k + 1) / (float)(run + 1));
      border->radius_mm[at] = border->within (border->context, at, r);
    }
}

void
tarn_gap_bridge (const TarnGapBorder *border)
{
  float ellipse_mm[POINTS];
  int start = 0;

  while (start < POINTS && border->evidence[start] == TARN_EVIDENCE_BRIDGED)
    start++;
  if (start == POINTS)
    return;
  fit_ellipse (border, ellipse_mm);
  for (int n = 1; n < POINTS; n++)
    {
      int first = (start + n) % POINTS, run = 0;
      while (n + run < POINTS
             && border->evidence[(first + run) % POINTS] == TARN_EVIDENCE_BRIDGED)
        run++;
      if (run == 0)
        continue;
      bridge_gap (border, ellipse_mm, first, run);
      n += run;
    }
}
