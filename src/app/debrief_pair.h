/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * debrief_pair.h: two things side by side where there is room, else the second below the first.
 *
 * Floor: app.  Main thread. */
#pragma once

#include <gtk/gtk.h>

#define TARN_PAIR_WIDTH 900 /* from so many px on side by side, times the size of text */

/* Takes its two children from a .ui file.  One that is hidden leaves its room to the other. */
#define TARN_TYPE_PAIR (tarn_pair_get_type ())
G_DECLARE_FINAL_TYPE (TarnPair, tarn_pair, TARN, PAIR, GtkWidget)
