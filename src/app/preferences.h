/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * preferences.h: the window in which settings are changed; they apply at once.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/settings.h"

#include <gtk/gtk.h>

/* Actions: preferences.choose-folder, preferences.forget-folder. */
#define TARN_TYPE_PREFERENCES (tarn_preferences_get_type ())
G_DECLARE_FINAL_TYPE (TarnPreferences, tarn_preferences, TARN, PREFERENCES, GtkWindow)

/* For the program's own settings, in front of @parent, which may be NULL; not yet presented. */
GtkWidget *tarn_preferences_new (GtkWindow *parent);
/* The same for others, as in tests. */
GtkWidget *tarn_preferences_new_for (TarnSettings *settings, GtkWindow *parent);
