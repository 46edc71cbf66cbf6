/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * shortcuts.h: the window that lists the keys.
 *
 * Floor: app.  Main thread. */
#pragma once

#include <gtk/gtk.h>

/* The window of ui/shortcuts.ui; not yet presented.  An application window has one of its own
 * from the same file (win.show-help-overlay). */
GtkWidget *tarn_shortcuts_new (GtkWindow *parent);
