/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table is cut into fields in place.  A reader walks the text once: it keeps the line's
 * number for messages and ends each field with a zero byte. */
#include "cli/poses.h"

#include <errno.h>
#include <glib.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

typedef struct
{
  const char *name;
  char *at;     /* the next byte to read */
  int line;     /* of that byte */
  bool row_end; /* the field last read was its row's last */
} Reader;

static TarnExit
complain_at (const char *name, int line, const char *column, const char *problem)
{
  fprintf (stderr, "%s:%d: %s%s%s\n", name, line, column, *column ? ": " : "", problem);
  return TARN_EXIT_BAD_INPUT;
}

/* Ends the field at @end, whose following byte is *reader->at: a comma, a line's or the
 * text's end.  Returns false when it is something else. */
static bool
end_field (Reader *reader, char *end)
{
  char *at = reader->at;
  if (at[0] == '\r' && (at[1] == '\n' || at[1] == '\0'))
    at++;
  char stop = *at;
  if (stop != ',' && stop != '\n' && stop != '\0')
    return false;
  reader->row_end = stop != ',';
  reader->line += stop == '\n';
  reader->at = stop == '\0' ? at : at + 1;
  *end = '\0';
  return true;
}

/* A field in quotes, its doubled quotes undone; @reader stands behind the opening one. */
static char *
read_quoted (Reader *reader)
{
  char *field = reader->at, *to = field;
  for (char *from = field; *from != '\0'; from++)
    {
      if (*from == '"' && from[1] == '"')
        from++;
      else if (*from == '"')
        {
          reader->at = from + 1;
          return end_field (reader, to) ? field : NULL;
        }
      reader->line += *from == '\n';
      *to++ = *from;
    }
  return NULL;
}

/* The next field, blanks around it cut; NULL when its quotes are broken. */
static char *
read_field (Reader *reader)
{
  reader->at += strspn (reader->at, " \t");
  if (*reader->at == '"')
    {
      reader->at++;
      return read_quoted (reader);
    }
  char *field = reader->at, *end = field + strcspn (field, ",\n");
  reader->at = end;
  if (end > field && end[-1] == '\r')
    end--;
  while (end > field && (end[-1] == ' ' || end[-1] == '\t'))
    end--;
  return end_field (reader, end) ? field : NULL;
}

/* Passes empty lines; false at the end of the text. */
static bool
find_row (Reader *reader)
{
  for (;;)
    {
      char *after = reader->at + strspn (reader->at, " \t\r");
      if (*after != '\n')
        {
          if (*after == '\0')
            return false;
          return true;
        }
      reader->at = after + 1;
      reader->line++;
    }
}

/* Fills @column with the options that the header names, in its order. */
static TarnExit
read_header (Reader *reader, const TarnOption *column[TARN_REQUEST_OPTIONS], int *columns)
{
  int line = reader->line;
  *columns = 0;
  if (!find_row (reader))
    return complain_at (reader->name, line, "",
                        "the table is empty; its first line names "
                        "columns such as above,left,tilt");
  for (reader->row_end = false; !reader->row_end;)
    {
      line = reader->line;
      const char *field = read_field (reader);
      if (field == NULL)
        return complain_at (reader->name, line, "", "a quote is left open or misplaced");
      const TarnOption *option
          = tarn_option_find (tarn_request_option, TARN_REQUEST_OPTIONS, field, strlen (field));
      if (option == NULL)
        {
          const char *hint
              = strpbrk (field, ";\t|") != NULL ? "; columns are parted by commas" : "";
          char *shown = g_strdup_printf ("no such column as \"%.40s\"%s", field, hint);
          complain_at (reader->name, line, "", shown);
          g_free (shown);
          return TARN_EXIT_BAD_INPUT;
        }
      for (int k = 0; k < *columns; k++)
        if (column[k] == option)
          return complain_at (reader->name, line, option->name, "stands in the header twice");
      column[(*columns)++] = option;
    }
  return TARN_EXIT_DONE;
}

