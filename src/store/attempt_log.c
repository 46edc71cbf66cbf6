/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * attempt_log.c: logs from and to memory and disk. */
#include "store/attempt_log.h"

#include <errno.h>
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#define FIRST_LINE  "tarn-attempt 1"
#define INPUT_BYTES 400 /* of an input: nine numbers of at most 25 characters, and room */

G_DEFINE_QUARK (tarn_attempt_log_error, tarn_attempt_log_error)

static const char *const mode_name[TARN_MODES] = { "guided", "practice", "exam" };

TarnAttemptLog *
tarn_attempt_log_new (const char *patient_path, const char *sha256,
                      const TarnAttemptSetup *setup)
{
  TarnAttemptLog *log = g_new0 (TarnAttemptLog, 1);
  log->patient_path = g_strdup (patient_path);
  g_strlcpy (log->sha256, sha256, sizeof log->sha256);
  log->mode = setup->mode;
  log->seed = setup->seed;
  log->retention_ml = setup->retention_ml;
  log->inputs = g_array_new (FALSE, TRUE, sizeof (TarnInput));
  return log;
}

TarnAttemptLog *
tarn_attempt_log_of (const TarnAttempt *attempt, const char *patient_path, const char *sha256)
{
  TarnAttemptLog *log
      = tarn_attempt_log_new (patient_path, sha256, tarn_attempt_setup (attempt));
  for (int k = 0; k < tarn_attempt_inputs (attempt); k++)
    g_array_append_vals (log->inputs, tarn_attempt_logged (attempt, k), 1);
  return log;
}

void
tarn_attempt_log_free (TarnAttemptLog *log)
{
  if (log == NULL)
    return;
  g_free (log->patient_path);
  if (log->inputs != NULL)
    g_array_unref (log->inputs);
  g_free (log);
}

TarnAttemptSetup
tarn_attempt_log_setup (const TarnAttemptLog *log)
{
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  setup.mode = log->mode;
  setup.seed = log->seed;
  setup.retention_ml = log->retention_ml;
  return setup;
}

/* From memory. */

typedef struct
{
  const char *name;
  int line; /* being read, from 1 */
  char **lines;
  TarnAttemptLog *log;
} Reader;

static gboolean G_GNUC_PRINTF (3, 4)
    refuse (const Reader *reader, GError **error, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *what = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, TARN_ATTEMPT_LOG_ERROR, TARN_ATTEMPT_LOG_ERROR_INVALID, "%s:%d: %s",
               reader->name, reader->line, what);
  return FALSE;
}

/* A plain decimal number: no blanks, no hexadecimal, no infinity. */
static gboolean
read_number (const char *text, double *number)
{
  char *end = NULL;
  if (text[0] == '\0' || strspn (text, "0123456789+-.eE") != strlen (text))
    return FALSE;
  *number = g_ascii_strtod (text, &end);
  return *end == '\0' && isfinite (*number);
}

/* The next header line's value, after its key and one blank. */
static const char *
header (Reader *reader, const char *key, GError **error)
{
  const char *line = reader->lines[reader->line];
  gsize length = strlen (key);
  reader->line++;
  if (line == NULL || strncmp (line, key, length) != 0 || line[length] != ' '
      || line[length + 1] == '\0')
    {
      refuse (reader, error, "here should stand \"%s\" and its value", key);
      return NULL;
    }
  return line + length + 1;
}

static gboolean
is_sha256 (const char *text)
{
  return strlen (text) == 64 && strspn (text, "0123456789abcdef") == 64;
}

static gboolean
has_control (const char *text)
{
  for (; *text != '\0'; text++)
    if (g_ascii_iscntrl (*text))
      return TRUE;
  return FALSE;
}

static gboolean
read_mode (Reader *reader, const char *text, GError **error)
{
  for (int mode = 0; mode < TARN_MODES; mode++)
    if (strcmp (text, mode_name[mode]) == 0)
      {
        reader->log->mode = (TarnMode)mode;
        return TRUE;
      }
  return refuse (reader, error, "mode is guided, practice or exam");
}

