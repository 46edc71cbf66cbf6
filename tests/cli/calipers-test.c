/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli calipers: what it measures, and what it says of what it cannot measure. */
#include "run-cli.h"

#include <math.h>
#include <string.h>

static void
assert_near (double value, double expected, double tolerance)
{
  g_assert_cmpfloat_with_epsilon (value, expected, tolerance);
}

static char *
letter_of (const char *patient, const char *options)
{
  char *path = cli_anatomy (patient);
  CliRun run = cli_run (NULL, "calipers %s%s", path, options);
  g_assert_cmpstr (run.err, ==, "");
  g_assert_cmpint (run.exit_code, ==, 0);
  char *letter = g_strdup (run.out);
  cli_run_clear (&run);
  g_free (path);
  return letter;
}

static void
expect_words (const char *letter, const char *words)
{
  if (strstr (letter, words) == NULL)
    g_error ("no \"%s\" in the letter:\n%s", words, letter);
}

static void
test_calipers_split_their_error (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  CliRun run = cli_run (
      NULL, "calipers %s --json --coefficient 0.7 --length 80 --width 100 --height 120", plain);
  g_assert_cmpint (run.exit_code, ==, 0);
  JsonObject *object = cli_parse (run.out);
  g_assert_cmpstr (cli_text (object, "schema"), ==, "tarn.calipers/1");
  /* 8 × 10 × 12 cm at 0.7 (derived): 672.0 mL. */
  assert_near (cli_number (object, "given.volume_ml"), 672.0, 0.05);
  assert_near (cli_number (object, "given.caliper_error_ml")
                   + cli_number (object, "given.formula_error_ml"),
               672.0 - cli_number (object, "truth.volume_ml"), 0.01);
  json_object_unref (object);
  cli_run_clear (&run);
  g_free (plain);
}

/* The truth is known whether the bladder is seen or not. */
static void
test_not_seen_is_said_of_its_plane (void)
{
  char *letter = letter_of ("01-plain-adult.anatomy", " --gel 0");
  expect_words (letter, "Truth: 320 mL; length ");
  expect_words (letter, "the bladder is not seen in either plane");
  g_free (letter);
}

/* 1,700 mL are wider than the sector (its file): what the edge cuts is a lower bound. */
static void
test_what_the_edge_cuts_is_at_least (void)
{
  char *letter = letter_of ("07-very-full.anatomy", "");
  expect_words (letter, "width at least ");
  expect_words (letter, "Read: at least ");
  g_free (letter);
  letter = letter_of ("03-slim-young-adult.anatomy", "");
  g_assert_null (strstr (letter, "at least"));
  g_free (letter);
}

/* π/6 to four digits (derived); 40 mL of truth and a given 8 × 10 × 9.9 cm either side of
 * 300 mL. */
static void
test_the_decision_is_in_words (void)
{
  char *letter
      = letter_of ("03-slim-young-adult.anatomy", " --length 80 --width 100 --height 99");
  expect_words (letter, "with the coefficient 0.5236");
  expect_words (letter, "Decision at 300 mL: right: by this number one does not act");
  expect_words (letter, "Read: 415 mL");
  expect_words (letter, "Decision at 300 mL: needless: by this number one acts");
  g_free (letter);
  letter = letter_of ("01-plain-adult.anatomy", " --length 10 --width 20 --height 30");
  expect_words (letter, "Read: 3.1 mL"); /* π/6 · 6 = 3.14 */
  expect_words (letter, "missed: by the truth one should act");
  g_free (letter);
}

static void
test_off_the_body (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  CliRun run = cli_run (NULL, "calipers %s --above 600", plain);
  cli_expect_complaint (&run, 1, "above 600");
  g_free (plain);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/calipers/split-their-error", test_calipers_split_their_error);
  g_test_add_func ("/calipers/not-seen-is-said-of-its-plane",
                   test_not_seen_is_said_of_its_plane);
  g_test_add_func ("/calipers/what-the-edge-cuts-is-at-least",
                   test_what_the_edge_cuts_is_at_least);
  g_test_add_func ("/calipers/the-decision-is-in-words", test_the_decision_is_in_words);
  g_test_add_func ("/calipers/off-the-body", test_off_the_body);
  return g_test_run ();
}
