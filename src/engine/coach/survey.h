/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * survey.h: what coach/'s files on coverage share; private to them. */
#pragma once

#include "engine/coach/coverage.h"

/* Points of the bladder's urine at rest, each for as much of it. */
struct TarnSurvey
{
  const TarnBody *body;
  int points;
  float *x_mm, *y_mm, *z_mm; /* with room for whole eights */
  double point_ml;
};
