/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli check: every problem of every file, whether a body can be built of it, and where
 * asked for, whether it can be measured at all. */
#include "base/parallel.h"
#include "cli/command.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/subject.h"
#include "cli/window_report.h"

#include <glib.h>
#include <stdio.h>

#define POSES 600 /* to see whether there is a window at all */

typedef struct
{
  bool window;
} Settings;

static const TarnOption own_options[] = {
  { .name = "window",
    .kind = TARN_OPTION_SWITCH,
    .offset = offsetof (Settings, window),
    .help = "Also maps the window of each: is there a pose that reads it accurately?",
    .fallback = "" },
};

static const Settings defaults = { 0 };

const TarnSyntax tarn_check_syntax = {
  .name = "check",
  .synopsis = "FILE... [OPTION]...",
  .summary = "validate patient files",
  .about
  = "Validates patient files.  Each problem is a line FILE:LINE: problem; the outcome is 1\n"
    "when there is any.  With a window asked for it is a problem, too, when no pose gives an\n"
    "accurate reading, and neither \"at least\", nor not seen, nor not to scan is the answer.",
  .own = own_options,
  .own_options = G_N_ELEMENTS (own_options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = TARN_OPERANDS_MAX,
};

static TarnExit
check_window (TarnSubject *subject)
{
  TarnAcousticWindow *window = g_new0 (TarnAcousticWindow, 1);
  TarnExit outcome = tarn_window_of (subject, POSES, 0, 0, window);
  TarnWindowReport report = { subject, window };
  if (outcome == TARN_EXIT_DONE && tarn_window_is_hopeless (&report))
    {
      fprintf (stderr,
               "%s: no pose gives an accurate reading, and no other judgement is the answer\n",
               subject->file->name);
      outcome = TARN_EXIT_BAD_INPUT;
    }
  g_free (window);
  return outcome;
}

static TarnExit
check_file (const char *path, bool window, GString *good)
{
  TarnSubject subject;
  const TarnBody *body;
  TarnExit outcome = tarn_subject_open (&subject, path);
  if (outcome == TARN_EXIT_DONE)
    outcome = tarn_subject_body (&subject, 0, &body);
  if (outcome == TARN_EXIT_DONE && window)
    outcome = check_window (&subject);
  if (outcome == TARN_EXIT_DONE)
    g_string_append_printf (good, "%s: valid\n", path);
  tarn_subject_close (&subject);
  return outcome;
}

TarnExit
tarn_command_check (int argc, char **argv)
{
  Settings settings = defaults;
  const char **path = g_new (const char *, TARN_OPERANDS_MAX);
  int paths;
  TarnExit outcome;
  if (tarn_options_read (&tarn_check_syntax, argc, argv, &settings, path, &paths, &outcome))
    {
      GString *good = g_string_new (NULL);
      outcome = TARN_EXIT_DONE;
      for (int k = 0; k < paths; k++)
        outcome = tarn_exit_worse (outcome, check_file (path[k], settings.window, good));
      outcome = tarn_exit_worse (outcome, tarn_output_text (good->str));
      g_string_free (good, TRUE);
    }
  g_free (path);
  return outcome;
}
