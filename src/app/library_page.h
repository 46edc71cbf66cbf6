/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * library_page.h: the patients to choose from, and how to work: guided or practice.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/patient_list.h"
#include "app/settings.h"

#include <gtk/gtk.h>

/* Property: "mode" (int, TARN_MODE_GUIDED or TARN_MODE_PRACTICE).
 * Signal: "patient-chosen" (TarnPatientItem *, int mode), only for one that can be used.
 * Actions: library.search, library.clear-search, library.open-folder. */
#define TARN_TYPE_LIBRARY_PAGE (tarn_library_page_get_type ())
G_DECLARE_FINAL_TYPE (TarnLibraryPage, tarn_library_page, TARN, LIBRARY_PAGE, GtkWidget)

/* @list, @settings: kept.  The list follows the settings' class folder from now on. */
GtkWidget *tarn_library_page_new (TarnPatientList *list, TarnSettings *settings);

int tarn_library_page_mode (TarnLibraryPage *self);
void tarn_library_page_set_mode (TarnLibraryPage *self, int mode);

/* One sentence on what a mode is; translated. */
const char *tarn_library_mode_text (int mode);
