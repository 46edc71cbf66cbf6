/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * words.h: what the engine's codes and numbers are called, in the learner's language.
 *
 * Floor: app.  Threads: any.  A const char * belongs to the program and is never NULL; a char *
 * is new: free it.  Whole sentences are translated, never pieces of them; what is put in a row
 * is a list. */
#pragma once

#include "engine/attempt/attempt.h"

#include <glib.h>

/* Zeroed: mL and cm. */
typedef struct
{
  gboolean cubic_cm;    /* volumes in cm³, else mL: the same number */
  gboolean millimetres; /* lengths in mm, else cm */
} TarnUnits;

/* ---- Numbers ---- */

const char *tarn_words_volume_unit (const TarnUnits *units); /* "mL" */
/* "214 mL"; below 10, "6.4 mL". */
char *tarn_words_volume (double ml, const TarnUnits *units);
/* The number alone: "214". */
char *tarn_words_volume_number (double ml);
/* "+12 mL", "−71 mL", "0 mL".  @steps: of 10^-@decimals mL (report/rounding.h). */
char *tarn_words_signed_volume (long steps, int decimals, const TarnUnits *units);
/* "8.1 cm" or "81 mm". */
char *tarn_words_length (double mm, const TarnUnits *units);
/* Since the attempt began: "1:24". */
char *tarn_words_time (uint32_t tick);

/* ---- Readings and the note ---- */

/* "214 mL", "At least 640 mL", "Not seen". */
char *tarn_words_reading (const TarnReading *reading, const TarnUnits *units);
/* As it would be written: "214 mL", "At least 214 mL", "Not seen"; NONE: "Nothing". */
char *tarn_words_record (TarnRecordKind record, double ml, const TarnUnits *units);
/* "0.52 × 9.4 cm × 8.1 cm × 6.2 cm = 247 mL". */
char *tarn_words_formula (const TarnDiameters *diameters, double coefficient,
                          const TarnUnits *units);
/* A coefficient of the engine's list: "triangular", and where its value comes from. */
const char *tarn_words_shape (int index);
const char *tarn_words_shape_source (int index);
/* "Coefficient 0.66: all shapes (…)", or that it is none of the list. */
char *tarn_words_coefficient (double coefficient);
/* "30 mm above, 5 mm left, tilted 20° to the feet, light pressure". */
char *tarn_words_pose (const TarnPose *pose, const TarnUnits *units);
/* A plane of a sweep: "Plane 14 of 36, 12° to the feet".  @turn_rad: of the pose. */
char *tarn_words_plane (int index, int planes, double fan_rad, double turn_rad);
/* What stands behind its outline: "border seen 80 %, bridged 12 %, at the edge 8 %". */
char *tarn_words_evidence (const TarnOutline *outline);

/* ---- Judgement and verdict ---- */

const char *tarn_words_judgement (TarnJudgementKind kind); /* "Use it" */
/* One sentence on when to say so. */
const char *tarn_words_judgement_hint (TarnJudgementKind kind);
/* With the cause, where there is one: "Do not use it: shadowed". */
char *tarn_words_judgement_said (const TarnJudgement *judgement);
const char *tarn_words_verdict (TarnVerdict verdict); /* "Clipped" */
const char *tarn_words_verdict_sentence (TarnVerdict verdict);

/* ---- Causes ---- */

/* What a bar or a step of advice can be about: TarnCause, and two of calipers. */
enum
{
  TARN_WORDS_CALIPERS = TARN_CAUSES,
  TARN_WORDS_FORMULA,
  TARN_WORDS_CAUSES
};
const char *tarn_words_cause (int cause); /* a bar's label: "Shadow of bone" */
/* "The bone hid 71 mL."  @ml: signed, as in the ledger. */
char *tarn_words_cause_cost (int cause, double ml, const TarnUnits *units);
/* What to try next time against it, one or two sentences. */
const char *tarn_words_next (int cause);

/* ---- Care ---- */

#define TARN_WORDS_CARES 15
/* @index: the bit's number in TarnCare.  "Identity checked"; NULL beyond the last. */
const char *tarn_words_care (int index);
const char *tarn_words_deed (TarnDeed deed); /* on its button: "Check the wrist band" */
/* @minutes: since the last void; counts for TARN_ANSWER_VOIDED. */
char *tarn_words_answer (TarnAnswer answer, double minutes);
/* The patient's own words; "" for none. */
const char *tarn_words_voice (TarnVoice voice);
/* A sentence; @miss: one bit. */
const char *tarn_words_miss (TarnMustNotMiss miss);

/* ---- The letter ---- */

/* How much of the error each cause is, largest first, rounded so that the column adds up. */
typedef struct
{
  int causes;
  int cause[TARN_WORDS_CAUSES]; /* TarnCause, TARN_WORDS_… */
  double ml[TARN_WORDS_CAUSES];
  long steps[TARN_WORDS_CAUSES]; /* of 10^-decimals mL; may be 0 */
  int decimals;
  double reading_ml;  /* what the column leads to */
  gboolean has_split; /* a reading counts and its error has been split */
} TarnWordsSplit;

TarnWordsSplit tarn_words_split (const TarnTruth *truth);
/* Whether the note holds a number that is no reading's. */
gboolean tarn_words_own_number (const TarnTruth *truth);
/* Of an attempt that is not passed, that and why, one sentence for each error that fails it;
 * else the comparison below. */
char *tarn_words_headline (const TarnTruth *truth, const TarnUnits *units);
/* "You wrote 214 mL; the bladder held 320 mL." */
char *tarn_words_comparison (const TarnTruth *truth, const TarnUnits *units);
/* The errors that fail the attempt, of TarnMustNotMiss; none when it is passed. */
unsigned tarn_words_failing (const TarnTruth *truth);
/* "Not passed", else the verdict's word. */
const char *tarn_words_result (const TarnTruth *truth);
/* The points shown, 0..100: each part rounded, and their sum. */
int tarn_words_points (double points);
int tarn_words_score (const TarnScore *score);
/* The largest causes in the error's direction, up to two sentences; "" where there are none.
 * An attempt that is not passed is not praised for its number. */
char *tarn_words_main_causes (const TarnTruth *truth, const TarnUnits *units);
/* How the judgement stands to the verdict, one sentence. */
const char *tarn_words_judged (const TarnTruth *truth);
