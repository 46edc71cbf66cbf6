/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The cue: of all that the move mends, what costs most and can be seen. */
#include "engine/coach/advice_trial.h"

#include <math.h>

/* Own design values. */
#define SHOWS_SHARE 0.005 /* of the urine: less cannot be seen */
#define SHOWS_ML    0.3
#define EDGE_SHARE  0.04 /* a small fault at the edge */
#define WEAK_WET    0.9

/* Something that may show, and what it costs, mL. */
typedef struct
{
  TarnCue cue;
  double before_ml, after_ml;
} Fault;

static TarnCue
cue_of_side (int side)
{
  static const TarnCue cue[TARN_SIDES] = {
    [TARN_SIDE_MARK] = TARN_CUE_RUNS_INTO_MARK, [TARN_SIDE_OTHER] = TARN_CUE_RUNS_INTO_OTHER,
    [TARN_SIDE_FIRST] = TARN_CUE_FIRST_PLANES,  [TARN_SIDE_LAST] = TARN_CUE_LAST_PLANES,
    [TARN_SIDE_DEEP] = TARN_CUE_RUNS_DEEP,
  };
  return cue[side];
}

static int
list_faults (const TarnCoverage *before, const TarnCoverage *after, Fault *fault)
{
  int faults = 0;
  for (int side = 0; side < TARN_SIDES; side++)
    fault[faults++]
        = (Fault){ cue_of_side (side), before->beyond_ml[side], after->beyond_ml[side] };
  fault[faults++] = (Fault){ TARN_CUE_BONE_SHADOW, before->hidden_ml[TARN_CAUSE_BONE],
                             after->hidden_ml[TARN_CAUSE_BONE] };
  fault[faults++] = (Fault){ TARN_CUE_GAS, before->hidden_ml[TARN_CAUSE_GAS],
                             after->hidden_ml[TARN_CAUSE_GAS] };
  fault[faults++] = (Fault){ TARN_CUE_DRY, before->hidden_ml[TARN_CAUSE_CONTACT],
                             after->hidden_ml[TARN_CAUSE_CONTACT] };
  fault[faults++] = (Fault){ TARN_CUE_OTHER_DARK, before->hidden_ml[TARN_CAUSE_OTHER_FLUID],
                             after->hidden_ml[TARN_CAUSE_OTHER_FLUID] };
  return faults;
}

TarnCue
tarn_advice_cue (const TarnFooting *footing, const TarnTrial *now, const TarnTrial *after)
{
  const TarnCoverage *before = &now->coverage;
  TarnMoveKind kind = after->moves > 0 ? after->move[0].kind : TARN_MOVE_STAY;
  if (kind == TARN_MOVE_GEL)
    return TARN_CUE_DRY;
  if (kind == TARN_MOVE_LIFT)
    return TARN_CUE_FAR;
  if (before->forecast.kind == TARN_READING_NOT_SEEN || before->forecast.volume_ml <= 0)
    return before->wet_fraction < 0.5 ? TARN_CUE_DRY : TARN_CUE_NOTHING_DARK;
  if (before->verdict == TARN_VERDICT_WRONG_FLUID)
    return TARN_CUE_OTHER_DARK;

  Fault fault[TARN_SIDES + 4];
  int faults = list_faults (before, &after->coverage, fault), most = -1;
  double shows_ml = fmax (SHOWS_ML, SHOWS_SHARE * footing->truth_ml);
  for (int k = 0; k < faults; k++)
    {
      double mended_ml = fault[k].before_ml - fault[k].after_ml;
      if (fault[k].before_ml > shows_ml && mended_ml > 0
          && (most < 0 || mended_ml > fault[most].before_ml - fault[most].after_ml))
        most = k;
    }
  if (most >= 0)
    return fault[most].cue;
  /* Nothing mended: then what is worst. */
  for (int k = 0; k < faults; k++)
    if (fault[k].before_ml > shows_ml
        && (most < 0 || fault[k].before_ml > fault[most].before_ml))
      most = k;
  /* Where one is told to stay, a small fault is not worth a word. */
  if (kind == TARN_MOVE_STAY && before->verdict == TARN_VERDICT_ACCURATE
      && before->hidden_ml[TARN_CAUSE_EDGE] < EDGE_SHARE * footing->truth_ml)
    return most >= 0 ? TARN_CUE_NONE : TARN_CUE_CLOSED;
  if (most >= 0)
    return fault[most].cue;
  if (before->wet_fraction < WEAK_WET)
    return TARN_CUE_DRY;
  return TARN_CUE_FAR;
}
