/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * image_view.h: what a sweep's outlines show at a glance; private to coach/. */
#pragma once

#include "engine/coach/advice.h"

/* One way through the field: across the plane, or along the sweep. */
typedef struct
{
  /* At the low end (mark; first planes) and the high end (other; last planes): */
  double cut[2];  /* chord there over the largest, 0 … 1; 1: cut through the middle or more */
  double lost[2]; /* share of the whole that a round body would lose by that */
  double room_rad[2]; /* free field beyond the region; 0 where it is cut */
  bool abrupt[2];     /* it ends within the field, while still large */
  double shift_rad;   /* where the field should go to hold it, positive to the high end */
  double wider_rad; /* how much wider than the field a round body would be; negative: it fits */
} TarnImageWay;

typedef struct
{
  int found; /* planes with an outline */
  TarnImageWay across, along;
  double deep; /* share of the border at the depth limit */
  double bridged;
  double bridged_fan_rad, bridged_line_rad; /* where it lies, from the region's middle */
  double middle_fan_rad, middle_line_rad;   /* of the region */
  double middle_radius_mm;                  /* from the centre of curvature */
  double contrast_db;
  /* Between where on the skin it lies, were the skin flat: */
  double lowest_mm;                 /* above the bone */
  double rightmost_mm, leftmost_mm; /* from the midline, positive to the patient's left */
} TarnImageView;

/* Of a sweep with two planes at least.  All zero where nothing was found. */
TarnImageView tarn_image_view (const TarnSweepSeen *seen);
