/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * truth_page.h: the letter after an attempt: what was read, what was true, where the
 * millilitres went, and what to do next time.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/run.h"
#include "app/words.h"

#include <gtk/gtk.h>

/* Signals: "again" with another patient drawn alike; "next" patient; "library". */
#define TARN_TYPE_TRUTH_PAGE (tarn_truth_page_get_type ())
G_DECLARE_FINAL_TYPE (TarnTruthPage, tarn_truth_page, TARN, TRUTH_PAGE, GtkWidget)

GtkWidget *tarn_truth_page_new (void);

/* Tells the truth of @run's attempt.  Keeps @run until the next call, for its planes. */
void tarn_truth_page_show (TarnTruthPage *self, TarnRun *run, const TarnTruth *truth);

/* The same from plain data.  @reading: the one that counts; NULL: none.  What it points to must
 * stay until the next call. */
void tarn_truth_page_tell (TarnTruthPage *self, const TarnPatient *patient,
                           const TarnRunReading *reading, const TarnTruth *truth,
                           const TarnUnits *units);
