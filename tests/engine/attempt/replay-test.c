/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The same inputs at the same ticks make the same attempt, on any number of threads and with
 * either kernel, and through a log file's text. */
#include "bed.h"

#include "base/units.h"
#include "store/attempt_log.h"

#include <string.h>

#define SHA "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"

/* Restless, with a fold to lift and a range to be drawn from. */
static TarnPatient
patient (void)
{
  TarnPatient made = tarn_patient_default ();
  made.temper.restless = 0.4;
  made.habitus.pannus_mm = 20;
  made.variation.volume_percent = 10;
  made.variation.left_mm = 5;
  made.probe.planes = 12; /* enough to be the same or not */
  return made;
}

static void
calipers (TarnAttempt *attempt)
{
  static const double ends[TARN_CALIPERS][4]
      = { { -38, 70, 41, 71 }, { 1, 50, 2, 104 }, { -50, 75, 44, 80 } };
  for (uint8_t k = 0; k < TARN_CALIPERS; k++)
    BED (attempt, .kind = TARN_INPUT_CALIPER, .code = k,
         .value = { ends[k][0], ends[k][1], ends[k][2], ends[k][3] });
  BED (attempt, .kind = TARN_INPUT_MEASURE, .value = { 0.52 });
}

/* A bit of everything. */
static void
play (TarnAttempt *attempt)
{
  bed_deed (attempt, TARN_DEED_HANDS);
  bed_wait (attempt, 0.5);
  bed_deed (attempt, TARN_DEED_IDENTITY);
  bed_deed (attempt, TARN_DEED_CONSENT);
  BED (attempt, .kind = TARN_INPUT_PALPATE, .value = { 1.0 / 3, -2 });
  BED (attempt, .kind = TARN_INPUT_LIFT, .value = { 0.83 });
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 17.3 });
  bed_hand (attempt, 52, 3, 0, 7);
  bed_wait (attempt, 1.2);
  for (int k = 0; k < 50; k++)
    {
      bed_hand (attempt, 52 - k / 3.0, 3, 1.7 * k, 7 + k / 3.0);
      bed_wait (attempt, 1.0 / 60);
    }
  BED (attempt, .kind = TARN_INPUT_DEPTH, .value = { 150 });
  BED (attempt, .kind = TARN_INPUT_GAIN, .value = { -2.5 });
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  for (int k = 0; k < 30; k++)
    {
      bed_hand (attempt, 36 + k / 9.0, 3, 85, 23 - k / 10.0);
      bed_wait (attempt, 0.1);
    }
  BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_DO_NOT_USE,
       .cause = TARN_VERDICT_MOVED);
  calipers (attempt);
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 0);
  bed_deed (attempt, TARN_DEED_BRIEF);
  bed_hand (attempt, 45, 0, 0, 6);
  bed_wait (attempt, 1);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  bed_wait (attempt, 1);
  BED (attempt, .kind = TARN_INPUT_ABANDON);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  bed_wait (attempt, 3.3);
  BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT, .reading = 2);
  BED (attempt, .kind = TARN_INPUT_WIPE);
  bed_deed (attempt, TARN_DEED_NOTE);
  bed_wait (attempt, 0.25);
  BED (attempt, .kind = TARN_INPUT_FINISH);
}

static TarnAttempt *
replay (const TarnAttemptLog *log, const TarnParallel *parallel, bool plain)
{
  TarnPatient made = patient ();
  TarnAttemptSetup setup = tarn_attempt_log_setup (log);
  setup.parallel = parallel;
  setup.plain = plain;
  TarnAttempt *attempt = NULL;
  g_assert_cmpint (tarn_attempt_new (&made, &setup, &attempt, NULL), ==, TARN_OK);
  for (guint k = 0; k < log->inputs->len; k++)
    g_assert_cmpint (tarn_attempt_replay (attempt, &g_array_index (log->inputs, TarnInput, k)),
                     ==, TARN_OK);
  return attempt;
}

