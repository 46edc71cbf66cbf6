/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * novice_start.h: what a start holds; private to coach/. */
#pragma once

#include "engine/coach/novice.h"

struct TarnNoviceStart
{
  TarnPatient patient; /* as drawn; no texts */
  uint64_t seed;
  TarnHabit habit;
  TarnPose pose;
  double gel_g;
  bool lifted, has_pannus;
  TarnBody *body[2]; /* as it hangs, and with the pannus quite away: the same one without */
  TarnSurvey *survey[2];
};
