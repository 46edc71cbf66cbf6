/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * judgement.h: what the learner says of a reading before the truth is shown, and whether it
 * is right.
 *
 * Floor: engine.  Pure. */
#pragma once

#include "engine/verdict/verdict.h"

typedef enum
{
  TARN_JUDGEMENT_NONE, /* nothing was said */
  TARN_JUDGEMENT_USE,  /* use it */
  TARN_JUDGEMENT_AT_LEAST,
  TARN_JUDGEMENT_NOT_SEEN,
  TARN_JUDGEMENT_DO_NOT_USE,        /* with a cause */
  TARN_JUDGEMENT_NOT_TO_BE_SCANNED, /* should not be scanned */
  TARN_JUDGEMENTS
} TarnJudgementKind;

typedef struct
{
  TarnJudgementKind kind;
  TarnVerdict cause; /* of do not use; TARN_VERDICT_NOT_ACCURATE: none named */
} TarnJudgement;

typedef struct
{
  TarnVerdict verdict;
  bool by_luck;
  double reading_ml, truth_ml;
  bool surveyed; /* both directions, transverse and sagittal */
  bool stop;     /* the situation forbids scanning */
} TarnJudgementFacts;

typedef struct
{
  bool right;
  bool cause_right; /* of do not use: the cause named is the verdict */
} TarnJudged;

/* Whether what the learner said of a reading was right.  Where a stop holds, nothing is but
 * "should not be scanned", and that is right nowhere else. */
TarnJudged tarn_judge (const TarnJudgement *judgement, const TarnJudgementFacts *facts);
