/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/coach/coverage.h"

#include <stdlib.h>

struct TarnSurvey
{
  const TarnBody *body;
};

TarnStatus
tarn_survey_new (const TarnBody *body, TarnSurvey **survey)
{
  *survey = calloc (1, sizeof **survey);
  if (*survey == NULL)
    return TARN_NO_MEMORY;
  (*survey)->body = body;
  return TARN_OK;
}

void
tarn_survey_free (TarnSurvey *survey)
{
  free (survey);
}

const TarnBody *
tarn_survey_body (const TarnSurvey *survey)
{
  return survey->body;
}

TarnStatus
tarn_coverage_at (const TarnSurvey *survey, const TarnPose *pose, const TarnGelFilm *film,
                  double depth_mm, TarnCoverage *coverage)
{
  (void)survey, (void)pose, (void)film, (void)depth_mm, (void)coverage;
  return TARN_OUT_OF_RANGE;
}
