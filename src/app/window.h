/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * window.h: the one window: pages from the library over the bedside to the truth.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/application.h"
#include "app/bedside_page.h"
#include "app/patient_list.h"

#include <gtk/gtk.h>

#define TARN_TYPE_WINDOW (tarn_window_get_type ())
G_DECLARE_FINAL_TYPE (TarnWindow, tarn_window, TARN, WINDOW, GtkApplicationWindow)

TarnWindow *tarn_window_new (TarnApplication *application);

/* Opens the briefing of a patient's file; what is wrong with it is said in the window. */
void tarn_window_open_file (TarnWindow *self, GFile *file);
/* Begins an attempt at once.  Returns whether it could be begun. */
gboolean tarn_window_begin (TarnWindow *self, GFile *file, TarnMode mode, guint64 seed);

/* Takes up the attempt that an earlier program left, if there is one. */
void tarn_window_take_up (TarnWindow *self);

TarnRun *tarn_window_run (TarnWindow *self); /* the attempt under way, or NULL */
TarnBedsidePage *tarn_window_bedside (TarnWindow *self);
/* "cautions", "library", "briefing", "bedside", "judge", "truth" or "editor". */
const char *tarn_window_page (TarnWindow *self);
/* Another page (a GtkWidget), and what stands in the header bar while it is shown. */
void tarn_window_add_page (TarnWindow *self, gpointer page, const char *name);
void tarn_window_show_page (TarnWindow *self, const char *name);
void tarn_window_set_heading (TarnWindow *self, const char *text);
TarnPatientList *tarn_window_patients (TarnWindow *self);
TarnPatientItem *tarn_window_item (TarnWindow *self); /* who is looked at, or NULL */
/* A sentence under the header bar that stays until it is closed; NULL takes it away. */
void tarn_window_notice (TarnWindow *self, const char *text);
