/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli scan: the object it prints, read with a parser that is not ours, and the identities
 * that must hold in it whatever the physics says. */
#include "run-cli.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

static const char *const causes[]
    = { "edge", "bone", "gas", "contact", "motion", "other_fluid", "rest" };

static const char *const verdicts[]
    = { "accurate", "clipped",     "shadowed",    "poor-contact",
        "moved",    "wrong-fluid", "unexplained", NULL };

/* Scans the plain adult; fails the test when that fails. */
static JsonObject *
scan_plain (const char *options)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  CliRun run = cli_run (NULL, "scan %s --json%s", plain, options);
  g_assert_cmpstr (run.err, ==, "");
  g_assert_cmpint (run.exit_code, ==, 0);
  g_assert_cmpint (cli_lines (run.out), ==, 1);
  JsonObject *scan = cli_parse (run.out);
  cli_run_clear (&run);
  g_free (plain);
  return scan;
}

static void
assert_near (double value, double expected, double tolerance)
{
  g_assert_cmpfloat_with_epsilon (value, expected, tolerance);
}

static void
check_planes (JsonObject *scan, guint expected)
{
  JsonArray *planes = json_object_get_array_member (
      json_object_get_object_member (scan, "reading"), "planes");
  double before = -INFINITY;
  g_assert_cmpuint (json_array_get_length (planes), ==, expected);
  for (guint k = 0; k < expected; k++)
    {
      JsonObject *plane = json_array_get_object_element (planes, k);
      double angle = cli_number (plane, "angle_deg"), area = cli_number (plane, "area_mm2");
      double shares = cli_number (plane, "seen") + cli_number (plane, "bridged")
                      + cli_number (plane, "at_edge");
      g_assert_cmpfloat (angle, >, before);
      g_assert_cmpfloat (fabs (angle), <=, 35.001);
      g_assert_cmpfloat (area, >=, 0);
      assert_near (shares, area > 0 ? 1 : 0, 0.001);
      before = angle;
    }
}

/* In an outline of a plain adult's bladder there is urine, and no other fluid. */
static void
check_contents (JsonObject *scan)
{
  g_assert_cmpfloat (cli_number (scan, "contents.urine"), >, 0.8);
  g_assert_cmpfloat (cli_number (scan, "contents.urine"), <=, 1);
  assert_near (cli_number (scan, "contents.other"), 0, 1e-9);
}

static void
test_object_is_whole_and_agrees_with_itself (void)
{
  JsonObject *scan = scan_plain ("");
  g_assert_cmpstr (cli_text (scan, "schema"), ==, "tarn.scan/1");
  g_assert_cmpstr (cli_text (scan, "patient.id"), ==, "plain-adult");
  g_assert_cmpuint (strlen (cli_text (scan, "patient.sha256")), ==, 64);

  /* The pose is as agreed when nothing is asked for. */
  static const struct
  {
    const char *path;
    double value;
  } pose[] = {
    { "pose.above_mm", 40 }, { "pose.left_mm", 0 },      { "pose.tilt_deg", 5 },
    { "pose.lean_deg", 0 },  { "pose.turn_deg", 0 },     { "pose.force_n", 5 },
    { "pose.gel_g", 20 },    { "pose.lift_percent", 0 }, { "pose.depth_mm", 180 },
  };
  for (guint k = 0; k < G_N_ELEMENTS (pose); k++)
    assert_near (cli_number (scan, pose[k].path), pose[k].value, 1e-9);

  /* A plain adult of fat 18: 5 N sink in about 10 mm (own design value, within a third). */
  g_assert_cmpfloat (cli_number (scan, "contact.indentation_mm"), >, 10 * 2.0 / 3);
  g_assert_cmpfloat (cli_number (scan, "contact.indentation_mm"), <, 10 * 4.0 / 3);
  g_assert_cmpfloat (cli_number (scan, "contact.wet_fraction"), <=, 1);
  g_assert_cmpfloat (cli_number (scan, "contact.wet_fraction"), >=, 0);

  /* Its file says 320 mL; pressing leaves volumes alone. */
  double truth = cli_number (scan, "truth.volume_ml");
  assert_near (truth, 320, 0.32);
  assert_near (cli_number (scan, "truth.pressed_volume_ml"), truth, 0.32);
  assert_near (cli_number (scan, "tolerance_ml"), fmax (0.1 * truth, 10), 0.001);
  assert_near (cli_number (scan, "error_ml"), cli_number (scan, "reading.volume_ml") - truth,
               0.001);
  check_planes (scan, 36);
  check_contents (scan);

  static const char *const timings[] = { "body", "plane", "sweep", "ledger" };
  for (guint k = 0; k < G_N_ELEMENTS (timings); k++)
    {
      char *path = g_strconcat ("timing_ms.", timings[k], NULL);
      g_assert_cmpfloat (cli_number (scan, path), >=, 0);
      g_free (path);
    }
  json_object_unref (scan);
}

