/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Advice by one who knows the body.
 *
 * 0. Pain comes first, then a fold that hangs in the way.
 * 1. Every single move is tried, those that do best in other sizes too.  The one that brings
 * the forecast nearest to the truth, with some room at the field's sides, is the advice, if it
 * gains enough to be worth a word.
 * 2. Where none does, pairs are tried, such as sliding while looking back; the half that does
 *    less harm alone comes first.
 * 3. Where that fails too, poses that look at the bladder's middle are tried, then such as
 *    look past it, and the step towards the best of them that serves best.
 * 4. Where all fails, what can be had is at least so much, or is not the bladder. */
#include "engine/coach/advice.h"

#include "engine/coach/advice_trial.h"

#include <math.h>
#include <stdlib.h>

/* Own design values, as shares of the tolerance. */
#define GOOD         0.5  /* an error up to this is let be */
#define WORTH        0.15 /* a gain below it is not worth a move */
#define WORTH_AGAIN  0.3  /* nor is this, where the reading is accurate already */
#define WORTH_GOAL   0.3
#define EASED        0.8 /* of what the patient bears */
#define WET_ENOUGH   0.96
#define WETTER       0.01
#define TURN_TROUBLE 0.3 /* turning costs time */
#define LIGHT_N      9.0
#define TOO_LARGE    -0.3 /* rad: room on two sides facing each other, together */
#define CUT_SHARE    0.04 /* of the urine */

typedef struct
{
  const TarnFooting *footing;
  TarnTrial *trial;
  TarnStatus *status;
} Batch;

static void
run_one (void *context, int index, int worker)
{
  const Batch *batch = context;
  (void)worker;
  batch->status[index] = tarn_trial_run (batch->footing, &batch->trial[index]);
}

static TarnStatus
run_all (const TarnFooting *footing, const TarnParallel *parallel, TarnTrial *trial, int trials)
{
  TarnStatus status[TARN_TRIALS_MAX];
  Batch batch = { footing, trial, status };
  tarn_parallel_for (parallel, trials, run_one, &batch);
  for (int k = 0; k < trials; k++)
    if (status[k] != TARN_OK)
      return status[k];
  return TARN_OK;
}

static double
trouble_ml (const TarnFooting *footing, const TarnTrial *trial)
{
  double trouble = 0;
  for (int k = 0; k < trial->moves; k++)
    trouble += trial->move[k].kind == TARN_MOVE_TURN ? TURN_TROUBLE : 0.01;
  return trouble * footing->tolerance_ml;
}

/* The best of them; NULL when none is there. */
static const TarnTrial *
best_of (const TarnFooting *footing, const TarnTrial *trial, int trials)
{
  const TarnTrial *best = NULL;
  for (int k = 0; k < trials; k++)
    if (trial[k].there
        && (best == NULL
            || trial[k].cost_ml + trouble_ml (footing, &trial[k])
                   < best->cost_ml + trouble_ml (footing, best)))
      best = &trial[k];
  return best;
}

/* What an advice needs while it is being thought of. */
typedef struct
{
  TarnFooting footing;
  const TarnParallel *parallel;
  TarnTrial now;
  TarnTrial single[TARN_TRIALS_MAX], other[TARN_TRIALS_MAX];
  int singles;
  TarnTrial chosen;
} Thought;

static bool
gains (const Thought *thought, const TarnTrial *trial, double worth)
{
  return trial != NULL
         && thought->now.cost_ml - trial->cost_ml > worth * thought->footing.tolerance_ml;
}

static TarnStatus
choose_single (Thought *thought, bool *found)
{
  bool accurate = thought->now.coverage.verdict == TARN_VERDICT_ACCURATE;
  TarnTrial *single = thought->single;
  int singles = tarn_trials_single (&thought->footing, &thought->now, single);
  TarnStatus status = run_all (&thought->footing, thought->parallel, single, singles);
  if (status != TARN_OK)
    return status;
  int sizes = tarn_trials_sizes (single, singles, &single[singles]);
  status = run_all (&thought->footing, thought->parallel, &single[singles], sizes);
  thought->singles = singles + sizes;
  if (status != TARN_OK)
    return status;
  const TarnTrial *best = best_of (&thought->footing, thought->single, thought->singles);
  *found = gains (thought, best, accurate ? WORTH_AGAIN : WORTH);
  if (*found)
    thought->chosen = *best;
  return TARN_OK;
}

/* How far a step goes, in steps of its kind. */
static double
stride (const TarnMove *move)
{
  static const double usual[TARN_MOVES] = {
    [TARN_MOVE_SLIDE_HEAD] = 25,  [TARN_MOVE_SLIDE_FEET] = 25,   [TARN_MOVE_SLIDE_LEFT] = 25,
    [TARN_MOVE_SLIDE_RIGHT] = 25, [TARN_MOVE_TILT_FEET] = 0.25,  [TARN_MOVE_TILT_HEAD] = 0.25,
    [TARN_MOVE_LEAN_LEFT] = 0.25, [TARN_MOVE_LEAN_RIGHT] = 0.25, [TARN_MOVE_PRESS] = 5,
    [TARN_MOVE_EASE] = 5,
  };
  return usual[move->kind] > 0 ? move->amount / usual[move->kind] : 0;
}

