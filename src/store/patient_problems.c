/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "store/patient_problems.h"

#define SHOWN_BYTES_MAX 60

void
tarn_file_problems_init (TarnFileProblems *problems, const char *file)
{
  *problems = (TarnFileProblems){ .file = file };
}

void
tarn_file_problems_clear (TarnFileProblems *problems)
{
  for (unsigned k = 0; k < MIN (problems->count, TARN_FILE_PROBLEMS_LISTED); k++)
    g_free (problems->listed[k].text);
  *problems = (TarnFileProblems){ 0 };
}

/* A stranger's text must not break the line, ring the bell or fill the screen. */
static void
append_shown (GString *out, const char *text)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);
  const char *at = valid;
  for (; *at != '\0' && at - valid < SHOWN_BYTES_MAX; at = g_utf8_next_char (at))
    {
      gunichar c = g_utf8_get_char (at);
      g_string_append_unichar (out, g_unichar_isprint (c) ? c : 0xfffd);
    }
  if (*at != '\0')
    g_string_append (out, "…");
}

static void
append_place (GString *out, const TarnFilePlace *place)
{
  if (place->line > 0)
    g_string_append_printf (out, "%u:", place->line);
  if (place->group != NULL)
    {
      g_string_append (out, " [");
      append_shown (out, place->group);
      g_string_append_c (out, ']');
    }
  if (place->key != NULL)
    {
      g_string_append_c (out, ' ');
      append_shown (out, place->key);
    }
  if (place->value != NULL && place->value[0] != '\0')
    {
      g_string_append (out, " = ");
      append_shown (out, place->value);
    }
  if (place->group != NULL || place->key != NULL)
    g_string_append_c (out, ':');
  g_string_append_c (out, ' ');
}

/* Keeps the list in the order of lines, and of what was added for one line; what comes after a
 * full list is counted only. */
static void
insert (TarnFileProblems *problems, unsigned line, char *text)
{
  unsigned used = MIN (problems->count, TARN_FILE_PROBLEMS_LISTED);
  problems->count++;
  if (used == TARN_FILE_PROBLEMS_LISTED)
    {
      TarnFileProblem *last = &problems->listed[used - 1];
      g_free (last->line <= line ? text : last->text);
      if (last->line <= line)
        return;
      used--;
    }
  unsigned at = used;
  for (; at > 0 && problems->listed[at - 1].line > line; at--)
    problems->listed[at] = problems->listed[at - 1];
  problems->listed[at] = (TarnFileProblem){ line, text };
}

void
tarn_file_problems_add (TarnFileProblems *problems, const TarnFilePlace *place,
                        const char *format, ...)
{
  GString *out = g_string_new (NULL);
  g_string_append_printf (out, "%s:", problems->file);
  append_place (out, place);

  va_list arguments;
  va_start (arguments, format);
  g_string_append_vprintf (out, format, arguments);
  va_end (arguments);
  insert (problems, place->line, g_string_free (out, FALSE));
}

char *
tarn_file_problems_text (const TarnFileProblems *problems)
{
  GString *out = g_string_new (NULL);
  unsigned listed = MIN (problems->count, TARN_FILE_PROBLEMS_LISTED);
  for (unsigned k = 0; k < listed; k++)
    g_string_append_printf (out, "%s%s", k > 0 ? "\n" : "", problems->listed[k].text);
  if (problems->count > listed)
    g_string_append_printf (out, "\n%s: and %u more", problems->file, problems->count - listed);
  return g_string_free (out, FALSE);
}
