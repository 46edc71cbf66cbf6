/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * To go to any tick, in any order, is to have played a new attempt up to it: the digest of a
 * plain replay is the oracle, on any number of threads, from a log and from a finished attempt.
 */
#include "bed.h"

#include "engine/attempt/replay.h"

#include <string.h>

#define CHECKS 28 /* ticks whose digests are compared */

static bool
quick (void)
{
  return g_getenv ("TARN_TEST_QUICK") != NULL;
}

/* Restless, with a fold to lift and a range to be drawn from. */
static TarnPatient
patient (void)
{
  TarnPatient made = tarn_patient_default ();
  made.temper.restless = 0.4;
  made.habitus.pannus_mm = 20;
  made.variation.volume_percent = 10;
  made.probe.planes = 12; /* enough to be the same or not */
  return made;
}

static void
set_calipers (TarnAttempt *attempt)
{
  static const double ends[TARN_CALIPERS][4]
      = { { -38, 70, 41, 71 }, { 1, 50, 2, 104 }, { -50, 75, 44, 80 } };
  for (uint8_t k = 0; k < TARN_CALIPERS; k++)
    BED (attempt, .kind = TARN_INPUT_CALIPER, .code = k,
         .value = { ends[k][0], ends[k][1], ends[k][2], ends[k][3] });
  BED (attempt, .kind = TARN_INPUT_MEASURE, .value = { 0.52 });
}

static void
slide (TarnAttempt *attempt, double from_mm, double to_mm, double seconds, double force_n)
{
  int steps = (int)(seconds * 10);
  for (int k = 0; k < steps; k++)
    {
      bed_hand (attempt, from_mm + (to_mm - from_mm) * k / steps, 3, k, force_n);
      bed_wait (attempt, 0.1);
    }
}

/* A bit of everything that a learner can do. */
static void
play (TarnAttempt *attempt)
{
  bed_deed (attempt, TARN_DEED_HANDS);
  bed_wait (attempt, 0.5);
  bed_deed (attempt, TARN_DEED_IDENTITY);
  BED (attempt, .kind = TARN_INPUT_PALPATE, .value = { 1.0 / 3, -2 });
  BED (attempt, .kind = TARN_INPUT_LIFT, .value = { 0.83 });
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 17.3 });
  bed_hand (attempt, 52, 3, 0, 7);
  bed_wait (attempt, 0.7);
  slide (attempt, 52, 36, 1.5, 24);
  BED (attempt, .kind = TARN_INPUT_DEPTH, .value = { 150 });
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  slide (attempt, 36, 38, 3, 8);
  BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE);
  set_calipers (attempt);
  bed_wait (attempt, 0.2);
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 0);
  bed_deed (attempt, TARN_DEED_BRIEF);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  bed_wait (attempt, 1.2);
  BED (attempt, .kind = TARN_INPUT_ABANDON);
  BED (attempt, .kind = TARN_INPUT_LIFT, .value = { 0.2 });
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  bed_wait (attempt, 3.4);
  BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_DO_NOT_USE, .reading = 2,
       .cause = TARN_VERDICT_MOVED);
  BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT, .reading = 2);
  BED (attempt, .kind = TARN_INPUT_WIPE);
  bed_hand (attempt, 60, 0, 0, 0);
  bed_wait (attempt, 0.6);
  bed_deed (attempt, TARN_DEED_NOTE);
  BED (attempt, .kind = TARN_INPUT_FINISH);
}

/* An attempt played once, and what it was at some of its ticks. */
typedef struct
{
  TarnPatient patient;
  TarnAttempt *finished;
  int checks;
  uint32_t tick[CHECKS];
  uint64_t digest[CHECKS];
} Played;

static int
compare_ticks (const void *a, const void *b)
{
  uint32_t x = *(const uint32_t *)a, y = *(const uint32_t *)b;
  return (x > y) - (x < y);
}

