/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Logs of attempts: read back to the bit, whatever the locale; torn ends are left out; what is
 * no log is refused with its line. */
#include "store/attempt_log.h"

#include <glib/gstdio.h>
#include <locale.h>
#include <math.h>
#include <string.h>

#define SHA "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"
#define HEADERS                                                                                \
  "patient a b/c.anatomy\nsha256 " SHA                                                         \
  "\nmode exam\nseed 18446744073709551615\nretention-ml 500\n"
#define HEAD     "tarn-attempt 1\n" HEADERS
#define HEAD_NOW "tarn-attempt 2\n" HEADERS

static TarnAttemptLog *
parse (const char *text)
{
  g_autoptr (GError) error = NULL;
  TarnAttemptLog *log = tarn_attempt_log_parse (text, strlen (text), "log", &error);
  g_assert_no_error (error);
  return log;
}

static const TarnInput *
input_at (const TarnAttemptLog *log, guint index)
{
  g_assert_cmpuint (index, <, log->inputs->len);
  return &g_array_index (log->inputs, TarnInput, index);
}

static void
add (TarnAttemptLog *log, TarnInput input)
{
  g_array_append_val (log->inputs, input);
}

/* Numbers that are hard to keep, each a double's exact value. */
static const double hard[] = {
  0,   -0.0, 1.0 / 3, 0x1.921fb54442d18p+1, 0x0.0000000000001p-1022, 0x1.fffffffffffffp+1023,
  0.1, 1e22, -1e-7,   0x1.0000000000001p+0, 299.99999999999994
};

static TarnAttemptLog *
hard_log (void)
{
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  setup.seed = G_MAXUINT64;
  setup.mode = TARN_MODE_EXAM;
  setup.retention_ml = 1.0 / 7;
  TarnAttemptLog *log = tarn_attempt_log_new ("Á ward/x.anatomy", SHA, &setup);
  for (gsize k = 0; k < G_N_ELEMENTS (hard); k++)
    add (log, (TarnInput){ .tick = (uint32_t)k, .kind = TARN_INPUT_GEL, .value = { hard[k] } });
  add (log, (TarnInput){ .tick = 99, .kind = TARN_INPUT_HAND, .value = { 1, 2, 3, 4, 5, 6 } });
  add (log, (TarnInput){
                .tick = 99, .kind = TARN_INPUT_JUDGE, .code = 4, .cause = 2, .reading = -1 });
  return log;
}

static void
check_same (const TarnAttemptLog *a, const TarnAttemptLog *b)
{
  g_assert_cmpstr (a->patient_path, ==, b->patient_path);
  g_assert_cmpstr (a->sha256, ==, b->sha256);
  g_assert_cmpint (a->mode, ==, b->mode);
  g_assert_cmpuint (a->seed, ==, b->seed);
  g_assert_cmpmem (&a->retention_ml, sizeof (double), &b->retention_ml, sizeof (double));
  g_assert_cmpmem (a->inputs->data, a->inputs->len * sizeof (TarnInput), b->inputs->data,
                   b->inputs->len * sizeof (TarnInput));
}

static void
test_reads_back_to_the_bit (void)
{
  g_autoptr (TarnAttemptLog) log = hard_log ();
  gsize length;
  g_autofree char *text = tarn_attempt_log_format (log, &length);
  g_autoptr (TarnAttemptLog) again = parse (text);
  check_same (log, again);
  g_assert_false (again->torn);
  g_autofree char *twice = tarn_attempt_log_format (again, NULL);
  g_assert_cmpstr (text, ==, twice);
}

