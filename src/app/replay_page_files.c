/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * With which attempt the one shown is compared; logs opened and saved. */
#include "app/replay_page_private.h"

#include <glib/gi18n.h>

#define SUFFIX ".attempt"

/* ---- The menu ---- */

void
tarn_replay_page_fill_menu (TarnReplayPage *self)
{
  g_autoptr (GMenu) menu = g_menu_new ();
  g_autoptr (GMenu) earlier = g_menu_new ();
  g_autoptr (GMenu) file = g_menu_new ();
  int others = self->run != NULL ? tarn_replay_history_others (self->history, self->run) : 0;
  for (int k = 0; k < others; k++)
    {
      const char *name;
      g_autoptr (TarnAttemptLog) log
          = tarn_replay_history_other (self->history, self->run, k, &name);
      g_autofree char *label = name[0] != '\0'
                                   ? g_strdup_printf (_ ("Attempt %d: %s"), k + 1, name)
                                   : g_strdup_printf (_ ("Attempt %d"), k + 1);
      g_autoptr (GMenuItem) item = g_menu_item_new (label, NULL);
      g_menu_item_set_action_and_target (item, "replay.compare", "i", k);
      g_menu_append_item (earlier, item);
    }
  g_menu_append (file, _ ("A saved attempt…"), "replay.open");
  if (others > 0)
    g_menu_append_section (menu, _ ("With this patient, before"), G_MENU_MODEL (earlier));
  g_menu_append_section (menu, NULL, G_MENU_MODEL (file));
  gtk_menu_button_set_menu_model (self->compare, G_MENU_MODEL (menu));
}

static void
compare (GtkWidget *widget, const char *action, GVariant *target)
{
  TarnReplayPage *self = TARN_REPLAY_PAGE (widget);
  int index = g_variant_get_int32 (target);
  (void)action;
  if (self->run == NULL || index >= tarn_replay_history_others (self->history, self->run))
    return;
  tarn_replay_page_say (self, NULL);
  tarn_replay_page_set_other (
      self, tarn_replay_history_other (self->history, self->run, index, NULL), NULL);
}

static void
be_alone (GtkWidget *widget, const char *action, GVariant *target)
{
  (void)action;
  (void)target;
  tarn_replay_page_say (TARN_REPLAY_PAGE (widget), NULL);
  tarn_replay_page_set_other (TARN_REPLAY_PAGE (widget), NULL, NULL);
}

/* ---- Files ---- */

void
tarn_replay_page_compare_file (TarnReplayPage *self, GFile *file)
{
  g_autofree char *path = g_file_get_path (file);
  g_autoptr (GError) error = NULL;
  TarnAttemptLog *log = path != NULL ? tarn_attempt_log_load (path, &error) : NULL;
  const char *own = self->run != NULL ? tarn_run_patient_sha256 (self->run) : NULL;
  tarn_replay_page_say (self, error != NULL ? error->message : NULL);
  if (log == NULL)
    return;
  if (own != NULL && !g_str_equal (own, log->sha256))
    {
      tarn_replay_page_say (self, _ ("That attempt was made with another patient."));
      tarn_attempt_log_free (log);
      return;
    }
  tarn_replay_page_set_other (self, log, path);
}

static void
save_to (TarnReplayPage *self, GFile *file)
{
  g_autofree char *path = g_file_get_path (file);
  g_autoptr (TarnAttemptLog) log = tarn_replay_log_of_run (self->run);
  g_autoptr (GError) error = NULL;
  if (path == NULL || log == NULL)
    return;
  tarn_attempt_log_save (log, path, &error);
  tarn_replay_page_say (self, error != NULL ? error->message : NULL);
}

static void
on_response (GtkFileChooserNative *chooser, int response, TarnReplayPage *self)
{
  g_autoptr (GFile) file = NULL;
  if (response == GTK_RESPONSE_ACCEPT)
    file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (chooser));
  if (file != NULL && self->run != NULL
      && gtk_file_chooser_get_action (GTK_FILE_CHOOSER (chooser))
             == GTK_FILE_CHOOSER_ACTION_SAVE)
    save_to (self, file);
  else if (file != NULL)
    tarn_replay_page_compare_file (self, file);
  g_clear_object (&self->chooser);
}

static void
ask_for_file (TarnReplayPage *self, const char *title, GtkFileChooserAction action,
              const char *accept, const char *name)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();
  g_clear_object (&self->chooser);
  self->chooser = gtk_file_chooser_native_new (
      title, GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, action, accept, _ ("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  gtk_file_filter_set_name (filter, _ ("Saved attempts"));
  gtk_file_filter_add_pattern (filter, "*" SUFFIX);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), filter);
  if (name != NULL)
    gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), name);
  g_signal_connect_object (self->chooser, "response", G_CALLBACK (on_response), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static void
open_file (GtkWidget *widget, const char *action, GVariant *target)
{
  (void)action;
  (void)target;
  ask_for_file (TARN_REPLAY_PAGE (widget), _ ("A saved attempt"), GTK_FILE_CHOOSER_ACTION_OPEN,
                _ ("_Open"), NULL);
}

static void
save_file (GtkWidget *widget, const char *action, GVariant *target)
{
  TarnReplayPage *self = TARN_REPLAY_PAGE (widget);
  (void)action;
  (void)target;
  if (self->run == NULL || tarn_run_patient_sha256 (self->run) == NULL)
    return;
  g_autofree char *name = g_strconcat (tarn_run_patient (self->run)->id, SUFFIX, NULL);
  ask_for_file (self, _ ("Save this attempt"), GTK_FILE_CHOOSER_ACTION_SAVE, _ ("_Save"), name);
}

void
tarn_replay_page_install_files (GtkWidgetClass *widget_class)
{
  gtk_widget_class_install_action (widget_class, "replay.compare", "i", compare);
  gtk_widget_class_install_action (widget_class, "replay.alone", NULL, be_alone);
  gtk_widget_class_install_action (widget_class, "replay.open", NULL, open_file);
  gtk_widget_class_install_action (widget_class, "replay.save", NULL, save_file);
}
