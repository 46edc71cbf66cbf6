/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * shortcuts.h: the window that lists the keys, and how a key is named in a tooltip.
 *
 * Floor: app.  Main thread. */
#pragma once

#include <gtk/gtk.h>

/* The window of ui/shortcuts.ui; not yet presented.  An application window has one of its own
 * from the same file (win.show-help-overlay). */
GtkWidget *tarn_shortcuts_new (GtkWindow *parent);

/* Gives @widget the tooltip "TEXT (KEY)", and the key to who cannot see it.
 * @text: translated.  @accelerator: as "<Control>f"; NULL for none. */
void tarn_shortcuts_set_tooltip (GtkWidget *widget, const char *text, const char *accelerator);
