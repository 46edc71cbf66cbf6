/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/folder_chooser.h"

#include <glib/gi18n.h>

static void
on_response (GtkFileChooserNative *chooser, int response, TarnSettings *settings)
{
  g_autoptr (GFile) folder = NULL;
  if (response == GTK_RESPONSE_ACCEPT)
    folder = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (chooser));
  g_autofree char *path = folder != NULL ? g_file_get_path (folder) : NULL;
  if (path != NULL)
    g_object_set (settings, "class-folder", path, NULL);
  g_object_unref (chooser);
}

GtkFileChooserNative *
tarn_folder_chooser_open (GtkWindow *parent, TarnSettings *settings)
{
  GtkFileChooserNative *chooser = gtk_file_chooser_native_new (
      _ ("A folder of patients"), parent, GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER, _ ("_Open"),
      _ ("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (chooser), TRUE);
  g_signal_connect_object (chooser, "response", G_CALLBACK (on_response), settings, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (chooser));
  return chooser;
}

void
tarn_folder_chooser_close (GtkFileChooserNative *chooser)
{
  gtk_native_dialog_destroy (GTK_NATIVE_DIALOG (chooser));
  g_object_unref (chooser);
}