static void
test_ledger_sums_to_the_error (void)
{
  JsonObject *scan = scan_plain (" --above 20 --tilt 20");
  double sum = 0;
  for (guint k = 0; k < G_N_ELEMENTS (causes); k++)
    {
      char *path = g_strconcat ("ledger_ml.", causes[k], NULL);
      sum += cli_number (scan, path);
      g_free (path);
    }
  assert_near (sum, cli_number (scan, "error_ml"), 0.01);
  g_assert_true (g_strv_contains (verdicts, cli_text (scan, "verdict")));
  g_assert_true (json_node_get_value_type (json_object_get_member (scan, "by_luck"))
                 == G_TYPE_BOOLEAN);
  json_object_unref (scan);
}

static void
test_without_a_ledger (void)
{
  JsonObject *scan = scan_plain (" --no-ledger --left 60 --planes 12");
  g_assert_true (json_object_get_null_member (scan, "ledger_ml"));
  const char *verdict = cli_text (scan, "verdict");
  gboolean accurate = fabs (cli_number (scan, "error_ml")) <= cli_number (scan, "tolerance_ml");
  g_assert_cmpstr (verdict, ==, accurate ? "accurate" : "not-accurate");
  check_planes (scan, 12);
  json_object_unref (scan);
}

/* All but the timings, as text. */
static char *
untimed (const char *options)
{
  JsonObject *scan = scan_plain (options);
  JsonNode *node = json_node_alloc ();
  JsonObject *copy = json_object_new ();
  GList *members = json_object_get_members (scan);
  for (GList *at = members; at != NULL; at = at->next)
    if (strcmp (at->data, "timing_ms") != 0)
      json_object_set_member (copy, at->data,
                              json_node_copy (json_object_get_member (scan, at->data)));
  json_node_init_object (node, copy);
  char *text = json_to_string (node, FALSE);
  json_node_free (node);
  json_object_unref (copy);
  json_object_unref (scan);
  g_list_free (members);
  return text;
}

static void
test_threads_change_nothing (void)
{
  char *one = untimed (" --threads 1 --tremor 3 --seed 9 --planes 16");
  char *two = untimed (" --threads 2 --tremor 3 --seed 9 --planes 16");
  char *four = untimed (" --threads 4 --tremor 3 --seed 9 --planes 16");
  g_assert_cmpstr (one, ==, two);
  g_assert_cmpstr (one, ==, four);
  g_free (one);
  g_free (two);
  g_free (four);
}

static void
test_seed_draws_the_tremor (void)
{
  char *one = untimed (" --no-ledger --tremor 5 --seed 1 --planes 12");
  char *again = untimed (" --no-ledger --tremor 5 --seed 1 --planes 12");
  char *other = untimed (" --no-ledger --tremor 5 --seed 2 --planes 12");
  g_assert_cmpstr (one, ==, again);
  g_assert_cmpstr (one, !=, other);
  g_free (one);
  g_free (again);
  g_free (other);
}

/* A situation in which not scanning is right: said, and scanned all the same. */
static void
test_a_stop_is_said (void)
{
  GError *error = NULL;
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  char *text = NULL;
  g_file_get_contents (plain, &text, NULL, &error);
  g_assert_no_error (error);
  char **halves = g_strsplit (text, "[Situation]\n", 2);
  char *stopped = g_strjoin ("[Situation]\nstop=She asks to be left alone.\n", halves[0],
                             halves[1], NULL);
  char *path = cli_write_file ("stop.anatomy", stopped, -1);

  CliRun run = cli_run (NULL, "scan %s --no-ledger --planes 6", path);
  g_assert_cmpint (run.exit_code, ==, 0);
  g_assert_nonnull (strstr (run.out, "She asks to be left alone."));
  g_assert_nonnull (strstr (run.out, "Truth: 320 mL"));
  cli_run_clear (&run);
  run = cli_run (NULL, "scan %s --no-ledger --planes 6 --json", path);
  g_assert_cmpint (run.exit_code, ==, 0);
  g_assert_nonnull (strstr (run.err, "She asks to be left alone."));
  json_object_unref (cli_parse (run.out));
  cli_run_clear (&run);

  g_free (path);
  g_free (stopped);
  g_strfreev (halves);
  g_free (text);
  g_free (plain);
}

static void
test_off_the_body (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  CliRun run = cli_run (NULL, "scan %s --above 600 --json", plain);
  cli_expect_complaint (&run, 1, "above 600");
  g_free (plain);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/scan/object-is-whole-and-agrees-with-itself",
                   test_object_is_whole_and_agrees_with_itself);
  g_test_add_func ("/scan/ledger-sums-to-the-error", test_ledger_sums_to_the_error);
  g_test_add_func ("/scan/without-a-ledger", test_without_a_ledger);
  g_test_add_func ("/scan/threads-change-nothing", test_threads_change_nothing);
  g_test_add_func ("/scan/seed-draws-the-tremor", test_seed_draws_the_tremor);
  g_test_add_func ("/scan/a-stop-is-said", test_a_stop_is_said);
  g_test_add_func ("/scan/off-the-body", test_off_the_body);
  int outcome = g_test_run ();
  cli_remove_folder ();
  return outcome;
}
