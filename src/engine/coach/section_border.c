/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A section's border: its points by their direction, and what stands beyond each.  What was not
 * seen is bridged as the outline bridges it. */
#include "engine/coach/section_border.h"

#include "base/units.h"
#include "engine/outline/gap.h"

#define POINTS TARN_OUTLINE_POINTS

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

typedef struct
{
  const TarnPlaneView *view;
  const TarnSectionBorder *border;
} Gaps;

static float
inside_sector (void *context, int point, float radius_mm)
{
  const Gaps *gaps = context;
  const TarnPlaneView *view = gaps->view;
  const TarnSectionBorder *border = gaps->border;
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
  Gaps gaps = { view, border };
  TarnGapBorder bridged = { .turn_cos = view->turn_cos,
                            .turn_sin = view->turn_sin,
                            .radius_mm = border->radius_mm,
                            .evidence = border->evidence,
                            .within = inside_sector,
                            .context = &gaps };
  tarn_gap_bridge (&bridged);
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