/* Ticks about inputs, where most can go wrong, and any others. */
static void
choose_ticks (Played *played, GRand *random)
{
  int inputs = tarn_attempt_inputs (played->finished);
  uint32_t last = tarn_attempt_bedside (played->finished)->tick;
  played->checks = quick () ? CHECKS / 2 : CHECKS;
  for (int k = 0; k < played->checks; k++)
    {
      int index = g_rand_int_range (random, 0, inputs);
      uint32_t at = tarn_attempt_logged (played->finished, index)->tick;
      played->tick[k] = k % 2 == 0 ? MIN (at + (uint32_t)g_rand_int_range (random, 0, 2), last)
                                   : (uint32_t)g_rand_int_range (random, 0, (gint32)last);
    }
  played->tick[0] = 0;
  played->tick[1] = last;
  qsort (played->tick, (gsize)played->checks, sizeof (uint32_t), compare_ticks);
}

/* The oracle: a new attempt, played on plainly. */
static void
find_digests (Played *played)
{
  TarnAttempt *plain = bed_new (&played->patient, 77, NULL, false);
  int next = 0;
  for (int k = 0; k < played->checks; k++)
    {
      while (next < tarn_attempt_inputs (played->finished)
             && tarn_attempt_logged (played->finished, next)->tick <= played->tick[k])
        g_assert_cmpint (
            tarn_attempt_replay (plain, tarn_attempt_logged (played->finished, next++)), ==,
            TARN_OK);
      while (tarn_attempt_bedside (plain)->tick < played->tick[k])
        g_assert_cmpint (tarn_attempt_tick (plain), ==, TARN_OK);
      played->digest[k] = tarn_attempt_digest (plain);
    }
  g_assert_cmphex (tarn_attempt_digest (plain), ==, tarn_attempt_digest (played->finished));
  tarn_attempt_free (plain);
}

/* Played once for all tests. */
static Played *
the_played (void)
{
  static Played *played;
  if (played != NULL)
    return played;
  played = g_new0 (Played, 1);
  g_autoptr (GRand) random = g_rand_new_with_seed (4);
  played->patient = patient ();
  played->finished = bed_new (&played->patient, 77, NULL, false);
  play (played->finished);
  choose_ticks (played, random);
  find_digests (played);
  return played;
}

static void
let_go (void)
{
  tarn_attempt_free (the_played ()->finished);
  g_free (the_played ());
}

static TarnReplay *
replay_of_log (const Played *played, const TarnParallel *parallel)
{
  TarnAttemptSetup setup = *tarn_attempt_setup (played->finished);
  TarnPatient quick_patient = played->patient;
  TarnReplay *replay = NULL;
  setup.parallel = parallel;
  g_assert_cmpint (tarn_replay_new (&quick_patient, &setup,
                                    tarn_attempt_logged (played->finished, 0),
                                    tarn_attempt_inputs (played->finished), &replay, NULL),
                   ==, TARN_OK);
  return replay;
}

static void
check_seeks (const Played *played, TarnReplay *replay, guint32 seed)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  int seeks = played->checks / 4 + 4;
  for (int k = 0; k < seeks; k++)
    {
      int which = k == 0 ? played->checks / 2 : g_rand_int_range (random, 0, played->checks);
      if (k == seeks / 2)
        g_assert_cmpint (tarn_replay_advance (replay, 30), ==, TARN_OK);
      g_assert_cmpint (tarn_replay_seek (replay, played->tick[which]), ==, TARN_OK);
      const TarnAttempt *now = tarn_replay_attempt (replay);
      g_assert_cmpuint (tarn_attempt_bedside (now)->tick, ==, played->tick[which]);
      g_assert_cmphex (tarn_attempt_digest (now), ==, played->digest[which]);
    }
}

static void
test_any_order_is_the_same (void)
{
  Played *played = the_played ();
  static const int threads[] = { 1, 2, 4 };
  for (gsize k = 0; k < G_N_ELEMENTS (threads); k++)
    {
      TarnThreadPool *pool = tarn_thread_pool_new (threads[k]);
      TarnReplay *replay = replay_of_log (played, tarn_thread_pool_parallel (pool));
      check_seeks (played, replay, (guint32)k);
      tarn_replay_free (replay);
      tarn_thread_pool_free (pool);
    }
}

