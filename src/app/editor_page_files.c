/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Opening, saving and what is asked about them.  Questions stand in the page, not in dialogs,
 * and nothing waits for their answers. */
#include "app/editor_page_private.h"

#include "app/editor_starts.h"

#include <glib/gi18n.h>
#include <string.h>

static guint try_signal;

/* ---- What is said and asked ---- */

void
tarn_editor_page_ask (TarnEditorPage *self, TarnEditorQuestion question, const char *text,
                      const char *yes, const char *no)
{
  self->question = question;
  gtk_label_set_text (GTK_LABEL (self->notice_text), text != NULL ? text : "");
  gtk_button_set_label (GTK_BUTTON (self->notice_first), yes != NULL ? yes : _ ("Close"));
  gtk_button_set_label (GTK_BUTTON (self->notice_second), no != NULL ? no : _ ("Close"));
  gtk_widget_set_visible (self->notice_second, no != NULL);
  gtk_widget_set_visible (self->notice, text != NULL);
}

void
tarn_editor_page_say (TarnEditorPage *self, const char *text)
{
  tarn_editor_page_ask (self, TARN_EDITOR_ASKS_NOTHING, text, NULL, NULL);
}

void
tarn_editor_page_drop_pending (TarnEditorPage *self)
{
  g_clear_pointer (&self->pending_path, g_free);
  g_clear_pointer (&self->pending_from, g_free);
  if (self->pending != NULL)
    tarn_patient_clear (self->pending);
  g_clear_pointer (&self->pending, g_free);
}

void
tarn_editor_page_ask_left (TarnEditorPage *self)
{
  if (tarn_editor_file_has_left (self->file))
    tarn_editor_page_ask (
        self, TARN_EDITOR_ASKS_LEFT,
        _ ("A patient was being written when Tarn was closed, and what was not saved is "
           "still here."),
        _ ("Take it up again"), _ ("Throw it away"));
}

static void
on_outside (TarnEditorPage *self)
{
  g_autofree char *name = tarn_editor_file_name (self->file);
  g_autofree char *text
      = g_strdup_printf (_ ("Another program has changed %s, or taken it away."), name);
  tarn_editor_page_ask (self, TARN_EDITOR_ASKS_OUTSIDE, text, _ ("Reload"), _ ("Keep mine"));
}

/* ---- Opening ---- */

static void
carry_out_pending (TarnEditorPage *self)
{
  g_autoptr (GError) error = NULL;
  tarn_editor_page_say (self, NULL);
  if (self->pending_path != NULL)
    {
      if (!tarn_editor_file_open (self->file, self->pending_path, &error))
        tarn_editor_page_say (self, error->message);
    }
  else if (self->pending != NULL)
    tarn_editor_file_begin (self->file, self->pending, self->pending_from);
  tarn_editor_page_drop_pending (self);
  if (error == NULL)
    tarn_editor_page_show_part (self, TARN_GROUP_HABITUS, -1);
}

/* At once, or after a question where something would be lost. */
static void
go_on (TarnEditorPage *self)
{
  gboolean kept = tarn_editor_draft_is_saved (self->draft)
                  || !tarn_editor_draft_can_undo (self->draft, NULL);
  if (self->question == TARN_EDITOR_ASKS_LEFT)
    tarn_editor_file_forget (self->file);
  if (kept)
    carry_out_pending (self);
  else
    tarn_editor_page_ask (self, TARN_EDITOR_ASKS_UNSAVED,
                          _ ("This patient has changes that are not saved."),
                          _ ("Go on without saving"), _ ("Stay with this patient"));
}

void
tarn_editor_page_open (TarnEditorPage *self, const char *path)
{
  g_return_if_fail (TARN_IS_EDITOR_PAGE (self));
  tarn_editor_page_drop_pending (self);
  self->pending_path = g_strdup (path);
  go_on (self);
}

static void
begin_with (TarnEditorPage *self, TarnPatient *patient, const char *from)
{
  tarn_editor_page_drop_pending (self);
  self->pending_from = g_strdup (from);
  self->pending = g_memdup2 (patient, sizeof *patient); /* with its texts */
  go_on (self);
}

void
tarn_editor_page_begin (TarnEditorPage *self)
{
  g_return_if_fail (TARN_IS_EDITOR_PAGE (self));
  TarnPatient patient = tarn_editor_start_patient (TARN_START_AVERAGE);
  if (self->question == TARN_EDITOR_ASKS_LEFT)
    tarn_patient_clear (&patient); /* first the question */
  else
    begin_with (self, &patient, NULL);
}

