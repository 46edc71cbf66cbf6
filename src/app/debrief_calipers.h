/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * debrief_calipers.h: the errors of a reading by calipers, apart: where they stood, the
 * formula, and what the number would have led to.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/debrief.h"
#include "app/words.h"

#include <gtk/gtk.h>

/* Fills @grid, and hides it where the reading is not one of calipers.  @debrief: NULL: not
 * known yet; the room is kept. */
void tarn_calipers_fill (GtkGrid *grid, const TarnTruth *truth, const TarnDebrief *debrief,
                         const TarnUnits *units);
