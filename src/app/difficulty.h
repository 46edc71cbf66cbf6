/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * difficulty.h: how hard the patients of a list are, worked out one after another on a thread
 * while there is time for it, and remembered for each version of a file.
 *
 * Floor: app.  Main thread.  Each TarnPatientItem is told its figure. */
#pragma once

#include <gio/gio.h>

#define TARN_TYPE_DIFFICULTY (tarn_difficulty_get_type ())
G_DECLARE_FINAL_TYPE (TarnDifficulty, tarn_difficulty, TARN, DIFFICULTY, GObject)

/* @patients: of TarnPatientItem.  @cache_file: what is known is kept there; NULL for the
 * person's own cache.  Works on nothing before it is let. */
TarnDifficulty *tarn_difficulty_new (GListModel *patients, const char *cache_file);

/* Lets it work, or stops it: planes that move need the processor for themselves. */
void tarn_difficulty_set_working (TarnDifficulty *self, gboolean working);
/* Whether every patient's figure is known, or never will be. */
gboolean tarn_difficulty_is_done (TarnDifficulty *self);

/* Signal "done": so it is now. */
