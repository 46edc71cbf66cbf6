/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The command line as a contract: commands, options, exit codes, and one clear line for every
 * mistake. */
#include "run-cli.h"

#include <string.h>

/* The contract's names. */
static const char *const scan_options[] = {
  "--above MM",    "--left MM",      "--tilt DEG",     "--lean DEG",  "--turn DEG",
  "--force N",     "--gel G",        "--lift PERCENT", "--depth MM",  "--gain DB",
  "--planes N",    "--tremor MM",    "--seed N",       "--threads N", "--no-ledger",
  "--plane-png F", "--planes-png F", "--json",         "--poses F",
};

static void
test_help_names_every_command (void)
{
  CliRun run = cli_run (NULL, "--help");
  g_assert_cmpint (run.exit_code, ==, 0);
  g_assert_cmpstr (run.err, ==, "");
  static const char *const commands[] = { "scan",   "calipers", "check",  "mesh",   "replay",
                                          "window", "learn",    "labels", "import", "sheet" };
  for (guint k = 0; k < G_N_ELEMENTS (commands); k++)
    g_assert_nonnull (strstr (run.out, commands[k]));
  g_assert_nonnull (strstr (run.out, "Training only, synthetic anatomy"));
  cli_run_clear (&run);
}

static void
test_help_of_each_command (void)
{
  static const char *const commands[] = { "scan",   "calipers", "check",  "mesh",   "replay",
                                          "window", "learn",    "labels", "import", "sheet" };
  for (guint k = 0; k < G_N_ELEMENTS (commands); k++)
    {
      CliRun run = cli_run (NULL, "%s --help", commands[k]);
      g_assert_cmpint (run.exit_code, ==, 0);
      g_assert_true (g_str_has_prefix (run.out, "Usage: tarn-cli "));
      cli_run_clear (&run);
    }
}

static void
test_scan_has_the_options_agreed (void)
{
  CliRun run = cli_run (NULL, "scan --help");
  for (guint k = 0; k < G_N_ELEMENTS (scan_options); k++)
    if (strstr (run.out, scan_options[k]) == NULL)
      g_error ("no %s in the help", scan_options[k]);
  /* Defaults, as agreed. */
  g_assert_nonnull (strstr (run.out, "; 40)"));
  g_assert_nonnull (strstr (run.out, "-80 to 80; 5)"));
  g_assert_nonnull (strstr (run.out, "0 to 60; 5)"));
  g_assert_nonnull (strstr (run.out, "0 to 100; 20)"));
  g_assert_nonnull (strstr (run.out, "1 to 64;"));
  g_assert_nonnull (strstr (run.out, "implies --json"));
  g_assert_nonnull (strstr (run.out, "start-pose"));
  cli_run_clear (&run);
}

/* Words after the program's name, the exit code, and what the message must name. */
static const struct
{
  const char *arguments;
  const char *word;
} mistakes[] = {
  { "scan", "file" },
  { "scan a b", "\"b\"" },
  { "scan FILE --nonsense", "--nonsense" },
  { "scan FILE -x", "-x" },
  { "scan FILE --force", "--force" },
  { "scan FILE --force soft", "--force" },
  { "scan FILE --force nan", "--force" },
  { "scan FILE --force inf", "--force" },
  { "scan FILE --force 0x10", "--force" },
  { "scan FILE --force -1", "0 to 60" },
  { "scan FILE --force 61", "0 to 60" },
  { "scan FILE --force=", "--force" },
  { "scan FILE --above 1e9", "--above" },
  { "scan FILE --tilt 1,5", "--tilt" },
  { "scan FILE --lift 101", "0 to 100" },
  { "scan FILE --gel -0.1", "--gel" },
  { "scan FILE --planes 2.5", "whole" },
  { "scan FILE --planes 0", "--planes" },
  { "scan FILE --threads 0", "1 to 64" },
  { "scan FILE --threads 65", "1 to 64" },
  { "scan FILE --seed -1", "--seed" },
  { "scan FILE --seed 18446744073709551616", "--seed" },
  { "scan FILE --json=yes", "--json" },
  { "scan FILE --plane-png=", "--plane-png" },
  { "scan FILE --outline", "--plane-png" },
  { "scan FILE --plane-png p.png --planes-png ./p.png", "a file of its own" },
  { "scan FILE --poses p --plane-png q", "--poses" },
  { "calipers FILE --coefficient 0", "--coefficient" },
  { "calipers FILE --length 80", "--length" },
  { "calipers FILE --turn 90", "--turn" },
  { "calipers FILE --planes 9", "--planes" },
  { "calipers FILE --tremor 2", "--tremor" },
  { "mesh FILE", "--stl" },
  { "mesh FILE --stl o --part nose", "nose" },
  { "check", "file" },
};

static void
test_mistakes_are_named_in_one_line (void)
{
  char *plain = cli_anatomy ("01-plain-adult.anatomy");
  for (guint k = 0; k < G_N_ELEMENTS (mistakes); k++)
    {
      char **parts = g_strsplit (mistakes[k].arguments, "FILE", 2);
      char *arguments = g_strjoinv (plain, parts);
      CliRun run = cli_run (NULL, "%s", arguments);
      cli_expect_complaint (&run, 2, mistakes[k].word);
      g_free (arguments);
      g_strfreev (parts);
    }
  g_free (plain);
}

static void
test_unknown_command (void)
{
  CliRun run = cli_run (NULL, "measure-it");
  g_assert_cmpint (run.exit_code, ==, 2);
  g_assert_nonnull (strstr (run.err, "measure-it"));
  cli_run_clear (&run);
  run = cli_run (NULL, "%s", "");
  g_assert_cmpint (run.exit_code, ==, 2);
  g_assert_nonnull (strstr (run.err, "Usage"));
  cli_run_clear (&run);
}

/* The manual page follows the same lists. */
static void
test_manual_names_every_option (void)
{
  GError *error = NULL;
  char *page = NULL;
  g_file_get_contents (g_getenv ("TARN_MANUAL"), &page, NULL, &error);
  g_assert_no_error (error);
  for (guint k = 0; k < G_N_ELEMENTS (scan_options); k++)
    {
      char **words = g_strsplit (scan_options[k], " ", 2);
      char **hyphens = g_strsplit (words[0], "-", -1);
      char *name = g_strjoinv ("\\-", hyphens);
      if (strstr (page, name) == NULL)
        g_error ("no %s in the manual", words[0]);
      g_free (name);
      g_strfreev (hyphens);
      g_strfreev (words);
    }
  g_free (page);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/usage/help-names-every-command", test_help_names_every_command);
  g_test_add_func ("/usage/help-of-each-command", test_help_of_each_command);
  g_test_add_func ("/usage/scan-has-the-options-agreed", test_scan_has_the_options_agreed);
  g_test_add_func ("/usage/mistakes-are-named-in-one-line",
                   test_mistakes_are_named_in_one_line);
  g_test_add_func ("/usage/unknown-command", test_unknown_command);
  g_test_add_func ("/usage/manual-names-every-option", test_manual_names_every_option);
  return g_test_run ();
}