static void
start (GtkWidget *widget, const char *action, GVariant *parameter)
{
  const char *name = g_variant_get_string (parameter, NULL);
  (void)action;
  for (int k = 0; k < TARN_STARTS; k++)
    if (g_str_equal (tarn_editor_start_name ((TarnEditorStart)k), name))
      {
        TarnPatient patient = tarn_editor_start_patient ((TarnEditorStart)k);
        begin_with (TARN_EDITOR_PAGE (widget), &patient, NULL);
      }
}

/* Another patient's body and story under a name of its own. */
static void
start_from (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorPage *self = TARN_EDITOR_PAGE (widget);
  (void)action;
  g_autoptr (TarnPatientItem) item
      = tarn_patient_list_at (self->patients, g_variant_get_string (parameter, NULL));
  const TarnPatient *from = tarn_patient_item_patient (item);
  TarnPatient patient;
  if (from == NULL || tarn_patient_copy (from, &patient) != TARN_OK)
    return;
  g_autofree char *id = g_strdup_printf ("%.58s-copy", patient.id);
  memset (patient.id, 0, sizeof patient.id);
  g_strlcpy (patient.id, id, sizeof patient.id);
  begin_with (self, &patient, tarn_patient_item_path (item));
}

static void
answer (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorPage *self = TARN_EDITOR_PAGE (widget);
  gboolean first = g_variant_get_boolean (parameter);
  TarnEditorQuestion question = self->question;
  g_autoptr (GError) error = NULL;
  (void)action;
  tarn_editor_page_say (self, NULL);
  switch (question)
    {
    case TARN_EDITOR_ASKS_OUTSIDE:
      if (!first)
        tarn_editor_file_keep_mine (self->file);
      else if (!tarn_editor_file_open (self->file, tarn_editor_file_path (self->file), &error))
        tarn_editor_page_say (self, error->message);
      break;
    case TARN_EDITOR_ASKS_LEFT:
      if (!first)
        {
          tarn_editor_file_forget (self->file);
          tarn_editor_page_ask_left (self); /* there may be another */
        }
      else if (!tarn_editor_file_take_up (self->file, &error))
        tarn_editor_page_say (self, error->message);
      break;
    case TARN_EDITOR_ASKS_UNSAVED:
      if (first)
        carry_out_pending (self);
      else
        tarn_editor_page_drop_pending (self);
      break;
    case TARN_EDITOR_ASKS_SAVE_FIRST:
      self->then_import = first;
      if (first)
        gtk_widget_activate_action (widget, "editor.save-as", NULL);
      return;
    case TARN_EDITOR_ASKS_FOLDER:
      if (first)
        {
          g_autofree char *folder = g_path_get_dirname (tarn_editor_file_path (self->file));
          g_object_set (self->settings, "class-folder", folder, NULL);
        }
      return;
    case TARN_EDITOR_ASKS_EXPORT:
      if (self->exporting != NULL)
        g_cancellable_cancel (self->exporting);
      return;
    default:
      return;
    }
  if (first && error == NULL)
    tarn_editor_page_show_part (self, TARN_GROUP_HABITUS, -1);
}

/* ---- Choosing files ---- */

void
tarn_editor_page_let_chooser_go (TarnEditorPage *self)
{
  gtk_native_dialog_destroy (GTK_NATIVE_DIALOG (self->chooser));
  g_clear_object (&self->chooser);
}

/* The library shows what ships and one folder besides. */
static void
tell_whether_listed (TarnEditorPage *self, const char *path)
{
  const char *class_folder = tarn_settings_class_folder (self->settings);
  g_autofree char *folder = g_path_get_dirname (path);
  if (g_str_equal (folder, class_folder))
    return;
  if (class_folder[0] == '\0')
    {
      tarn_editor_page_ask (self, TARN_EDITOR_ASKS_FOLDER,
                            _ ("Saved. The library does not look in this folder yet."),
                            _ ("Let it look here"), _ ("Not now"));
      return;
    }
  g_autofree char *text = g_strdup_printf (
      _ ("Saved. The library does not show it: it looks in %s (see Preferences)."),
      class_folder);
  tarn_editor_page_say (self, text);
}