/* The layout stands in the header for other programs to read. */
static void
test_layout (void)
{
  g_autoptr (TarnAttemptLog) log = parse (HEAD "0 deed 1 0 0\n12 hand 0 0 0 40 0 0.5 0 0 5\n"
                                               "13 judge 4 2 -1\n");
  g_assert_cmpstr (log->patient_path, ==, "a b/c.anatomy");
  g_assert_cmpint (log->mode, ==, TARN_MODE_EXAM);
  g_assert_cmpuint (log->seed, ==, G_MAXUINT64);
  g_assert_cmpuint (log->inputs->len, ==, 3);
  g_assert_cmpint (input_at (log, 0)->kind, ==, TARN_INPUT_DEED);
  g_assert_cmpint (input_at (log, 0)->code, ==, 1);
  g_assert_cmpuint (input_at (log, 1)->tick, ==, 12);
  g_assert_cmpfloat (input_at (log, 1)->value[2], ==, 0.5);
  g_assert_cmpfloat (input_at (log, 1)->value[5], ==, 5);
  g_assert_cmpint (input_at (log, 2)->cause, ==, 2);
  g_assert_cmpint (input_at (log, 2)->reading, ==, -1);
  TarnAttemptSetup setup = tarn_attempt_log_setup (log);
  g_assert_cmpint (setup.mode, ==, TARN_MODE_EXAM);
  g_assert_cmpfloat (setup.retention_ml, ==, 500);
}

/* The same in the version that is written now, where what does not change is left out. */
static void
test_layout_of_now (void)
{
  g_autoptr (TarnAttemptLog) log
      = parse (HEAD_NOW "0 deed 1\n12 hand 40 0 0.5 0 0 5\n13 hand 41\n14 hand = 2.5 = = = 6\n"
                        "14 hand\n15 freeze 1\n16 caliper 2 1 2 3 4\n17 judge 4 2 -1\n"
                        "18 record 1 -1 99.5\n18 finish\n");
  static const double hands[4][TARN_INPUT_VALUES] = {
    { 40, 0, 0.5, 0, 0, 5 },
    { 41, 0, 0.5, 0, 0, 5 },
    { 41, 2.5, 0.5, 0, 0, 6 },
    { 41, 2.5, 0.5, 0, 0, 6 },
  };
  for (guint k = 0; k < 4; k++)
    g_assert_cmpmem (input_at (log, 1 + k)->value, sizeof hands[k], hands[k], sizeof hands[k]);
  g_assert_cmpint (input_at (log, 6)->code, ==, 2);
  g_assert_cmpfloat (input_at (log, 6)->value[3], ==, 4);
  g_assert_cmpint (input_at (log, 7)->cause, ==, 2);
  g_assert_cmpint (input_at (log, 8)->reading, ==, -1);
  g_assert_cmpfloat (input_at (log, 8)->value[0], ==, 99.5);
  g_assert_cmpuint (tarn_attempt_log_last_tick (log), ==, 18);
  g_assert_true (tarn_attempt_log_is_finished (log));
  g_autofree char *text = tarn_attempt_log_format (log, NULL);
  g_assert_nonnull (strstr (text, "\n14 hand = 2.5 = = = 6\n14 hand\n15 freeze 1\n"));
}

/* A minute of a hand that never rests, wanted anew in every frame with the steps that the
 * window gives it, stays under 100 kB (own design value). */
static void
test_a_busy_minute_is_small (void)
{
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  g_autoptr (TarnAttemptLog) log = tarn_attempt_log_new ("a.anatomy", SHA, &setup);
  for (int k = 0; k < 60 * TARN_TICKS_PER_SECOND; k++)
    {
      double above_mm = round (100 * (45 + 30 * sin (k / 70.0))) / 100;
      double left_mm = round (100 * (20 * cos (k / 90.0))) / 100;
      add (log, (TarnInput){ .tick = 30000 + (uint32_t)k,
                             .kind = TARN_INPUT_HAND,
                             .value = { above_mm, left_mm, 0.08727, 0, 1.5708, 8.25 } });
    }
  gsize length;
  g_autofree char *text = tarn_attempt_log_format (log, &length);
  g_test_message ("%zu bytes", length);
  g_assert_cmpuint (length, <, 100 * 1000);
  g_autoptr (TarnAttemptLog) again = parse (text);
  check_same (log, again);
}