static TarnExit
read_row (Reader *reader, const TarnOption *const *column, int columns, TarnRequest *request)
{
  int line = reader->line, k = 0;
  for (reader->row_end = false; !reader->row_end; k++)
    {
      const char *field = read_field (reader);
      TarnProblem problem;
      if (field == NULL)
        return complain_at (reader->name, line, "", "a quote is left open or misplaced");
      if (k >= columns)
        return complain_at (reader->name, line, "", "more fields than the header has columns");
      if (tarn_option_set (column[k], request, field, &problem) != TARN_OK)
        return complain_at (reader->name, line, column[k]->name, problem.text);
    }
  if (k < columns)
    return complain_at (reader->name, line, column[k]->name, "this row has no such field");
  return TARN_EXIT_DONE;
}

static TarnExit
read_rows (Reader *reader, const TarnRequest *fallback, GArray *requests, GArray *lines)
{
  const TarnOption *column[TARN_REQUEST_OPTIONS];
  int columns;
  TarnExit outcome = read_header (reader, column, &columns);
  while (outcome == TARN_EXIT_DONE && find_row (reader))
    {
      int line = reader->line;
      TarnRequest request = *fallback;
      if (requests->len >= TARN_POSES_MAX)
        return complain_at (reader->name, line, "", "more than 100000 poses");
      outcome = read_row (reader, column, columns, &request);
      g_array_append_val (requests, request);
      g_array_append_val (lines, line);
    }
  if (outcome == TARN_EXIT_DONE && requests->len == 0)
    return complain_at (reader->name, reader->line, "", "no poses below the header");
  return outcome;
}

/* The whole stream as text, or NULL after telling why not. */
static char *
read_text (const char *name, FILE *stream)
{
  GString *text = g_string_new (NULL);
  char piece[65536];
  size_t got;
  while ((got = fread (piece, 1, sizeof piece, stream)) > 0
         && text->len <= TARN_POSES_BYTES_MAX)
    g_string_append_len (text, piece, (gssize)got);

  const char *problem = NULL;
  if (ferror (stream))
    problem = g_strerror (errno);
  else if (text->len > TARN_POSES_BYTES_MAX)
    problem = "larger than 16 MB";
  else if (!g_utf8_validate (text->str, (gssize)text->len, NULL))
    problem = "not UTF-8 text";
  if (problem == NULL)
    return g_string_free (text, FALSE);
  tarn_complain (TARN_EXIT_BAD_INPUT, "%s: %s", name, problem);
  g_string_free (text, TRUE);
  return NULL;
}

TarnExit
tarn_poses_read (const char *path, const TarnRequest *fallback, TarnPoses *poses)
{
  bool from_input = strcmp (path, "-") == 0;
  const char *name = from_input ? "standard input" : path;
  *poses = (TarnPoses){ 0 };

  /* Anything else may never end, or block before it begins. */
  if (!from_input && g_file_test (path, G_FILE_TEST_EXISTS)
      && !g_file_test (path, G_FILE_TEST_IS_REGULAR))
    return tarn_complain (TARN_EXIT_BAD_INPUT, "%s: not a regular file; - is standard input",
                          path);
  FILE *stream = from_input ? stdin : fopen (path, "rb");
  if (stream == NULL)
    return tarn_complain (TARN_EXIT_BAD_INPUT, "%s: %s", path, g_strerror (errno));
  char *text = read_text (name, stream);
  if (!from_input)
    fclose (stream);
  if (text == NULL)
    return TARN_EXIT_BAD_INPUT;

  /* A byte order mark is no part of the first column's name. */
  Reader reader = { .name = name, .at = text, .line = 1 };
  GArray *requests = g_array_new (FALSE, FALSE, sizeof (TarnRequest));
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (int));
  if (g_str_has_prefix (text, "\xef\xbb\xbf"))
    reader.at += 3;
  TarnExit outcome = read_rows (&reader, fallback, requests, lines);
  g_free (text);

  poses->name = g_strdup (name);
  poses->count = (int)requests->len;
  poses->request = (TarnRequest *)(void *)g_array_free (requests, FALSE);
  poses->line = (int *)(void *)g_array_free (lines, FALSE);
  if (outcome != TARN_EXIT_DONE)
    tarn_poses_clear (poses);
  return outcome;
}

void
tarn_poses_clear (TarnPoses *poses)
{
  g_free (poses->name);
  g_free (poses->request);
  g_free (poses->line);
  *poses = (TarnPoses){ 0 };
}
