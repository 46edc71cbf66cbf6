/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * letter_column.h: one child in the middle, never wider than a page that is pleasant to read.
 *
 * Floor: app.  Main thread. */
#pragma once

#include <gtk/gtk.h>

#define TARN_LETTER_WIDTH 1180 /* at most, px */

/* Takes its one child from a .ui file. */
#define TARN_TYPE_LETTER_COLUMN (tarn_letter_column_get_type ())
G_DECLARE_FINAL_TYPE (TarnLetterColumn, tarn_letter_column, TARN, LETTER_COLUMN, GtkWidget)
