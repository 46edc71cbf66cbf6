/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_page.h: an attempt seen again, from any moment, alone or beside another one.
 *
 * Floor: app.  Main thread; attempts are played on threads of their own (replay_player.h).
 * Meant as a part of a page: it wants a height of about TARN_REPLAY_PAGE_HEIGHT and all the
 * width it can get, and has no header of its own.  Keys, while the focus is within: arrows,
 * Page Up and Down, Home, End, Space; see ui/replay-page.ui. */
#pragma once

#include "app/run.h"

#include <gtk/gtk.h>

#define TARN_REPLAY_PAGE_HEIGHT 620

#define TARN_TYPE_REPLAY_PAGE (tarn_replay_page_get_type ())
G_DECLARE_FINAL_TYPE (TarnReplayPage, tarn_replay_page, TARN, REPLAY_PAGE, GtkWidget)

GtkWidget *tarn_replay_page_new (void);

/**
 * Shows the attempt of @run, which is finished and whose truth is known; it is kept until
 * another is shown.  Returns at once; the replay gets ready by and by.  The attempt also joins
 * those with which later ones of the same patient can be compared.
 */
void tarn_replay_page_show (TarnReplayPage *self, TarnRun *run);
/* Lets go of the attempts shown; what can be compared stays. */
void tarn_replay_page_clear (TarnReplayPage *self);
/* Forgets also what could be compared, as when another learner sits down. */
void tarn_replay_page_forget (TarnReplayPage *self);

/* Goes to a moment; it is shown as soon as it is ready. */
void tarn_replay_page_seek (TarnReplayPage *self, uint32_t tick);
/* Opens a log in comparison with the attempt shown; what is wrong with it is said on the page.
 */
void tarn_replay_page_compare_file (TarnReplayPage *self, GFile *file);