/* A decimal comma changes nothing. */
static void
test_locale_does_not_matter (void)
{
  static const char *const comma[] = { "de_DE.UTF-8", "es_ES.UTF-8", "fr_FR.UTF-8" };
  g_autoptr (TarnAttemptLog) log = hard_log ();
  g_autofree char *plain = tarn_attempt_log_format (log, NULL);
  gboolean found = FALSE;
  for (gsize k = 0; k < G_N_ELEMENTS (comma) && !found; k++)
    found = setlocale (LC_NUMERIC, comma[k]) != NULL;
  g_test_message ("a locale with a decimal comma is %s", found ? "there" : "not installed");
  g_autofree char *text = tarn_attempt_log_format (log, NULL);
  g_autoptr (TarnAttemptLog) again = parse (text);
  setlocale (LC_NUMERIC, "C");
  g_assert_cmpstr (text, ==, plain);
  check_same (log, again);
}

/* Wherever a crash cuts it, what is whole is read. */
static void
test_torn_end_is_left_out (void)
{
  const char *text = HEAD "0 deed 1 0 0\n7 gel 0 0 0 20\n";
  gsize head = strlen (HEAD), first = head + strlen ("0 deed 1 0 0\n"), length = strlen (text);
  for (gsize cut = 0; cut <= length; cut++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TarnAttemptLog) log = tarn_attempt_log_parse (text, cut, "log", &error);
      if (cut < head)
        {
          g_assert_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_INVALID);
          continue;
        }
      g_assert_no_error (error);
      g_assert_cmpuint (log->inputs->len, ==, cut < first ? 0 : cut < length ? 1 : 2);
      g_assert_cmpint (log->torn, ==, text[cut - 1] != '\n');
    }
  /* Nor does it matter what the torn part holds. */
  g_autoptr (TarnAttemptLog) odd = parse (HEAD "0 deed 1 0 0\n\xff\x01 7 g");
  g_assert_cmpuint (odd->inputs->len, ==, 1);
}

static void
test_what_is_no_log_is_refused (void)
{
  static const struct
  {
    const char *text, *message;
  } bad[] = {
    { "", "log:1: no log" },
    { "\n", "log:1: no log" },
    { "tarn-attempt\n", "log:1: no log" },
    { "tarn-attempt 0\n", "log:1: no log" },
    { "tarn-attempt 3\n", "log:1: a log of version 3; this program reads up to version 2" },
    { "tarn-attempt 1\n", "log:2: here should stand \"patient\"" },
    { "tarn-attempt 1\npatient \n", "log:2: here should stand \"patient\"" },
    { "tarn-attempt 1\npatient x\ty\n", "log:2: the patient's path" },
    { "tarn-attempt 1\npatient x\nsha256 12\n", "log:3: sha256 is" },
    { "tarn-attempt 1\npatient x\nsha256 " SHA "\nmode easy\n", "log:4: mode is" },
    { "tarn-attempt 1\npatient x\nsha256 " SHA "\nmode exam\nseed -1\n", "log:5: seed is" },
    { "tarn-attempt 1\npatient x\nsha256 " SHA "\nmode exam\nseed 18446744073709551616\n",
      "log:5: seed is" },
    { "tarn-attempt 1\npatient x\nsha256 " SHA "\nmode exam\nseed 1\nretention-ml nan\n",
      "log:6: retention-ml is" },
    { HEAD "\n", "log:7: an input has" },
    { HEAD "0 deed 1 0\n", "log:7: deed has 3 whole numbers" },
    { HEAD "0 jump 1 0 0\n", "log:7: there is no input \"jump\"" },
    { HEAD "0 deed 256 0 0\n", "log:7: tick, code" },
    { HEAD "-1 deed 1 0 0\n", "log:7: tick, code" },
    { HEAD "4294967296 deed 1 0 0\n", "log:7: tick, code" },
    { HEAD "0 deed 1 0 0 5\n", "log:7: deed has 0 values, not 1" },
    { HEAD "0 gel 0 0 0\n", "log:7: gel has 1 values, not 0" },
    { HEAD "0 gel 0 0 0 2,5\n", "log:7: \"2,5\" is no number" },
    { HEAD "0 gel 0 0 0 0x10\n", "log:7: \"0x10\" is no number" },
    { HEAD "0 gel 0 0 0 inf\n", "log:7: \"inf\" is no number" },
    { HEAD "0 gel 0 0 0 1e999\n", "log:7: \"1e999\" is no number" },
    { HEAD "0 gel 0 0 0 1-\n", "log:7: \"1-\" is no number" },
    { HEAD "0 gel  0 0 20\n", "log:7: " },
    { HEAD "5 deed 1 0 0\n4 deed 1 0 0\n", "log:8: an input comes before" },
    { HEAD "5 deed 1 0 0\n6 \xff\n", "log:8: not UTF-8" },
    { HEAD "5 deed 1 0 0\r\n", "log:7: tick, code" },
    { HEAD "5 hand 0 0 0 1 2 3 4 5 6\n6 hand 0 0 0 = 2 3 4 5 6\n",
      "log:8: \"=\" is no number" },
    { HEAD_NOW "5 hand 1 2 3 4 5\n", "log:7: hand has 6 values, not 5" },
    { HEAD_NOW "5 hand = 2 3 4 5 6\n", "log:7: \"=\" is no number" },
    { HEAD_NOW "5 hand 1 2 3 4 5 6\n6 hand 1 2 3 4 5 6 7\n", "log:8: hand has 6" },
    { HEAD_NOW "5 gel =\n", "log:7: \"=\" is no number" },
    { HEAD_NOW "5 gel\n", "log:7: gel has 1 values, not 0" },
    { HEAD_NOW "5 deed\n", "log:7: deed has 1 whole numbers" },
    { HEAD_NOW "5 finish 1\n", "log:7: finish has 0 values, not 1" },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (bad); k++)
    {
      g_autoptr (GError) error = NULL;
      TarnAttemptLog *log
          = tarn_attempt_log_parse (bad[k].text, strlen (bad[k].text), "log", &error);
      g_assert_null (log);
      g_assert_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_INVALID);
      g_assert_true (g_str_has_prefix (error->message, bad[k].message));
    }
}

