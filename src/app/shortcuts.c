/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/shortcuts.h"

#include "app/style.h"

GtkWidget *
tarn_shortcuts_new (GtkWindow *parent)
{
  g_autoptr (GtkBuilder) builder
      = gtk_builder_new_from_resource ("/org/tarn/Tarn/gtk/help-overlay.ui");
  GtkWidget *window = GTK_WIDGET (gtk_builder_get_object (builder, "help_overlay"));
  gtk_window_set_transient_for (GTK_WINDOW (window), parent);
  tarn_style_adopt (GTK_WINDOW (window));
  return window;
}
