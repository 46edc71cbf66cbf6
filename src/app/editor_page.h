/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_page.h: where an instructor writes a patient: its parts at the left, the fields of one
 * part, and at the right what comes of them.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/editor_draft.h"
#include "app/editor_export.h"
#include "app/patient_list.h"
#include "app/settings.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_PAGE (tarn_editor_page_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorPage, tarn_editor_page, TARN, EDITOR_PAGE, GtkWidget)

/* @folder: for the copies that survive a crash; NULL for the person's own. */
GtkWidget *tarn_editor_page_new (TarnPatientList *patients, TarnSettings *settings,
                                 const char *folder);

TarnEditorDraft *tarn_editor_page_draft (TarnEditorPage *self);
/* Opens a file; with unsaved changes it is asked about first. */
void tarn_editor_page_open (TarnEditorPage *self, const char *path);
/* A new patient of average build; likewise. */
void tarn_editor_page_begin (TarnEditorPage *self);
/* The draft's title, or where there is none a word for it.  Free it. */
char *tarn_editor_page_title (TarnEditorPage *self);
/* Whether it works out acoustic windows; it does from the start.  For tests. */
void tarn_editor_page_set_surveying (TarnEditorPage *self, gboolean surveying);
/* Says something in the page; NULL takes it away. */
void tarn_editor_page_say (TarnEditorPage *self, const char *text);

/* The dialog that takes a label map into the draft, which has to have a file. */
GtkWidget *tarn_editor_page_import (TarnEditorPage *self, const char *path);
/* Writes the draft to @path behind the page, which says what becomes of it. */
void tarn_editor_page_export (TarnEditorPage *self, TarnEditorExport kind, const char *path);

/* Signals: "try" (char *path): to the bedside with that file, which holds the draft;
 * "titled": the title is another one. */
