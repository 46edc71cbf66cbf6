/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Bad files, bad tables and bad places to write to: one clear line, exit 1, and never half a
 * file. */
#include "run-cli.h"

#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>

#define HEAD "[Anatomy]\nformat=1\nid=x\ntitle=X\nseed=1\n"
#define BODY "[Habitus]\nsex=male\nage-years=40\nfat-mm=18\n"

/* A file's contents and what the message must hold. */
static const struct
{
  const char *name, *data;
  gssize size; /* -1: up to NUL */
  const char *word;
} bad_files[] = {
  { "empty.anatomy", "", -1, "empty.anatomy" },
  { "prose.anatomy", "once upon a time\n", -1, "prose.anatomy:1" },
  { "nul.anatomy", HEAD "\0" BODY, sizeof (HEAD "\0" BODY) - 1, "nul.anatomy" },
  { "latin.anatomy", "[Anatomy]\nformat=1\nid=x\ntitle=\xe9t\xe9\nseed=1\n" BODY, -1,
    "latin.anatomy" },
  { "nan.anatomy", HEAD BODY "[Bladder]\nvolume-ml=nan\n", -1, "nan.anatomy:11" },
  { "inf.anatomy", HEAD BODY "[Bladder]\nvolume-ml=inf\n", -1, "inf.anatomy:11" },
  { "word.anatomy", HEAD BODY "[Bladder]\nvolume-ml=much\n", -1, "word.anatomy:11" },
  { "comma.anatomy", HEAD BODY "[Bladder]\nvolume-ml=3,5\n", -1, "comma.anatomy:11" },
  { "high.anatomy", HEAD BODY "[Bladder]\nvolume-ml=2001\n", -1, "2000" },
  { "low.anatomy", HEAD "[Habitus]\nsex=male\nage-years=40\nfat-mm=1\n[Bladder]\nvolume-ml=9\n",
    -1, "fat-mm" },
  { "missing.anatomy", HEAD BODY, -1, "volume-ml" },
  { "unknown.anatomy", HEAD BODY "[Bladder]\nvolume-ml=300\ncolour=red\n", -1,
    "unknown.anatomy:12" },
  { "group.anatomy", HEAD BODY "[Bladder]\nvolume-ml=300\n[Liver]\nsize=3\n", -1, "Liver" },
  { "twice.anatomy", HEAD BODY "[Bladder]\nvolume-ml=300\nvolume-ml=200\n", -1,
    "twice.anatomy:12" },
  { "future.anatomy",
    "[Anatomy]\nformat=2\nid=x\ntitle=X\nseed=1\n" BODY "[Bladder]\nvolume-ml=300\n", -1,
    "format" },
};

static void
expect_bad_file (const char *path, const char *word)
{
  CliRun run = cli_run (NULL, "check %s", path);
  g_test_message ("%d: %s", run.exit_code, run.err);
  g_assert_cmpint (run.exit_code, ==, 1);
  g_assert_cmpstr (run.out, ==, "");
  g_assert_nonnull (strstr (run.err, word));
  cli_run_clear (&run);
  /* Other commands refuse it as well. */
  run = cli_run (NULL, "scan %s --json", path);
  g_assert_cmpint (run.exit_code, ==, 1);
  g_assert_cmpstr (run.out, ==, "");
  g_assert_nonnull (strstr (run.err, word));
  cli_run_clear (&run);
}

static void
test_bad_patient_files (void)
{
  for (guint k = 0; k < G_N_ELEMENTS (bad_files); k++)
    {
      char *path = cli_write_file (bad_files[k].name, bad_files[k].data, bad_files[k].size);
      expect_bad_file (path, bad_files[k].word);
      g_free (path);
    }
}

static void
test_huge_and_unreadable_patient_files (void)
{
  char *huge = g_strnfill (8 * 1024 * 1024, '#');
  char *path = cli_write_file ("huge.anatomy", huge, -1);
  expect_bad_file (path, "huge.anatomy");
  g_free (path);
  g_free (huge);
  expect_bad_file ("no-such.anatomy", "no-such.anatomy");
  expect_bad_file (cli_folder (), cli_folder ());
  expect_bad_file ("/dev/full", "/dev/full");
}

/* Nobody writes to the pipe, so opening it would never end. */
static void
test_a_pipe_is_no_file (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  char *pipe = g_build_filename (cli_folder (), "pipe", NULL);
  g_assert_cmpint (mkfifo (pipe, 0600), ==, 0);
  expect_bad_file (pipe, "not a regular file");
  CliRun run = cli_run (NULL, "scan %s --poses %s", plain, pipe);
  cli_expect_complaint (&run, 1, "not a regular file");
  g_free (pipe);
  g_free (plain);
}

