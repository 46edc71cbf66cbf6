/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * journal.h: the running attempt on disk, so that it is there again after a crash.
 *
 * Floor: app.  Main thread.  One file in the state folder; it is there exactly while an attempt
 * is under way.  What cannot be written is said once and costs nothing else. */
#pragma once

#include "app/run.h"
#include "store/attempt_log.h"

typedef struct TarnJournal TarnJournal;

/* What could not be written, once. */
typedef void (*TarnJournalProblem) (const char *text, gpointer data);

/**
 * Begins to write down @run: what there is now, and every two seconds what is new.
 *
 * @patient_path, @sha256: of the patient's file.  @problem: may be NULL.
 *
 * Returns NULL with @error set where that cannot be.
 */
TarnJournal *tarn_journal_open (TarnRun *run, const char *patient_path, const char *sha256,
                                TarnJournalProblem problem, gpointer data, GError **error);
/* Ends it and takes the file away: the attempt is over or was left. */
void tarn_journal_close (TarnJournal *journal);
/* Ends it and leaves the file, up to date: the program ends, the attempt may go on. */
void tarn_journal_suspend (TarnJournal *journal);

/* The attempt that an earlier program left; NULL where there is none that can be read. */
TarnAttemptLog *tarn_journal_left (void);
/* Takes the file away. */
void tarn_journal_forget (void);