static gboolean
read_headers (Reader *reader, GError **error)
{
  TarnAttemptLog *log = reader->log;
  reader->line = 1;
  if (reader->lines[0] == NULL || strcmp (reader->lines[0], FIRST_LINE) != 0)
    return refuse (reader, error, "no log of an attempt that this version reads (\"%s\")",
                   FIRST_LINE);

  const char *path = header (reader, "patient", error);
  if (path == NULL)
    return FALSE;
  if (has_control (path))
    return refuse (reader, error, "the patient's path has control characters");
  log->patient_path = g_strdup (path);

  const char *sha256 = header (reader, "sha256", error);
  if (sha256 == NULL)
    return FALSE;
  if (!is_sha256 (sha256))
    return refuse (reader, error, "sha256 is 64 digits and letters a to f");
  g_strlcpy (log->sha256, sha256, sizeof log->sha256);

  const char *mode = header (reader, "mode", error);
  if (mode == NULL || !read_mode (reader, mode, error))
    return FALSE;
  const char *seed = header (reader, "seed", error);
  guint64 seed_read = 0;
  if (seed == NULL)
    return FALSE;
  if (!g_ascii_string_to_unsigned (seed, 10, 0, G_MAXUINT64, &seed_read, NULL))
    return refuse (reader, error, "seed is a whole number from 0 to 18446744073709551615");
  log->seed = seed_read;

  const char *retention = header (reader, "retention-ml", error);
  if (retention == NULL)
    return FALSE;
  if (!read_number (retention, &log->retention_ml) || log->retention_ml < 0)
    return refuse (reader, error, "retention-ml is a number from 0 up");
  return TRUE;
}

static gboolean
find_kind (const char *name, TarnInput *input)
{
  for (int kind = 0; kind < TARN_INPUTS; kind++)
    if (strcmp (name, tarn_input_kind_name ((TarnInputKind)kind)) == 0)
      {
        input->kind = (uint8_t)kind;
        return TRUE;
      }
  return FALSE;
}

/* The whole numbers: tick, code, cause, reading. */
static gboolean
read_codes (char **word, TarnInput *input)
{
  guint64 tick, code, cause;
  gint64 reading;
  if (!g_ascii_string_to_unsigned (word[0], 10, 0, TARN_ATTEMPT_TICKS_MAX, &tick, NULL)
      || !g_ascii_string_to_unsigned (word[2], 10, 0, G_MAXUINT8, &code, NULL)
      || !g_ascii_string_to_unsigned (word[3], 10, 0, G_MAXUINT8, &cause, NULL)
      || !g_ascii_string_to_signed (word[4], 10, G_MININT8, G_MAXINT8, &reading, NULL))
    return FALSE;
  input->tick = (uint32_t)tick;
  input->code = (uint8_t)code;
  input->cause = (uint8_t)cause;
  input->reading = (int8_t)reading;
  return TRUE;
}

static gboolean
read_input (Reader *reader, const char *line, GError **error)
{
  g_auto (GStrv) word = g_strsplit (line, " ", 5 + TARN_INPUT_VALUES + 1);
  GArray *inputs = reader->log->inputs;
  TarnInput input = { 0 };
  guint words = g_strv_length (word);
  if (words < 5)
    return refuse (reader, error, "an input has a tick, a kind, a code, a cause, a reading");
  if (!find_kind (word[1], &input))
    return refuse (reader, error, "there is no input \"%.40s\"", word[1]);
  if (!read_codes (word, &input))
    return refuse (reader, error, "tick, code, cause or reading is no whole number in range");
  guint values = (guint)tarn_input_values ((TarnInputKind)input.kind);
  if (words != 5 + values)
    return refuse (reader, error, "%s has %u values, not %u", word[1], values, words - 5);
  for (guint k = 0; k < values; k++)
    if (!read_number (word[5 + k], &input.value[k]))
      return refuse (reader, error, "\"%.40s\" is no number", word[5 + k]);
  if (inputs->len > 0 && g_array_index (inputs, TarnInput, inputs->len - 1).tick > input.tick)
    return refuse (reader, error, "an input comes before the one above it");
  if (inputs->len >= TARN_LOG_INPUTS_MAX)
    return refuse (reader, error, "more than %d inputs", TARN_LOG_INPUTS_MAX);
  g_array_append_val (inputs, input);
  return TRUE;
}