/* Any bytes at all give a log or an error. */
static void
test_random_bytes_never_crash (void)
{
  g_autoptr (TarnAttemptLog) log = hard_log ();
  gsize length;
  g_autofree char *text = tarn_attempt_log_format (log, &length);
  g_autoptr (GRand) random = g_rand_new_with_seed (7);
  for (int round = 0; round < 4000; round++)
    {
      g_autofree char *changed = g_memdup2 (text, length);
      for (int k = g_rand_int_range (random, 1, 6); k > 0; k--)
        changed[g_rand_int_range (random, 0, (gint32)length)]
            = (char)g_rand_int_range (random, 0, 256);
      g_autoptr (GError) error = NULL;
      g_autoptr (TarnAttemptLog) read = tarn_attempt_log_parse (changed, length, "log", &error);
      g_assert_cmpint (read != NULL, !=, error != NULL);
    }
}

static char *
path_in (const char *dir, const char *name)
{
  return g_build_filename (dir, name, NULL);
}

static void
test_saved_appended_and_loaded (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *dir = g_dir_make_tmp ("tarn-log-XXXXXX", &error);
  g_assert_no_error (error);
  g_autofree char *path = path_in (dir, "a.attempt");
  g_autoptr (TarnAttemptLog) log = hard_log ();
  g_assert_true (tarn_attempt_log_save (log, path, &error));
  g_assert_no_error (error);

  TarnInput more[2] = { { .tick = 120, .kind = TARN_INPUT_SWEEP },
                        { .tick = 400, .kind = TARN_INPUT_LIFT, .value = { 0.7 } } };
  for (int k = 0; k < 2; k++)
    {
      g_assert_true (tarn_attempt_log_append (path, &more[k], 1, k == 1, &error));
      g_assert_no_error (error);
      add (log, more[k]);
    }
  g_autoptr (TarnAttemptLog) again = tarn_attempt_log_load (path, &error);
  g_assert_no_error (error);
  check_same (log, again);

  /* A crash in the middle of a line; then the next program goes on. */
  FILE *stream = g_fopen (path, "ab");
  g_assert_nonnull (stream);
  fputs ("500 hand 0 0 0 4", stream);
  fclose (stream);
  g_autoptr (TarnAttemptLog) torn = tarn_attempt_log_load (path, &error);
  g_assert_no_error (error);
  g_assert_true (torn->torn);
  check_same (log, torn);
  g_assert_true (tarn_attempt_log_append (path, &more[1], 1, FALSE, &error));
  add (log, more[1]);
  g_autoptr (TarnAttemptLog) mended = tarn_attempt_log_load (path, &error);
  g_assert_no_error (error);
  g_assert_false (mended->torn);
  check_same (log, mended);

  g_remove (path);
  g_rmdir (dir);
}

