/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Label maps on the command line: a body goes out, a patient comes in and measures the same;
 * and a patient on paper. */
#include "run-cli.h"

#include <string.h>

static char *
in_folder (const char *name)
{
  return g_build_filename (cli_folder (), name, NULL);
}

static void
expect_text (CliRun *run, const char *const *wanted)
{
  g_assert_cmpstr (run->err, ==, "");
  g_assert_cmpint (run->exit_code, ==, 0);
  for (; *wanted != NULL; wanted++)
    if (strstr (run->out, *wanted) == NULL)
      g_error ("“%s” does not say “%s”", run->out, *wanted);
  cli_run_clear (run);
}

#define EXPECT(run, ...) expect_text (run, (const char *const[]){ __VA_ARGS__, NULL })

static void
test_out_and_in (void)
{
  g_autofree char *plain = cli_anatomy ("01-plain-adult.anatomy");
  g_autofree char *map = in_folder ("plain.nrrd"), *made = in_folder ("mine.anatomy");
  CliRun run = cli_run (NULL, "labels %s --nrrd %s --pitch 2", plain, map);
  g_assert_cmpstr (run.err, ==, "");
  g_assert_cmpint (run.exit_code, ==, 0);
  cli_run_clear (&run);

  /* 6 is urine; the patient is written with 320 mL. */
  run = cli_run (NULL, "import %s", map);
  EXPECT (&run, "voxels of 8 mm³", "label 6: 3", "label 7: ");
  run = cli_run (NULL, "import %s --bladder 6 --like %s --title Again --output %s", map, plain,
                 made);
  EXPECT (&run, "mine.anatomy", "% (Dice)");
  run = cli_run (NULL, "check %s", made);
  g_assert_cmpint (run.exit_code, ==, 0);
  cli_run_clear (&run);
  run = cli_run (NULL, "scan %s --no-ledger --planes 12", made);
  EXPECT (&run, "Truth: 320 mL", "accurate");
}

static void
test_refused (void)
{
  g_autofree char *plain = cli_anatomy ("01-plain-adult.anatomy");
  g_autofree char *map = in_folder ("small.nrrd");
  CliRun run = cli_run (NULL, "labels %s --nrrd %s --pitch 8", plain, map);
  cli_run_clear (&run);

  run = cli_run (NULL, "labels %s", plain);
  cli_expect_complaint (&run, 2, "--nrrd");
  run = cli_run (NULL, "labels %s --nrrd /dev/null/x", plain);
  cli_expect_complaint (&run, 1, "/dev/null/x");
  run = cli_run (NULL, "import %s", plain);
  cli_expect_complaint (&run, 1, "not an NRRD");
  run = cli_run (NULL, "import %s --bladder 99 --output %s/a.anatomy", map, cli_folder ());
  cli_expect_complaint (&run, 1, "no label 99");
  run = cli_run (NULL, "import %s --structures 2=elbow --output %s/a.anatomy", map,
                 cli_folder ());
  cli_expect_complaint (&run, 2, "LABEL=KIND");
  run = cli_run (NULL, "import %s --bladder 1 --output %s/a.anatomy", map, cli_folder ());
  cli_expect_complaint (&run, 1, "no closed body");
  run = cli_run (NULL, "import %s --bladder 6 --output %s/small.anatomy", map, cli_folder ());
  cli_expect_complaint (&run, 2, "written over");
}

/* One page for the class; a learner's has no truth on it, and needs no window. */
static void
test_sheet (void)
{
  g_autofree char *plain = cli_anatomy ("01-plain-adult.anatomy"), *bytes = NULL;
  g_autofree char *pdf = in_folder ("plain.pdf"), *png = in_folder ("plain.png");
  CliRun run = cli_run (NULL, "sheet %s --handout --pdf %s --png %s", plain, pdf, png);
  EXPECT (&run, "");
  g_assert_true (g_file_get_contents (pdf, &bytes, NULL, NULL));
  g_assert_true (g_str_has_prefix (bytes, "%PDF-"));
  g_assert_true (g_file_test (png, G_FILE_TEST_EXISTS));
  run = cli_run (NULL, "sheet %s", plain);
  cli_expect_complaint (&run, 2, "--pdf or --png");
  run = cli_run (NULL, "sheet %s --handout --pdf %s", plain, "/dev/null/x");
  cli_expect_complaint (&run, 1, "/dev/null/x");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/maps/out-and-in", test_out_and_in);
  g_test_add_func ("/maps/refused", test_refused);
  g_test_add_func ("/maps/sheet", test_sheet);
  int outcome = g_test_run ();
  cli_remove_folder ();
  return outcome;
}
