/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * novice.h: a scripted novice who sweeps a patient until he thinks that he is done: alone, with
 * advice, or with advice from the picture alone.  What the advice is worth is measured by it.
 *
 * Floor: engine.  Pure; thread counts change nothing.
 *
 * Where a novice begins: about the landmark, above it 15 … 65 mm, within 20 mm of the midline,
 * tilt -5 … 30°, lean within 10°, 2 … 15 N, 5 … 25 g of gel; transverse.  Three in ten have a
 * bad habit besides.  The patient is drawn as for an attempt.  The hand trembles by 0.5 mm, and
 * does a move to within a tenth.  (Two to four centimetres above the bone, on the midline, is
 * common practice, no source; the ranges are own design values.)
 *
 * He sweeps five times at most and keeps the last reading, never the largest. */
#pragma once

#include "engine/coach/advice.h"

#define TARN_NOVICE_SWEEPS 5

typedef enum
{
  /* Stops when the outline looks closed: a measure, hardly any of the border at the edge or
   * bridged.  Until then slides and tilts at random around the landmark; more gel where he
   * sees the face dry, a lighter hand when the patient complains, and the fold lifted, each as
   * it occurs to him: every other time. */
  TARN_NOVICE_UNAIDED,
  /* Follows tarn_advise () until it says to stay, then sweeps; once more, should the reading
   * not be what he was told to expect; and when it still is not, from elsewhere. */
  TARN_NOVICE_ADVISED,
  /* Sweeps and follows tarn_advise_by_image () until it says to stay.  The last sweep he does
   * where the least was missing by what advice said, if that was little. */
  TARN_NOVICE_IMAGE_ONLY,
  TARN_NOVICES
} TarnNoviceKind;

typedef enum
{
  TARN_HABIT_NONE,
  TARN_HABIT_HARD,   /* presses 15 … 30 N */
  TARN_HABIT_DRY,    /* 0 … 3 g of gel */
  TARN_HABIT_ASIDE,  /* 20 … 45 mm off the midline */
  TARN_HABIT_TILTED, /* 30 … 50° */
  TARN_HABITS
} TarnHabit;

/* One patient as drawn, and where the hand begins; the same for every kind of novice. */
typedef struct TarnNoviceStart TarnNoviceStart;

/* @problem: out, may be NULL.  Returns as tarn_body_new (). */
TarnStatus tarn_novice_start_new (const TarnPatient *patient, uint64_t seed,
                                  TarnNoviceStart **start, TarnProblem *problem);
void tarn_novice_start_free (TarnNoviceStart *start); /* NULL is allowed */
TarnPose tarn_novice_start_pose (const TarnNoviceStart *start);

typedef struct
{
  bool success;  /* the reading kept is accurate; or a lower bound, rightly said to be one where
                    no pose holds it all; or rightly not seen */
  bool at_least; /* he says "at least" of it: it is a lower bound, and no advice was to stay */
  TarnHabit habit;
  int sweeps, moves;
  TarnPose pose; /* of the last sweep */
  double lift, wet_fraction;
  TarnReading reading;
  double truth_ml, expected_ml; /* expected: by the last advice, 0 for none */
  TarnMoveKind last;            /* the last advice */
} TarnNoviceRun;

/* @planes: of each sweep; 0: the probe's own.  Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_novice_run (const TarnNoviceStart *start, TarnNoviceKind kind, int planes,
                            TarnNoviceRun *run);

typedef struct
{
  int starts;
  uint64_t seed;
  unsigned kinds;               /* a bit for each TarnNoviceKind; 0: all */
  int planes;                   /* of each sweep; 0: the probe's own */
  const TarnParallel *parallel; /* over starts */
  void (*done) (void *context, int start, TarnNoviceKind kind, const TarnNoviceRun *run);
  void *context; /* of done, which any thread may call; NULL: nobody asks */
} TarnLearnOptions;

typedef struct
{
  double success; /* share, 0 … 1 */
  double sweeps;  /* mean */
} TarnLearned;

/* Sends @options->starts novices of each kind to @patient.
 * Returns TARN_OK, what tarn_body_new () returns, or TARN_NO_MEMORY. */
TarnStatus tarn_learn (const TarnPatient *patient, const TarnLearnOptions *options,
                       TarnLearned learned[TARN_NOVICES], TarnProblem *problem);
