/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * attempt_log.h: an attempt's log as a text file, to be played again.
 *
 * Floor: store.  UTF-8, lines ended by a newline:
 *
 *     tarn-attempt 2
 *     patient anatomies/01-plain-adult.anatomy
 *     sha256 3f…                       of the patient's file
 *     mode practice
 *     seed 42
 *     retention-ml 500
 *     0 deed 1                         tick, kind, what it has of code, cause and reading,
 *     12 hand 40 0 0.09 0 0 5          and its values
 *     13 hand 40.5                     of a hand, what is as in the hand above is left out at
 *     14 hand = 1.25                   the end, or else is "="
 *     9000 finish
 *
 * The attempt ends at the tick of its last input; one that was finished ends with "finish".
 * Version 1, which is still read and appended to, has code, cause and reading in every line and
 * leaves nothing out.
 * Numbers read back to the same bits, whatever the locale.  A new log is written beside its
 * place and renamed into it; further inputs are appended.  A last line without its newline was
 * torn by a crash: reading leaves it out, and appending replaces it.
 * Threads: any, one at a time for each object and file. */
#pragma once

#include "engine/attempt/attempt.h"

#include <glib.h>

#define TARN_ATTEMPT_LOG_ERROR (tarn_attempt_log_error_quark ())
typedef enum
{
  TARN_ATTEMPT_LOG_ERROR_READ,    /* the system would not let it be read */
  TARN_ATTEMPT_LOG_ERROR_INVALID, /* read, but not a log; or a log not fit to save */
  TARN_ATTEMPT_LOG_ERROR_WRITE,   /* could not be written */
  TARN_ATTEMPT_LOG_ERROR_PATIENT, /* its patient is not there, or another one */
} TarnAttemptLogError;
GQuark tarn_attempt_log_error_quark (void);

#define TARN_LOG_BYTES_MAX  (256 * 1024 * 1024)
#define TARN_LOG_INPUTS_MAX 2000000

typedef struct
{
  char *patient_path;  /* as the attempt's maker gave it; not empty, no control characters */
  char sha256[64 + 1]; /* of the patient file's bytes, small hexadecimal */
  TarnMode mode;
  uint64_t seed;
  double retention_ml;
  GArray *inputs; /* of TarnInput, in order */
  gboolean torn;  /* a last, half-written line was left out */
} TarnAttemptLog;

/* A log without inputs.  @setup: its mode, seed and retention are taken. */
TarnAttemptLog *tarn_attempt_log_new (const char *patient_path, const char *sha256,
                                      const TarnAttemptSetup *setup);
/* The same with all that @attempt has logged. */
TarnAttemptLog *tarn_attempt_log_of (const TarnAttempt *attempt, const char *patient_path,
                                     const char *sha256);
void tarn_attempt_log_free (TarnAttemptLog *log); /* NULL is allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TarnAttemptLog, tarn_attempt_log_free)

/* What an attempt needs to be made again: mode, seed, retention; this thread alone. */
TarnAttemptSetup tarn_attempt_log_setup (const TarnAttemptLog *log);

/* Where the attempt ends, 0 without inputs; and whether it was finished. */
uint32_t tarn_attempt_log_last_tick (const TarnAttemptLog *log);
gboolean tarn_attempt_log_is_finished (const TarnAttemptLog *log);

/**
 * Reads a log.
 *
 * Returns NULL and sets @error when it cannot be read or is no log; the message is
 *   FILE:LINE: what is wrong
 * Whether the inputs can be taken is for the attempt to say, as they are played.
 */
TarnAttemptLog *tarn_attempt_log_load (const char *path, GError **error);
/* The same from memory.  @name stands for the file in messages. */
TarnAttemptLog *tarn_attempt_log_parse (const char *data, gsize length, const char *name,
                                        GError **error);

/* The file's bytes; the result also ends in NUL.  @length: out, may be NULL. */
char *tarn_attempt_log_format (const TarnAttemptLog *log, gsize *length);

/* Saves a whole log; what stood there before stands until the new one is complete.  Returns
 * FALSE and sets @error, as when the system refuses or the log would not load again. */
gboolean tarn_attempt_log_save (const TarnAttemptLog *log, const char *path, GError **error);

/* Appends @count further inputs to a saved log; @durable: and waits until the disk has them.
 * Returns FALSE and sets @error when the system refuses. */
gboolean tarn_attempt_log_append (const char *path, const TarnInput *input, gsize count,
                                  gboolean durable, GError **error);
