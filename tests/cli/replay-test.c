/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A saved attempt played again by the command line: the same readings to the bit as the attempt
 * itself made in this process, which is the oracle; another patient, a newer log and a damaged
 * line are refused. */
#include "run-cli.h"

#include "base/units.h"
#include "engine/attempt/attempt.h"
#include "store/attempt_log.h"
#include "store/patient_file.h"

#include <glib/gstdio.h>
#include <string.h>

#define PATIENT "01-plain-adult.anatomy"

static void
take (TarnAttempt *attempt, TarnInput input)
{
  g_assert_cmpint (tarn_attempt_input (attempt, &input), ==, TARN_OK);
}

static void
let_pass (TarnAttempt *attempt, double seconds)
{
  for (int k = 0; k < seconds * TARN_TICKS_PER_SECOND; k++)
    g_assert_cmpint (tarn_attempt_tick (attempt), ==, TARN_OK);
}

/* A sweep, calipers on its middle plane, and a note. */
static void
play (TarnAttempt *attempt)
{
  static const double ends[TARN_CALIPERS][4]
      = { { -38, 70, 41, 71 }, { 1, 50, 2, 104 }, { -50, 75, 44, 80 } };
  take (attempt, (TarnInput){ .kind = TARN_INPUT_DEED, .code = TARN_DEED_HANDS });
  take (attempt, (TarnInput){ .kind = TARN_INPUT_GEL, .value = { 20 } });
  take (attempt, (TarnInput){ .kind = TARN_INPUT_HAND,
                              .value = { 40, 0, tarn_rad_from_deg (10), 0, 0, 7.3 } });
  let_pass (attempt, 1.5);
  take (attempt, (TarnInput){ .kind = TARN_INPUT_SWEEP });
  let_pass (attempt, 3.2);
  for (uint8_t k = 0; k < TARN_CALIPERS; k++)
    take (attempt, (TarnInput){ .kind = TARN_INPUT_CALIPER,
                                .code = k,
                                .value = { ends[k][0], ends[k][1], ends[k][2], ends[k][3] } });
  take (attempt, (TarnInput){ .kind = TARN_INPUT_MEASURE, .value = { 0.5236 } });
  take (attempt, (TarnInput){ .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE });
  take (attempt, (TarnInput){ .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT });
  take (attempt, (TarnInput){ .kind = TARN_INPUT_FINISH });
}

/* The attempt, made once for all tests, its truth and its log's path. */
static TarnAttempt *attempt;
static TarnTruth truth;
static char *log_path;

static void
make_attempt (void)
{
  g_autofree char *path = cli_anatomy (PATIENT);
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (path, &error);
  g_assert_no_error (error);
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  setup.seed = 1234567890123456789u;
  g_assert_cmpint (tarn_attempt_new (&file->patient, &setup, &attempt, NULL), ==, TARN_OK);
  play (attempt);
  g_assert_cmpint (tarn_attempt_truth (attempt, &truth), ==, TARN_OK);

  /* The path in the log leads nowhere: the patient is found by its hash. */
  g_autoptr (TarnAttemptLog) log
      = tarn_attempt_log_of (attempt, "gone/away.anatomy", file->sha256);
  log_path = cli_write_file ("a.attempt", "", 0);
  g_assert_true (tarn_attempt_log_save (log, log_path, &error));
  g_assert_no_error (error);
}

static JsonObject *
replay (const char *more)
{
  g_autofree char *patient = cli_anatomy (PATIENT);
  CliRun run = cli_run (NULL, "replay %s --patient %s --json%s", log_path, patient, more);
  g_assert_cmpstr (run.err, ==, "");
  g_assert_cmpint (run.exit_code, ==, 0);
  JsonObject *object = cli_parse (run.out);
  cli_run_clear (&run);
  return object;
}

static void
check_readings (JsonObject *told)
{
  JsonArray *readings = json_object_get_array_member (told, "readings");
  g_assert_cmpint ((int)json_array_get_length (readings), ==, tarn_attempt_readings (attempt));
  for (int k = 0; k < tarn_attempt_readings (attempt); k++)
    {
      const TarnAttemptReading *made = tarn_attempt_reading (attempt, k);
      JsonObject *reading = json_array_get_object_element (readings, (guint)k);
      g_assert_cmpfloat (cli_number (reading, "volume_ml"), ==, made->reading.volume_ml);
      g_assert_cmpfloat (cli_number (reading, "force_most_n"), ==, made->force_most_n);
      g_assert_cmpfloat (cli_number (reading, "tick"), ==, made->tick);
    }
}

/* On another number of threads than here; and how the probe stood at a moment. */
static void
test_the_same_to_the_bit (void)
{
  JsonObject *told = replay (" --threads 3 --at 1.5");
  g_assert_cmpstr (cli_text (told, "schema"), ==, "tarn.replay/1");
  g_assert_cmpstr (cli_text (told, "seed"), ==, "1234567890123456789");
  check_readings (told);
  g_assert_cmpfloat (cli_number (told, "truth.volume_ml"), ==, truth.truth_ml);
  g_assert_cmpfloat (cli_number (told, "score.total"), ==, truth.score.total);
  g_assert_cmpfloat (cli_number (told, "ledger_ml.bone"), ==,
                     truth.ledger.entry_ml[TARN_CAUSE_BONE]);
  g_assert_cmpstr (cli_text (told, "verdict"), ==, tarn_verdict_name (truth.verdict));
  g_autofree char *digest
      = g_strdup_printf ("%016" G_GINT64_MODIFIER "x", (guint64)tarn_attempt_digest (attempt));
  g_assert_cmpstr (cli_text (told, "digest"), ==, digest);
  g_assert_cmpfloat (cli_number (told, "moment.tick"), ==, 90);
  g_assert_cmpfloat_with_epsilon (cli_number (told, "moment.pose.force_n"), 7.3, 0.1);
  json_object_unref (told);
}

