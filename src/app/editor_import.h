/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_import.h: the dialog in which an instructor says what the labels of a map are, and
 * which then takes them into the draft, as one step.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/editor_draft.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_IMPORT (tarn_editor_import_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorImport, tarn_editor_import, TARN, EDITOR_IMPORT, GtkWindow)

/* @map_path: where the map is.  @map_copy: where what is used of it goes, a path that nothing
 * has yet; beside the patient. */
GtkWidget *tarn_editor_import_new (GtkWindow *parent, TarnEditorDraft *draft,
                                   const char *map_path, const char *map_copy);

/* Signal "imported" (double agreement): Dice's coefficient of shape and label. */
