/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * truth_score.h: a score as four plain bars, and technique in a sentence.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/words.h"

#include <gtk/gtk.h>

/* Fills @box with a bar for each part, "38 of 50"; what was in it goes.  @facts: to say where
 * no reading was needed, nor a hand that scans. */
void tarn_score_bars_fill (GtkWidget *box, const TarnScore *score, const TarnScoreFacts *facts);

/* "Score: 92 of 100", after whether that is not enough.  Free it. */
char *tarn_score_heading_text (const TarnScore *score);

/* What technique was measured by; "" where nobody scanned.  Free it. */
char *tarn_score_technique_text (const TarnScoreFacts *facts);
