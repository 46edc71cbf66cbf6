/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * progress.h: a line on standard error for work that takes more than a second, when standard
 * error is a terminal; else nothing.
 *
 * Floor: cli.  A thread of its own watches the clock, so that the engine need not. */
#pragma once

typedef struct TarnProgress TarnProgress;

/* @what: what is being done, e.g. "scanning"; kept.  @total: turns to do; 0: show nothing. */
TarnProgress *tarn_progress_start (const char *what, int total);
/* One turn more is done.  Any thread. */
void tarn_progress_step (TarnProgress *progress);
/* Takes the line away and frees. */
void tarn_progress_stop (TarnProgress *progress);