static void
save_to (TarnEditorPage *self, const char *path)
{
  g_autoptr (GError) error = NULL;
  gboolean elsewhere
      = path != NULL && g_strcmp0 (path, tarn_editor_file_path (self->file)) != 0;
  gboolean imports = self->then_import;
  tarn_editor_draft_seal (self->draft);
  self->then_import = FALSE;
  gboolean saved = tarn_editor_file_save (self->file, path, &error);
  tarn_editor_page_say (self, saved ? NULL : error->message);
  if (saved && imports)
    tarn_editor_page_choose_map (self);
  else if (saved && elsewhere)
    tell_whether_listed (self, path);
}

static void
on_chosen (GtkNativeDialog *dialog, int response, TarnEditorPage *self)
{
  gboolean saves
      = gtk_file_chooser_get_action (GTK_FILE_CHOOSER (dialog)) == GTK_FILE_CHOOSER_ACTION_SAVE;
  g_autoptr (GFile) file = response == GTK_RESPONSE_ACCEPT
                               ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog))
                               : NULL;
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  tarn_editor_page_let_chooser_go (self);
  if (path == NULL)
    {
      self->then_import = FALSE;
      return;
    }
  if (!saves)
    {
      tarn_editor_page_open (self, path);
      return;
    }
  g_autofree char *full = g_str_has_suffix (path, ".anatomy")
                              ? g_strdup (path)
                              : g_strconcat (path, ".anatomy", NULL);
  save_to (self, full);
}

/* The class's folder is where patients are kept; else the person's documents. */
static void
set_folder (TarnEditorPage *self)
{
  const char *class_folder = tarn_settings_class_folder (self->settings);
  const char *folder = class_folder != NULL && class_folder[0] != '\0'
                           ? class_folder
                           : g_get_user_special_dir (G_USER_DIRECTORY_DOCUMENTS);
  if (folder == NULL || !g_file_test (folder, G_FILE_TEST_IS_DIR))
    return;
  g_autoptr (GFile) file = g_file_new_for_path (folder);
  gtk_file_chooser_set_current_folder (GTK_FILE_CHOOSER (self->chooser), file, NULL);
}

void
tarn_editor_page_make_chooser (TarnEditorPage *self, const char *title,
                               GtkFileChooserAction action)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  gboolean saves = action == GTK_FILE_CHOOSER_ACTION_SAVE;
  self->chooser
      = gtk_file_chooser_native_new (title, GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL,
                                     action, saves ? _ ("_Save") : _ ("_Open"), _ ("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  set_folder (self);
}

static void
choose (TarnEditorPage *self, GtkFileChooserAction action)
{
  gboolean saves = action == GTK_FILE_CHOOSER_ACTION_SAVE;
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();
  if (self->chooser != NULL)
    return;
  tarn_editor_page_make_chooser (self, saves ? _ ("Save the patient") : _ ("Open a patient"),
                                 action);
  gtk_file_filter_set_name (filter, _ ("Patients"));
  gtk_file_filter_add_suffix (filter, "anatomy");
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), filter);
  if (saves)
    {
      g_autofree char *name
          = g_strdup_printf ("%s.anatomy", tarn_editor_draft_patient (self->draft)->id);
      gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), name);
    }
  g_signal_connect_object (self->chooser, "response", G_CALLBACK (on_chosen), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static void
open_file (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action, (void)parameter;
  choose (TARN_EDITOR_PAGE (widget), GTK_FILE_CHOOSER_ACTION_OPEN);
}

static void
save_as (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action, (void)parameter;
  choose (TARN_EDITOR_PAGE (widget), GTK_FILE_CHOOSER_ACTION_SAVE);
}

/* The patients that ship are everybody's: a changed one is saved under another name. */
gboolean
tarn_editor_page_may_write (TarnEditorPage *self)
{
  const char *path = tarn_editor_file_path (self->file);
  g_autofree char *shipped = tarn_patient_list_installed_folder ();
  if (path == NULL)
    return FALSE;
  g_autofree char *folder = g_path_get_dirname (path);
  return g_strcmp0 (folder, shipped) != 0;
}

static void
save (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorPage *self = TARN_EDITOR_PAGE (widget);
  if (tarn_editor_page_may_write (self))
    save_to (self, NULL);
  else
    save_as (widget, action, parameter);
}

static gboolean
on_drop (GtkDropTarget *target, const GValue *value, double x, double y, TarnEditorPage *self)
{
  (void)target, (void)x, (void)y;
  g_autofree char *path = g_file_get_path (g_value_get_object (value));
  if (path == NULL)
    return FALSE;
  tarn_editor_page_open (self, path);
  return TRUE;
}

/* ---- The menu of starts ---- */

static void
fill_menu (TarnEditorPage *self)
{
  g_autoptr (GMenu) menu = g_menu_new (), builds = g_menu_new (), patients = g_menu_new ();
  GListModel *list = G_LIST_MODEL (self->patients);
  for (int k = 0; k < TARN_STARTS; k++)
    {
      g_autoptr (GMenuItem) item
          = g_menu_item_new (tarn_editor_start_title ((TarnEditorStart)k), NULL);
      g_menu_item_set_action_and_target (item, "editor.start", "s",
                                         tarn_editor_start_name ((TarnEditorStart)k));
      g_menu_append_item (builds, item);
    }
  for (guint k = 0; k < g_list_model_get_n_items (list); k++)
    {
      g_autoptr (TarnPatientItem) patient = g_list_model_get_item (list, k);
      if (tarn_patient_item_patient (patient) == NULL)
        continue;
      g_autoptr (GMenuItem) item = g_menu_item_new (tarn_patient_item_title (patient), NULL);
      g_menu_item_set_action_and_target (item, "editor.start-from", "s",
                                         tarn_patient_item_path (patient));
      g_menu_append_item (patients, item);
    }
  g_menu_append_section (menu, _ ("A build"), G_MENU_MODEL (builds));
  g_menu_append_submenu (menu, _ ("A copy of another patient"), G_MENU_MODEL (patients));
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (self->new_button), G_MENU_MODEL (menu));
}

