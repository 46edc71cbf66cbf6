/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * coach_line.h: a line of advice at the bedside: what is to be seen, and what to do about it.
 *
 * Floor: app.  Main thread.  A piece of advice stays for a second at least, unless it has
 * become wrong; one that comes for a moment is not shown at all. */
#pragma once

#include "app/run.h"

#include <gtk/gtk.h>

#define TARN_TYPE_COACH_LINE (tarn_coach_line_get_type ())
G_DECLARE_FINAL_TYPE (TarnCoachLine, tarn_coach_line, TARN, COACH_LINE, GtkWidget)

GtkWidget *tarn_coach_line_new (void);

/* @time_us: of the monotonic clock, or one like it. */
void tarn_coach_line_take (TarnCoachLine *self, const TarnRunFrame *frame, gint64 time_us);
/* Nothing is said. */
void tarn_coach_line_clear (TarnCoachLine *self);
const char *tarn_coach_line_text (TarnCoachLine *self);
