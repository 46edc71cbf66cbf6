/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * input.h: what a learner can do in an attempt, as plain data for the log.
 *
 * Floor: engine. */
#pragma once

#include "engine/attempt/care.h"
#include "engine/measure/calipers.h"

#include <stdint.h>

#define TARN_TICKS_PER_SECOND 60
/* A day; then time stands still. */
#define TARN_ATTEMPT_TICKS_MAX (24u * 3600 * TARN_TICKS_PER_SECOND)

/* Where a hand may be wanted: within these, of either sign, force from 0 up.  A place beside
 * the torso is taken as the last one on the way to it. */
#define TARN_HAND_PLACE_MAX_MM 2000.0
#define TARN_HAND_TILT_MAX_RAD 1.4 /* of tilt and lean */
#define TARN_HAND_TURN_MAX_RAD 6.2832
#define TARN_HAND_FORCE_MAX_N  60.0

#define TARN_CALIPER_PLACE_MAX_MM 600.0
#define TARN_COEFFICIENT_MAX      2.0
#define TARN_RECORD_MAX_ML        5000.0

typedef enum
{
  TARN_MODE_GUIDED,   /* advice, aids visible */
  TARN_MODE_PRACTICE, /* no advice before the truth */
  TARN_MODE_EXAM,     /* blinded, no aids that a bedside lacks */
  TARN_MODES
} TarnMode;

/* The three diameters. */
enum
{
  TARN_CALIPER_WIDTH,  /* on a transverse plane */
  TARN_CALIPER_HEIGHT, /* likewise */
  TARN_CALIPER_LENGTH, /* on a sagittal plane */
  TARN_CALIPERS
};

/* The values' meaning stands behind each kind, in order. */
typedef enum
{
  TARN_INPUT_HAND,  /* where the learner wants the probe: above_mm, left_mm, tilt_rad, lean_rad,
                       turn_rad, force_n; force 0: off the skin */
  TARN_INPUT_LIFT,  /* share of the pannus that the free hand holds away, 0..1 */
  TARN_INPUT_GEL,   /* a dose where the probe is: grams */
  TARN_INPUT_WIPE,  /* gel off the skin and the face, before the end */
  TARN_INPUT_DEPTH, /* mm, [20, 300] */
  TARN_INPUT_GAIN,  /* dB, [-40, 40] */
  TARN_INPUT_FREEZE,  /* code 1: hold the plane; 0: live again */
  TARN_INPUT_PALPATE, /* a fingertip: above_mm, left_mm */
  TARN_INPUT_DEED,    /* code: TarnDeed */
  TARN_INPUT_SWEEP,   /* begin one; ends by itself after TARN_SWEEP_SECONDS */
  TARN_INPUT_ABANDON, /* the sweep that is under way */
  TARN_INPUT_CALIPER, /* code: TARN_CALIPER_…; u0, v0, u1, v1 in the frozen plane's frame, mm */
  TARN_INPUT_MEASURE, /* a reading from the three diameters: coefficient */
  TARN_INPUT_JUDGE,   /* code: TarnJudgementKind, cause: TarnVerdict; reading: index, -1 none */
  TARN_INPUT_RECORD,  /* code: TarnRecordKind; reading: index, -1 for a number of one's own;
                         mL (of a reading: ignored, its own counts) */
  TARN_INPUT_FINISH,  /* the attempt is over */
  TARN_INPUTS
} TarnInputKind;

#define TARN_INPUT_VALUES 6

typedef struct
{
  uint32_t tick; /* when it was taken */
  uint8_t kind;  /* TarnInputKind */
  uint8_t code, cause;
  int8_t reading;
  double value[TARN_INPUT_VALUES];
} TarnInput;

/* As in the log's text: "sweep".  Never NULL. */
const char *tarn_input_kind_name (TarnInputKind kind);
/* How many of the values that kind uses. */
int tarn_input_values (TarnInputKind kind);
