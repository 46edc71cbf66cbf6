/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * application.h: the program: its actions, its one window, its command line.
 *
 * Floor: app. */
#pragma once

#include <gtk/gtk.h>

#define TARN_APPLICATION_ID "org.tarn.Tarn"

#define TARN_TYPE_APPLICATION (tarn_application_get_type ())
G_DECLARE_FINAL_TYPE (TarnApplication, tarn_application, TARN, APPLICATION, GtkApplication)

/* @flags: G_APPLICATION_NON_UNIQUE for tests. */
TarnApplication *tarn_application_new (GApplicationFlags flags);

/* When the program was started, as g_get_monotonic_time () tells time. */
gint64 tarn_application_started_us (void);

/* The seed of the next attempt that is begun: that of the command line, else drawn. */
guint64 tarn_application_draw_seed (TarnApplication *self);
