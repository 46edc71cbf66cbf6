/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_side.h: one attempt at one moment: the patient, the plane, and how things stand.
 *
 * Floor: app.  Main thread.  Signal "changed": of its player. */
#pragma once

#include "app/replay_player.h"

#include <gtk/gtk.h>

#define TARN_TYPE_REPLAY_SIDE (tarn_replay_side_get_type ())
G_DECLARE_FINAL_TYPE (TarnReplaySide, tarn_replay_side, TARN, REPLAY_SIDE, GtkWidget)

GtkWidget *tarn_replay_side_new (void);

/* @player: a reference is taken; NULL: none.  The one before is stopped. */
void tarn_replay_side_set_player (TarnReplaySide *self, TarnReplayPlayer *player);
TarnReplayPlayer *tarn_replay_side_player (TarnReplaySide *self);
/* NULL: no heading. */
void tarn_replay_side_set_heading (TarnReplaySide *self, const char *text);

/* Which of the two pictures are shown, at least one; beside one another. */
void tarn_replay_side_show_parts (TarnReplaySide *self, gboolean patient, gboolean plane);

/* What is shown now; NULL before the first frame. */
const TarnBedside *tarn_replay_side_bedside (TarnReplaySide *self);
/* The words of the moment, "" before the first frame. */
const char *tarn_replay_side_text (TarnReplaySide *self);
