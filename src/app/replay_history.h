/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_history.h: the attempts that were finished since the program began, for comparison.
 *
 * Floor: app.  Main thread.  In memory alone; only logs are kept. */
#pragma once

#include "app/run.h"
#include "store/attempt_log.h"

typedef struct TarnReplayHistory TarnReplayHistory;

TarnReplayHistory *tarn_replay_history_new (void);
void tarn_replay_history_free (TarnReplayHistory *history);

/* Adds the log of a run whose origin is known; one that is there already is not added again.
 * Returns whether it is in the list. */
gboolean tarn_replay_history_add (TarnReplayHistory *history, TarnRun *run);
/* The log of @run; NULL where its origin is not known.  The caller's own. */
TarnAttemptLog *tarn_replay_log_of_run (TarnRun *run);
/* What came of it, once that is known; shown in the list. */
void tarn_replay_history_tell (TarnReplayHistory *history, TarnRun *run, const char *result);

/* How many others there are with @run's patient; of these the @index'th, oldest first. */
int tarn_replay_history_others (TarnReplayHistory *history, TarnRun *run);
/* A copy.  @name: out, "Attempt 1: 214 mL, Shadowed", belongs to the history; may be NULL. */
TarnAttemptLog *tarn_replay_history_other (TarnReplayHistory *history, TarnRun *run, int index,
                                           const char **name);
void tarn_replay_history_forget (TarnReplayHistory *history);
