/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay.h: an attempt played again, from any moment.
 *
 * Floor: engine.  Pure.  As the attempt is played for the first time, its state is kept every
 * second or so; to go to a tick is to take up the last state kept before it and to let the few
 * ticks between pass again.  A sweep's reading is made once and is the same reading ever after.
 * Gone to any tick, in any order, the attempt is what a new one would be that was played up to
 * it, byte for byte.
 *
 * Memory: TARN_REPLAY_BYTES_MAX beside the bodies and the readings; a longer attempt has its
 * states further apart.
 * Threads: one at a time for each replay. */
#pragma once

#include "engine/attempt/attempt.h"

#include <stddef.h>

#define TARN_REPLAY_BYTES_MAX (12u << 20)

typedef struct TarnReplay TarnReplay;

/**
 * A replay of a log; nothing is played yet but what comes at tick 0.
 *
 * @patient: as written, copied.  @input: @inputs of them in order of their ticks; copied.
 * @replay: out; tarn_replay_free () it.  @problem: out, may be NULL.
 *
 * Returns TARN_OK; what tarn_attempt_new () returns; TARN_OUT_OF_RANGE for ticks out of order;
 * or, at tick 0, what tarn_attempt_input () returns.
 */
TarnStatus tarn_replay_new (const TarnPatient *patient, const TarnAttemptSetup *setup,
                            const TarnInput *input, int inputs, TarnReplay **replay,
                            TarnProblem *problem);

/**
 * A replay of @attempt as far as it has come, with its bodies and readings, which are not made
 * again.  @attempt must outlive the replay and must not go on meanwhile; it may be looked at.
 *
 * @parallel: for a ledger that is still to be made; may be NULL.
 */
TarnStatus tarn_replay_of (const TarnAttempt *attempt, const TarnParallel *parallel,
                           TarnReplay **replay);
void tarn_replay_free (TarnReplay *replay); /* NULL is allowed */

/* Where the attempt ends. */
uint32_t tarn_replay_last_tick (const TarnReplay *replay);
/* Up to here it has been played; beyond it, to go somewhere takes as long as to play so far. */
uint32_t tarn_replay_ready_tick (const TarnReplay *replay);

/* Plays on from the ready tick, by @ticks at most.
 * Returns as tarn_replay_seek (). */
TarnStatus tarn_replay_advance (TarnReplay *replay, uint32_t ticks);

/**
 * Goes to a tick: all that was done up to and at it is done.  @tick beyond the last: the last.
 *
 * Returns TARN_OK; TARN_NO_MEMORY; or what the attempt returned to an input of the log that it
 * does not take, where the replay then ends: tarn_replay_refused () tells which.
 */
TarnStatus tarn_replay_seek (TarnReplay *replay, uint32_t tick);
/* Number of the input that was refused; -1: none so far. */
int tarn_replay_refused (const TarnReplay *replay);

/* As it is at the tick gone to last; for looking only, valid until the next call that is not
 * const. */
const TarnAttempt *tarn_replay_attempt (const TarnReplay *replay);

/* The truth of an attempt that was finished; goes to its end.  Returns as
 * tarn_attempt_truth (). */
TarnStatus tarn_replay_truth (TarnReplay *replay, TarnTruth *truth);

/* What stands out on the time line. */
typedef enum
{
  TARN_REPLAY_DEED, /* detail: TarnDeed */
  TARN_REPLAY_GEL,  /* a dose; detail: grams, rounded */
  TARN_REPLAY_WIPE,
  TARN_REPLAY_LIFT,    /* the fold begins to be moved; detail: to how much, percent */
  TARN_REPLAY_PALPATE, /* a fingertip goes somewhere */
  TARN_REPLAY_SWEEP,   /* begins */
  TARN_REPLAY_SWEPT,   /* ends */
  TARN_REPLAY_ABANDON, /* or is abandoned */
  TARN_REPLAY_FREEZE,
  TARN_REPLAY_CALIPER, /* detail: TARN_CALIPER_… */
  TARN_REPLAY_READING, /* one is there; detail: index */
  TARN_REPLAY_JUDGE,   /* detail: of which reading, -1 of the situation */
  TARN_REPLAY_RECORD,  /* detail: of which reading, -1 a number of one's own */
  TARN_REPLAY_VOICE,   /* the patient says something; detail: TarnVoice */
  TARN_REPLAY_FINISH,
  TARN_REPLAY_KINDS
} TarnReplayKind;

/* "deed", "sweep"; never NULL. */
const char *tarn_replay_kind_name (TarnReplayKind kind);

typedef struct
{
  uint32_t tick;
  TarnReplayKind kind;
  int detail;
} TarnReplayMark;

/* Those up to the ready tick, in order.  What comes in a stream, as a caliper that is dragged,
 * is one mark. */
int tarn_replay_marks (const TarnReplay *replay);
const TarnReplayMark *tarn_replay_mark (const TarnReplay *replay, int index);

/* What goes up and down, at equal steps from tick 0. */
typedef struct
{
  float force_n; /* 0 off the skin */
  float gel_g;   /* on the skin near the face, and on it */
  float wet;     /* share of the face */
  float breath;  /* -1 out … 1 in */
  float unsteady_mm;
  bool on_skin, sweeping, frozen, guarding;
} TarnReplaySample;

/* Ticks between samples: 6, and twice as many whenever there would be more than
 * TARN_REPLAY_SAMPLES_MAX. */
#define TARN_REPLAY_SAMPLES_MAX 36000
int tarn_replay_sample_ticks (const TarnReplay *replay);
int tarn_replay_samples (const TarnReplay *replay);
const TarnReplaySample *tarn_replay_sample (const TarnReplay *replay, int index);

/* Bytes that the kept states take. */
size_t tarn_replay_bytes (const TarnReplay *replay);
