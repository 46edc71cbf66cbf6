/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include "cli/options.h"
#include "cli/output.h"

#include <glib.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const TarnCommand tarn_command[TARN_COMMANDS] = {
  { &tarn_scan_syntax, tarn_command_scan },
  { &tarn_calipers_syntax, tarn_command_calipers },
  { &tarn_check_syntax, tarn_command_check },
  { &tarn_mesh_syntax, tarn_command_mesh },
  { &tarn_replay_syntax, tarn_command_replay },
  { &tarn_window_syntax, tarn_command_window },
  { &tarn_learn_syntax, tarn_command_learn },
  { &tarn_labels_syntax, tarn_command_labels },
  { &tarn_import_syntax, tarn_command_import },
  { &tarn_sheet_syntax, tarn_command_sheet },
};

static const char usage[] = "Usage: tarn-cli COMMAND FILE [OPTION]...\n";

TarnExit
tarn_complain (TarnExit outcome, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  fputs ("tarn-cli: ", stderr);
  vfprintf (stderr, format, arguments);
  fputc ('\n', stderr);
  va_end (arguments);
  return outcome;
}

static TarnExit
show_help (void)
{
  GString *text = g_string_new (usage);
  g_string_append (text, "Measures bladder volume with ultrasound on synthetic patients.\n\n"
                         "Commands:\n");
  for (int k = 0; k < TARN_COMMANDS; k++)
    g_string_append_printf (text, "  %-10s %s\n", tarn_command[k].syntax->name,
                            tarn_command[k].syntax->summary);
  g_string_append (text, "\ntarn-cli COMMAND --help tells the options of a command.\n"
                         "Training only, synthetic anatomy; not for clinical use.\n");
  TarnExit outcome = tarn_output_text (text->str);
  g_string_free (text, TRUE);
  return outcome;
}

TarnExit
tarn_cli_run (int argc, char **argv)
{
  if (argc < 2)
    {
      fputs (usage, stderr);
      return tarn_complain (TARN_EXIT_USAGE, "which command? See tarn-cli --help");
    }
  if (strcmp (argv[1], "--help") == 0 || strcmp (argv[1], "-h") == 0)
    return show_help ();
  if (strcmp (argv[1], "--version") == 0)
    return tarn_output_text ("tarn-cli " TARN_VERSION "\n");
  for (int k = 0; k < TARN_COMMANDS; k++)
    if (strcmp (argv[1], tarn_command[k].syntax->name) == 0)
      return tarn_command[k].run (argc - 1, argv + 1);
  fputs (usage, stderr);
  return tarn_complain (TARN_EXIT_USAGE, "no command \"%s\"; see tarn-cli --help", argv[1]);
}
