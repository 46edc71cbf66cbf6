/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The survey: points on a regular lattice through the urine's box, those kept that are the
 * bladder's urine.  Their pitch goes with the volume, so that there are about as many of them
 * in every bladder. */
#include "engine/coach/survey.h"

#include "base/units.h"
#include "engine/acoustic/lookup.h"

#include <stdlib.h>

#define POINTS         3000
#define PITCH_LEAST_MM 1.0

/* Fills the survey's points, or only counts them while it has no room. */
static int
fill (TarnSurvey *survey, double pitch_mm)
{
  TarnVec3 low, high;
  tarn_body_urine_box (survey->body, &low, &high);
  const TarnCells *cells = tarn_body_cells (survey->body);
  int points = 0;
  for (double z = low.z + pitch_mm / 2; z < high.z; z += pitch_mm)
    for (double y = low.y + pitch_mm / 2; y < high.y; y += pitch_mm)
      for (double x = low.x + pitch_mm / 2; x < high.x; x += pitch_mm)
        {
          TarnVec3 p = { x, y, z };
          if (tarn_lookup (survey->body, cells, tarn_cell_place (cells, p))
              != TARN_TISSUE_URINE)
            continue;
          if (survey->x_mm != NULL)
            {
              survey->x_mm[points] = (float)x;
              survey->y_mm[points] = (float)y;
              survey->z_mm[points] = (float)z;
            }
          points++;
        }
  return points;
}

/* What a point stands for: together they are the truth. */
static double
point_ml (const TarnSurvey *survey)
{
  return survey->points > 0 ? tarn_body_true_volume_ml (survey->body) / survey->points : 0;
}

TarnStatus
tarn_survey_new (const TarnBody *body, TarnSurvey **out)
{
  TarnSurvey *survey = calloc (1, sizeof *survey);
  if (survey == NULL)
    return TARN_NO_MEMORY;
  survey->body = body;
  double volume_mm3
      = (tarn_body_true_volume_ml (body) + tarn_body_displaced_ml (body)) * TARN_MM3_PER_ML;
  double pitch_mm = fmax (cbrt (volume_mm3 / POINTS), PITCH_LEAST_MM);
  survey->points = fill (survey, pitch_mm);
  survey->point_ml = point_ml (survey);
  size_t room = ((size_t)survey->points + 8) * sizeof (float);
  survey->y_mm = malloc (room);
  survey->z_mm = malloc (room);
  survey->x_mm = malloc (room);
  if (survey->x_mm == NULL || survey->y_mm == NULL || survey->z_mm == NULL)
    {
      tarn_survey_free (survey);
      return TARN_NO_MEMORY;
    }
  fill (survey, pitch_mm);
  *out = survey;
  return TARN_OK;
}

void
tarn_survey_free (TarnSurvey *survey)
{
  if (survey == NULL)
    return;
  free (survey->x_mm);
  free (survey->y_mm);
  free (survey->z_mm);
  free (survey);
}

const TarnBody *
tarn_survey_body (const TarnSurvey *survey)
{
  return survey->body;
}
