/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * briefing_page.h: who the patient is and why a scan was asked for, before going there.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/patient_item.h"

#include <gtk/gtk.h>

/* Signals: "begin" (TarnPatientItem *, int mode), "back" ().
 * Actions: briefing.begin, briefing.back, briefing.other-mode. */
#define TARN_TYPE_BRIEFING_PAGE (tarn_briefing_page_get_type ())
G_DECLARE_FINAL_TYPE (TarnBriefingPage, tarn_briefing_page, TARN, BRIEFING_PAGE, GtkWidget)

GtkWidget *tarn_briefing_page_new (void);

/* @item: one that can be used; kept.  @mode: TARN_MODE_GUIDED or TARN_MODE_PRACTICE. */
void tarn_briefing_page_show (TarnBriefingPage *self, TarnPatientItem *item, int mode);
int tarn_briefing_page_mode (TarnBriefingPage *self);
