/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_field.h: one field of the draft: what it is called, its control, its help, range,
 * default and source, and the way back to the default.
 *
 * Floor: app.  Main thread.  Edits go into the draft; the draft's changes come by
 * tarn_editor_field_refresh (). */
#pragma once

#include "app/editor_draft.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_FIELD (tarn_editor_field_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorField, tarn_editor_field, TARN, EDITOR_FIELD, GtkWidget)

/* @structure: which one, for fields of that group; else -1. */
GtkWidget *tarn_editor_field_new (TarnEditorDraft *draft, const TarnField *field,
                                  int structure);
const TarnField *tarn_editor_field_field (TarnEditorField *self);
void tarn_editor_field_refresh (TarnEditorField *self);
/* The language in which a translatable text is shown; "" for the untranslated one. */
void tarn_editor_field_set_locale (TarnEditorField *self, const char *locale);