static void
test_the_letter (void)
{
  g_autofree char *patient = cli_anatomy (PATIENT);
  g_autofree char *png = g_build_filename (cli_folder (), "p.png", NULL);
  CliRun run
      = cli_run (NULL, "replay %s --patient %s --at 1 --plane-png %s", log_path, patient, png);
  static const char *const words[] = { "practice, seed 1234567890123456789",
                                       "sweep 1",
                                       "calipers:",
                                       "judged: use",
                                       "Truth:",
                                       "Score:",
                                       "At 0:01.0",
                                       "Training only" };
  g_assert_cmpint (run.exit_code, ==, 0);
  for (gsize k = 0; k < G_N_ELEMENTS (words); k++)
    if (strstr (run.out, words[k]) == NULL)
      g_error ("no \"%s\" in: %s", words[k], run.out);
  cli_run_clear (&run);
  g_autofree char *data = NULL;
  gsize size = 0;
  g_assert_true (g_file_get_contents (png, &data, &size, NULL));
  g_assert_cmpuint (size, >, 1000);
  g_assert_cmpmem (data, 8, "\x89PNG\r\n\x1a\n", 8);
}

static char *
changed_log (const char *name, const char *from, const char *to)
{
  g_autofree char *text = NULL;
  g_assert_true (g_file_get_contents (log_path, &text, NULL, NULL));
  g_auto (GStrv) parts = g_strsplit (text, from, 2);
  g_assert_cmpuint (g_strv_length (parts), ==, 2);
  g_autofree char *changed = g_strconcat (parts[0], to, parts[1], NULL);
  return cli_write_file (name, changed, -1);
}

/* By its hash, from a copy with another name beside the log; of an attempt that was left,
 * there is no truth. */
static void
test_finds_the_patient (void)
{
  g_autofree char *from = cli_anatomy (PATIENT), *data = NULL;
  gsize size;
  CliRun run = cli_run (NULL, "replay %s --json", log_path);
  cli_expect_complaint (&run, 1, "gone/away.anatomy: the patient's file is not there");
  g_assert_true (g_file_get_contents (from, &data, &size, NULL));
  g_autofree char *copy = cli_write_file ("other name.anatomy", data, (gssize)size);
  g_autofree char *left = changed_log ("left.attempt", " finish\n", " wipe\n");
  run = cli_run (NULL, "replay %s --json", left);
  g_assert_cmpint (run.exit_code, ==, 0);
  JsonObject *told = cli_parse (run.out);
  g_assert_false (json_object_get_boolean_member (told, "finished"));
  g_assert_false (json_object_has_member (told, "truth"));
  json_object_unref (told);
  cli_run_clear (&run);
  g_remove (copy);
}

static void
test_refuses (void)
{
  g_autofree char *patient = cli_anatomy (PATIENT),
                  *wrong = cli_anatomy ("06-low-behind-the-bone.anatomy");
  CliRun run = cli_run (NULL, "replay %s --patient %s", log_path, wrong);
  cli_expect_complaint (&run, 1, "not the patient of this attempt");

  static const struct
  {
    const char *from, *to, *word;
  } bad[] = {
    { "tarn-attempt 2", "tarn-attempt 9", "bad.attempt:1: a log of version 9" },
    { "mode practice", "mode play", "bad.attempt:4: mode is" },
    { " sweep\n", " swep\n", "bad.attempt:10: there is no input \"swep\"" },
    { " gel 20\n", " gel twenty\n", "bad.attempt:8: \"twenty\" is no number" },
    { " sweep\n", " sweep\n91 sweep\n", "input 5, sweep at tick 91: not possible then" },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (bad); k++)
    {
      g_autofree char *path = changed_log ("bad.attempt", bad[k].from, bad[k].to);
      run = cli_run (NULL, "replay %s --patient %s", path, patient);
      cli_expect_complaint (&run, 1, bad[k].word);
    }
  run = cli_run (NULL, "replay %s/none.attempt", cli_folder ());
  cli_expect_complaint (&run, 1, "none.attempt");
  run = cli_run (NULL, "replay %s --at -1", log_path);
  cli_expect_complaint (&run, 2, "--at");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  make_attempt ();
  g_test_add_func ("/replay/bits", test_the_same_to_the_bit);
  g_test_add_func ("/replay/letter", test_the_letter);
  g_test_add_func ("/replay/patient", test_finds_the_patient);
  g_test_add_func ("/replay/refuses", test_refuses);
  int outcome = g_test_run ();
  tarn_attempt_free (attempt);
  g_free (log_path);
  cli_remove_folder ();
  return outcome;
}