static void
test_replays_to_the_same_digest (void)
{
  TarnPatient made = patient ();
  TarnAttempt *first = bed_new (&made, 77, NULL, false);
  play (first);
  uint64_t digest = tarn_attempt_digest (first);
  TarnTruth truth;
  g_assert_cmpint (tarn_attempt_truth (first, &truth), ==, TARN_OK);
  g_assert_cmpint (tarn_attempt_readings (first), ==, 3);

  /* Through a file's text. */
  g_autoptr (TarnAttemptLog) log = tarn_attempt_log_of (first, "p.anatomy", SHA);
  g_autofree char *text = tarn_attempt_log_format (log, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnAttemptLog) read = tarn_attempt_log_parse (text, strlen (text), "log", &error);
  g_assert_no_error (error);

  static const struct
  {
    int threads;
    bool plain;
  } ways[] = { { 1, false }, { 2, false }, { 4, false }, { 1, true }, { 4, true } };
  for (gsize k = 0; k < G_N_ELEMENTS (ways); k++)
    {
      TarnThreadPool *pool = tarn_thread_pool_new (ways[k].threads);
      g_assert_nonnull (pool);
      TarnAttempt *again = replay (read, tarn_thread_pool_parallel (pool), ways[k].plain);
      g_assert_cmphex (tarn_attempt_digest (again), ==, digest);
      if (k == 0)
        {
          TarnTruth same;
          g_assert_cmpint (tarn_attempt_truth (again, &same), ==, TARN_OK);
          g_assert_cmpfloat (same.score.total, ==, truth.score.total);
          g_assert_cmpint (same.verdict, ==, truth.verdict);
        }
      tarn_attempt_free (again);
      tarn_thread_pool_free (pool);
    }
  tarn_attempt_free (first);
}

/* Another seed is another patient and another hand; one input left out, another attempt. */
static void
test_what_differs_shows (void)
{
  TarnPatient made = patient ();
  uint64_t digest[3];
  for (int k = 0; k < 3; k++)
    {
      TarnAttempt *attempt = bed_new (&made, k == 1 ? 6 : 5, NULL, false);
      if (k == 2)
        bed_deed (attempt, TARN_DEED_NOTE);
      bed_hand (attempt, 50, 0, 0, 5);
      bed_wait (attempt, 0.5);
      digest[k] = tarn_attempt_digest (attempt);
      tarn_attempt_free (attempt);
    }
  g_assert_cmphex (digest[0], !=, digest[1]);
  g_assert_cmphex (digest[0], !=, digest[2]);
}

static void
test_seed_draws_the_patient (void)
{
  TarnPatient made = patient ();
  g_assert_cmpint (tarn_patient_set_prose (&made, "title", "", "Someone"), ==, TARN_OK);
  TarnAttempt *written = bed_new (&made, 0, NULL, false),
              *drawn = bed_new (&made, 9, NULL, false);
  g_assert_cmpfloat (tarn_attempt_patient (written)->bladder.volume_ml, ==,
                     made.bladder.volume_ml);
  g_assert_cmpfloat (tarn_attempt_patient (drawn)->bladder.volume_ml, !=,
                     made.bladder.volume_ml);
  tarn_patient_clear (&made);
  g_assert_cmpstr (tarn_patient_prose (tarn_attempt_patient (drawn), "title", ""), ==,
                   "Someone");
  tarn_attempt_free (written);
  tarn_attempt_free (drawn);
}

static void
test_replay_does_not_go_back (void)
{
  TarnAttempt *attempt = bed_plain ();
  bed_wait (attempt, 1);
  TarnInput input = { .tick = 59, .kind = TARN_INPUT_GEL, .value = { 5 } };
  g_assert_cmpint (tarn_attempt_replay (attempt, &input), ==, TARN_OUT_OF_RANGE);
  input.tick = G_MAXUINT32;
  g_assert_cmpint (tarn_attempt_replay (attempt, &input), ==, TARN_OUT_OF_RANGE);
  input.tick = 61;
  g_assert_cmpint (tarn_attempt_replay (attempt, &input), ==, TARN_OK);
  g_assert_cmpuint (tarn_attempt_bedside (attempt)->tick, ==, 61);
  g_assert_cmpuint (tarn_attempt_logged (attempt, 0)->tick, ==, 61);
  BED (attempt, .kind = TARN_INPUT_FINISH);
  input.tick = 70;
  g_assert_cmpint (tarn_attempt_replay (attempt, &input), ==, TARN_IMPOSSIBLE);
  tarn_attempt_free (attempt);
}

static void
test_impossible_patient_is_refused (void)
{
  TarnPatient made = tarn_patient_default ();
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  TarnAttempt *attempt = NULL;
  TarnProblem problem = { 0 };
  made.habitus.fat_mm = 1e9;
  g_assert_cmpint (tarn_attempt_new (&made, &setup, &attempt, &problem), !=, TARN_OK);
  g_assert_cmpstr (problem.text, !=, "");
  g_assert_null (attempt);
  tarn_attempt_free (NULL);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/replay/digest", test_replays_to_the_same_digest);
  g_test_add_func ("/replay/differs", test_what_differs_shows);
  g_test_add_func ("/replay/seed", test_seed_draws_the_patient);
  g_test_add_func ("/replay/forwards", test_replay_does_not_go_back);
  g_test_add_func ("/replay/refused", test_impossible_patient_is_refused);
  return g_test_run ();
}
