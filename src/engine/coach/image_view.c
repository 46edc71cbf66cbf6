/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reading the outlines' evidence.  A region that the field cuts is taken for a ball cut by a
 * plane: the chord at the cut, over the largest, tells how much lies beyond. */
#include "engine/coach/image_view.h"

#include "base/units.h"

#include <math.h>

/* Own design values. */
#define NEAR_SIDE_RAD 0.05 /* an edge's point this near to a side belongs to it */
#define NEAR_DEEP_MM  4.0
#define ENDS_SHARE    0.05 /* a section below this share of the largest is an end */
#define ABRUPT_SHARE  0.35 /* one above it is none */

/* One plane's region. */
typedef struct
{
  double low_rad, high_rad; /* lines it spans */
  double height_mm;
  double chord_mm[2]; /* along the mark's side and the other */
  double deep, bridged, bridged_line_rad;
} Section;

static Section
look_at (const TarnSweepSeen *seen, const TarnOutline *outline)
{
  const TarnImageGeometry *g = &seen->geometry;
  double low = g->first_angle_rad, high = tarn_image_angle_rad (g, g->lines - 1);
  double limit_mm = g->face_radius_mm + tarn_image_depth_limit_mm (g);
  Section section = { .low_rad = INFINITY, .high_rad = -INFINITY };
  double top = INFINITY, bottom = 0;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      const TarnOutlinePoint *p = &outline->point[k],
                             *next = &outline->point[(k + 1) % TARN_OUTLINE_POINTS];
      double u = (double)p->u_mm, v = (double)p->v_mm;
      double line = atan2 (u, v), radius = hypot (u, v);
      section.low_rad = fmin (section.low_rad, line);
      section.high_rad = fmax (section.high_rad, line);
      top = fmin (top, radius);
      bottom = fmax (bottom, radius);
      if (p->evidence == TARN_EVIDENCE_BRIDGED)
        {
          section.bridged += 1.0 / TARN_OUTLINE_POINTS;
          section.bridged_line_rad += line / TARN_OUTLINE_POINTS;
        }
      if (p->evidence != TARN_EVIDENCE_AT_EDGE)
        continue;
      double length = hypot ((double)next->u_mm - u, (double)next->v_mm - v);
      if (line - low < NEAR_SIDE_RAD)
        section.chord_mm[0] += length;
      else if (high - line < NEAR_SIDE_RAD)
        section.chord_mm[1] += length;
      else if (radius > limit_mm - NEAR_DEEP_MM)
        section.deep += 1.0 / TARN_OUTLINE_POINTS;
    }
  section.height_mm = bottom - top;
  return section;
}

/* The cap of a ball of volume 1 that is cut off by a chord of @cut, the ball's width being 1.
 */
static double
cap_share (double cut)
{
  double c = sqrt (1 - cut * cut);
  return (2 + c) * (1 - c) * (1 - c) / 4;
}

/* The same in a plane: the segment of a disc of area 1. */
static double
segment_share (double cut)
{
  double half_rad = asin (cut);
  return (half_rad - cut * cos (half_rad)) / TARN_PI;
}

/* @extent_rad: of what is seen. */
static void
finish_way (TarnImageWay *way, double extent_rad)
{
  double beyond[2];
  for (int end = 0; end < 2; end++)
    {
      way->cut[end] = tarn_clamp (way->cut[end], 0, 1);
      double c = sqrt (1 - way->cut[end] * way->cut[end]);
      beyond[end] = extent_rad * (1 - c) / (1 + c);
    }
  way->shift_rad = (beyond[1] - way->room_rad[1] - beyond[0] + way->room_rad[0]) / 2;
  way->wider_rad = beyond[0] + beyond[1] - way->room_rad[0] - way->room_rad[1];
}

/* Along the sweep, from the sections' areas. */
static void
look_along (const TarnSweepSeen *seen, double largest, TarnImageView *view)
{
  TarnImageWay *way = &view->along;
  int first = 0, last = seen->planes - 1;
  while (first < last && !seen->plane[first].outline.found)
    first++;
  while (last > first && !seen->plane[last].outline.found)
    last--;
  const int end[2] = { first, last };
  double step_rad
      = (seen->plane[seen->planes - 1].fan_rad - seen->plane[0].fan_rad) / (seen->planes - 1);
  for (int k = 0; k < 2; k++)
    {
      double share = seen->plane[end[k]].outline.area_mm2 / largest;
      int off = k == 0 ? first : seen->planes - 1 - last;
      way->room_rad[k] = off * step_rad;
      way->abrupt[k] = off > 0 && share > ABRUPT_SHARE;
      if (off == 0 || way->abrupt[k])
        way->cut[k] = share > ENDS_SHARE ? sqrt (tarn_clamp (share, 0, 1)) : 0;
      way->lost[k] = cap_share (way->cut[k]);
    }
  finish_way (way, (last - first + 1) * step_rad);
}

