/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a tick of an attempt costs, at rest, pressed, sliding through gel and during a sweep,
 * and what a whole attempt costs to play again and to go to and fro in.  CSV on standard
 * output; never fails on time. */
#include "bench.h"

#include "base/random.h"
#include "base/units.h"
#include "engine/attempt/replay.h"

#include <math.h>
#include <stdio.h>

#define TICKS  300
#define ROUNDS 3
#define SEEKS  100
#define LOOKS  3600 /* a minute beside the one sweep, as attempts go */

static void
hand (TarnAttempt *attempt, double above_mm, double force_n)
{
  TarnInput input = { .kind = TARN_INPUT_HAND,
                      .value = { above_mm, 0, tarn_rad_from_deg (5), 0, 0, force_n } };
  tarn_attempt_input (attempt, &input);
}

/* @slide_mm: to and fro along the midline. */
static void
time_ticks (TarnAttempt *attempt, const char *what, double slide_mm, double force_n)
{
  static double ms[TICKS];
  for (int k = 0; k < TICKS; k++)
    {
      hand (attempt, 45 + slide_mm * sin (k / 25.0), force_n);
      double begin_ms = bench_now_ms ();
      tarn_attempt_tick (attempt);
      ms[k] = bench_now_ms () - begin_ms;
    }
  bench_row (what, "ms", ms, TICKS, "0.8");
}

/* The same inputs, on a new attempt. */
static double
replay_ms (const TarnPatient *patient, const TarnAttempt *attempt)
{
  TarnAttempt *again = NULL;
  double begin_ms = bench_now_ms ();
  if (tarn_attempt_new (patient, tarn_attempt_setup (attempt), &again, NULL) != TARN_OK)
    return NAN;
  for (int k = 0; k < tarn_attempt_inputs (attempt); k++)
    tarn_attempt_replay (again, tarn_attempt_logged (attempt, k));
  double end_ms = bench_now_ms ();
  tarn_attempt_free (again);
  return end_ms - begin_ms;
}

/* To any moment once all of it is ready, and how much memory that takes. */
static void
time_seeks (TarnReplay *replay)
{
  static double ms[SEEKS];
  uint32_t last = tarn_replay_last_tick (replay);
  for (int k = 0; k < SEEKS; k++)
    {
      uint32_t to = (uint32_t)(tarn_hash64 ((uint64_t)k) % (last + 1));
      double begin_ms = bench_now_ms ();
      tarn_replay_seek (replay, to);
      ms[k] = bench_now_ms () - begin_ms;
    }
  bench_row ("replay, seek", "ms", ms, SEEKS, "50");
  double kept_mb = (double)tarn_replay_bytes (replay) / (1 << 20);
  bench_row ("replay, states kept", "MB", &kept_mb, 1, "15");
}

static void
time_replay (const TarnAttempt *attempt)
{
  TarnReplay *replay = NULL;
  double real_ms = tarn_attempt_bedside (attempt)->tick * 1000.0 / 60, times;
  double begin_ms = bench_now_ms ();
  if (tarn_replay_of (attempt, NULL, &replay) != TARN_OK)
    return;
  tarn_replay_seek (replay, UINT32_MAX);
  times = real_ms / (bench_now_ms () - begin_ms);
  bench_row ("replay getting ready, times real time", "", &times, 1, "20");
  time_seeks (replay);
  tarn_replay_free (replay);
}

int
main (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  TarnAttempt *attempt = NULL;
  setup.seed = 1;
  if (tarn_attempt_new (&patient, &setup, &attempt, NULL) != TARN_OK)
    return 1;

  bench_header ();
  time_ticks (attempt, "tick, off the skin", 0, 0);
  time_ticks (attempt, "tick, bare skin", 0, 8);
  TarnInput gel = { .kind = TARN_INPUT_GEL, .value = { 20 } };
  tarn_attempt_input (attempt, &gel);
  time_ticks (attempt, "tick, gel", 0, 8);
  time_ticks (attempt, "tick, sliding", 25, 8);
  TarnInput sweep = { .kind = TARN_INPUT_SWEEP };
  tarn_attempt_input (attempt, &sweep);
  time_ticks (attempt, "tick, through a sweep", 0, 8);

  for (int k = 0; k < LOOKS; k++)
    tarn_attempt_tick (attempt);
  TarnInput note = { .kind = TARN_INPUT_DEED, .code = TARN_DEED_NOTE };
  tarn_attempt_input (attempt, &note);
  double ms[ROUNDS], real_ms = tarn_attempt_bedside (attempt)->tick * 1000.0 / 60;
  for (int k = 0; k < ROUNDS; k++)
    ms[k] = real_ms / replay_ms (&patient, attempt);
  bench_row ("replay, times real time", "", ms, ROUNDS, "20");
  time_replay (attempt);
  tarn_attempt_free (attempt);
  return 0;
}
