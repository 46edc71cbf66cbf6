/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli check: every problem of every file, and whether a body can be built of it. */
#include "cli/command.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/subject.h"

#include <glib.h>

const TarnSyntax tarn_check_syntax = {
  .name = "check",
  .synopsis = "FILE...",
  .summary = "validate patient files",
  .about
  = "Validates patient files.  Each problem is a line FILE:LINE: problem; the outcome is 1\n"
    "when there is any.",
  .operands_min = 1,
  .operands_max = TARN_OPERANDS_MAX,
};

static TarnExit
check_file (const char *path, GString *good)
{
  TarnSubject subject;
  const TarnBody *body;
  TarnExit outcome = tarn_subject_open (&subject, path);
  if (outcome == TARN_EXIT_DONE)
    outcome = tarn_subject_body (&subject, 0, &body);
  if (outcome == TARN_EXIT_DONE)
    g_string_append_printf (good, "%s: valid\n", path);
  tarn_subject_close (&subject);
  return outcome;
}

TarnExit
tarn_command_check (int argc, char **argv)
{
  const char **path = g_new (const char *, TARN_OPERANDS_MAX);
  int paths;
  TarnExit outcome;
  if (tarn_options_read (&tarn_check_syntax, argc, argv, NULL, path, &paths, &outcome))
    {
      GString *good = g_string_new (NULL);
      outcome = TARN_EXIT_DONE;
      for (int k = 0; k < paths; k++)
        outcome = tarn_exit_worse (outcome, check_file (path[k], good));
      outcome = tarn_exit_worse (outcome, tarn_output_text (good->str));
      g_string_free (good, TRUE);
    }
  g_free (path);
  return outcome;
}
