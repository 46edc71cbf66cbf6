/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a scan's letter says, against the object that the same scan prints as JSON: its column
 * adds up, and nothing is left unsaid. */
#include "run-cli.h"

#include "cli/millilitres.h"
#include "cli/scan_letter.h"

#include <math.h>
#include <string.h>

static char *
letter_of (const char *patient, const char *options)
{
  char *path = cli_anatomy (patient);
  CliRun run = cli_run (NULL, "scan %s%s", path, options);
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
test_letter_reads_well (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  CliRun run = cli_run (NULL, "scan %s", plain);
  g_assert_cmpint (run.exit_code, ==, 0);
  static const char *const wanted[]
      = { "Read: ", "Truth: 320 mL", "Verdict: ", "Where the millilitres went",
          "Training only, synthetic anatomy" };
  for (guint k = 0; k < G_N_ELEMENTS (wanted); k++)
    if (strstr (run.out, wanted[k]) == NULL)
      g_error ("no \"%s\" in the letter", wanted[k]);
  /* No colour, no other terminal commands. */
  g_assert_null (strchr (run.out, '\033'));
  cli_run_clear (&run);
  g_free (plain);
}

/* Hamilton's method by hand: 0.4 of each would be lost, so the largest remainders get it. */
static void
test_a_column_keeps_its_sum (void)
{
  static const double ml[5] = { -0.6, 1.4, 1.45, -2.25, 3.4 };
  static const long by_hand[5]
      = { -1, 1, 2, -2, 3 }; /* of 3.4: down -1 1 1 -3 3 is 1, so 2 up */
  long steps[5];
  tarn_ml_round_column (ml, 5, 3.4, 0, steps);
  g_assert_cmpmem (steps, sizeof steps, by_hand, sizeof by_hand);

  /* Whatever the numbers: the sum is kept and no entry is a whole step off. */
  for (int turn = 0; turn < 1000; turn++)
    {
      double entry[7], total = 0;
      long sum = 0, column[7];
      for (int k = 0; k < 7; k++)
        total += entry[k] = g_test_rand_double_range (-200, 200);
      tarn_ml_round_column (entry, 7, total, turn % 2, column);
      for (int k = 0; k < 7; k++)
        {
          sum += column[k];
          g_assert_cmpfloat (fabs ((double)column[k] - entry[k] * (turn % 2 ? 10 : 1)), <, 1);
        }
      g_assert_cmpint (sum, ==, tarn_ml_steps (total, turn % 2));
    }
}

/* Adds the printed entries and compares with the foot and with the error above. */
static void
expect_to_add_up (const char *letter)
{
  const char *error = strstr (letter, "Error: "), *at = strstr (letter, "millilitres went\n");
  g_assert_nonnull (error);
  g_assert_nonnull (at);
  double sum = 0, foot = NAN;
  char **line = g_strsplit (at, "\n", -1);
  for (int k = 1; line[k] != NULL && isnan (foot); k++)
    {
      double ml = g_ascii_strtod (line[k], NULL);
      if (strstr (line[k], " mL  together") != NULL)
        foot = ml;
      else
        sum += ml;
    }
  g_strfreev (line);
  g_assert_cmpfloat_with_epsilon (sum, foot, 1e-9);
  g_assert_cmpfloat (g_ascii_strtod (error + strlen ("Error: "), NULL), ==, foot);
}

static void
test_the_letter_adds_up (void)
{
  static const struct
  {
    const char *patient, *options;
  } cases[] = {
    { "01-plain-adult.anatomy", " --planes 8 --above 20 --tilt -30" },
    { "03-slim-young-adult.anatomy", " --planes 8" },
    { "07-very-full.anatomy", " --planes 6 --tremor 3" },
    { "08-fluid-in-the-belly.anatomy", " --planes 8 --above 150" },
  };
  for (guint k = 0; k < G_N_ELEMENTS (cases); k++)
    {
      char *letter = letter_of (cases[k].patient, cases[k].options);
      expect_to_add_up (letter);
      expect_words (letter, " is accepted here)");
      g_free (letter);
    }
}

static void
test_not_seen_has_its_error (void)
{
  char *letter = letter_of ("01-plain-adult.anatomy", " --no-ledger --planes 6 --gel 0");
  expect_words (letter, "Read: no bladder seen\nTruth: 320 mL\n");
  expect_words (letter, "Error: -320 mL, what is not seen counted as 0 mL (up to 32 mL");
  g_free (letter);
}

static void
test_force_is_said_before_the_verdict (void)
{
  char *letter = letter_of ("01-plain-adult.anatomy", " --no-ledger --planes 6 --force 55");
  const char *force = strstr (letter, "Pressed too hard: 55 N is more than this patient bears");
  g_assert_nonnull (force);
  g_assert_nonnull (strstr (force, "\nVerdict: "));
  g_free (letter);
}

/* The letter of a scan that never was: 150 mL read of a truth of 100. */
static char *
letter_of_wrong_fluid (double urine, double other)
{
  TarnPatientFile file = { .patient = { .id = "nobody" } };
  file.patient.structures = 2;
  file.patient.structure[0].kind = TARN_STRUCTURE_CYST;
  file.patient.structure[1].kind = TARN_STRUCTURE_SCAR;
  TarnSubject subject = { .file = &file };
  TarnRequest request = TARN_REQUEST_DEFAULT;
  TarnScan *scan = g_new0 (TarnScan, 1);
  scan->sweep.reading.volume_ml = 150;
  scan->truth_ml = 100;
  scan->error_ml = 50;
  scan->tolerance_ml = 10;
  scan->contents = (TarnContents){ urine, other };
  scan->verdict = TARN_VERDICT_WRONG_FLUID;
  GString *letter = g_string_new (NULL);
  TarnScanReport report = { &subject, &request, scan };
  tarn_scan_write_letter (letter, &report);
  g_free (scan);
  return g_string_free (letter, FALSE);
}

/* Only what is there is blamed: fluid where there is fluid, else a shadow or tissue. */
static void
test_what_was_taken_for_the_bladder (void)
{
  char *letter = letter_of_wrong_fluid (0.6, 0.4);
  expect_words (letter, "wrong fluid: much of what was outlined is other fluid (a cyst)\n");
  g_free (letter);
  letter = letter_of_wrong_fluid (0.3, 0.1);
  expect_words (letter, "much of what was outlined is not the bladder's urine: a shadow or "
                        "tissue was taken for it\n");
  g_free (letter);
  letter = letter_of_wrong_fluid (0.8, 0.2);
  expect_words (letter, "wrong fluid: other fluid (a cyst) is what misled the reading most\n");
  g_free (letter);
}

static void
test_other_fluid_is_named (void)
{
  char *letter
      = letter_of ("08-fluid-in-the-belly.anatomy", " --no-ledger --planes 8 --above 150");
  expect_words (letter, "Verdict: wrong fluid: much of what was outlined is other fluid (free "
                        "fluid in the belly)");
  g_free (letter);
}

static void
test_small_volumes_have_tenths (void)
{
  static const struct
  {
    double ml;
    const char *text;
  } cases[] = { { 0, "0 mL" },     { 0.04, "0.0 mL" }, { 6.44, "6.4 mL" }, { 9.94, "9.9 mL" },
                { 9.96, "10 mL" }, { 10, "10 mL" },    { 319.6, "320 mL" } };
  for (guint k = 0; k < G_N_ELEMENTS (cases); k++)
    {
      GString *text = g_string_new (NULL);
      tarn_append_ml (text, cases[k].ml);
      g_assert_cmpstr (text->str, ==, cases[k].text);
      g_string_free (text, TRUE);
    }
}

static void
test_no_fold_to_lift_is_said_once (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  CliRun run = cli_run ("lift\n10\n10\n", "scan %s --poses - --no-ledger --planes 4", plain);
  g_assert_cmpint (run.exit_code, ==, 0);
  g_assert_cmpint (cli_lines (run.out), ==, 2);
  g_assert_cmpint (cli_lines (run.err), ==, 1);
  g_assert_nonnull (strstr (run.err, "no fold to lift"));
  cli_run_clear (&run);
  g_free (plain);
  char *folded = cli_anatomy ("04-large-abdomen.anatomy");
  run = cli_run (NULL, "scan %s --lift 100 --no-ledger --planes 4", folded);
  g_assert_cmpstr (run.err, ==, "");
  cli_run_clear (&run);
  g_free (folded);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/letter/reads-well", test_letter_reads_well);
  g_test_add_func ("/letter/a-column-keeps-its-sum", test_a_column_keeps_its_sum);
  g_test_add_func ("/letter/adds-up", test_the_letter_adds_up);
  g_test_add_func ("/letter/not-seen-has-its-error", test_not_seen_has_its_error);
  g_test_add_func ("/letter/force-is-said-before-the-verdict",
                   test_force_is_said_before_the_verdict);
  g_test_add_func ("/letter/what-was-taken-for-the-bladder",
                   test_what_was_taken_for_the_bladder);
  g_test_add_func ("/letter/other-fluid-is-named", test_other_fluid_is_named);
  g_test_add_func ("/letter/small-volumes-have-tenths", test_small_volumes_have_tenths);
  g_test_add_func ("/letter/no-fold-to-lift-is-said-once", test_no_fold_to_lift_is_said_once);
  return g_test_run ();
}
