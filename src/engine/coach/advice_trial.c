/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A trial: the moves are made on copies of pose and gel, and the coverage asked for. */
#include "engine/coach/advice_trial.h"

#include <math.h>
#include <stdlib.h>

/* Own design values: room at the field's sides that lets hand and patient move a little, and
 * what the lack of it costs. */
#define ROOM_RAD   0.06
#define LACK_RAD   0.2  /* costs LACK_SHARE of the tolerance */
#define LACK_SHARE 0.25 /* each side */
#define LACK_MOST  4.0
#define DEPTH_LOW  60.0
#define DEPTH_HIGH 260.0
#define ABOVE_MIN  -10.0 /* where a hand may go */
#define ABOVE_MAX  200.0
#define LEFT_MAX   130.0
#define TILT_MAX   0.96 /* 55° */
#define LEAN_MAX   0.61 /* 35° */

#define CUT_SHARE 0.02 /* of the urine */
#define OWN_SHARE 0.5  /* as in a verdict */

/* Where a trial has come to. */
typedef struct
{
  TarnPose pose;
  TarnGelFilm *film; /* NULL: wet all over */
  double depth_mm;
  const TarnSurvey *survey;
} Place;

static bool
is_bearable (const TarnFooting *footing, const TarnPose *pose)
{
  const TarnPose *from = &footing->stance->pose;
  return (pose->force_n <= footing->comfort_n || pose->force_n <= from->force_n)
         && pose->above_mm >= fmin (ABOVE_MIN, from->above_mm)
         && pose->above_mm <= fmax (ABOVE_MAX, from->above_mm)
         && fabs (pose->left_mm) <= fmax (LEFT_MAX, fabs (from->left_mm))
         && fabs (pose->tilt_rad) <= fmax (TILT_MAX, fabs (from->tilt_rad))
         && fabs (pose->lean_rad) <= fmax (LEAN_MAX, fabs (from->lean_rad));
}

/* Returns false where one cannot go. */
static bool
make_move (const TarnFooting *footing, const TarnMove *move, Place *place)
{
  const TarnBody *body = tarn_survey_body (place->survey);
  double own_mm = tarn_body_patient (body)->probe.depth_mm;
  TarnPose to;
  switch (move->kind)
    {
    case TARN_MOVE_GEL:
      return place->film != NULL
             && tarn_gel_dose (place->film, place->pose.above_mm, place->pose.left_mm,
                               move->amount)
                    == TARN_OK;
    case TARN_MOVE_LIFT:
      place->survey = footing->stance->lifted;
      return place->survey != NULL;
    case TARN_MOVE_DEEPER:
    case TARN_MOVE_SHALLOWER:
      place->depth_mm = (place->depth_mm > 0 ? place->depth_mm : own_mm)
                        + (move->kind == TARN_MOVE_DEEPER ? move->amount : -move->amount);
      return place->depth_mm >= DEPTH_LOW && place->depth_mm <= DEPTH_HIGH;
    default:
      to = tarn_move_pose (move, &place->pose);
      if (!is_bearable (footing, &to))
        return false;
      if (place->film != NULL
          && tarn_gel_wipe (place->film, body, &place->pose, &to) != TARN_OK)
        return false;
      place->pose = to;
      return true;
    }
}

/* A forecast may err upwards by some hundredths; of what the field cuts no more can be read
 * than is in it, unless it is other fluid. */
static double
likely_ml (const TarnCoverage *coverage)
{
  double ml = coverage->forecast.volume_ml;
  bool cut = coverage->forecast.kind == TARN_READING_LOWER_BOUND
             && coverage->hidden_ml[TARN_CAUSE_EDGE] > CUT_SHARE * coverage->urine_ml
             && coverage->verdict != TARN_VERDICT_WRONG_FLUID;
  return cut ? fmin (ml, coverage->seen_ml) : ml;
}

/* What is mostly something else is no better for coming near the number: of it only the
 * bladder's own counts. */
static double
error_ml (const TarnCoverage *coverage, double truth_ml)
{
  double ml = likely_ml (coverage);
  if (coverage->verdict == TARN_VERDICT_WRONG_FLUID && coverage->urine_share < OWN_SHARE)
    ml *= coverage->urine_share;
  return fabs (ml - truth_ml);
}

static void
count_cost (const TarnFooting *footing, TarnTrial *trial)
{
  trial->error_ml = error_ml (&trial->coverage, footing->truth_ml);
  trial->cost_ml = trial->error_ml;
  /* Of other fluid even the right number is wrong. */
  if (trial->coverage.verdict == TARN_VERDICT_WRONG_FLUID)
    trial->cost_ml += footing->tolerance_ml;
  for (int side = 0; side < TARN_SIDE_DEEP; side++)
    {
      double lack = (ROOM_RAD - trial->coverage.margin[side]) / LACK_RAD;
      trial->cost_ml += LACK_SHARE * footing->tolerance_ml * tarn_clamp (lack, 0, LACK_MOST);
    }
}

TarnStatus
tarn_trial_run (const TarnFooting *footing, TarnTrial *trial)
{
  const TarnStance *stance = footing->stance;
  Place place
      = { .pose = stance->pose, .depth_mm = stance->depth_mm, .survey = footing->survey };
  TarnStatus status = TARN_OK;
  trial->there = true;
  if (stance->film != NULL)
    {
      place.film = malloc (sizeof *place.film);
      if (place.film == NULL)
        return TARN_NO_MEMORY;
      *place.film = *stance->film;
    }
  for (int k = 0; k < trial->moves && trial->there; k++)
    trial->there = make_move (footing, &trial->move[k], &place);
  if (trial->there)
    status = tarn_coverage_at (place.survey, &place.pose, place.film, place.depth_mm,
                               &trial->coverage);
  free (place.film);
  trial->pose = place.pose;
  if (status != TARN_OK)
    trial->there = false;
  if (trial->there)
    count_cost (footing, trial);
  return status == TARN_NO_MEMORY ? status : TARN_OK;
}
