/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_differences.h: how two attempts with one patient differ, in words and figures.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/replay_player.h"
#include "app/words.h"

#include <gtk/gtk.h>

/* Fills @grid with a line for each thing, A and B beside one another; what differs most is
 * first.  @b: NULL where it is not known yet. */
void tarn_replay_differences_fill (GtkGrid *grid, const TarnReplayKnown *a,
                                   const TarnReplayKnown *b, const TarnUnits *units);

/* The first sweep's tick; -1: none. */
gint64 tarn_replay_first_sweep (const TarnReplayKnown *known);
