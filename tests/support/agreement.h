/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * agreement.h: whether the forecast by rays agrees with a full scan, over random poses. */
#pragma once

#include "engine/coach/coverage.h"

#include <glib.h>

/* One pose, looked at both ways. */
typedef struct
{
  TarnPose pose;
  double gel_g;
  bool off_body;            /* both ways; then nothing else is filled */
  double forecast, reading; /* shares of the truth */
  bool forecast_is_accurate, reading_is_accurate;
} Agreement;

/* Pose number @index: a hand that may be anywhere near, as in a table of poses:  above 5 … 115,
 * left -45 … 45 mm; tilt -20 … 40°, lean ±20°; transverse or sagittal within 8°, 1 … 28 N,
 * 1 … 30 g of gel. */
TarnPose agreement_pose (guint64 seed, int index, double *gel_g);

/* @planes: of the scan; 0: the probe's own.  Fails the test when the ways disagree about the
 * body's edge. */
Agreement agreement_at (const TarnSurvey *survey, guint64 seed, int index, int planes,
                        const TarnParallel *parallel);

/* Spearman's rank correlation of the shares, ties at their mean rank; and the share of poses
 * predicted right.  Poses off the body do not count. */
double agreement_correlation (const Agreement *agreement, int count);
double agreement_right (const Agreement *agreement, int count);

/* Spearman's of two columns. */
double rank_correlation (const double *a, const double *b, int count);
