/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A section's border: its points by their direction, what stands beyond each, and an ellipse
 * through what was seen for what was not. */
#include "engine/coach/section_border.h"

#include "base/units.h"

#define POINTS TARN_OUTLINE_POINTS

/* As an outline bridges a gap (outline/bridge.c). */
#define TERMS       5
#define RIDGE       0.02
#define RATIO_LEAST 0.6
#define RATIO_MOST  1.7
#define END_POINTS  3

/* Where step @k of a line shows; its ends are half a step away. */
static double
step_range_mm (const TarnPlaneView *view, int l, double k)
{
  int at = (int)floor (k + 0.5);
  double t = k + 0.5 - at;
  l = l < 0 ? 0 : l >= view->lines ? view->lines - 1 : l;
  const float *end = view->end_mm[l];
  return at < view->steps ? end[at] + (end[at + 1] - end[at]) * t : end[view->steps];
}

static void
add_point (const TarnPlaneView *view, TarnSectionBorder *border, double line, double k,
           TarnEvidence is)
{
  int side = (int)lround (2 * line) + 1;
  double range = step_range_mm (view, (int)lround (line), k);
  double u = range * view->line_sin[side] - border->u_mm;
  double v = range * view->line_cos[side] - border->v_mm;
  double turn = atan2 (v, u) / (2 * TARN_PI);
  int at = (int)lround ((turn < 0 ? turn + 1 : turn) * POINTS) % POINTS;
  border->sum_mm[at] += hypot (u, v);
  border->count[at]++;
  border->unknown[at] += is == TARN_EVIDENCE_BRIDGED;
  border->edge[at] += is == TARN_EVIDENCE_AT_EDGE;
}

/* What stands beyond a patch's border. */
static TarnEvidence
evidence_at (const TarnPlaneView *view, int l, int k)
{
  if (l < 0 || l >= view->lines || k >= view->steps || k < 0)
    return TARN_EVIDENCE_AT_EDGE;
  return view->looks[l][k] == TARN_LOOKS_UNKNOWN ? TARN_EVIDENCE_BRIDGED : TARN_EVIDENCE_SEEN;
}

static bool
unknown_at (const TarnPlaneView *view, int l, int k)
{
  return l >= 0 && l < view->lines && k >= 0 && k < view->steps
         && view->looks[l][k] == TARN_LOOKS_UNKNOWN;
}

void
tarn_section_collect (const TarnPlaneView *view, int name, TarnSectionBorder *border)
{
  for (int l = 0; l < view->lines; l++)
    for (int k = 0; k < view->steps; k++)
      {
        if (view->patch[l][k] != name)
          continue;
        bool flank = unknown_at (view, l - 1, k) || unknown_at (view, l + 1, k);
        if (k == 0 || view->patch[l][k - 1] != name)
          add_point (view, border, l, k - 0.5,
                     flank ? TARN_EVIDENCE_BRIDGED : evidence_at (view, l, k - 1));
        if (k + 1 == view->steps || view->patch[l][k + 1] != name)
          add_point (view, border, l, k + 0.5,
                     flank ? TARN_EVIDENCE_BRIDGED : evidence_at (view, l, k + 1));
        if (l == 0 || view->patch[l - 1][k] != name)
          add_point (view, border, l - 0.5, k, evidence_at (view, l - 1, k));
        if (l + 1 == view->lines || view->patch[l + 1][k] != name)
          add_point (view, border, l + 0.5, k, evidence_at (view, l + 1, k));
      }
}

/* Means, and what lies between them. */
bool
tarn_section_settle (TarnSectionBorder *border)
{
  int first = -1, last = -1;
  for (int k = 0; k < POINTS; k++)
    {
      if (border->count[k] == 0)
        continue;
      border->radius_mm[k] = border->sum_mm[k] / border->count[k];
      border->evidence[k] = 2 * border->unknown[k] > border->count[k] ? TARN_EVIDENCE_BRIDGED
                            : 2 * border->edge[k] > border->count[k]  ? TARN_EVIDENCE_AT_EDGE
                                                                      : TARN_EVIDENCE_SEEN;
      first = first < 0 ? k : first;
      last = k;
    }
  if (first < 0 || first == last)
    return false;
  int before = last;
  for (int n = 0; n < POINTS; n++)
    {
      int k = (first + n) % POINTS;
      if (border->count[k] == 0)
        continue;
      int gap = (k - before + POINTS) % POINTS;
      for (int i = 1; i < gap; i++)
        {
          int at = (before + i) % POINTS;
          double t = (double)i / gap;
          border->radius_mm[at]
              = border->radius_mm[before] * (1 - t) + border->radius_mm[k] * t;
          border->evidence[at] = border->evidence[t < 0.5 ? before : k];
        }
      before = k;
    }
  return true;
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

/* The conic of least squares through what is seen, as radii. */
static void
fit_ellipse (const TarnPlaneView *view, const TarnSectionBorder *border,
             double radius_mm[POINTS])
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
        double r = border->radius_mm[k] / mean;
        double x = r * view->turn_cos[k], y = r * view->turn_sin[k];
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
      double c = view->turn_cos[k], s = view->turn_sin[k];
      double square = b[0] * c * c + b[1] * c * s + b[2] * s * s, line = b[3] * c + b[4] * s;
      double under = line * line + 4 * square;
      double r = square > 0.05 && under > 0 ? (sqrt (under) - line) / (2 * square) : 1;
      radius_mm[k] = tarn_clamp (r, RATIO_LEAST, RATIO_MOST) * mean;
    }
}

