/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_form.h: the fields of one group of the draft, and what can be done with its
 * structures.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/editor_draft.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_FORM (tarn_editor_form_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorForm, tarn_editor_form, TARN, EDITOR_FORM, GtkWidget)

GtkWidget *tarn_editor_form_new (TarnEditorDraft *draft);
/* @structure: of TARN_GROUP_STRUCTURE: which one; -1: what can be added. */
void tarn_editor_form_show (TarnEditorForm *self, TarnFieldGroup group, int structure);
/* Puts the focus on a field's control, and scrolls there; FALSE when it is not shown. */
gboolean tarn_editor_form_focus (TarnEditorForm *self, const TarnField *field);

/* Signal "chosen" (int structure): one has been added or taken away; -1: none is left. */
