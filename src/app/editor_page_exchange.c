/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What other programs have, and what they take: label maps in, meshes, maps and pages out. */
#include "app/editor_page_private.h"

#include "app/chosen_units.h"
#include "app/editor_import.h"

#include <glib/gi18n.h>
#include <string.h>

/* ---- Choosing files ---- */

static void
on_chosen (GtkNativeDialog *dialog, int response, TarnEditorPage *self)
{
  g_autoptr (GFile) file = response == GTK_RESPONSE_ACCEPT
                               ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog))
                               : NULL;
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  TarnEditorExport kind = self->export_kind;
  tarn_editor_page_let_chooser_go (self);
  if (path == NULL)
    return;
  if (kind == TARN_EXPORTS)
    {
      tarn_editor_page_import (self, path);
      return;
    }
  const char *suffix = tarn_editor_export_suffix (kind);
  g_autofree char *full
      = g_str_has_suffix (path, suffix) ? g_strdup (path) : g_strconcat (path, suffix, NULL);
  tarn_editor_page_export (self, kind, full);
}

/* @kind: TARN_EXPORTS: a map to import. */
static void
choose (TarnEditorPage *self, TarnEditorExport kind)
{
  gboolean imports = kind == TARN_EXPORTS;
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();
  if (self->chooser != NULL)
    return;
  self->export_kind = kind;
  tarn_editor_page_make_chooser (
      self, imports ? _ ("A label map") : tarn_editor_export_title (kind),
      imports ? GTK_FILE_CHOOSER_ACTION_OPEN : GTK_FILE_CHOOSER_ACTION_SAVE);
  if (imports)
    {
      gtk_file_filter_set_name (filter, _ ("Label maps (NRRD)"));
      gtk_file_filter_add_suffix (filter, "nrrd");
      gtk_file_filter_add_suffix (filter, "nhdr");
      gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), filter);
    }
  else
    {
      g_autofree char *name = g_strconcat (tarn_editor_draft_patient (self->draft)->id,
                                           kind == TARN_EXPORT_BLADDER ? "-bladder" : "",
                                           kind == TARN_EXPORT_LABELS ? "-labels" : "",
                                           kind == TARN_EXPORT_HANDOUT ? "-handout" : "",
                                           tarn_editor_export_suffix (kind), NULL);
      gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), name);
    }
  g_signal_connect_object (self->chooser, "response", G_CALLBACK (on_chosen), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

/* ---- Importing ---- */

/* A name beside the patient that nothing has yet: an earlier map must stay for the steps back
 * to it.  Free it. */
static char *
free_name (const char *patient_path)
{
  g_autofree char *stem = g_str_has_suffix (patient_path, ".anatomy")
                              ? g_strndup (patient_path, strlen (patient_path) - 8)
                              : g_strdup (patient_path);
  char *path = g_strconcat (stem, ".nrrd", NULL);
  for (int k = 2; g_file_test (path, G_FILE_TEST_EXISTS); k++)
    {
      g_free (path);
      path = g_strdup_printf ("%s-%d.nrrd", stem, k);
    }
  return path;
}

static void
on_imported (GtkWidget *dialog, double agreement, TarnEditorPage *self)
{
  const TarnUnits units = tarn_chosen_units ();
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  g_autofree char *volume = tarn_words_volume (patient->bladder.volume_ml, &units);
  g_autofree char *structures
      = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d structure", "%d structures",
                                      (unsigned long)patient->structures),
                         patient->structures);
  /* Translators: a volume; a percentage; "3 structures". */
  g_autofree char *text = g_strdup_printf (_ ("Imported: the bladder holds %s, its shape "
                                              "agrees with the label by %.1f %% (Dice); %s."),
                                           volume, 100 * agreement, structures);
  (void)dialog;
  tarn_editor_page_say (self, text);
  tarn_editor_page_show_part (self, TARN_GROUP_BLADDER, -1);
}

GtkWidget *
tarn_editor_page_import (TarnEditorPage *self, const char *path)
{
  g_return_val_if_fail (TARN_IS_EDITOR_PAGE (self), NULL);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  g_return_val_if_fail (tarn_editor_file_path (self->file) != NULL, NULL);
  g_autofree char *copy = free_name (tarn_editor_file_path (self->file));
  GtkWidget *dialog = tarn_editor_import_new (GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL,
                                              self->draft, path, copy);
  g_signal_connect_object (dialog, "imported", G_CALLBACK (on_imported), self, 0);
  tarn_editor_page_say (self, NULL);
  gtk_window_present (GTK_WINDOW (dialog));
  return dialog;
}

