/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_lines.c: the scanner.  It knows four kinds of line: blank, comment (#), [Group] and
 * key=value with an optional [locale] after the key; anything else is a problem. */
#include "store/patient_lines.h"

#include <string.h>

typedef struct
{
  TarnLines *lines;
  TarnFileProblems *problems;
  GHashTable *seen;  /* "group" and "group\nname" → line */
  const char *group; /* NULL before the first */
  unsigned line;
} Scan;

typedef struct
{
  const char *start, *end;
} Span;

static Span
trimmed (Span span)
{
  while (span.start < span.end && g_ascii_isspace (span.start[0]))
    span.start++;
  while (span.start < span.end && g_ascii_isspace (span.end[-1]))
    span.end--;
  return span;
}

static char *
keep (Scan *scan, Span span)
{
  return g_string_chunk_insert_len (scan->lines->text, span.start, span.end - span.start);
}

/* Returns the line on which @name was seen before, else 0. */
static unsigned
see (Scan *scan, const char *group, const char *name)
{
  g_autofree char *id = g_strconcat (group, name != NULL ? "\n" : NULL, name, NULL);
  unsigned before = GPOINTER_TO_UINT (g_hash_table_lookup (scan->seen, id));
  if (before == 0)
    g_hash_table_insert (scan->seen, g_steal_pointer (&id), GUINT_TO_POINTER (scan->line));
  return before;
}

static void
add_entry (Scan *scan, const char *key, const char *locale, char *name)
{
  TarnLine entry = { scan->line, scan->group, key, locale, name };
  g_array_append_val (scan->lines->entry, entry);
}

static void
scan_group (Scan *scan, Span span)
{
  TarnFilePlace place = { .line = scan->line };
  Span name = { span.start + 1, span.end - 1 };
  if (span.end[-1] != ']' || name.end <= name.start
      || memchr (name.start, '[', name.end - name.start)
      || memchr (name.start, ']', name.end - name.start))
    {
      tarn_file_problems_add (scan->problems, &place, "a group is written [Name]");
      return;
    }
  scan->group = keep (scan, name);
  place.group = scan->group;
  unsigned before = see (scan, scan->group, NULL);
  if (before != 0)
    tarn_file_problems_add (scan->problems, &place, "this group stands already on line %u",
                            before);
  else
    add_entry (scan, NULL, "", NULL);
}

static gboolean
is_locale (Span locale)
{
  if (locale.end - locale.start < 2 || locale.end - locale.start > 24)
    return FALSE;
  for (const char *at = locale.start; at < locale.end; at++)
    if (!g_ascii_isalnum (*at) && strchr ("_-.@", *at) == NULL)
      return FALSE;
  return TRUE;
}

/* GKeyFile complains to the log, not to its caller, when one value has two bad escapes. */
static gboolean
escapes_are_known (Span value)
{
  for (const char *at = value.start; at < value.end; at++)
    if (*at == '\\' && (++at == value.end || strchr ("sntr\\", *at) == NULL))
      return FALSE;
  return TRUE;
}

static void
scan_value (Scan *scan, Span span, const char *equals)
{
  Span name = trimmed ((Span){ span.start, equals });
  Span key = name, locale = { NULL, NULL };
  const char *bracket = memchr (name.start, '[', name.end - name.start);
  if (bracket != NULL && name.end[-1] == ']')
    {
      key.end = bracket;
      locale = (Span){ bracket + 1, name.end - 1 };
    }

  char *kept = keep (scan, name);
  TarnFilePlace place = { .line = scan->line, .group = scan->group, .key = kept };
  if (key.end <= key.start || (bracket != NULL && !is_locale (locale)))
    {
      place.key = NULL;
      tarn_file_problems_add (scan->problems, &place,
                              "a value is written key=value or key[language]=value");
      return;
    }
  if (scan->group == NULL)
    {
      tarn_file_problems_add (scan->problems, &place, "stands before the first [Group]");
      return;
    }
  unsigned before = see (scan, scan->group, kept);
  if (!escapes_are_known (trimmed ((Span){ equals + 1, span.end })))
    tarn_file_problems_add (scan->problems, &place,
                            "a backslash must be followed by s, n, t, r or another backslash");
  else if (before != 0)
    tarn_file_problems_add (scan->problems, &place, "this key stands already on line %u",
                            before);
  else
    add_entry (scan, keep (scan, key), locale.start != NULL ? keep (scan, locale) : "", kept);
}

static void
scan_line (Scan *scan, Span span)
{
  TarnFilePlace place = { .line = scan->line, .group = scan->group };
  if (span.end - span.start > TARN_LINE_BYTES_MAX)
    {
      tarn_file_problems_add (scan->problems, &place, "line of %zu bytes (range 0 … %d bytes)",
                              (size_t)(span.end - span.start), TARN_LINE_BYTES_MAX);
      return;
    }
  span = trimmed (span);
  if (span.start == span.end || span.start[0] == '#')
    return;
  if (span.start[0] == '[')
    {
      scan_group (scan, span);
      return;
    }
  const char *equals = memchr (span.start, '=', span.end - span.start);
  if (equals == NULL)
    tarn_file_problems_add (scan->problems, &place, "neither [Group] nor key=value");
  else
    scan_value (scan, span, equals);
}

void
tarn_lines_init (TarnLines *lines, const char *data, gsize length, TarnFileProblems *problems)
{
  *lines = (TarnLines){ .entry = g_array_new (FALSE, FALSE, sizeof (TarnLine)),
                        .text = g_string_chunk_new (1024) };
  Scan scan = { .lines = lines, .problems = problems };
  scan.seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);

  const char *end = data + length;
  for (const char *at = data; at < end;)
    {
      const char *newline = memchr (at, '\n', end - at);
      const char *stop = newline != NULL ? newline : end;
      scan.line++;
      scan_line (&scan, (Span){ at, stop });
      at = newline != NULL ? newline + 1 : end;
      if (lines->entry->len > TARN_LINE_ENTRIES_MAX)
        {
          TarnFilePlace place = { .line = scan.line };
          tarn_file_problems_add (problems, &place, "too many groups and keys (range 1 … %d)",
                                  TARN_LINE_ENTRIES_MAX);
          break;
        }
    }
  lines->lines = scan.line;
  g_hash_table_unref (scan.seen);
}

void
tarn_lines_clear (TarnLines *lines)
{
  if (lines->entry != NULL)
    g_array_unref (lines->entry);
  if (lines->text != NULL)
    g_string_chunk_free (lines->text);
  *lines = (TarnLines){ 0 };
}

const TarnLine *
tarn_lines_find (const TarnLines *lines, const char *group, const char *key, const char *locale)
{
  for (guint k = 0; k < lines->entry->len; k++)
    {
      const TarnLine *entry = &g_array_index (lines->entry, TarnLine, k);
      if (strcmp (entry->group, group) == 0 && g_strcmp0 (entry->key, key) == 0
          && strcmp (entry->locale, locale) == 0)
        return entry;
    }
  return NULL;
}
