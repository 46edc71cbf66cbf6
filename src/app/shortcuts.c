/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/shortcuts.h"

#include "app/style.h"

#include <glib/gi18n.h>

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

void
tarn_shortcuts_set_tooltip (GtkWidget *widget, const char *text, const char *accelerator)
{
  guint key = 0;
  GdkModifierType modifiers = 0;
  g_return_if_fail (GTK_IS_WIDGET (widget));
  if (accelerator == NULL || !gtk_accelerator_parse (accelerator, &key, &modifiers))
    {
      gtk_widget_set_tooltip_text (widget, text);
      return;
    }
  g_autofree char *label = gtk_accelerator_get_label (key, modifiers);
  /* Translators: what a button does, and its key. */
  g_autofree char *tooltip = g_strdup_printf (_ ("%s (%s)"), text, label);
  gtk_widget_set_tooltip_text (widget, tooltip);
  gtk_accessible_update_property (GTK_ACCESSIBLE (widget),
                                  GTK_ACCESSIBLE_PROPERTY_KEY_SHORTCUTS, label, -1);
}
