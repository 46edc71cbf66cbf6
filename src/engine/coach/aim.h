/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * aim.h: was the section the largest?  Its area as the probe is tilted in place, and as it is
 * slid across the plane, around the pose that was chosen.
 *
 * Floor: engine.  Pure. */
#pragma once

#include "engine/coach/coverage.h"

#define TARN_AIM_SAMPLES  41     /* odd: the middle one is the chosen pose */
#define TARN_AIM_TILT_RAD 0.7854 /* to either side */
#define TARN_AIM_SLIDE_MM 60.0

typedef struct
{
  double offset;              /* rad or mm from the chosen pose */
  double whole_mm2, seen_mm2; /* the section in truth; of it, in the field and hidden by
                                 nothing.  0 and 0 off the body */
} TarnAimSample;

typedef struct
{
  TarnAimSample tilt[TARN_AIM_SAMPLES]; /* about the Pappus axis, positive as the fan's angle */
  TarnAimSample slide[TARN_AIM_SAMPLES]; /* along elevation: transverse to the head
                                            positive, sagittal to the left */
  double tilt_share, slide_share;        /* the chosen section over the largest, 0..1 */
  double best_tilt_rad, best_slide_mm;   /* where that is */
  double margin[TARN_SIDES];             /* of the whole sweep, as TarnCoverage */
} TarnAimProfile;

/* Returns as tarn_coverage_at (). */
TarnStatus tarn_aim_profile (const TarnSurvey *survey, const TarnPose *pose,
                             const TarnGelFilm *film, double depth_mm, TarnAimProfile *profile);
