/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * judge_view.h: what the page of readings and judgement shows, as plain data.
 *
 * Floor: app. */
#pragma once

#include "app/run.h"
#include "app/words.h"

/* Nothing in it tells the truth.  Zeroed but for @chosen and @recorded, -1: nothing done yet.
 */
typedef struct
{
  int readings;
  TarnRunReading reading[TARN_ATTEMPT_READINGS_MAX]; /* bytes and planes: the run's */
  int chosen;              /* the reading that is looked at; -1: there is none */
  TarnJudgement situation; /* given without a reading */
  TarnRecordKind record;
  int recorded;       /* -1: none, or a number of the learner's own */
  double recorded_ml; /* that number */
  unsigned deeds;     /* done, a bit for each TarnDeed */
  TarnAnswer answer[TARN_DEEDS];
  double minutes_since_void;
} TarnJudgeView;

/* Why the truth cannot be shown yet, a translated sentence (free it); NULL when it can. */
char *tarn_judge_view_missing (const TarnJudgeView *view);

/* Whether the note holds a number that is no reading's. */
gboolean tarn_judge_view_own_number (const TarnJudgeView *view);

/* The judgement that stands for what is chosen. */
TarnJudgement tarn_judge_view_judgement (const TarnJudgeView *view);

/* Makes @input, a judgement, a record or a deed, be taken at once; the run's own news follows.
 */
void tarn_judge_view_take (TarnJudgeView *view, const TarnInput *input);
