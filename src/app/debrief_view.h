/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * debrief_view.h: the middle of the letter: the bladder in 3-D and the ledger, the planes, and
 * what the hand should do next.
 *
 * Floor: app.  Main thread.  A bar of the ledger opens the planes in which its cause acts. */
#pragma once

#include "app/debrief.h"
#include "app/run.h"
#include "app/words.h"

#include <gtk/gtk.h>

#define TARN_TYPE_DEBRIEF_VIEW (tarn_debrief_view_get_type ())
G_DECLARE_FINAL_TYPE (TarnDebriefView, tarn_debrief_view, TARN, DEBRIEF_VIEW, GtkBox)

/* What is known at once.  @reading: the one that counts; NULL: none.  What it points to must
 * stay until the next call.  What is to come by tarn_debrief_view_fill () has its room kept. */
void tarn_debrief_view_tell (TarnDebriefView *self, const TarnRunReading *reading,
                             const TarnTruth *truth, const TarnUnits *units, gboolean more);

/* What took longer.  @debrief: NULL: there is nothing more after all.  @keeps: what it points
 * into. */
void tarn_debrief_view_fill (TarnDebriefView *self, TarnDebrief *debrief, GObject *keeps);

/* Shows the planes in which @cause acts, -1 for all, and goes there. */
void tarn_debrief_view_open (TarnDebriefView *self, int cause);
