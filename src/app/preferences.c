/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/preferences.h"

#include "app/folder_chooser.h"
#include "app/style.h"

#include <glib/gi18n.h>

struct _TarnPreferences
{
  GtkWindow parent_instance;
  TarnSettings *settings;
  GtkFileChooserNative *chooser;
  GtkLabel *notice, *folder;
  GtkWidget *theme, *reduce_motion, *handedness, *volume_unit, *length_unit, *forget;
};

G_DEFINE_FINAL_TYPE (TarnPreferences, tarn_preferences, GTK_TYPE_WINDOW)

/* What whoever looks after the PC has fixed cannot be changed, and says why. */
static void
bind (TarnPreferences *self, const char *key, GtkWidget *widget, const char *property)
{
  g_object_bind_property (self->settings, key, widget, property,
                          G_BINDING_SYNC_CREATE | G_BINDING_BIDIRECTIONAL);
  if (tarn_settings_is_fixed (self->settings, key))
    {
      gtk_widget_set_sensitive (widget, FALSE);
      gtk_widget_set_tooltip_text (widget, _ ("Set by whoever looks after this computer"));
    }
}

static void
show_folder (TarnPreferences *self)
{
  const char *folder = tarn_settings_class_folder (self->settings);
  gboolean has = folder[0] != '\0';
  gboolean fixed = tarn_settings_is_fixed (self->settings, "class-folder");
  g_autofree char *shown = has ? g_filename_display_name (folder)
                               : g_strdup (_ ("None: only the patients that ship with Tarn"));
  gtk_label_set_text (self->folder, shown);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->folder), has ? shown : NULL);
  gtk_widget_set_visible (self->forget, has);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "preferences.choose-folder", !fixed);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "preferences.forget-folder", !fixed);
}

GtkWidget *
tarn_preferences_new_for (TarnSettings *settings, GtkWindow *parent)
{
  g_return_val_if_fail (TARN_IS_SETTINGS (settings), NULL);
  TarnPreferences *self = g_object_new (TARN_TYPE_PREFERENCES, "transient-for", parent, "modal",
                                        parent != NULL, NULL);
  const char *problem = tarn_settings_problem (settings);
  self->settings = g_object_ref (settings);
  gtk_label_set_text (self->notice, problem != NULL ? problem : "");
  gtk_widget_set_visible (GTK_WIDGET (self->notice), problem != NULL);
  bind (self, "theme", self->theme, "selected");
  bind (self, "reduce-motion", self->reduce_motion, "active");
  bind (self, "handedness", self->handedness, "selected");
  bind (self, "volume-unit", self->volume_unit, "selected");
  bind (self, "length-unit", self->length_unit, "selected");
  g_signal_connect_object (settings, "notify::class-folder", G_CALLBACK (show_folder), self,
                           G_CONNECT_SWAPPED);
  show_folder (self);
  tarn_style_adopt (GTK_WINDOW (self));
  return GTK_WIDGET (self);
}

GtkWidget *
tarn_preferences_new (GtkWindow *parent)
{
  return tarn_preferences_new_for (tarn_settings (), parent);
}

static void
choose_folder (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnPreferences *self = TARN_PREFERENCES (widget);
  (void)action;
  (void)parameter;
  if (self->chooser == NULL)
    g_set_weak_pointer (&self->chooser,
                        tarn_folder_chooser_open (GTK_WINDOW (self), self->settings));
}

static void
forget_folder (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action;
  (void)parameter;
  g_object_set (TARN_PREFERENCES (widget)->settings, "class-folder", "", NULL);
}

static void
tarn_preferences_dispose (GObject *object)
{
  TarnPreferences *self = TARN_PREFERENCES (object);
  if (self->chooser != NULL)
    tarn_folder_chooser_close (self->chooser);
  g_clear_weak_pointer (&self->chooser);
  g_clear_object (&self->settings);
  G_OBJECT_CLASS (tarn_preferences_parent_class)->dispose (object);
}

static void
tarn_preferences_class_init (TarnPreferencesClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  G_OBJECT_CLASS (klass)->dispose = tarn_preferences_dispose;
  gtk_widget_class_install_action (widget_class, "preferences.choose-folder", NULL,
                                   choose_folder);
  gtk_widget_class_install_action (widget_class, "preferences.forget-folder", NULL,
                                   forget_folder);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/preferences.ui");
  gtk_widget_class_bind_template_child (widget_class, TarnPreferences, notice);
  gtk_widget_class_bind_template_child (widget_class, TarnPreferences, theme);
  gtk_widget_class_bind_template_child (widget_class, TarnPreferences, reduce_motion);
  gtk_widget_class_bind_template_child (widget_class, TarnPreferences, handedness);
  gtk_widget_class_bind_template_child (widget_class, TarnPreferences, volume_unit);
  gtk_widget_class_bind_template_child (widget_class, TarnPreferences, length_unit);
  gtk_widget_class_bind_template_child (widget_class, TarnPreferences, folder);
  gtk_widget_class_bind_template_child (widget_class, TarnPreferences, forget);
}

static void
tarn_preferences_init (TarnPreferences *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