/* Of @trials single steps the one that serves best; where none serves at once the longest, for
 * after a short one the next advice would be to go back. */
static TarnStatus
choose_step (Thought *thought, TarnTrial *trial, int trials, bool *found)
{
  TarnStatus status = run_all (&thought->footing, thought->parallel, trial, trials);
  const TarnTrial *best = best_of (&thought->footing, trial, trials);
  *found = status == TARN_OK && best != NULL;
  if (!*found)
    return status;
  if (best->cost_ml >= thought->now.cost_ml)
    for (int k = 0; k < trials; k++)
      if (trial[k].there && stride (&trial[k].move[0]) > stride (&best->move[0]))
        best = &trial[k];
  thought->chosen = *best;
  return TARN_OK;
}

static TarnStatus
choose_pair (Thought *thought, bool *found)
{
  int pairs = tarn_trials_pairs (&thought->footing, thought->single, thought->singles,
                                 thought->other);
  TarnStatus status = run_all (&thought->footing, thought->parallel, thought->other, pairs);
  if (status != TARN_OK)
    return status;
  const TarnTrial *best = best_of (&thought->footing, thought->other, pairs);
  if (!gains (thought, best, WORTH_GOAL))
    return TARN_OK;
  TarnTrial half[TARN_TRIAL_MOVES];
  for (int k = 0; k < TARN_TRIAL_MOVES; k++)
    half[k] = (TarnTrial){ .move = { best->move[k] }, .moves = 1 };
  return choose_step (thought, half, TARN_TRIAL_MOVES, found);
}

/* Runs a goal, which stands where it is: a stance of its own. */
static void
run_goal (void *context, int index, int worker)
{
  const Batch *batch = context;
  const TarnStance *stance = batch->footing->stance;
  (void)worker;
  TarnStance there = { .pose = batch->trial[index].pose, .depth_mm = stance->depth_mm };
  TarnFooting footing = *batch->footing;
  footing.stance = &there;
  footing.survey = stance->lifted != NULL ? stance->lifted : footing.survey;
  batch->status[index] = tarn_trial_run (&footing, &batch->trial[index]);
}

/* @wide: goals that look past the bladder's middle, away from what else is dark. */
static TarnStatus
choose_goal (Thought *thought, bool wide, bool *found)
{
  TarnStatus status[TARN_TRIALS_MAX];
  int goals = tarn_trials_goals (&thought->footing, wide, thought->other);
  Batch batch = { &thought->footing, thought->other, status };
  tarn_parallel_for (thought->parallel, goals, run_goal, &batch);
  for (int k = 0; k < goals; k++)
    if (status[k] != TARN_OK)
      return status[k];
  const TarnTrial *best = best_of (&thought->footing, thought->other, goals);
  if (!gains (thought, best, WORTH_GOAL))
    return TARN_OK;
  TarnPose goal = best->pose;
  int steps = tarn_trials_towards (&thought->footing, &goal, thought->other);
  return steps > 0 ? choose_step (thought, thought->other, steps, found) : TARN_OK;
}

/* Whether the field is far too narrow for it from here, with a light hand. */
static bool
is_too_large (const Thought *thought)
{
  const TarnCoverage *coverage = &thought->now.coverage;
  const double *margin = coverage->margin;
  double across = margin[TARN_SIDE_MARK] + margin[TARN_SIDE_OTHER];
  double along = margin[TARN_SIDE_FIRST] + margin[TARN_SIDE_LAST];
  return coverage->forecast.kind == TARN_READING_LOWER_BOUND
         && thought->footing.stance->pose.force_n <= LIGHT_N && fmin (across, along) < TOO_LARGE
         && coverage->hidden_ml[TARN_CAUSE_EDGE] > CUT_SHARE * coverage->urine_ml;
}

/* Nothing gains. */
static TarnMoveKind
last_word (const Thought *thought)
{
  const TarnCoverage *coverage = &thought->now.coverage;
  bool less = coverage->forecast.volume_ml <= thought->footing.truth_ml;
  if (coverage->verdict == TARN_VERDICT_WRONG_FLUID)
    return TARN_MOVE_DO_NOT_USE;
  if (coverage->verdict == TARN_VERDICT_MOVED)
    return TARN_MOVE_STILL;
  if (less && is_too_large (thought))
    return TARN_MOVE_AT_LEAST;
  bool good = coverage->verdict == TARN_VERDICT_ACCURATE
              && thought->now.error_ml <= GOOD * thought->footing.tolerance_ml;
  if (good)
    return TARN_MOVE_STAY;
  return less && coverage->forecast.kind == TARN_READING_LOWER_BOUND ? TARN_MOVE_AT_LEAST
                                                                     : TARN_MOVE_STAY;
}

