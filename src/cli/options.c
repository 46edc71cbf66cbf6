/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/options.h"

#include "cli/output.h"

#include <errno.h>
#include <glib.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#define HELP_COLUMN 26

/* Digits, sign, point and exponent alone: no hexadecimal, no "nan", no blanks. */
static bool
read_number (const char *text, double *value)
{
  if (*text == '\0' || text[strspn (text, "0123456789+-.eE")] != '\0')
    return false;
  char *end;
  *value = g_ascii_strtod (text, &end);
  return *end == '\0' && isfinite (*value);
}

static TarnStatus
set_number (const TarnOption *option, void *member, const char *text, TarnProblem *problem)
{
  double value;
  if (!read_number (text, &value))
    return tarn_problem_set (problem, TARN_OUT_OF_RANGE, option->name,
                             "\"%.40s\" is not a number", text);
  if (option->kind == TARN_OPTION_INTEGER && value != floor (value))
    return tarn_problem_set (problem, TARN_OUT_OF_RANGE, option->name,
                             "%.40s is not a whole number", text);
  if (value < option->low || value > option->high)
    return tarn_problem_set (problem, TARN_OUT_OF_RANGE, option->name,
                             "%.40s is outside %g to %g", text, option->low, option->high);
  if (option->kind == TARN_OPTION_INTEGER)
    *(int *)member = (int)value;
  else
    *(double *)member = value;
  return TARN_OK;
}

static TarnStatus
set_seed (const TarnOption *option, uint64_t *member, const char *text, TarnProblem *problem)
{
  guint64 value;
  if (!g_ascii_string_to_unsigned (text, 10, 0, G_MAXUINT64, &value, NULL))
    return tarn_problem_set (problem, TARN_OUT_OF_RANGE, option->name,
                             "\"%.40s\" is not a whole number from 0 to %" G_GUINT64_FORMAT,
                             text, G_MAXUINT64);
  *member = value;
  return TARN_OK;
}

TarnStatus
tarn_option_set (const TarnOption *option, void *settings, const char *text,
                 TarnProblem *problem)
{
  void *member = (char *)settings + option->offset;
  switch (option->kind)
    {
    case TARN_OPTION_SWITCH:
      *(bool *)member = true;
      return TARN_OK;
    case TARN_OPTION_NUMBER:
    case TARN_OPTION_INTEGER:
      return set_number (option, member, text, problem);
    case TARN_OPTION_SEED:
      return set_seed (option, member, text, problem);
    case TARN_OPTION_PATH:
      if (*text == '\0')
        return tarn_problem_set (problem, TARN_OUT_OF_RANGE, option->name,
                                 "an empty name is no file");
      *(const char **)member = text;
      return TARN_OK;
    }
  return TARN_OK;
}

const TarnOption *
tarn_option_find (const TarnOption *option, int options, const char *name, size_t length)
{
  for (int k = 0; k < options; k++)
    if (strlen (option[k].name) == length && memcmp (option[k].name, name, length) == 0)
      return &option[k];
  return NULL;
}

int
tarn_syntax_options (const TarnSyntax *syntax)
{
  return syntax->shared_options + syntax->own_options;
}

const TarnOption *
tarn_syntax_option (const TarnSyntax *syntax, int index)
{
  return index < syntax->shared_options ? &syntax->shared[index]
                                        : &syntax->own[index - syntax->shared_options];
}

void
tarn_option_describe_range (const TarnOption *option, const void *defaults, char *text,
                            size_t size)
{
  const char *member = (const char *)defaults + option->offset;
  bool numeric = option->kind == TARN_OPTION_NUMBER || option->kind == TARN_OPTION_INTEGER;
  char own[32] = "";
  if (option->kind == TARN_OPTION_NUMBER)
    g_snprintf (own, sizeof own, "%g", *(const double *)(const void *)member);
  else if (option->kind == TARN_OPTION_INTEGER)
    g_snprintf (own, sizeof own, "%d", *(const int *)(const void *)member);
  else if (option->kind == TARN_OPTION_SEED)
    g_snprintf (own, sizeof own, "%" G_GUINT64_FORMAT, *(const uint64_t *)(const void *)member);

  const char *fallback = option->fallback != NULL ? option->fallback : own;
  if (numeric)
    g_snprintf (text, size, "%g to %g; %s", option->low, option->high, fallback);
  else
    g_snprintf (text, size, "%s", fallback);
}

