/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * ledger_view.h: where the millilitres went, as a drawing that screen readers can read.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/words.h"
#include "report/paper.h"

#include <gtk/gtk.h>

/* Signal: "cause-chosen" (int cause): the bar was pressed, by pointer or key. */
#define TARN_TYPE_LEDGER_VIEW (tarn_ledger_view_get_type ())
G_DECLARE_FINAL_TYPE (TarnLedgerView, tarn_ledger_view, TARN, LEDGER_VIEW, GtkWidget)

GtkWidget *tarn_ledger_view_new (void);

/* Shows how @truth's reading came about; nothing where no reading counts. */
void tarn_ledger_view_set_truth (TarnLedgerView *self, const TarnTruth *truth,
                                 const TarnUnits *units);

/* The causes that something can be shown of, a bit for each TarnCause: their bars can then be
 * pressed. */
void tarn_ledger_view_set_open (TarnLedgerView *self, unsigned causes);
/* Whether any can. */
gboolean tarn_ledger_view_has_bars (TarnLedgerView *self);

/* The same as one text, a cause to a line; "" where there is nothing to tell.  Free it. */
char *tarn_ledger_text (const TarnTruth *truth, const TarnUnits *units);

/* How a verdict and a cause are marked wherever they are drawn. */
TarnMark tarn_mark_of_cause (int cause); /* TarnCause, TARN_WORDS_… */
TarnMark tarn_mark_of_verdict (TarnVerdict verdict);

/* The paper that suits @widget: its window's ground, its font and size of text. */
TarnPaper tarn_paper_of_widget (GtkWidget *widget);
