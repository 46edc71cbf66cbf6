/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A draft goes to the bedside as a file of its own, so that nothing there has to know of
 * drafts; whose bedside it is tells that file's path. */
#include "app/window_editor.h"

#include "app/settings.h"

#include <glib/gi18n.h>

#define KEY "editor"

typedef struct
{
  TarnEditorPage *page; /* the stack's */
  char *trial;          /* the draft's file at the bedside; NULL before the first trial */
} Editor;

static void
editor_free (gpointer data)
{
  Editor *editor = data;
  g_free (editor->trial);
  g_free (editor);
}

static Editor *
editor_of (TarnWindow *window)
{
  return g_object_get_data (G_OBJECT (window), KEY);
}

TarnEditorPage *
tarn_window_editor_page (TarnWindow *window)
{
  Editor *editor = editor_of (window);
  return editor != NULL ? editor->page : NULL;
}

static void
show_title (TarnWindow *window)
{
  TarnEditorPage *page = tarn_window_editor_page (window);
  if (page == NULL || !g_str_equal (tarn_window_page (window), "editor"))
    return;
  g_autofree char *title = tarn_editor_page_title (page);
  tarn_window_set_heading (window, title);
}

static void
on_try (TarnEditorPage *page, const char *path, TarnWindow *window)
{
  Editor *editor = editor_of (window);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  (void)page;
  g_free (editor->trial);
  editor->trial = g_strdup (path);
  if (tarn_window_begin (window, file, TARN_MODE_PRACTICE, 0))
    tarn_window_notice (window,
                        _ ("This is a trial of the draft. F5 leads back to the editor."));
}

static Editor *
editor_for (TarnWindow *window)
{
  Editor *editor = editor_of (window);
  if (editor != NULL)
    return editor;
  editor = g_new0 (Editor, 1);
  editor->page = TARN_EDITOR_PAGE (
      tarn_editor_page_new (tarn_window_patients (window), tarn_settings (), NULL));
  g_object_set_data_full (G_OBJECT (window), KEY, editor, editor_free);
  tarn_window_add_page (window, GTK_WIDGET (editor->page), "editor");
  g_signal_connect_object (editor->page, "try", G_CALLBACK (on_try), window, 0);
  g_signal_connect_object (editor->page, "titled", G_CALLBACK (show_title), window,
                           G_CONNECT_SWAPPED);
  return editor;
}

void
tarn_window_editor_show (TarnWindow *window)
{
  editor_for (window);
  tarn_window_notice (window, NULL);
  tarn_window_show_page (window, "editor");
  gtk_widget_grab_focus (GTK_WIDGET (tarn_window_editor_page (window)));
  show_title (window);
}

/* Whether what is at the bedside, or was, is the draft. */
static gboolean
is_trial (TarnWindow *window)
{
  Editor *editor = editor_of (window);
  TarnPatientItem *item = tarn_window_item (window);
  return editor != NULL && editor->trial != NULL && item != NULL
         && g_strcmp0 (tarn_patient_item_path (item), editor->trial) == 0;
}

gboolean
tarn_window_editor_back (TarnWindow *window)
{
  if (!g_str_equal (tarn_window_page (window), "bedside") || !is_trial (window))
    return FALSE;
  if (!tarn_bedside_page_step_back (tarn_window_bedside (window)))
    tarn_window_editor_show (window);
  return TRUE;
}

/* ---- Actions ---- */

/* Not before the cautions, nor in an attempt: there the editor would tell the answer. */
static gboolean
may_edit (TarnWindow *window)
{
  const char *page = tarn_window_page (window);
  if (g_str_equal (page, "cautions"))
    return FALSE;
  if ((g_str_equal (page, "bedside") || g_str_equal (page, "judge")) && !is_trial (window))
    {
      tarn_window_notice (window, _ ("Leave this attempt first, with Escape: the editor would "
                                     "tell the answer."));
      return FALSE;
    }
  return TRUE;
}

static void
show_editor (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action, (void)parameter;
  if (may_edit (TARN_WINDOW (widget)))
    tarn_window_editor_show (TARN_WINDOW (widget));
}

/* The patient whose briefing, bedside or truth is shown; without one, the editor as it was. */
static void
edit_patient (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnWindow *window = TARN_WINDOW (widget);
  const char *page = tarn_window_page (window);
  TarnPatientItem *item = tarn_window_item (window);
  if (!may_edit (window))
    return;
  gboolean chosen = item != NULL && !g_str_equal (page, "library")
                    && !g_str_equal (page, "editor") && !is_trial (window);
  g_autofree char *path = chosen ? g_strdup (tarn_patient_item_path (item)) : NULL;
  show_editor (widget, action, parameter);
  if (path != NULL && tarn_window_editor_page (window) != NULL)
    tarn_editor_page_open (tarn_window_editor_page (window), path);
}

/* From the bedside of a draft back to the editor: the same key as there. */
static void
try_draft (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnWindow *window = TARN_WINDOW (widget);
  (void)action, (void)parameter;
  if (is_trial (window) && !g_str_equal (tarn_window_page (window), "editor"))
    tarn_window_editor_show (window);
}

void
tarn_window_editor_install (GtkWidgetClass *widget_class)
{
  const GdkModifierType both = GDK_CONTROL_MASK | GDK_SHIFT_MASK;
  gtk_widget_class_install_action (widget_class, "window.editor", NULL, show_editor);
  gtk_widget_class_install_action (widget_class, "window.edit-patient", NULL, edit_patient);
  gtk_widget_class_install_action (widget_class, "window.try-draft", NULL, try_draft);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_e, both, "window.editor", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_F4, 0, "window.edit-patient",
                                       NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_F5, 0, "window.try-draft", NULL);
}