/* A fold in the way makes all weak: it goes first, unless that does harm. */
static TarnStatus
choose_lift (Thought *thought, bool *found)
{
  const TarnFooting *footing = &thought->footing;
  if (footing->stance->lifted == NULL)
    return TARN_OK;
  TarnTrial lift = { .move = { { TARN_MOVE_LIFT, 1 - footing->stance->lift } }, .moves = 1 };
  TarnStatus status = tarn_trial_run (footing, &lift);
  *found = status == TARN_OK && lift.there
           && lift.cost_ml <= thought->now.cost_ml + WORTH * footing->tolerance_ml;
  if (*found)
    thought->chosen = lift;
  return status;
}

/* All else being well, a face that is partly dry gets more gel where that wets it. */
static TarnStatus
choose_gel (Thought *thought, bool *found)
{
  const TarnFooting *footing = &thought->footing;
  double wet = thought->now.coverage.wet_fraction;
  if (footing->stance->film == NULL || wet >= WET_ENOUGH)
    return TARN_OK;
  TarnTrial gel = { .move = { { TARN_MOVE_GEL, TARN_ADVISED_GEL_G } }, .moves = 1 };
  TarnStatus status = tarn_trial_run (footing, &gel);
  *found = status == TARN_OK && gel.there && gel.coverage.wet_fraction > wet + WETTER
           && gel.cost_ml <= thought->now.cost_ml + WORTH * footing->tolerance_ml;
  if (*found)
    thought->chosen = gel;
  return status;
}

static TarnStatus
choose (Thought *thought)
{
  const TarnFooting *footing = &thought->footing;
  const TarnTrial *now = &thought->now;
  const TarnPose *pose = &footing->stance->pose;
  bool found = false;
  thought->chosen = *now;
  if (now->coverage.over_comfort)
    {
      double eased_n = EASED * footing->comfort_n;
      thought->chosen
          = (TarnTrial){ .move = { { TARN_MOVE_EASE, pose->force_n - eased_n } }, .moves = 1 };
      return tarn_trial_run (footing, &thought->chosen);
    }
  TarnStatus status = choose_lift (thought, &found);
  bool good = now->coverage.verdict == TARN_VERDICT_ACCURATE
              && now->error_ml <= GOOD * footing->tolerance_ml;
  if (status == TARN_OK && !found && good)
    return choose_gel (thought, &found);
  if (status != TARN_OK || found)
    return status;
  status = choose_single (thought, &found);
  if (status == TARN_OK && !found)
    status = choose_pair (thought, &found);
  if (status == TARN_OK && !found)
    status = choose_goal (thought, false, &found);
  if (status == TARN_OK && !found && now->coverage.verdict != TARN_VERDICT_ACCURATE)
    status = choose_goal (thought, true, &found);
  if (status == TARN_OK && !found)
    status = choose_gel (thought, &found);
  return status;
}

static void
tell (const Thought *thought, TarnAdvice *advice)
{
  const TarnTrial *now = &thought->now, *chosen = &thought->chosen;
  bool moves = chosen->moves > 0 && chosen->there;
  *advice = (TarnAdvice){ .move = { moves ? chosen->move[0].kind : last_word (thought),
                                    moves ? chosen->move[0].amount : 0 },
                          .cue = now->coverage.over_comfort
                                     ? TARN_CUE_HURTS
                                     : tarn_advice_cue (&thought->footing, now, chosen),
                          .gain_ml = fmax (0, now->error_ml - chosen->error_ml),
                          .expected_ml = chosen->coverage.forecast.volume_ml,
                          .accurate_after = chosen->coverage.verdict == TARN_VERDICT_ACCURATE };
}

TarnStatus
tarn_advise (const TarnSurvey *survey, const TarnStance *stance, const TarnParallel *parallel,
             TarnAdvice *advice, TarnPose *after)
{
  const TarnBody *body = tarn_survey_body (survey);
  const TarnPatient *patient = tarn_body_patient (body);
  Thought *thought = calloc (1, sizeof *thought);
  if (thought == NULL)
    return TARN_NO_MEMORY;
  double truth_ml = tarn_body_true_volume_ml (body);
  thought->footing
      = (TarnFooting){ .survey = survey,
                       .stance = stance,
                       .truth_ml = truth_ml,
                       .tolerance_ml = tarn_pass_tolerance_ml (&patient->pass, truth_ml),
                       .comfort_n = patient->temper.comfort_n };
  thought->parallel = parallel;
  TarnStatus status = tarn_trial_run (&thought->footing, &thought->now);
  /* Where there is no such place, the coverage knows why. */
  if (status == TARN_OK && !thought->now.there)
    status = tarn_coverage_at (survey, &stance->pose, stance->film, stance->depth_mm,
                               &thought->now.coverage);
  if (status == TARN_OK)
    status = choose (thought);
  if (status == TARN_OK)
    {
      tell (thought, advice);
      if (after != NULL)
        *after = thought->chosen.there && thought->chosen.moves > 0 ? thought->chosen.pose
                                                                    : stance->pose;
    }
  free (thought);
  return status;
}
