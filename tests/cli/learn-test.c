/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli learn: what it prints, and that it can be repeated.  A few starts: figures are
 * looked at by the benchmark. */
#include "run-cli.h"

#include <string.h>

/* A small probe: quickly swept. */
static const char quick_patient[] = "[Anatomy]\nformat=1\nid=quick\ntitle=Quick\nseed=9\n"
                                    "[Habitus]\nsex=female\nage-years=40\nfat-mm=15\n"
                                    "[Bladder]\nvolume-ml=150\n"
                                    "[Probe]\nlines=64\nsamples=256\nplanes=5\n";

static CliRun
learn (const char *options)
{
  char *path = cli_write_file ("quick.anatomy", quick_patient, -1);
  CliRun run = cli_run (NULL, "learn %s%s", path, options);
  g_assert_cmpstr (run.err, ==, "");
  g_assert_cmpint (run.exit_code, ==, 0);
  g_free (path);
  return run;
}

static void
test_json_repeats_on_any_thread_count (void)
{
  static const char *const novices[] = { "unaided", "advised", "image_only" };
  CliRun one = learn (" --starts 1 --seed 8 --threads 1 --json");
  CliRun two = learn (" --starts 1 --seed 8 --threads 2 --json");
  g_assert_cmpstr (one.out, ==, two.out);
  g_assert_cmpint (cli_lines (one.out), ==, 1);
  JsonObject *object = cli_parse (one.out);
  g_assert_cmpstr (cli_text (object, "schema"), ==, "tarn.learn/1");
  g_assert_cmpstr (cli_text (object, "patient.id"), ==, "quick");
  for (guint k = 0; k < G_N_ELEMENTS (novices); k++)
    {
      char *success = g_strdup_printf ("%s.success", novices[k]);
      char *sweeps = g_strdup_printf ("%s.sweeps", novices[k]);
      g_assert_cmpfloat (cli_number (object, success), >=, 0);
      g_assert_cmpfloat (cli_number (object, success), <=, 1);
      g_assert_cmpfloat (cli_number (object, sweeps), >=, 1);
      g_assert_cmpfloat (cli_number (object, sweeps), <=, 5);
      g_free (success);
      g_free (sweeps);
    }
  json_object_unref (object);
  cli_run_clear (&one);
  cli_run_clear (&two);
}

static void
test_letter_names_each_novice (void)
{
  CliRun run = learn (" --starts 1");
  g_assert_nonnull (strstr (run.out, "1 scripted novice of each kind"));
  g_assert_nonnull (strstr (run.out, "Alone"));
  g_assert_nonnull (strstr (run.out, "With advice"));
  g_assert_nonnull (strstr (run.out, "With advice from the picture alone"));
  g_assert_nonnull (strstr (run.out, "Training only, synthetic anatomy"));
  cli_run_clear (&run);
}

static void
test_starts_have_a_range (void)
{
  char *path = cli_anatomy ("06-low-behind-the-bone.anatomy");
  CliRun run = cli_run (NULL, "learn %s --starts 0", path);
  cli_expect_complaint (&run, 2, "starts");
  g_free (path);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/learn/json-repeats-on-any-thread-count",
                   test_json_repeats_on_any_thread_count);
  g_test_add_func ("/learn/letter-names-each-novice", test_letter_names_each_novice);
  g_test_add_func ("/learn/starts-have-a-range", test_starts_have_a_range);
  int failed = g_test_run ();
  cli_remove_folder ();
  return failed;
}
