/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_line.h: the time line of a replay, to drag and to click on.
 *
 * Floor: app.  Main thread.  To a screen reader it is a slider whose text tells time and what
 * was last done.  Keys are the page's.
 * Signal "seek" (double seconds): where the pointer is. */
#pragma once

#include "app/replay_player.h"

#include <gtk/gtk.h>

#define TARN_TYPE_REPLAY_LINE (tarn_replay_line_get_type ())
G_DECLARE_FINAL_TYPE (TarnReplayLine, tarn_replay_line, TARN, REPLAY_LINE, GtkWidget)

GtkWidget *tarn_replay_line_new (void);

/* What is known; copied.  NULL: nothing. */
void tarn_replay_line_set_known (TarnReplayLine *self, const TarnReplayKnown *known);
/* The stretch shown, in seconds of this attempt; both 0: all of it. */
void tarn_replay_line_set_stretch (TarnReplayLine *self, double from_s, double to_s);
void tarn_replay_line_set_compact (TarnReplayLine *self, gboolean compact);
/* @text: what a screen reader says of the moment. */
void tarn_replay_line_set_now (TarnReplayLine *self, double seconds, const char *text);
