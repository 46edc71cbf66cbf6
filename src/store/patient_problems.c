/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "store/patient_problems.h"

#define LISTED_MAX      20
#define SHOWN_BYTES_MAX 60

void
tarn_file_problems_init (TarnFileProblems *problems, const char *file)
{
  *problems = (TarnFileProblems){ .file = file, .lines = g_string_new (NULL) };
}

void
tarn_file_problems_clear (TarnFileProblems *problems)
{
  g_string_free (problems->lines, TRUE);
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
  if (place->value != NULL)
    {
      g_string_append (out, " = ");
      append_shown (out, place->value);
    }
  if (place->group != NULL || place->key != NULL)
    g_string_append_c (out, ':');
  g_string_append_c (out, ' ');
}

void
tarn_file_problems_add (TarnFileProblems *problems, const TarnFilePlace *place,
                        const char *format, ...)
{
  if (++problems->count > LISTED_MAX)
    return;
  GString *out = problems->lines;
  if (out->len > 0)
    g_string_append_c (out, '\n');
  g_string_append_printf (out, "%s:", problems->file);
  append_place (out, place);

  va_list arguments;
  va_start (arguments, format);
  g_string_append_vprintf (out, format, arguments);
  va_end (arguments);
}

void
tarn_file_problems_finish (TarnFileProblems *problems)
{
  if (problems->count > LISTED_MAX)
    g_string_append_printf (problems->lines, "\n%s: and %u more", problems->file,
                            problems->count - LISTED_MAX);
}