/* A cyst in the middle of the bladder: each number is in range, together they cannot be. */
static void
test_what_overlaps_the_bladder_is_named (void)
{
  char *path = cli_write_file (
      "overlap.anatomy",
      HEAD BODY "[Bladder]\nvolume-ml=300\n"
                "[Structure 1]\nkind=cyst\ncentre-mm=0;60;30\nradii-mm=30;30;30\n",
      -1);
  expect_bad_file (
      path, "overlap.anatomy:14: [Structure 1] centre-mm: the cyst has its middle within");
  g_free (path);
}

static void
test_shipped_patients_are_valid (void)
{
  GDir *dir = g_dir_open (g_getenv ("TARN_ANATOMIES"), 0, NULL);
  GString *paths = g_string_new (NULL);
  int files = 0;
  for (const char *name; (name = g_dir_read_name (dir)) != NULL; files++)
    g_string_append_printf (paths, " %s/%s", g_getenv ("TARN_ANATOMIES"), name);
  g_dir_close (dir);
  CliRun run = cli_run (NULL, "check%s", paths->str);
  g_assert_cmpstr (run.err, ==, "");
  g_assert_cmpint (run.exit_code, ==, 0);
  g_assert_cmpint (cli_lines (run.out), ==, files);
  g_assert_cmpint (files, >=, 8);
  cli_run_clear (&run);
  g_string_free (paths, TRUE);
}

/* Tables of poses and what the message must hold. */
static const struct
{
  const char *table, *word;
} bad_tables[] = {
  { "", ":1:" },
  { "above,nose\n1,2\n", "nose" },
  { "above;left\n1;2\n", "commas" },
  { "above,left\n", "no poses" },
  { "above,left\n\n \n", "no poses" },
  { "above,above\n1,2\n", "above" },
  { "above,left\n40,0\n40\n", ":3: left" },
  { "above,left\n40,0,5\n", ":2:" },
  { "above\n40\n\nnan\n", ":4: above" },
  { "above\n1e999\n", ":2: above" },
  { "above\nforty\n", "forty" },
  { "above,force\n40,-1\n", "0 to 60" },
  { "above\n\"40\n", ":2:" },
  { "above\n\"40\"x\n", ":2:" },
  { "above\n\xff\n", "UTF-8" },
  { "planes\n2.5\n", "whole" },
};

static void
test_bad_tables_are_refused_before_any_scan (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  for (guint k = 0; k < G_N_ELEMENTS (bad_tables); k++)
    {
      CliRun run = cli_run (bad_tables[k].table, "scan %s --poses -", plain);
      cli_expect_complaint (&run, 1, bad_tables[k].word);
    }
  char *huge = g_strnfill (17 * 1024 * 1024, '\n');
  char *path = cli_write_file ("huge.csv", huge, -1);
  CliRun run = cli_run (NULL, "scan %s --poses %s", plain, path);
  cli_expect_complaint (&run, 1, "16 MB");
  g_free (path);
  g_free (huge);
  run = cli_run (NULL, "scan %s --poses no-such.csv", plain);
  cli_expect_complaint (&run, 1, "no-such.csv");
  run = cli_run (NULL, "scan %s --poses %s", plain, cli_folder ());
  cli_expect_complaint (&run, 1, cli_folder ());
  g_free (plain);
}

static void
test_table_gives_one_object_a_row (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  /* Blanks, quotes, empty lines, CRLF and a byte order mark are all CSV. */
  CliRun run = cli_run ("\xef\xbb\xbf"
                        "above, tilt\r\n40,5\r\n\r\n\"50\",10\r\n600,0\r\n60,-5",
                        "scan %s --poses - --no-ledger --planes 6", plain);
  g_assert_cmpint (run.exit_code, ==, 1);
  g_assert_cmpint (cli_lines (run.out), ==, 3);
  g_assert_nonnull (strstr (run.err, "standard input:5: above 600"));
  char **line = g_strsplit (run.out, "\n", -1);
  static const double above[3] = { 40, 50, 60 }, tilt[3] = { 5, 10, -5 };
  for (int k = 0; k < 3; k++)
    {
      JsonObject *scan = cli_parse (line[k]);
      g_assert_cmpfloat (cli_number (scan, "pose.above_mm"), ==, above[k]);
      g_assert_cmpfloat (cli_number (scan, "pose.tilt_deg"), ==, tilt[k]);
      g_assert_cmpfloat (cli_number (scan, "pose.force_n"), ==, 5);
      json_object_unref (scan);
    }
  g_strfreev (line);
  cli_run_clear (&run);
  g_free (plain);
}

static void
test_pictures_are_png_files (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  CliRun run = cli_run (NULL,
                        "scan %s --no-ledger --planes 6 --plane-png %s/p.png --outline "
                        "--planes-png %s/s.png",
                        plain, cli_folder (), cli_folder ());
  g_assert_cmpstr (run.err, ==, "");
  g_assert_cmpint (run.exit_code, ==, 0);
  cli_run_clear (&run);
  static const char *const names[] = { "p.png", "s.png" };
  for (guint k = 0; k < G_N_ELEMENTS (names); k++)
    {
      char *path = g_build_filename (cli_folder (), names[k], NULL), *data = NULL;
      gsize size = 0;
      g_assert_true (g_file_get_contents (path, &data, &size, NULL));
      g_assert_cmpuint (size, >, 10000);
      g_assert_cmpmem (data, 8, "\x89PNG\r\n\x1a\n", 8);
      g_free (data);
      g_free (path);
    }
  g_free (plain);
}

