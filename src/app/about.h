/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * about.h: the dialog that says what Tarn is, whose, and what it is not for.
 *
 * Floor: app.  Main thread. */
#pragma once

#include <gtk/gtk.h>

/* Shows it in front of @parent, which may be NULL. */
void tarn_about_show (GtkWindow *parent);