/* Of the attempt itself: its readings are lent, not made again, and it stays as it is. */
static void
test_of_a_finished_attempt (void)
{
  Played *played = the_played ();
  TarnTruth truth, again;
  TarnReplay *replay = NULL;
  g_assert_cmpint (tarn_attempt_truth (played->finished, &truth), ==, TARN_OK);
  g_assert_cmpint (tarn_replay_of (played->finished, NULL, &replay), ==, TARN_OK);
  g_assert_cmpuint (tarn_replay_ready_tick (replay), ==, 0);
  check_seeks (played, replay, 9);
  g_assert_cmpint (tarn_replay_truth (replay, &again), ==, TARN_OK);
  g_assert_cmpmem (&again.score, sizeof again.score, &truth.score, sizeof truth.score);
  const TarnAttempt *end = tarn_replay_attempt (replay);
  for (int k = 0; k < tarn_attempt_readings (end); k++)
    g_assert_true (tarn_attempt_reading (end, k)->scan
                   == tarn_attempt_reading (played->finished, k)->scan);
  tarn_replay_free (replay);

  int last = played->checks - 1;
  g_assert_cmphex (tarn_attempt_digest (played->finished), ==, played->digest[last]);
}

static int
count_marks (const TarnReplay *replay, TarnReplayKind kind)
{
  int count = 0;
  for (int k = 0; k < tarn_replay_marks (replay); k++)
    count += tarn_replay_mark (replay, k)->kind == kind;
  return count;
}

/* Each thing done is marked once, and the traces are the bedside's own numbers. */
static void
test_marks_and_samples (void)
{
  Played *played = the_played ();
  TarnReplay *replay = NULL;
  g_assert_cmpint (tarn_replay_of (played->finished, NULL, &replay), ==, TARN_OK);
  g_assert_cmpint (tarn_replay_seek (replay, G_MAXUINT32), ==, TARN_OK);
  static const int expected[TARN_REPLAY_KINDS] = {
    [TARN_REPLAY_DEED] = 4,    [TARN_REPLAY_GEL] = 1,     [TARN_REPLAY_WIPE] = 1,
    [TARN_REPLAY_LIFT] = 2,    [TARN_REPLAY_PALPATE] = 1, [TARN_REPLAY_SWEEP] = 3,
    [TARN_REPLAY_SWEPT] = 2,   [TARN_REPLAY_ABANDON] = 1, [TARN_REPLAY_FREEZE] = 0,
    [TARN_REPLAY_CALIPER] = 1, [TARN_REPLAY_READING] = 3, [TARN_REPLAY_JUDGE] = 2,
    [TARN_REPLAY_RECORD] = 1,  [TARN_REPLAY_FINISH] = 1,
  };
  for (int kind = 0; kind < TARN_REPLAY_KINDS; kind++)
    if (kind != TARN_REPLAY_VOICE)
      g_assert_cmpint (count_marks (replay, (TarnReplayKind)kind), ==, expected[kind]);
  g_assert_cmpint (count_marks (replay, TARN_REPLAY_VOICE), >, 0);
  for (int k = 1; k < tarn_replay_marks (replay); k++)
    g_assert_cmpuint (tarn_replay_mark (replay, k)->tick, >=,
                      tarn_replay_mark (replay, k - 1)->tick);

  g_assert_cmpint (tarn_replay_samples (replay), ==,
                   (int)tarn_replay_last_tick (replay) / tarn_replay_sample_ticks (replay) + 1);
  for (int k = 0; k < tarn_replay_samples (replay); k += 17)
    {
      g_assert_cmpint (tarn_replay_seek (replay, (uint32_t)(k * 6)), ==, TARN_OK);
      const TarnBedside *now = tarn_attempt_bedside (tarn_replay_attempt (replay));
      const TarnReplaySample *sample = tarn_replay_sample (replay, k);
      g_assert_cmpfloat (sample->gel_g, ==, (float)now->gel_g);
      g_assert_cmpfloat (sample->breath, ==, (float)now->breath);
      g_assert_cmpint (sample->on_skin, ==, now->on_skin);
      g_assert_cmpint (sample->sweeping, ==, now->sweeping);
    }
  tarn_replay_free (replay);
}

