/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * score.h: the score of an attempt, 0–100 in four parts, and the errors that fail it.
 *
 * Floor: engine.  Pure.  Thresholds are examples: local policy decides. */
#pragma once

#include "engine/verdict/judgement.h"

#define TARN_SCORE_READING   50.0
#define TARN_SCORE_JUDGEMENT 20.0
#define TARN_SCORE_TECHNIQUE 15.0
#define TARN_SCORE_CARE      15.0

/* From this volume on, retention must not be missed unless local policy says otherwise
 * (handbooks: above 500 mL is drained). */
#define TARN_RETENTION_DEFAULT_ML 500.0

/* What a situation can need before and after. */
typedef enum
{
  TARN_CARE_IDENTITY = 1 << 0,
  TARN_CARE_CONSENT = 1 << 1,
  TARN_CARE_HISTORY = 1 << 2, /* time since the last void, scars, pregnancy, catheter */
  TARN_CARE_DIGNITY = 1 << 3,
  TARN_CARE_PALPATE = 1 << 4,
  TARN_CARE_TWO_PLANES = 1 << 5,
  TARN_CARE_NOTE = 1 << 6,
  TARN_CARE_ACTION = 1 << 7, /* under local policy */
  TARN_CARE_ESCALATE = 1 << 8,
  TARN_CARE_CATHETER = 1 << 9, /* the catheter's state seen and reported */
  TARN_CARE_CLEAN = 1 << 10,
  TARN_CARE_HANDS = 1 << 11, /* cleaned before the patient is touched */
  TARN_CARE_POSITION = 1 << 12,
  TARN_CARE_SKIN = 1 << 13,  /* looked at where the probe would go */
  TARN_CARE_BRIEF = 1 << 14, /* a restless patient asked to lie still */
  TARN_CARE_ALL = (1 << 15) - 1
} TarnCare;

/* What was written down in the end. */
typedef enum
{
  TARN_RECORD_NONE,
  TARN_RECORD_EXACT,
  TARN_RECORD_AT_LEAST,
  TARN_RECORD_NOT_SEEN,
} TarnRecordKind;

/* One attempt, as far as it counts. */
typedef struct
{
  TarnRecordKind record;
  double recorded_ml;
  bool from_reading;            /* the number is that of a reading made in this attempt */
  TarnReadingKind reading_kind; /* of that reading */
  double tolerance_ml;          /* > 0 */
  double retention_ml;
  bool measurable; /* some pose gives an accurate reading */
  bool scanned;
  bool identity_matches, catheter_blocked;
  TarnJudgement judgement;
  TarnJudgementFacts facts;
  double force_n, comfort_n;
  double wet_fraction;             /* 0..1 */
  double wander_mm;                /* RMS of the hand during the sweep */
  double section_share;            /* the middle plane's section over the largest, 0..1 */
  unsigned care_needed, care_done; /* of TarnCare */
  unsigned must_not_miss;          /* of TarnMustNotMiss: those that fail this patient */
} TarnScoreFacts;

typedef struct
{
  double reading, judgement, technique, care; /* up to TARN_SCORE_… */
  double total;
  unsigned missed; /* of TarnMustNotMiss: all errors made */
  bool failed;     /* one of them is on the patient's list */
} TarnScore;

/* Reading: full within half the tolerance, none beyond twice, linear between; "at least" loses
 * only by what it claims above the truth; where no reading can be had, or none should be, a
 * right judgement without one is worth as much.  Judgement: three quarters for the kind and a
 * quarter for the cause, where one was asked for.  Technique: force, contact, section 4 points
 * each, stillness 3.  Care: the share of what was needed. */
TarnScore tarn_score (const TarnScoreFacts *facts);

/* Every must-not-miss error made. */
unsigned tarn_score_missed (const TarnScoreFacts *facts);