static gboolean
read_inputs (Reader *reader, GError **error)
{
  while (reader->lines[reader->line] != NULL)
    {
      const char *line = reader->lines[reader->line++];
      if (!read_input (reader, line, error))
        return FALSE;
    }
  return TRUE;
}

/* Up to the last newline; what follows was torn. */
static gsize
whole_lines (const char *data, gsize length)
{
  while (length > 0 && data[length - 1] != '\n')
    length--;
  return length;
}

TarnAttemptLog *
tarn_attempt_log_parse (const char *data, gsize length, const char *name, GError **error)
{
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  g_autoptr (TarnAttemptLog) log = tarn_attempt_log_new (NULL, "", &setup);
  Reader reader = { .name = name, .line = 1, .log = log };
  gsize whole = whole_lines (data, length);
  const char *bad = NULL;
  log->torn = whole < length;
  if (length > TARN_LOG_BYTES_MAX)
    {
      refuse (&reader, error, "larger than a log may be");
      return NULL;
    }
  if (!g_utf8_validate_len (data, whole, &bad))
    {
      for (const char *at = data; at < bad; at++)
        reader.line += *at == '\n';
      refuse (&reader, error, "not UTF-8 text");
      return NULL;
    }

  /* Without the last newline, which would leave an empty line behind it. */
  g_autofree char *text = g_strndup (data, whole > 0 ? whole - 1 : 0);
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);
  reader.lines = lines;
  if (!read_headers (&reader, error) || !read_inputs (&reader, error))
    return NULL;
  return g_steal_pointer (&log);
}

/* To memory. */

static void
append_number (GString *out, double number)
{
  char digits[G_ASCII_DTOSTR_BUF_SIZE];
  g_string_append (out, g_ascii_formatd (digits, sizeof digits, "%.17g", number));
}

static void
append_input (GString *out, const TarnInput *input)
{
  TarnInputKind kind = (TarnInputKind)input->kind;
  g_string_append_printf (out, "%u %s %u %u %d", input->tick, tarn_input_kind_name (kind),
                          input->code, input->cause, input->reading);
  for (int k = 0; k < tarn_input_values (kind); k++)
    {
      g_string_append_c (out, ' ');
      append_number (out, input->value[k]);
    }
  g_string_append_c (out, '\n');
}

char *
tarn_attempt_log_format (const TarnAttemptLog *log, gsize *length)
{
  GString *out = g_string_new (FIRST_LINE "\n");
  g_string_append_printf (out, "patient %s\nsha256 %s\nmode %s\nseed %" G_GUINT64_FORMAT "\n",
                          log->patient_path, log->sha256, mode_name[log->mode],
                          (guint64)log->seed);
  g_string_append (out, "retention-ml ");
  append_number (out, log->retention_ml);
  g_string_append_c (out, '\n');
  for (guint k = 0; k < log->inputs->len; k++)
    append_input (out, &g_array_index (log->inputs, TarnInput, k));
  if (length != NULL)
    *length = out->len;
  return g_string_free (out, FALSE);
}

/* From and to disk. */

static gboolean
fail (GError **error, TarnAttemptLogError code, const char *path, const char *doing,
      const char *why)
{
  g_autofree char *name = g_filename_display_name (path);
  g_set_error (error, TARN_ATTEMPT_LOG_ERROR, code, "%s: cannot be %s: %s", name, doing, why);
  return FALSE;
}

