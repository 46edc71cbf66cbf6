/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * journal.h: the running attempt on disk, so that it is there again after a crash.
 *
 * Floor: app.  Main thread.  One file in the state folder; it is there exactly while an attempt
 * is under way.  What cannot be written is said once and costs nothing else. */
#pragma once

#include "app/run.h"

typedef struct TarnJournal TarnJournal;

/* Begins to write down @run: now, and every few seconds from now on.
 * Returns NULL with @error set where that cannot be. */
TarnJournal *tarn_journal_open (TarnRun *run, const char *patient_path, const char *sha256,
                                GError **error);
/* Ends it and takes the file away: the attempt is over or was left. */
void tarn_journal_close (TarnJournal *journal);
/* Writes what is new at once, as before the program ends. */
void tarn_journal_write (TarnJournal *journal);

/* An attempt that an earlier program left behind. */
typedef struct
{
  char *patient_path, *sha256;
  TarnMode mode;
  uint64_t seed;
  GArray *inputs; /* of TarnInput */
} TarnLeftAttempt;

/* NULL where there is none, or none that can be read. */
TarnLeftAttempt *tarn_journal_left (void);
void tarn_left_attempt_free (TarnLeftAttempt *left);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TarnLeftAttempt, tarn_left_attempt_free)
/* Takes the file away. */
void tarn_journal_forget (void);