static void
show_starts (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action, (void)parameter;
  gtk_menu_button_popup (GTK_MENU_BUTTON (TARN_EDITOR_PAGE (widget)->new_button));
}

static void
try_it (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorPage *self = TARN_EDITOR_PAGE (widget);
  g_autoptr (GError) error = NULL;
  (void)action, (void)parameter;
  const char *problem = tarn_editor_page_first_error (self);
  if (problem != NULL)
    {
      g_autofree char *text = g_strdup_printf (_ ("Cannot be tried yet. %s."), problem);
      tarn_editor_page_say (self, text);
      return;
    }
  const char *path = tarn_editor_file_trial (self->file, &error);
  if (path == NULL)
    {
      tarn_editor_page_say (self, error->message);
      return;
    }
  g_signal_emit (self, try_signal, 0, path);
}

/* ---- Beginning ---- */

void
tarn_editor_page_show_file (TarnEditorPage *self)
{
  g_autofree char *name = tarn_editor_file_name (self->file);
  g_autofree char *text = tarn_editor_draft_is_saved (self->draft)
                              ? g_strdup_printf (_ ("%s, saved"), name)
                              : g_strdup_printf (_ ("%s, not saved"), name);
  gtk_label_set_text (GTK_LABEL (self->file_name), text);
  gtk_widget_set_tooltip_text (self->file_name, tarn_editor_file_path (self->file));
}

void
tarn_editor_page_connect_files (TarnEditorPage *self)
{
  GtkDropTarget *target = gtk_drop_target_new (G_TYPE_FILE, GDK_ACTION_COPY);
  g_signal_connect (target, "drop", G_CALLBACK (on_drop), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (target));
  g_signal_connect_object (self->file, "changed-outside", G_CALLBACK (on_outside), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->patients, "items-changed", G_CALLBACK (fill_menu), self,
                           G_CONNECT_SWAPPED);
  fill_menu (self);
  tarn_editor_page_fill_exchange (self);
  tarn_editor_page_say (self, NULL);
}

void
tarn_editor_page_install_files (GtkWidgetClass *widget_class)
{
  gtk_widget_class_install_action (widget_class, "editor.new", NULL, show_starts);
  gtk_widget_class_install_action (widget_class, "editor.start", "s", start);
  gtk_widget_class_install_action (widget_class, "editor.start-from", "s", start_from);
  gtk_widget_class_install_action (widget_class, "editor.open", NULL, open_file);
  gtk_widget_class_install_action (widget_class, "editor.save", NULL, save);
  gtk_widget_class_install_action (widget_class, "editor.save-as", NULL, save_as);
  gtk_widget_class_install_action (widget_class, "editor.answer", "b", answer);
  gtk_widget_class_install_action (widget_class, "editor.try", NULL, try_it);
  try_signal = g_signal_new ("try", TARN_TYPE_EDITOR_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                             NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
}
