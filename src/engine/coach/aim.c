/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/coach/aim.h"

TarnStatus
tarn_aim_profile (const TarnSurvey *survey, const TarnPose *pose, const TarnGelFilm *film,
                  double depth_mm, TarnAimProfile *profile)
{
  (void)survey, (void)pose, (void)film, (void)depth_mm, (void)profile;
  return TARN_OUT_OF_RANGE;
}
