/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The border where it cannot be seen.
 *
 * A gap takes its shape from a guide: the neighbouring plane's border where that was seen, else
 * an ellipse through the points that were seen here (sections of a bladder are nearly that).
 * The guide is scaled to meet the border at both ends of the gap, in proportion between. */
#include "engine/outline/parts.h"

#include <math.h>
#include <string.h>

/* All own design values. */
#define TERMS       5    /* of a conic: x², xy, y², x, y */
#define RIDGE       0.02 /* pulls the conic towards a circle, as a share of its weight */
#define RATIO_LEAST 0.6f /* of the ellipse to the mean radius, else it is not believed */
#define RATIO_MOST  1.7f
#define END_RAYS    3 /* over which the border is averaged beside a gap */

void
tarn_path_guide (const TarnOutlineWork *work, const TarnOutline *neighbour, Path *path)
{
  memset (path->guide_mm, 0, sizeof path->guide_mm);
  memset (path->guide_seen, 0, sizeof path->guide_seen);
  for (int k = 0; k < RAYS; k++)
    {
      const TarnOutlinePoint *p = &neighbour->point[k], *q = &neighbour->point[(k + 1) % RAYS];
      float pu = p->u_mm - path->u_mm, pv = p->v_mm - path->v_mm;
      float qu = q->u_mm - path->u_mm, qv = q->v_mm - path->v_mm;
      float turn = pu * qv - pv * qu;
      for (int ray = 0; ray < RAYS; ray++)
        {
          float du = work->ray_u[ray], dv = work->ray_v[ray];
          float before = pu * dv - pv * du, after = du * qv - dv * qu;
          if (before < 0 || after <= 0)
            continue;
          float r = turn / (before + after);
          if (r > path->guide_mm[ray])
            {
              path->guide_mm[ray] = r;
              path->guide_seen[ray] = p->evidence == TARN_EVIDENCE_SEEN;
            }
        }
    }
}

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

/* The ellipse a x² + b xy + c y² + d x + e y = 1 of least squares through the seen points,
 * lengths in units of their mean radius; as radii along the rays. */
static void
fit_ellipse (const TarnOutlineWork *work, const Path *path, float *radius)
{
  double mean = 0, a[TERMS][TERMS] = { 0 }, b[TERMS] = { 0 };
  int seen = 0;

  for (int ray = 0; ray < RAYS; ray++)
    if (path->evidence[ray] == TARN_EVIDENCE_SEEN)
      {
        mean += path->radius_mm[ray];
        seen++;
      }
  mean = seen > 0 ? mean / seen : path->radius_mm[0];
  for (int ray = 0; ray < RAYS; ray++)
    if (path->evidence[ray] == TARN_EVIDENCE_SEEN)
      {
        double x = path->radius_mm[ray] * work->ray_u[ray] / mean;
        double y = path->radius_mm[ray] * work->ray_v[ray] / mean;
        double term[TERMS] = { x * x, x * y, y * y, x, y };
        for (int k = 0; k < TERMS; k++)
          {
            b[k] += term[k];
            for (int n = 0; n < TERMS; n++)
              a[k][n] += term[k] * term[n];
          }
      }
  double ridge = RIDGE * (seen + 1);
  for (int k = 0; k < TERMS; k++)
    a[k][k] += ridge;
  b[0] += ridge;
  b[2] += ridge;
  solve (a, b);
  for (int ray = 0; ray < RAYS; ray++)
    {
      double c = work->ray_u[ray], s = work->ray_v[ray];
      double square = b[0] * c * c + b[1] * c * s + b[2] * s * s, line = b[3] * c + b[4] * s;
      double under = line * line + 4 * square;
      double r = square > 0.05 && under > 0 ? (sqrt (under) - line) / (2 * square) : 1;
      r = r < RATIO_LEAST ? RATIO_LEAST : r > RATIO_MOST ? RATIO_MOST : r;
      radius[ray] = (float)(r * mean);
    }
}

/* The border over the guide beside a gap. */
static float
end_ratio (const Path *path, const float *guide, int end, int way)
{
  float sum = 0;
  int count = 0;

  for (int k = 0; k < END_RAYS; k++)
    {
      int ray = (end + way * k + RAYS) % RAYS;
      if (path->evidence[ray] == TARN_EVIDENCE_BRIDGED)
        break;
      sum += path->radius_mm[ray] / guide[ray];
      count++;
    }
  return count > 0 ? sum / (float)count : 1;
}

/* Whether the neighbour saw most of a gap and its ends. */
static bool
neighbour_saw (const Path *path, int first, int run)
{
  int seen = 0;

  for (int k = -END_RAYS; k < run + END_RAYS; k++)
    {
      int ray = (first + k + RAYS) % RAYS;
      if (path->guide_mm[ray] <= 1)
        return false;
      seen += path->guide_seen[ray];
    }
  return 4 * seen > 3 * (run + 2 * END_RAYS);
}

void
tarn_path_bridge (const TarnOutlineWork *work, Path *path)
{
  float ellipse[RAYS];
  int start = 0;

  while (start < RAYS && path->evidence[start] == TARN_EVIDENCE_BRIDGED)
    start++;
  if (start == RAYS)
    return;
  fit_ellipse (work, path, ellipse);
  for (int n = 1; n < RAYS; n++)
    {
      int first = (start + n) % RAYS, run = 0;
      while (n + run < RAYS && path->evidence[(first + run) % RAYS] == TARN_EVIDENCE_BRIDGED)
        run++;
      if (run == 0)
        continue;
      const float *guide = neighbour_saw (path, first, run) ? path->guide_mm : ellipse;
      float from = end_ratio (path, guide, first - 1, -1);
      float to = end_ratio (path, guide, first + run, 1);
      for (int k = 0; k < run; k++)
        {
          int ray = (first + k) % RAYS;
          float r = guide[ray] * (from + (to - from) * (float)(k + 1) / (float)(run + 1));
          path->radius_mm[ray] = r < path->exit_mm[ray] ? r : path->exit_mm[ray];
        }
      n += run;
    }
}
