/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * style.h: the style sheet, light or dark, and whether things may move, as settings and system
 * say.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/settings.h"

#include <gtk/gtk.h>

/* Once, at startup, when there is a display: the style sheet for all windows, and the theme and
 * motion that @settings and the system want, from now on. */
void tarn_style_start (TarnSettings *settings);

/* Gives a window the style sheet's class "tarn" and, while the theme is dark, "dark".  For each
 * window, dialogs included. */
void tarn_style_adopt (GtkWindow *window);

gboolean tarn_style_is_dark (void);
/* Whether animations are wanted: neither the settings nor the system ask for less motion. */
gboolean tarn_style_moves (void);