static TarnExit
show_help (const TarnSyntax *syntax)
{
  GString *text = g_string_new (NULL);
  g_string_append_printf (text, "Usage: tarn-cli %s %s\n%s\n\nOptions:\n", syntax->name,
                          syntax->synopsis, syntax->about);
  for (int k = 0; k < tarn_syntax_options (syntax); k++)
    {
      const TarnOption *option = tarn_syntax_option (syntax, k);
      char range[80];
      tarn_option_describe_range (option, syntax->defaults, range, sizeof range);
      char *name = g_strdup_printf ("--%s %s", option->name,
                                    option->metavar != NULL ? option->metavar : "");
      g_string_append_printf (text, "  %-*s%s", HELP_COLUMN - 2, name, option->help);
      g_string_append_printf (text, *range != '\0' ? " (%s)\n" : "\n%s", range);
      g_free (name);
    }
  g_string_append_printf (text, "  %-*s%s\n", HELP_COLUMN - 2, "--help", "This text");
  TarnExit outcome = tarn_output_text (text->str);
  g_string_free (text, TRUE);
  return outcome;
}

static TarnExit complain_usage (const TarnSyntax *syntax, const char *format, ...)
    G_GNUC_PRINTF (2, 3);

static TarnExit
complain_usage (const TarnSyntax *syntax, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  char *message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  tarn_complain (TARN_EXIT_USAGE, "%s: %s; see tarn-cli %s --help", syntax->name, message,
                 syntax->name);
  g_free (message);
  return TARN_EXIT_USAGE;
}

/* Reads the option at argv[*at], with its value there or in the next argument. */
static TarnExit
read_option (const TarnSyntax *syntax, int argc, char **argv, int *at, void *settings)
{
  const char *name = argv[*at] + 2;
  const char *equals = strchr (name, '=');
  size_t length = equals != NULL ? (size_t)(equals - name) : strlen (name);
  const TarnOption *option
      = tarn_option_find (syntax->shared, syntax->shared_options, name, length);
  const char *value = NULL;

  if (option == NULL)
    option = tarn_option_find (syntax->own, syntax->own_options, name, length);
  if (option == NULL)
    return complain_usage (syntax, "no option \"--%.*s\"", (int)length, name);
  if (option->kind == TARN_OPTION_SWITCH && equals != NULL)
    return complain_usage (syntax, "--%s takes no value", option->name);
  if (option->kind != TARN_OPTION_SWITCH)
    {
      if (equals == NULL && *at + 1 >= argc)
        return complain_usage (syntax, "--%s needs a value: %s", option->name, option->metavar);
      value = equals != NULL ? equals + 1 : argv[++*at];
    }

  TarnProblem problem;
  if (tarn_option_set (option, settings, value, &problem) != TARN_OK)
    return complain_usage (syntax, "--%s: %s", option->name, problem.text);
  return TARN_EXIT_DONE;
}

bool
tarn_options_read (const TarnSyntax *syntax, int argc, char **argv, void *settings,
                   const char **operand, int *operands, TarnExit *outcome)
{
  bool options_over = false;
  *operands = 0;
  for (int k = 1; k < argc; k++)
    {
      const char *text = argv[k];
      if (options_over || text[0] != '-' || text[1] == '\0')
        {
          if (*operands >= syntax->operands_max)
            {
              *outcome = complain_usage (syntax, "\"%s\" is one file too many", text);
              return false;
            }
          operand[(*operands)++] = text;
        }
      else if (strcmp (text, "--") == 0)
        options_over = true;
      else if (strcmp (text, "--help") == 0 || strcmp (text, "-h") == 0)
        {
          *outcome = show_help (syntax);
          return false;
        }
      else if (text[1] != '-')
        {
          *outcome = complain_usage (syntax, "no option \"%s\"", text);
          return false;
        }
      else if ((*outcome = read_option (syntax, argc, argv, &k, settings)) != TARN_EXIT_DONE)
        return false;
    }
  if (*operands < syntax->operands_min)
    {
      *outcome = complain_usage (syntax, "no patient file is given");
      return false;
    }
  return true;
}
