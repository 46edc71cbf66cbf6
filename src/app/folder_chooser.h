/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * folder_chooser.h: asks for the folder of a class's patients.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/settings.h"

#include <gtk/gtk.h>

/* Opens the question over @parent; the answer becomes the settings' "class-folder".  The
 * chooser goes by itself once it is answered: hold it by a weak pointer. */
GtkFileChooserNative *tarn_folder_chooser_open (GtkWindow *parent, TarnSettings *settings);
/* Takes an open question away. */
void tarn_folder_chooser_close (GtkFileChooserNative *chooser);
