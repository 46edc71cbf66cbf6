/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Logs of attempts: made, read from disk, saved, appended to. */
#include "store/attempt_log.h"

#include "store/attempt_log_text.h"

#include <errno.h>
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <string.h>

#define INPUT_BYTES 400 /* of an input: nine numbers of at most 25 characters, and room */

G_DEFINE_QUARK (tarn_attempt_log_error, tarn_attempt_log_error)

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

uint32_t
tarn_attempt_log_last_tick (const TarnAttemptLog *log)
{
  guint inputs = log->inputs->len;
  return inputs > 0 ? g_array_index (log->inputs, TarnInput, inputs - 1).tick : 0;
}

gboolean
tarn_attempt_log_is_finished (const TarnAttemptLog *log)
{
  guint inputs = log->inputs->len;
  return inputs > 0
         && g_array_index (log->inputs, TarnInput, inputs - 1).kind == TARN_INPUT_FINISH;
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
  gsize whole = tarn_log_whole_lines (tail, got);
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

/* Of the log that stands there; what is none is found out elsewhere. */
static int
version_of (FILE *stream)
{
  char line[sizeof TARN_LOG_FIRST_LINE];
  gboolean first = fgets (line, sizeof line, stream) != NULL
                   && strcmp (line, TARN_LOG_FIRST_WORD "1") == 0;
  return first ? 1 : TARN_LOG_VERSION;
}

gboolean
tarn_attempt_log_append (const char *path, const TarnInput *input, gsize count,
                         gboolean durable, GError **error)
{
  /* Never creates a file: a log without its headers is none. */
  FILE *stream = g_fopen (path, "r+b");
  if (stream == NULL)
    return fail (error, TARN_ATTEMPT_LOG_ERROR_WRITE, path, "appended to", g_strerror (errno));
  g_autoptr (GString) out = g_string_new (NULL);
  tarn_log_append_inputs (out, version_of (stream), input, count);
  gboolean done = cut_torn_line (stream, path, error);
  if (done
      && (fseek (stream, 0, SEEK_END) != 0 || fwrite (out->str, 1, out->len, stream) != out->len
          || fflush (stream) != 0 || (durable && g_fsync (fileno (stream)) != 0)))
    done = fail (error, TARN_ATTEMPT_LOG_ERROR_WRITE, path, "appended to", g_strerror (errno));
  fclose (stream);
  return done;
}
