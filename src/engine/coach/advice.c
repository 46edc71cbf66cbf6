/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/coach/advice.h"

TarnStatus
tarn_advise (const TarnSurvey *survey, const TarnStance *stance, const TarnParallel *parallel,
             TarnAdvice *advice, TarnPose *after)
{
  (void)survey, (void)stance, (void)parallel, (void)advice, (void)after;
  return TARN_OUT_OF_RANGE;
}
