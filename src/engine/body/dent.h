/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * dent.h: where a neighbour pushes the bladder in, or a balloon pushes it out.
 *
 * Floor: engine.  Internal to body/.  Patient frame, mm.
 *
 * A dent takes an ellipsoid and the wall around it from the lumen; a bulge adds an ellipsoid
 * and a hair around it.  Both are maximum and minimum of two distances, rounded where these
 * differ by less than round_mm (a quadratic, so that the border keeps one tangent plane). */
#pragma once

#include "engine/body/ellipsoid.h"

#include <stdbool.h>

typedef struct
{
  TarnVec3 centre_mm;
  TarnMat3 turn; /* rows: the ellipsoid's own axes */
  TarnEllipsoid shape;
  double gap_mm;   /* between the ellipsoid and the lumen's border */
  double round_mm; /* > 0 */
  bool bulge;      /* the lumen reaches around it */
} TarnDent;

/* The distance that takes part in the maximum, or the minimum: of the dent's outside, of the
 * bulge's inside; @gradient: unit, may be NULL. */
double tarn_dent_distance_mm (const TarnDent *dent, TarnVec3 p_mm, TarnVec3 *gradient);

/* @distance_mm and *@gradient without the dents, both replaced by those with all of them: less
 * than the true distance where two surfaces meet, and the gradient then shorter than 1. */
double tarn_dents_blend_mm (const TarnDent *dent, int dents, TarnVec3 p_mm, double distance_mm,
                            TarnVec3 *gradient);

/* Whether @p_mm lies where the border is rounded, or on a dent too small to be taken as flat.
 * @distance_mm: without the dents. */
bool tarn_dents_are_bent (const TarnDent *dent, int dents, TarnVec3 p_mm, double distance_mm);

/* Whether all within @radius_mm lies in one of the neighbours. */
bool tarn_dents_hold (const TarnDent *dent, int dents, TarnVec3 p_mm, double radius_mm);
/* Whether no bulge brings the lumen nearer than @margin_mm to anything within @radius_mm. */
bool tarn_dents_do_not_add (const TarnDent *dent, int dents, TarnVec3 p_mm, double radius_mm,
                            double margin_mm);
/* How far within the lumen without dents all of the ball must lie to be surely urine with them:
 * 0 where they are too far away to matter, INFINITY where one of them may reach. */
double tarn_dents_depth_mm (const TarnDent *dent, int dents, TarnVec3 p_mm, double radius_mm,
                            double distance_mm);
