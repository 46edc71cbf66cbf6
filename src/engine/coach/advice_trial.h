/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * advice_trial.h: moves tried in thought; private to coach/. */
#pragma once

#include "engine/coach/advice.h"

#define TARN_TRIAL_MOVES   2
#define TARN_ADVISED_GEL_G 15.0 /* own design value */

/* Moves one after the other, and how things would then stand. */
typedef struct
{
  TarnMove move[TARN_TRIAL_MOVES];
  int moves;

  bool there; /* false: there is no such place, or one must not */
  TarnPose pose;
  TarnCoverage coverage;
  double error_ml; /* of the forecast */
  double cost_ml;  /* error, and what is wanting in room at the edges */
} TarnTrial;

/* One stance, as all trials from it share it.  Const: any thread may ask. */
typedef struct
{
  const TarnSurvey *survey;
  const TarnStance *stance;
  double truth_ml, tolerance_ml, comfort_n;
} TarnFooting;

/* Tries @trial's moves from @footing.  Returns TARN_OK also where there is no such place. */
TarnStatus tarn_trial_run (const TarnFooting *footing, TarnTrial *trial);

/* Moves of one kind or another that a hand may make next, a trial for each.
 * @now: the trial of no move.  @trial: out, TARN_TRIALS_MAX of them.  Returns how many. */
#define TARN_TRIALS_MAX 40
int tarn_trials_single (const TarnFooting *footing, const TarnTrial *now, TarnTrial *trial);
/* Other sizes of the moves of @single that did best; @singles of them, run. */
int tarn_trials_sizes (const TarnTrial *single, int singles, TarnTrial *trial);
/* Pairs: what turns about the bladder, and the best of different kinds together.
 * @single: @singles of them, run. */
int tarn_trials_pairs (const TarnFooting *footing, const TarnTrial *single, int singles,
                       TarnTrial *trial);
/* From further away: each the first step towards a pose that looks at the bladder's middle.
 * @wide: poses from aside and such as look past the middle instead.
 * @goal: out, that pose; also TARN_TRIALS_MAX of them, to be run beside. */
int tarn_trials_goals (const TarnFooting *footing, bool wide, TarnTrial *goal);
/* The steps from the stance to @goal's pose, each alone. */
int tarn_trials_towards (const TarnFooting *footing, const TarnPose *goal, TarnTrial *trial);

/* What shows the fault that @after mends. */
TarnCue tarn_advice_cue (const TarnFooting *footing, const TarnTrial *now,
                         const TarnTrial *after);
