/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_list.h: the patients there are: those that ship, then those of the class folder, each
 * by file name.
 *
 * Floor: app.  A GListModel of TarnPatientItem.  Main thread; files are read on another one,
 * and again when a folder changes. */
#pragma once

#include "app/patient_item.h"

/* Properties: "class-folder" (string, "" for none), "loading" (boolean, read only), "problem"
 * (string, read only: a folder that cannot be read; else NULL). */
#define TARN_TYPE_PATIENT_LIST (tarn_patient_list_get_type ())
G_DECLARE_FINAL_TYPE (TarnPatientList, tarn_patient_list, TARN, PATIENT_LIST, GObject)

/* Where the patients that ship are: $TARN_ANATOMIES, else the source's folder for a program
 * that runs where it was built, else where they were installed.  Free it. */
char *tarn_patient_list_installed_folder (void);

/* Starts to load at once.  @installed_folder: NULL for the one above. */
TarnPatientList *tarn_patient_list_new (const char *installed_folder);

void tarn_patient_list_set_class_folder (TarnPatientList *self, const char *folder);
gboolean tarn_patient_list_loading (TarnPatientList *self);
const char *tarn_patient_list_problem (TarnPatientList *self);
/* The first with that id, for "begin with a guided first patient"; NULL without one.  Belongs
 * to the list. */
TarnPatientItem *tarn_patient_list_find (TarnPatientList *self, const char *id);
/* The list's own item of that file, which keeps count of attempts; else a new one.  Never NULL;
 * a new reference. */
TarnPatientItem *tarn_patient_list_at (TarnPatientList *self, const char *path);
/* The one that follows that file in the list and can be used, a new reference; NULL after the
 * last. */
TarnPatientItem *tarn_patient_list_after (TarnPatientList *self, const char *path);
