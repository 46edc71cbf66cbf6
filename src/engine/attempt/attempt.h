/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * attempt.h: one learner with one patient, from the briefing to the truth.
 *
 * Floor: engine.  Pure: time is counted in ticks that the caller gives, chance comes from the
 * seed; so the same inputs at the same ticks make the same attempt, byte for byte, on any
 * number of threads.  An attempt is its patient, mode, seed and log of inputs.
 * Threads: one at a time for each attempt. */
#pragma once

#include "base/parallel.h"
#include "engine/attempt/bedside.h"
#include "engine/attempt/care.h"
#include "engine/attempt/input.h"
#include "engine/verdict/scan.h"
#include "engine/verdict/score.h"

typedef struct TarnAttempt TarnAttempt;

/* Start from tarn_attempt_setup_default (). */
typedef struct
{
  TarnMode mode;
  uint64_t seed;                /* draws the patient's variation, tremor, breathing, jerks */
  double retention_ml;          /* local policy's; 500 by default */
  bool plain;                   /* never use AVX2 */
  const TarnParallel *parallel; /* for sweeps and ledgers; NULL: this thread alone */
} TarnAttemptSetup;

/* Practice, seed 0: the patient as written. */
TarnAttemptSetup tarn_attempt_setup_default (void);

/**
 * Begins an attempt: draws the patient, builds the body, puts the hand where the patient's
 * start-pose says, off the skin.
 *
 * @patient: copied, texts included.  @attempt: out; tarn_attempt_free () it.
 * @problem: out, may be NULL; as tarn_body_new ().
 *
 * Returns TARN_OK, or what tarn_body_new () returns.
 */
TarnStatus tarn_attempt_new (const TarnPatient *patient, const TarnAttemptSetup *setup,
                             TarnAttempt **attempt, TarnProblem *problem);
void tarn_attempt_free (TarnAttempt *attempt); /* NULL is allowed */

const TarnPatient *tarn_attempt_patient (const TarnAttempt *attempt); /* as drawn, with texts */
const TarnAttemptSetup *tarn_attempt_setup (const TarnAttempt *attempt);

/**
 * Takes one input at the present tick and adds it to the log.
 *
 * @input: its tick is ignored.
 *
 * Returns TARN_OK; TARN_OUT_OF_RANGE (a number or code out of its range); TARN_IMPOSSIBLE (not
 * now: a sweep during a sweep or off the skin, gel, wipe, depth, gain or freeze during a sweep,
 * a caliper on a plane that is not frozen, a reading that does not exist or has no room, use it
 * or at least said of no reading, anything after TARN_INPUT_FINISH); TARN_NO_MEMORY; then
 * nothing has happened and nothing is logged.
 */
TarnStatus tarn_attempt_input (TarnAttempt *attempt, const TarnInput *input);

/**
 * Lets 1 / TARN_TICKS_PER_SECOND s pass: the hand moves on towards where the learner wants it,
 * the patient breathes, gel spreads and is wiped.  The tick in which a sweep ends also makes
 * its reading, which takes as long as a scan without a ledger.  Nothing happens once the
 * attempt is finished.
 *
 * Returns TARN_OK or TARN_NO_MEMORY (the sweep is then lost, the attempt goes on).
 */
TarnStatus tarn_attempt_tick (TarnAttempt *attempt);

/* How everything stands now.  Valid until the next call with @attempt that is not const. */
const TarnBedside *tarn_attempt_bedside (const TarnAttempt *attempt);
const TarnBody *tarn_attempt_body (const TarnAttempt *attempt); /* with the lift as it is now */
const TarnGelFilm *tarn_attempt_film (const TarnAttempt *attempt);

/**
 * The plane that the probe shows now: live, the one that a sweep has come to, or the frozen
 * one.  Shoot it with tarn_plane_simulate (); it stays valid until the next call that is not
 * const.
 */
TarnPlaneSetup tarn_attempt_plane (const TarnAttempt *attempt);
/* Where the probe was, tremor included, when it was shot. */
TarnPose tarn_attempt_plane_pose (const TarnAttempt *attempt);

/* One reading of the attempt. */
typedef enum
{
  TARN_SOURCE_SWEEP,
  TARN_SOURCE_CALIPERS,
} TarnReadingSource;

typedef struct
{
  TarnReadingSource source;
  uint32_t tick; /* when it was finished */
  TarnPose pose; /* nominal; of calipers: when the last diameter was set */
  TarnReading reading;
  TarnJudgement judgement; /* as the learner gave it; none so far */

  /* A sweep. */
  const TarnScan *scan; /* with its planes; ledger and verdict only once they are wanted */
  double wander_mm;     /* RMS of the face off its nominal place */
  double section_share; /* the middle plane's section over the largest */
  double force_most_n;

  /* Calipers. */
  TarnCaliper caliper[TARN_CALIPERS]; /* each in its own frozen plane's frame */
  TarnDiameters diameters;
  double coefficient;
} TarnAttemptReading;

#define TARN_ATTEMPT_READINGS_MAX 12
/* How many there are, and one of them; valid as long as the attempt. */
int tarn_attempt_readings (const TarnAttempt *attempt);
const TarnAttemptReading *tarn_attempt_reading (const TarnAttempt *attempt, int index);

/* Works out ledger and verdict of a sweep's reading, if that has not been done; the result does
 * not depend on when.  Takes up to some seconds.  Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_attempt_ledger (TarnAttempt *attempt, int index);

/* The truth, once TARN_INPUT_FINISH has been taken. */
typedef struct
{
  double truth_ml, tolerance_ml;
  TarnRecordKind record; /* what was written down */
  int recorded;          /* index of that reading; -1: none */
  double recorded_ml;
  int judged; /* index of the reading whose judgement counts; -1: of the situation, or none */
  TarnJudgement judgement;
  TarnJudged was_right;
  TarnVerdict verdict; /* of the reading judged or recorded; NOT_ACCURATE where none was made */
  bool by_luck;
  bool has_ledger;
  TarnLedger ledger;          /* of a sweep */
  TarnCaliperReport calipers; /* of calipers */
  unsigned care_needed, care_done;
  TarnScoreFacts facts;
  TarnScore score;
} TarnTruth;

/**
 * Scores a finished attempt; makes the ledger that it needs.
 *
 * Returns TARN_OK, TARN_IMPOSSIBLE (not finished) or TARN_NO_MEMORY.
 */
TarnStatus tarn_attempt_truth (TarnAttempt *attempt, TarnTruth *truth);

/* The log: inputs in order, each with its tick.  Feeding them to a new attempt with the same
 * patient and setup, with ticks between, makes the same attempt. */
int tarn_attempt_inputs (const TarnAttempt *attempt);
const TarnInput *tarn_attempt_logged (const TarnAttempt *attempt, int index);

/* Lets ticks pass up to @tick of the next input, then takes it; for replay.
 * Returns as tarn_attempt_input () or tarn_attempt_tick (). */
TarnStatus tarn_attempt_replay (TarnAttempt *attempt, const TarnInput *input);

/* A hash of everything that the attempt is by now: state, gel, log and readings with planes. */
uint64_t tarn_attempt_digest (const TarnAttempt *attempt);
