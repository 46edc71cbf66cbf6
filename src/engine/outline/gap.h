/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * gap.h: a border carried over where it was not seen.  The outline does it with what a picture
 * shows, the coach with what it forecasts of one.
 *
 * Floor: engine.  Pure. */
#pragma once

#include "engine/outline/outline.h"

/* A radius for each of TARN_OUTLINE_POINTS directions about a place, and what is known of it.
 */
typedef struct
{
  const float *turn_cos, *turn_sin; /* of the directions, which go round at equal angles */
  float *radius_mm;
  const uint8_t *evidence; /* TarnEvidence */

  /* Of a gap of @run points from @first on: a border that has its shape, or NULL for an ellipse
   * through what was seen.  May be NULL: always that. */
  const float *(*guide) (void *context, int first, int run);
  /* How far a bridged radius may reach in the direction of @point, at most itself. */
  float (*within) (void *context, int point, float radius_mm);
  void *context;
} TarnGapBorder;

/**
 * Gives the bridged points of a border their radii.
 *
 * A gap takes its shape from its guide, scaled to meet the border at both ends of the gap, in
 * proportion between.  Where nothing was seen, or nothing is bridged, nothing changes.
 */
void tarn_gap_bridge (const TarnGapBorder *border);