/* A log of the version before is gone on with as it was begun. */
static void
test_appends_to_what_is_older (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *dir = g_dir_make_tmp ("tarn-log-XXXXXX", &error);
  g_autofree char *path = path_in (dir, "a.attempt"), *text = NULL;
  TarnInput more = { .tick = 9, .kind = TARN_INPUT_HAND, .value = { 1, 2, 3, 4, 5, 6.5 } };
  const TarnInput two[] = { more, more };
  g_assert_true (g_file_set_contents (path, HEAD "0 deed 1 0 0\n", -1, &error));
  g_assert_true (tarn_attempt_log_append (path, two, 2, FALSE, &error));
  g_assert_no_error (error);
  g_assert_true (g_file_get_contents (path, &text, NULL, &error));
  g_assert_cmpstr (
      text, ==, HEAD "0 deed 1 0 0\n9 hand 0 0 0 1 2 3 4 5 6.5\n9 hand 0 0 0 1 2 3 4 5 6.5\n");
  g_remove (path);
  g_rmdir (dir);
}

static void
test_what_the_system_refuses (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *dir = g_dir_make_tmp ("tarn-log-XXXXXX", &error);
  g_autofree char *nowhere = path_in (dir, "none/a.attempt");
  g_autoptr (TarnAttemptLog) log = hard_log ();
  TarnInput input = { .kind = TARN_INPUT_SWEEP };

  g_assert_null (tarn_attempt_log_load (nowhere, &error));
  g_assert_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_READ);
  g_clear_error (&error);
  g_assert_null (tarn_attempt_log_load (dir, &error));
  g_assert_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_READ);
  g_clear_error (&error);
  g_assert_false (tarn_attempt_log_save (log, nowhere, &error));
  g_assert_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_WRITE);
  g_clear_error (&error);
  g_assert_false (tarn_attempt_log_save (log, dir, &error));
  g_assert_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_WRITE);
  g_clear_error (&error);
  /* A log without its headers is not begun by appending. */
  g_assert_false (tarn_attempt_log_append (nowhere, &input, 1, FALSE, &error));
  g_assert_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_WRITE);
  g_clear_error (&error);

  /* What would not load again is not saved. */
  g_autofree char *path = path_in (dir, "a.attempt");
  add (log, (TarnInput){ .tick = 1, .kind = TARN_INPUT_GEL, .value = { NAN } });
  g_assert_false (tarn_attempt_log_save (log, path, &error));
  g_assert_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_INVALID);
  g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
  g_rmdir (dir);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/attempt-log/bits", test_reads_back_to_the_bit);
  g_test_add_func ("/attempt-log/layout", test_layout);
  g_test_add_func ("/attempt-log/layout-now", test_layout_of_now);
  g_test_add_func ("/attempt-log/small", test_a_busy_minute_is_small);
  g_test_add_func ("/attempt-log/older", test_appends_to_what_is_older);
  g_test_add_func ("/attempt-log/locale", test_locale_does_not_matter);
  g_test_add_func ("/attempt-log/torn", test_torn_end_is_left_out);
  g_test_add_func ("/attempt-log/refused", test_what_is_no_log_is_refused);
  g_test_add_func ("/attempt-log/random", test_random_bytes_never_crash);
  g_test_add_func ("/attempt-log/disk", test_saved_appended_and_loaded);
  g_test_add_func ("/attempt-log/system", test_what_the_system_refuses);
  return g_test_run ();
}