TarnAttemptLog *
tarn_attempt_log_load (const char *path, GError **error)
{
  g_autofree char *name = g_filename_display_name (path), *data = NULL;
  g_autoptr (GError) refused = NULL;
  GStatBuf there;
  gsize length = 0;
  /* Anything but a regular file may never end; one too long is not read at all. */
  if (g_stat (path, &there) != 0)
    fail (error, TARN_ATTEMPT_LOG_ERROR_READ, path, "read", g_strerror (errno));
  else if (!S_ISREG (there.st_mode) || there.st_size > TARN_LOG_BYTES_MAX)
    fail (error, TARN_ATTEMPT_LOG_ERROR_READ, path, "read", "not a regular file, or too long");
  else if (!g_file_get_contents (path, &data, &length, &refused))
    fail (error, TARN_ATTEMPT_LOG_ERROR_READ, path, "read", refused->message);
  return data != NULL ? tarn_attempt_log_parse (data, length, name, error) : NULL;
}

gboolean
tarn_attempt_log_save (const TarnAttemptLog *log, const char *path, GError **error)
{
  gsize length;
  g_autofree char *name = g_filename_display_name (path);
  g_autofree char *data = tarn_attempt_log_format (log, &length);
  g_autoptr (TarnAttemptLog) again = tarn_attempt_log_parse (data, length, name, error);
  if (again == NULL)
    return FALSE;

  /* Renaming over a device or a directory is never what was meant. */
  GStatBuf there;
  if (g_stat (path, &there) == 0 && !S_ISREG (there.st_mode))
    return fail (error, TARN_ATTEMPT_LOG_ERROR_WRITE, path, "saved", "not a regular file");
  g_autoptr (GError) refused = NULL;
  if (g_file_set_contents_full (path, data, (gssize)length,
                                G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE,
                                0666, &refused))
    return TRUE;
  return fail (error, TARN_ATTEMPT_LOG_ERROR_WRITE, path, "saved", refused->message);
}

/* Cuts off a last line that a crash has left without its end. */
static gboolean
cut_torn_line (FILE *stream, const char *path, GError **error)
{
  char tail[INPUT_BYTES + 1];
  if (fseek (stream, 0, SEEK_END) != 0)
    return fail (error, TARN_ATTEMPT_LOG_ERROR_WRITE, path, "appended to", g_strerror (errno));
  long size = ftell (stream), from = MAX (0, size - (long)sizeof tail);
  fseek (stream, from, SEEK_SET);
  gsize got = fread (tail, 1, sizeof tail, stream);
  gsize whole = whole_lines (tail, got);
  if (ferror (stream) || (whole == 0 && from > 0) || size == 0)
    return fail (error, TARN_ATTEMPT_LOG_ERROR_WRITE, path, "appended to", "not a log");
  if (whole == got)
    return TRUE;

  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GFileIOStream) both = g_file_open_readwrite (file, NULL, NULL);
  if (both == NULL
      || !g_seekable_truncate (G_SEEKABLE (both), from + (goffset)whole, NULL, NULL))
    return fail (error, TARN_ATTEMPT_LOG_ERROR_WRITE, path, "appended to",
                 "its last line is torn");
  return TRUE;
}

gboolean
tarn_attempt_log_append (const char *path, const TarnInput *input, gsize count,
                         gboolean durable, GError **error)
{
  g_autoptr (GString) out = g_string_new (NULL);
  for (gsize k = 0; k < count; k++)
    append_input (out, &input[k]);

  /* Never creates a file: a log without its headers is none. */
  FILE *stream = g_fopen (path, "r+b");
  if (stream == NULL)
    return fail (error, TARN_ATTEMPT_LOG_ERROR_WRITE, path, "appended to", g_strerror (errno));
  gboolean done = cut_torn_line (stream, path, error);
  if (done
      && (fseek (stream, 0, SEEK_END) != 0 || fwrite (out->str, 1, out->len, stream) != out->len
          || fflush (stream) != 0 || (durable && g_fsync (fileno (stream)) != 0)))
    done = fail (error, TARN_ATTEMPT_LOG_ERROR_WRITE, path, "appended to", g_strerror (errno));
  fclose (stream);
  return done;
}