static double
end_ratio (const TarnSectionBorder *border, const double guide[POINTS], int end, int way)
{
  double sum = 0;
  int count = 0;
  for (int k = 0; k < END_POINTS; k++)
    {
      int at = (end + way * k + POINTS) % POINTS;
      if (border->evidence[at] == TARN_EVIDENCE_BRIDGED)
        break;
      sum += border->radius_mm[at] / guide[at];
      count++;
    }
  return count > 0 ? sum / count : 1;
}

/* Keeps a radius inside the sector. */
static double
inside_sector (const TarnPlaneView *view, const TarnSectionBorder *border, int point,
               double radius_mm)
{
  const TarnImageGeometry *g = &view->rays->geometry;
  double c = view->turn_cos[point], s = view->turn_sin[point];
  double far_mm = g->face_radius_mm + tarn_image_depth_limit_mm (g);
  double low_rad = g->first_angle_rad, high_rad = tarn_image_angle_rad (g, g->lines - 1);
  for (; radius_mm > 1; radius_mm -= 1)
    {
      double u = border->u_mm + radius_mm * c, v = border->v_mm + radius_mm * s;
      double angle = atan2 (u, v), range = hypot (u, v);
      if (angle >= low_rad && angle <= high_rad && range <= far_mm
          && range >= g->face_radius_mm)
        break;
    }
  return radius_mm;
}

void
tarn_section_bridge (const TarnPlaneView *view, TarnSectionBorder *border)
{
  double guide[POINTS];
  int start = 0;
  while (start < POINTS && border->evidence[start] == TARN_EVIDENCE_BRIDGED)
    start++;
  if (start == POINTS)
    return;
  fit_ellipse (view, border, guide);
  for (int n = 1; n < POINTS; n++)
    {
      int first = (start + n) % POINTS, run = 0;
      while (n + run < POINTS
             && border->evidence[(first + run) % POINTS] == TARN_EVIDENCE_BRIDGED)
        run++;
      if (run == 0)
        continue;
      double from = end_ratio (border, guide, first - 1 + POINTS, -1);
      double to = end_ratio (border, guide, first + run, 1);
      for (int k = 0; k < run; k++)
        {
          int at = (first + k) % POINTS;
          double r = guide[at] * (from + (to - from) * (k + 1.0) / (run + 1.0));
          border->radius_mm[at] = inside_sector (view, border, at, r);
        }
      n += run;
    }
}

/* Writes the points out. */
void
tarn_section_write (const TarnPlaneView *view, const TarnSectionBorder *border,
                    TarnOutline *section)
{
  int count[3] = { 0 };
  *section = (TarnOutline){ .seed_u_mm = border->u_mm, .seed_v_mm = border->v_mm };
  for (int k = 0; k < POINTS; k++)
    {
      section->point[k] = (TarnOutlinePoint){
        .u_mm = (float)(border->u_mm + border->radius_mm[k] * view->turn_cos[k]),
        .v_mm = (float)(border->v_mm + border->radius_mm[k] * view->turn_sin[k]),
        .evidence = border->evidence[k],
      };
      count[border->evidence[k]]++;
    }
  tarn_outline_measure (section->point, POINTS, &section->area_mm2, &section->moment_mm3);
  section->seen = (double)count[TARN_EVIDENCE_SEEN] / POINTS;
  section->bridged = (double)count[TARN_EVIDENCE_BRIDGED] / POINTS;
  section->at_edge = (double)count[TARN_EVIDENCE_AT_EDGE] / POINTS;
}
