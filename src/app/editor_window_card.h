/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_window_card.h: the draft's acoustic window in words and bars: how wide, how hard,
 * which traps bite, and how attempts differ.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/editor_map.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_WINDOW_CARD (tarn_editor_window_card_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorWindowCard, tarn_editor_window_card, TARN, EDITOR_WINDOW_CARD,
                      GtkWidget)

GtkWidget *tarn_editor_window_card_new (void);
/* @survey: NULL while none is known; @current: it is of the draft as it stands. */
void tarn_editor_window_card_show (TarnEditorWindowCard *self, TarnEditorSurvey *survey,
                                   gboolean current);