void
tarn_editor_page_choose_map (TarnEditorPage *self)
{
  choose (self, TARN_EXPORTS);
}

/* The copy of the map has to lie beside a file that is ours. */
static void
import (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorPage *self = TARN_EDITOR_PAGE (widget);
  (void)action, (void)parameter;
  if (tarn_editor_page_may_write (self))
    tarn_editor_page_choose_map (self);
  else
    tarn_editor_page_ask (
        self, TARN_EDITOR_ASKS_SAVE_FIRST,
        _ ("What is used of a label map is kept beside the patient’s file, so "
           "save the patient first."),
        _ ("Save as…"), _ ("Cancel"));
}

/* ---- Exporting ---- */

static void
on_exported (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (TarnEditorPage) self = data;
  g_autoptr (GError) error = NULL;
  gboolean done = tarn_editor_export_finish (result, &error);
  g_autofree char *path = g_steal_pointer (&self->export_path);
  g_autofree char *text = NULL;
  (void)source;
  g_clear_object (&self->exporting);
  if (self->draft == NULL)
    return; /* the page is gone */
  if (done)
    /* Translators: a file's path. */
    text = g_strdup_printf (_ ("%s has been written."), path);
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    /* Translators: a file's path, and why. */
    text = g_strdup_printf (_ ("%s cannot be written: %s"), path, error->message);
  tarn_editor_page_say (self, text);
}

void
tarn_editor_page_export (TarnEditorPage *self, TarnEditorExport kind, const char *path)
{
  g_return_if_fail (TARN_IS_EDITOR_PAGE (self));
  const TarnUnits units = tarn_chosen_units ();
  g_autofree char *name = g_filename_display_basename (path);
  g_autofree char *text = g_strdup_printf (_ ("Writing %s…"), name);
  if (self->exporting != NULL)
    return;
  self->exporting = g_cancellable_new ();
  self->export_path = g_strdup (path);
  tarn_editor_page_ask (self, TARN_EDITOR_ASKS_EXPORT, text, _ ("Cancel"), NULL);
  tarn_editor_export (kind, tarn_editor_draft_patient (self->draft), &units, path,
                      self->exporting, on_exported, g_object_ref (self));
}

static void
start_export (GtkWidget *widget, const char *action, GVariant *parameter)
{
  const char *name = g_variant_get_string (parameter, NULL);
  (void)action;
  for (int k = 0; k < TARN_EXPORTS; k++)
    if (g_str_equal (tarn_editor_export_name ((TarnEditorExport)k), name))
      choose (TARN_EDITOR_PAGE (widget), (TarnEditorExport)k);
}

/* ---- The menu ---- */

static void
show_menu (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action, (void)parameter;
  gtk_menu_button_popup (GTK_MENU_BUTTON (TARN_EDITOR_PAGE (widget)->more_button));
}

void
tarn_editor_page_fill_exchange (TarnEditorPage *self)
{
  g_autoptr (GMenu) menu = g_menu_new (), in = g_menu_new (), out = g_menu_new ();
  g_menu_append (in, _ ("Import a label map…"), "editor.import");
  for (int k = 0; k < TARN_EXPORTS; k++)
    {
      g_autoptr (GMenuItem) item
          = g_menu_item_new (tarn_editor_export_title ((TarnEditorExport)k), NULL);
      g_menu_item_set_action_and_target (item, "editor.export", "s",
                                         tarn_editor_export_name ((TarnEditorExport)k));
      g_menu_append_item (out, item);
    }
  g_menu_append_section (menu, NULL, G_MENU_MODEL (in));
  g_menu_append_section (menu, _ ("Export"), G_MENU_MODEL (out));
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (self->more_button), G_MENU_MODEL (menu));
}

void
tarn_editor_page_install_exchange (GtkWidgetClass *widget_class)
{
  gtk_widget_class_install_action (widget_class, "editor.import", NULL, import);
  gtk_widget_class_install_action (widget_class, "editor.export", "s", start_export);
  gtk_widget_class_install_action (widget_class, "editor.more", NULL, show_menu);
}
