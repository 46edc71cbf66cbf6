/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/manual.h"

#include "cli/command.h"
#include "cli/options.h"

#include <string.h>

#define LINE_MAX_BYTES 78

static const char head[]
    = ".TH TARN-CLI 1 \"" TARN_MANUAL_DATE "\" \"tarn " TARN_VERSION "\" \"User Commands\"\n"
      ".SH NAME\n"
      "tarn-cli \\- measure bladder volume with ultrasound on synthetic patients\n"
      ".SH SYNOPSIS\n";

static const char description[]
    = ".SH DESCRIPTION\n"
      ".B tarn-cli\n"
      "simulates ultrasound on a synthetic patient, whose bladder volume is known.  It tells\n"
      "what an instrument would read from a pose of the probe, what the truth is, and which\n"
      "millilitres went missing and why.\n"
      "A patient is a file as described in\n"
      ".BR tarn-anatomy (5).\n"
      ".PP\n"
      "Training only, synthetic anatomy; not for clinical use.\n";

static const char tail[]
    = ".SH POSES\n"
      "The probe stands\n"
      ".I above\n"
      "and\n"
      ".I left\n"
      "of the point in front of the upper edge of the pubic symphysis, counted along the skin\n"
      "in mm.  Without tilt and lean its beam points straight into the body.\n"
      ".PP\n"
      "A table of poses is CSV.  Its first line names options of\n"
      ".BR scan ,\n"
      "without dashes, from\n"
      ".I above\n"
      "to\n"
      ".IR planes ,\n"
      "parted by commas;\n"
      "what it does not name is as on the command line.  The whole table is read before the\n"
      "first scan.  A pose off the body is told on standard error with its line; the rest is\n"
      "scanned all the same.\n"
      "A table implies\n"
      ".BR \\-\\-json .\n"
      ".SH OUTPUT\n"
      "The error ledger gives for each cause the signed millilitres that it added to the\n"
      "error; fluid that was lost is negative, and the entries sum to the error.\n"
      ".PP\n"
      "With\n"
      ".B \\-\\-json\n"
      "the output is one object on one line:\n"
      ".I schema\n"
      "(tarn.scan/1),\n"
      ".IR patient ,\n"
      ".IR pose ,\n"
      ".IR contact ,\n"
      ".I reading\n"
      "(its\n"
      ".I kind\n"
      "is measure, lower-bound or not-seen),\n"
      ".IR truth ,\n"
      ".I contents\n"
      "(which shares of what was outlined are the bladder's\n"
      ".I urine\n"
      "and\n"
      ".I other\n"
      "fluid; what is left is tissue or shadow),\n"
      ".IR error_ml ,\n"
      ".IR tolerance_ml ,\n"
      ".IR verdict ,\n"
      ".IR by_luck ,\n"
      ".I ledger_ml\n"
      "(null without a ledger) and\n"
      ".IR timing_ms .\n"
      "The verdict is accurate, clipped, shadowed, poor-contact, moved, wrong-fluid,\n"
      "unexplained or, without a ledger, not-accurate.\n"
      ".PP\n"
      "The window's object (tarn.window/1) has\n"
      ".IR patient ,\n"
      ".I stop\n"
      "(the situation says not to scan),\n"
      ".I grid\n"
      "(the axes and the presses that were tried),\n"
      ".IR poses ,\n"
      ".I accurate\n"
      "(how many of them read accurately, or rightly \\(lqat least\\(rq where\n"
      ".I lower_bound\n"
      "is true),\n"
      ".I shares\n"
      "(of all poses, by verdict),\n"
      ".I open\n"
      "(there is a window),\n"
      ".IR lower_bound ,\n"
      ".IR best ,\n"
      ".I size\n"
      "(through the best pose) and\n"
      ".IR difficulty .\n"
      ".PP\n"
      "Difficulty, 0 to 100, is the chance in percent that a taught but unaided beginner "
      "keeps\n"
      "a reading that is not accurate.  The beginner takes up to five sweeps at random about\n"
      "the landmark, three in ten of them with a bad habit, and keeps the first whose outline\n"
      "looks closed, else the last; what each would read is forecast by straight rays.  It is\n"
      "100 where there is no window.\n"
      ".PP\n"
      "Files are written beside their place and then renamed, so that there is never half a\n"
      "file.\n"
      ".SH EXIT STATUS\n"
      ".TP\n"
      ".B 0\n"
      "Done.\n"
      ".TP\n"
      ".B 1\n"
      "Bad input: a file, a pose or a place to write to; standard error tells which.\n"
      ".TP\n"
      ".B 2\n"
      "The command line is wrong.\n"
      ".SH EXAMPLES\n"
      "Scan from the default pose and keep the middle plane as a picture:\n"
      ".PP\n"
      ".RS\n"
      ".nf\n"
      "tarn\\-cli scan plain.anatomy \\-\\-plane\\-png plane.png\n"
      ".fi\n"
      ".RE\n"
      ".PP\n"
      "Scan a row of poses:\n"
      ".PP\n"
      ".RS\n"
      ".nf\n"
      "printf \\(aqabove,tilt\\en20,0\\en40,5\\en60,10\\en\\(aq | tarn\\-cli scan "
      "plain.anatomy "
      "\\-\\-poses \\-\n"
      ".fi\n"
      ".RE\n"
      ".SH SEE ALSO\n"
      ".BR tarn-anatomy (5)\n";