static void
test_mesh_is_a_closed_solid_for_each_part (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  char *path = g_build_filename (cli_folder (), "lumen.stl", NULL), *text = NULL;
  CliRun run = cli_run (NULL, "mesh %s --stl %s --part lumen", plain, path);
  g_assert_cmpstr (run.err, ==, "");
  g_assert_cmpint (run.exit_code, ==, 0);
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  g_assert_true (g_str_has_prefix (text, "solid lumen\n"));
  g_assert_true (g_str_has_suffix (text, "endsolid lumen\n"));
  cli_run_clear (&run);
  g_free (text);
  g_free (path);
  g_free (plain);
}

/* Runs with one place to write to that cannot be written, and expects no trace of a try. */
static void
expect_unwritable (const char *options, const char *word)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  CliRun run = cli_run (NULL, "scan %s --no-ledger --planes 4 %s", plain, options);
  cli_expect_complaint (&run, 1, word);
  g_free (plain);
}

static void
test_unwritable_places (void)
{
  expect_unwritable ("--plane-png /dev/full", "No space left");
  expect_unwritable ("--planes-png /dev/full", "No space left");
  expect_unwritable ("--plane-png no-such-folder/p.png", "no-such-folder/p.png");
  char *folder = g_strconcat ("--plane-png ", cli_folder (), NULL);
  expect_unwritable (folder, cli_folder ());
  g_free (folder);

  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  CliRun run = cli_run (NULL, "mesh %s --stl /dev/full", plain);
  cli_expect_complaint (&run, 1, "/dev/full");
  g_free (plain);
}

/* A device that is written to is still the device, and no half-written file stands beside. */
static void
test_nothing_is_left_behind (void)
{
  GStatBuf there;
  g_assert_cmpint (g_stat ("/dev/full", &there), ==, 0);
  g_assert_cmpint (S_ISCHR (there.st_mode), !=, 0);
  GDir *dir = g_dir_open (cli_folder (), 0, NULL);
  for (const char *name; (name = g_dir_read_name (dir)) != NULL;)
    g_assert_false (strstr (name, ".png.") != NULL || strstr (name, ".stl.") != NULL);
  g_dir_close (dir);
}

/* An older file stands until the new one is whole. */
static void
test_an_old_file_survives_a_failure (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  char *path = cli_write_file ("old.png", "old", -1), *text = NULL;
  CliRun run = cli_run (NULL, "scan %s --above 600 --plane-png %s", plain, path);
  g_assert_cmpint (run.exit_code, ==, 1);
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, "old");
  cli_run_clear (&run);
  g_free (text);
  g_free (path);
  g_free (plain);
}

static void
test_full_standard_output (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  char *line = g_strdup_printf ("'%s' scan '%s' --no-ledger --planes 4 > /dev/full",
                                g_getenv ("TARN_CLI"), plain);
  char *argv[] = { "sh", "-c", line, NULL }, *err = NULL;
  int status = 0;
  g_assert_true (g_spawn_sync (NULL, argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, &err,
                               &status, NULL));
  g_assert_false (g_spawn_check_wait_status (status, NULL));
  g_assert_nonnull (strstr (err, "standard output"));
  g_free (err);
  g_free (line);
  g_free (plain);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/files/bad-patient-files", test_bad_patient_files);
  g_test_add_func ("/files/huge-and-unreadable", test_huge_and_unreadable_patient_files);
  g_test_add_func ("/files/a-pipe-is-no-file", test_a_pipe_is_no_file);
  g_test_add_func ("/files/what-overlaps-the-bladder-is-named",
                   test_what_overlaps_the_bladder_is_named);
  g_test_add_func ("/files/shipped-patients-are-valid", test_shipped_patients_are_valid);
  g_test_add_func ("/files/bad-tables-are-refused-before-any-scan",
                   test_bad_tables_are_refused_before_any_scan);
  g_test_add_func ("/files/table-gives-one-object-a-row", test_table_gives_one_object_a_row);
  g_test_add_func ("/files/pictures-are-png-files", test_pictures_are_png_files);
  g_test_add_func ("/files/mesh-is-a-solid-for-each-part",
                   test_mesh_is_a_closed_solid_for_each_part);
  g_test_add_func ("/files/unwritable-places", test_unwritable_places);
  g_test_add_func ("/files/an-old-file-survives-a-failure",
                   test_an_old_file_survives_a_failure);
  g_test_add_func ("/files/nothing-is-left-behind", test_nothing_is_left_behind);
  g_test_add_func ("/files/full-standard-output", test_full_standard_output);
  int outcome = g_test_run ();
  cli_remove_folder ();
  return outcome;
}