/* An hour in which nothing much happens: the states kept stay within their room. */
static void
test_memory_is_bounded (void)
{
  TarnPatient made = tarn_patient_default ();
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  const uint32_t last = (quick () ? 3 : 25) * 60 * TARN_TICKS_PER_SECOND;
  TarnInput input[] = { { .kind = TARN_INPUT_GEL, .value = { 30 } },
                        { .tick = last, .kind = TARN_INPUT_FINISH } };
  TarnReplay *replay = NULL;
  g_assert_cmpint (tarn_replay_new (&made, &setup, input, 2, &replay, NULL), ==, TARN_OK);
  size_t most = 0;
  while (tarn_replay_ready_tick (replay) < last)
    {
      g_assert_cmpint (tarn_replay_advance (replay, 3600), ==, TARN_OK);
      most = MAX (most, tarn_replay_bytes (replay));
    }
  g_test_message ("%zu kB", most / 1024);
  g_assert_cmpuint (most, <=, TARN_REPLAY_BYTES_MAX + (1u << 18));
  g_assert_cmpuint (most, >, TARN_REPLAY_BYTES_MAX / 16);
  tarn_replay_free (replay);
}

/* Where a log does not fit its patient the replay ends, and says where. */
static void
test_a_log_that_does_not_fit (void)
{
  TarnPatient made = tarn_patient_default ();
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  TarnInput input[] = { { .tick = 5, .kind = TARN_INPUT_GEL, .value = { 10 } },
                        { .tick = 30, .kind = TARN_INPUT_SWEEP },
                        { .tick = 40, .kind = TARN_INPUT_FINISH } };
  TarnReplay *replay = NULL;
  g_assert_cmpint (tarn_replay_new (&made, &setup, input, 3, &replay, NULL), ==, TARN_OK);
  g_assert_cmpint (tarn_replay_seek (replay, 20), ==, TARN_OK);
  g_assert_cmpint (tarn_replay_refused (replay), ==, -1);
  g_assert_cmpint (tarn_replay_seek (replay, 40), ==, TARN_IMPOSSIBLE);
  g_assert_cmpint (tarn_replay_refused (replay), ==, 1);
  g_assert_cmpuint (tarn_replay_last_tick (replay), ==, 30);
  g_assert_cmpint (tarn_replay_seek (replay, 10), ==, TARN_OK);
  tarn_replay_free (replay);

  /* Anything after the end. */
  input[1] = (TarnInput){ .tick = 20, .kind = TARN_INPUT_FINISH };
  g_assert_cmpint (tarn_replay_new (&made, &setup, input, 3, &replay, NULL), ==, TARN_OK);
  g_assert_cmpint (tarn_replay_seek (replay, 40), ==, TARN_IMPOSSIBLE);
  g_assert_cmpint (tarn_replay_refused (replay), ==, 2);
  tarn_replay_free (replay);

  input[1].tick = 4;
  g_assert_cmpint (tarn_replay_new (&made, &setup, input, 3, &replay, NULL), ==,
                   TARN_OUT_OF_RANGE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/seek/any-order", test_any_order_is_the_same);
  g_test_add_func ("/seek/finished", test_of_a_finished_attempt);
  g_test_add_func ("/seek/marks", test_marks_and_samples);
  g_test_add_func ("/seek/memory", test_memory_is_bounded);
  g_test_add_func ("/seek/refused", test_a_log_that_does_not_fit);
  int outcome = g_test_run ();
  let_go ();
  return outcome;
}
