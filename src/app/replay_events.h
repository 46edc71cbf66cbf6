/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_events.h: the list of what happened, beside a replay.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/replay_player.h"
#include "app/words.h"

#include <gtk/gtk.h>

/* Makes the list tell @known's marks; rows that are there already and say the same stay. */
void tarn_replay_events_fill (GtkListBox *list, const TarnReplayKnown *known,
                              const TarnUnits *units);
/* The mark of a row. */
int tarn_replay_events_mark (GtkListBoxRow *row);
/* Selects the row of a mark and brings it into view; -1: none. */
void tarn_replay_events_follow (GtkListBox *list, int mark);