/* @text with hyphens that must stay hyphens, and no line that roff takes for a request. */
static void
append_plain (GString *page, const char *text)
{
  for (const char *at = text; *at != '\0'; at++)
    {
      if (*at == '-')
        g_string_append (page, "\\-");
      else if (*at == '\\')
        g_string_append (page, "\\e");
      else if ((*at == '.' || *at == '\'') && (at == text || at[-1] == '\n'))
        g_string_append_printf (page, "\\&%c", *at);
      else
        g_string_append_c (page, *at);
    }
}

static void
append_option (GString *page, const TarnOption *option, const void *defaults)
{
  char range[80];
  tarn_option_describe_range (option, defaults, range, sizeof range);
  g_string_append (page, ".TP\n\\fB");
  append_plain (page, "--");
  append_plain (page, option->name);
  g_string_append (page, "\\fR");
  if (option->metavar != NULL)
    g_string_append_printf (page, " \\fI%s\\fR", option->metavar);
  g_string_append_c (page, '\n');
  append_plain (page, option->help);
  if (*range != '\0')
    {
      g_string_append (page, " (");
      append_plain (page, range);
      g_string_append_c (page, ')');
    }
  g_string_append (page, ".\n");
}

static void
append_command (GString *page, const TarnSyntax *syntax)
{
  g_string_append_printf (page, ".SS %s\n", syntax->name);
  append_plain (page, syntax->about);
  g_string_append_c (page, '\n');
  for (int k = 0; k < tarn_syntax_options (syntax); k++)
    append_option (page, tarn_syntax_option (syntax, k), syntax->defaults);
}

void
tarn_cli_write_manual (GString *page)
{
  g_string_append (page, head);
  for (int k = 0; k < TARN_COMMANDS; k++)
    {
      const TarnSyntax *syntax = tarn_command[k].syntax;
      g_string_append_printf (page, "%s.B tarn\\-cli %s\n", k > 0 ? ".br\n" : "", syntax->name);
      append_plain (page, syntax->synopsis);
      g_string_append_c (page, '\n');
    }
  g_string_append (page, description);
  g_string_append (
      page,
      ".SH COMMANDS\n"
      "Each takes\n.B \\-\\-help\n"
      "as well.  In brackets: the range, then what holds when the option is not given.\n");
  for (int k = 0; k < TARN_COMMANDS; k++)
    append_command (page, tarn_command[k].syntax);
  g_string_append (page, tail);
}

void
tarn_manual_wrap (GString *page)
{
  gsize start = 0, blank = 0;
  for (gsize at = 0; at < page->len; at++)
    {
      char c = page->str[at];
      if (c == '\n')
        {
          start = at + 1;
          blank = 0;
        }
      else if (at - start >= LINE_MAX_BYTES && blank > 0 && page->str[start] != '.')
        {
          page->str[blank] = '\n';
          start = blank + 1;
          blank = 0;
        }
      /* A line may end in no blank and begin with none, nor with a request's point. */
      else if (c == ' ' && page->str[at - 1] != ' ' && page->str[at + 1] != ' '
               && page->str[at + 1] != '.' && page->str[at + 1] != '\'')
        blank = at;
    }
}
