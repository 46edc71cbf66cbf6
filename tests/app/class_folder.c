/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "class_folder.h"

#include "wait.h"

#include <glib/gstdio.h>

char *
class_folder_new (void)
{
  g_autoptr (GError) error = NULL;
  char *folder = g_dir_make_tmp ("tarn-class-XXXXXX", &error);
  g_assert_no_error (error);
  return folder;
}

void
class_folder_remove (char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;
  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    class_folder_delete (folder, name);
  g_rmdir (folder);
  g_free (folder);
}

void
class_folder_write (const char *folder, const char *file_name, const char *text)
{
  g_autofree char *path = g_build_filename (folder, file_name, NULL);
  g_autoptr (GError) error = NULL;
  g_file_set_contents (path, text, -1, &error);
  g_assert_no_error (error);
}

void
class_folder_add (const char *folder, const char *name, const char *title, const char *extra)
{
  g_autofree char *text = g_strdup_printf (
      "[Anatomy]\nformat=1\nid=%s\ntitle=%s\n%sseed=7\n\n[Habitus]\nsex=female\nage-years=50\n"
      "fat-mm=20\n\n[Bladder]\nvolume-ml=200\n",
      name, title, extra);
  g_autofree char *file_name = g_strconcat (name, ".anatomy", NULL);
  class_folder_write (folder, file_name, text);
}

void
class_folder_delete (const char *folder, const char *file_name)
{
  g_autofree char *path = g_build_filename (folder, file_name, NULL);
  g_assert_cmpint (g_remove (path), ==, 0);
}

void
list_wait_for (TarnPatientList *list, guint count)
{
  WAIT (!tarn_patient_list_loading (list)
        && g_list_model_get_n_items (G_LIST_MODEL (list)) == count);
}

void
list_wait (TarnPatientList *list)
{
  while (tarn_patient_list_loading (list))
    g_main_context_iteration (NULL, TRUE);
}

TarnPatientItem *
list_item (TarnPatientList *list, guint position)
{
  g_autoptr (TarnPatientItem) item = g_list_model_get_item (G_LIST_MODEL (list), position);
  g_assert_nonnull (item);
  return item;
}
