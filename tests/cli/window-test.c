/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli window and check --window as a user meets them. */
#include "run-cli.h"

#include <glib/gstdio.h>
#include <string.h>

static void
expect_words (const char *text, const char *words)
{
  if (strstr (text, words) == NULL)
    g_error ("no \"%s\" in:\n%s", words, text);
}

static void
test_object_holds_together (void)
{
  g_autofree char *path = cli_anatomy ("03-slim-young-adult.anatomy");
  CliRun run = cli_run (NULL, "window %s --json --threads 2 --poses 300", path);
  g_assert_cmpstr (run.err, ==, "");
  g_assert_cmpint (run.exit_code, ==, 0);
  JsonObject *object = cli_parse (run.out);
  g_assert_cmpstr (cli_text (object, "schema"), ==, "tarn.window/1");
  g_assert_cmpstr (cli_text (object, "patient.id"), ==, "slim-young-adult");
  double poses = cli_number (object, "poses");
  JsonObject *grid = json_object_get_object_member (object, "grid");
  double layers = json_array_get_length (json_object_get_array_member (grid, "layers"));
  g_assert_cmpfloat (poses, ==,
                     layers * cli_number (object, "grid.above_mm.count")
                         * cli_number (object, "grid.left_mm.count")
                         * cli_number (object, "grid.tilt_deg.count"));
  g_assert_cmpfloat (poses, >, 150);
  g_assert_cmpfloat (poses, <, 600);
  g_assert_cmpfloat_with_epsilon (cli_number (object, "shares.accurate"),
                                  cli_number (object, "accurate") / poses, 1e-4);
  double sum = 0;
  JsonObject *shares = json_object_get_object_member (object, "shares");
  g_autoptr (GList) names = json_object_get_members (shares);
  for (GList *at = names; at != NULL; at = at->next)
    sum += json_object_get_double_member (shares, at->data);
  g_assert_cmpfloat_with_epsilon (sum, 1, 1e-3);
  g_assert_true (json_object_get_boolean_member (object, "open"));
  g_assert_false (json_object_get_boolean_member (object, "lower_bound"));
  g_assert_false (json_object_get_boolean_member (object, "stop"));

  /* The best pose, scanned, is accurate. */
  g_autofree char *pose = g_strdup_printf (
      "--above %.3f --left %.3f --tilt %.3f --force %.3f --gel 20",
      cli_number (object, "best.above_mm"), cli_number (object, "best.left_mm"),
      cli_number (object, "best.tilt_deg"), cli_number (object, "best.force_n"));
  CliRun scan = cli_run (NULL, "scan %s %s --no-ledger --json", path, pose);
  JsonObject *scanned = cli_parse (scan.out);
  g_assert_cmpstr (cli_text (scanned, "verdict"), ==, "accurate");
  json_object_unref (scanned);
  json_object_unref (object);
  cli_run_clear (&scan);
  cli_run_clear (&run);
}

static void
test_letter_and_picture (void)
{
  g_autofree char *path = cli_anatomy ("08-fluid-in-the-belly.anatomy");
  g_autofree char *png = g_build_filename (cli_folder (), "map.png", NULL);
  CliRun run = cli_run (NULL, "window %s --poses 200 --png %s", path, png);
  g_assert_cmpint (run.exit_code, ==, 0);
  static const char *const wanted[]
      = { "Window: ",    "Size, through its best pose: ",   "Best pose: ", "Difficulty: ",
          "wrong fluid", "Training only, synthetic anatomy" };
  for (guint k = 0; k < G_N_ELEMENTS (wanted); k++)
    expect_words (run.out, wanted[k]);
  g_autofree char *data = NULL;
  gsize size = 0;
  g_assert_true (g_file_get_contents (png, &data, &size, NULL));
  g_assert_cmpmem (data, 4, "\x89PNG", 4);
  g_remove (png);
  cli_run_clear (&run);
}

/* Nobody should scan her, and the window is told all the same. */
static void
test_stop_is_told (void)
{
  g_autofree char *path = cli_anatomy ("32-she-said-no.anatomy");
  CliRun run = cli_run (NULL, "window %s --poses 60", path);
  g_assert_cmpint (run.exit_code, ==, 0);
  expect_words (run.out, "This situation says not to scan: ");
  expect_words (run.out, "Mapped all the same.");
  cli_run_clear (&run);
}

/* Deep under fat, and she bears no press: a patient that teaches nothing. */
static void
test_check_tells_a_hopeless_patient (void)
{
  static const char deep[] = "[Anatomy]\nformat=1\nseed=5\nid=deep\ntitle=Too deep\n"
                             "[Habitus]\nsex=female\nage-years=40\nfat-mm=120\n"
                             "torso-width-mm=560\ntorso-depth-mm=420\n"
                             "[Bladder]\nvolume-ml=100\n"
                             "[Patient]\ncomfort-n=3\n";
  g_autofree char *hopeless = cli_write_file ("deep.anatomy", deep, -1);
  CliRun run = cli_run (NULL, "check %s", hopeless);
  if (run.exit_code != 0)
    g_error ("%s", run.err);
  cli_run_clear (&run);
  run = cli_run (NULL, "check --window %s", hopeless);
  cli_expect_complaint (&run, 1, "no pose gives an accurate reading");

  g_autofree char *full = cli_anatomy ("07-very-full.anatomy");
  run = cli_run (NULL, "check %s --window", full);
  g_assert_cmpint (run.exit_code, ==, 0);
  expect_words (run.out, ": valid");
  cli_run_clear (&run);
}

static void
test_manual_defines_difficulty (void)
{
  g_autofree char *page = NULL;
  g_assert_true (g_file_get_contents (g_getenv ("TARN_MANUAL"), &page, NULL, NULL));
  expect_words (page, "Difficulty, 0 to 100, is the chance");
  expect_words (page, "tarn.window/1");
}

static void
test_mistakes_are_told (void)
{
  g_autofree char *path = cli_anatomy ("03-slim-young-adult.anatomy");
  CliRun run = cli_run (NULL, "window");
  cli_expect_complaint (&run, 2, "no patient file");
  run = cli_run (NULL, "window %s --above 3", path);
  cli_expect_complaint (&run, 2, "no option");
  run = cli_run (NULL, "window %s --poses 7", path);
  cli_expect_complaint (&run, 2, "poses");
  run = cli_run (NULL, "window /nowhere.anatomy");
  cli_expect_complaint (&run, 1, "nowhere");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/window/object-holds-together", test_object_holds_together);
  g_test_add_func ("/window/letter-and-picture", test_letter_and_picture);
  g_test_add_func ("/window/stop-is-told", test_stop_is_told);
  g_test_add_func ("/window/check-tells-a-hopeless-patient",
                   test_check_tells_a_hopeless_patient);
  g_test_add_func ("/window/manual-defines-difficulty", test_manual_defines_difficulty);
  g_test_add_func ("/window/mistakes-are-told", test_mistakes_are_told);
  int outcome = g_test_run ();
  cli_remove_folder ();
  return outcome;
}