/* Where on a flat skin one would stand right over it: pose and picture tell. */
static void
find_place (const TarnSweepSeen *seen, const TarnSweepPlane *plane, TarnImageView *view)
{
  const TarnPose *pose = &seen->pose;
  double c = cos (pose->turn_rad), s = sin (pose->turn_rad);
  double face_mm = seen->geometry.face_radius_mm; /* that far behind it the lines meet */
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      const TarnOutlinePoint *p = &plane->outline.point[k];
      double line = atan2 ((double)p->u_mm, (double)p->v_mm),
             radius = hypot ((double)p->u_mm, (double)p->v_mm);
      double left = line * c + plane->fan_rad * s, head = plane->fan_rad * c - line * s;
      double above_mm = pose->above_mm + radius * sin (head - pose->tilt_rad)
                        + face_mm * sin (pose->tilt_rad);
      double left_mm = pose->left_mm + radius * sin (left + pose->lean_rad)
                       - face_mm * sin (pose->lean_rad);
      view->lowest_mm = fmin (view->lowest_mm, above_mm);
      view->rightmost_mm = fmin (view->rightmost_mm, left_mm);
      view->leftmost_mm = fmax (view->leftmost_mm, left_mm);
    }
}

TarnImageView
tarn_image_view (const TarnSweepSeen *seen)
{
  TarnImageView view
      = { .lowest_mm = INFINITY, .rightmost_mm = INFINITY, .leftmost_mm = -INFINITY };
  double largest = 0, weight = 0, extent = 0, bridged = 0;
  const TarnImageGeometry *g = &seen->geometry;
  double low = g->first_angle_rad, high = tarn_image_angle_rad (g, g->lines - 1);
  for (int k = 0; k < seen->planes; k++)
    {
      const TarnOutline *outline = &seen->plane[k].outline;
      if (!outline->found)
        continue;
      Section section = look_at (seen, outline);
      find_place (seen, &seen->plane[k], &view);
      double w = outline->area_mm2;
      view.found++;
      weight += w;
      largest = fmax (largest, w);
      extent += w * (section.high_rad - section.low_rad);
      view.across.room_rad[0] += w * (section.low_rad - low);
      view.across.room_rad[1] += w * (high - section.high_rad);
      for (int end = 0; end < 2; end++)
        {
          double cut = fmin (1, section.chord_mm[end] / section.height_mm);
          view.across.cut[end] += w * cut;
          view.across.lost[end] += w * segment_share (cut);
        }
      view.deep += w * section.deep;
      view.bridged += w * section.bridged;
      bridged += w * section.bridged;
      view.bridged_fan_rad += w * section.bridged * seen->plane[k].fan_rad;
      view.bridged_line_rad += w * section.bridged_line_rad;
      view.middle_fan_rad += w * seen->plane[k].fan_rad;
      view.middle_line_rad += w * (section.low_rad + section.high_rad) / 2;
      view.middle_radius_mm += w * outline->moment_mm3 / outline->area_mm2;
      view.contrast_db += w * outline->contrast_db;
    }
  if (view.found == 0)
    return (TarnImageView){ 0 };
  for (int end = 0; end < 2; end++)
    {
      view.across.cut[end] /= weight;
      view.across.lost[end] /= weight;
      view.across.room_rad[end] /= weight;
    }
  view.deep /= weight;
  view.bridged /= weight;
  view.middle_fan_rad /= weight;
  view.middle_line_rad /= weight;
  view.middle_radius_mm /= weight;
  view.contrast_db /= weight;
  if (bridged > 0)
    {
      view.bridged_fan_rad = view.bridged_fan_rad / bridged - view.middle_fan_rad;
      view.bridged_line_rad = view.bridged_line_rad / bridged - view.middle_line_rad;
    }
  finish_way (&view.across, extent / weight);
  look_along (seen, largest, &view);
  return view;
}
