/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * window_editor.h: how the window comes to the patient editor, from there to the bedside with
 * the draft, and back.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/editor_page.h"
#include "app/window.h"

/* The window's actions for it, with their keys: window.editor, window.edit-patient and
 * window.try-draft. */
void tarn_window_editor_install (GtkWidgetClass *widget_class);

/* Shows the editor with what it held last; made when it is first wanted. */
void tarn_window_editor_show (TarnWindow *window);
/* The page; NULL before it was first wanted. */
TarnEditorPage *tarn_window_editor_page (TarnWindow *window);
/* "Back" was asked for: TRUE when the editor has seen to it. */
gboolean tarn_window_editor_back (TarnWindow *window);
