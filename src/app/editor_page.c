/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. The draft is the one truth: controls and drags edit it, and everything that is shown
 *    follows its signal.
 * 2. Plane and sections come from one thread, the acoustic window from another; both are told
 *    of each state, and what they say of an older one is not listed. */
#include "app/editor_page_private.h"

#include "app/editor_starts.h"
#include "app/editor_words.h"

#include <glib/gi18n.h>

G_DEFINE_FINAL_TYPE (TarnEditorPage, tarn_editor_page, GTK_TYPE_WIDGET)

#define SEAL_MS 800 /* a pause as long as this ends a step */

static guint titled_signal;

/* ---- Problems ---- */

static void
on_problem (GtkButton *button, TarnEditorPage *self)
{
  guint index = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "problem"));
  if (index >= self->found->len)
    return;
  const TarnEditorProblem *problem = &g_array_index (self->found, TarnEditorProblem, index);
  const TarnField *field = problem->field;
  tarn_editor_page_show_part (self, (int)problem->group, problem->structure);
  tarn_editor_form_focus (self->form, field);
}

static gboolean
same_problems (const GArray *a, const GArray *b)
{
  if (a == NULL || a->len != b->len)
    return FALSE;
  for (guint k = 0; k < a->len; k++)
    if (g_strcmp0 (g_array_index (a, TarnEditorProblem, k).text,
                   g_array_index (b, TarnEditorProblem, k).text)
        != 0)
      return FALSE;
  return TRUE;
}

static void
add_problem (TarnEditorPage *self, guint index)
{
  const TarnEditorProblem *problem = &g_array_index (self->found, TarnEditorProblem, index);
  GtkWidget *button = gtk_button_new (), *label = gtk_label_new (problem->text);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_button_set_child (GTK_BUTTON (button), label);
  gtk_widget_add_css_class (button, "tarn-problem");
  gtk_widget_set_tooltip_text (button, _ ("Go to this field (F8 goes to the first)"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  problem->text, -1);
  g_object_set_data (G_OBJECT (button), "problem", GUINT_TO_POINTER (index));
  g_signal_connect (button, "clicked", G_CALLBACK (on_problem), self);
  gtk_box_append (GTK_BOX (self->problems), button);
}

void
tarn_editor_page_list_problems (TarnEditorPage *self)
{
  g_autoptr (TarnEditorSurvey) survey = tarn_editor_page_survey (self);
  GArray *found = tarn_editor_problems (tarn_editor_draft_patient (self->draft),
                                        tarn_editor_draft_state (self->draft),
                                        tarn_editor_views_shot (self->views), survey);
  if (same_problems (self->found, found))
    {
      g_array_unref (found);
      return;
    }
  g_clear_pointer (&self->found, g_array_unref);
  self->found = found;
  GtkWidget *child;
  while ((child = gtk_widget_get_first_child (self->problems)) != NULL)
    gtk_box_remove (GTK_BOX (self->problems), child);
  for (guint k = 0; k < found->len; k++)
    add_problem (self, k);
  g_autofree char *heading = found->len == 0
                                 ? g_strdup (_ ("No problems"))
                                 : g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u problem",
                                                                 "%u problems", found->len),
                                                    found->len);
  gtk_label_set_text (GTK_LABEL (self->problems_heading), heading);
  tarn_editor_groups_mark (self->groups, found);
}

const char *
tarn_editor_page_first_error (TarnEditorPage *self)
{
  for (guint k = 0; self->found != NULL && k < self->found->len; k++)
    {
      const TarnEditorProblem *problem = &g_array_index (self->found, TarnEditorProblem, k);
      if (!problem->warning)
        return problem->text;
    }
  return NULL;
}

static void
first_problem (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorPage *self = TARN_EDITOR_PAGE (widget);
  GtkWidget *button = gtk_widget_get_first_child (self->problems);
  (void)action, (void)parameter;
  if (button != NULL)
    on_problem (GTK_BUTTON (button), self);
}

static void
on_shot (TarnEditorPage *self)
{
  tarn_editor_page_list_problems (self);
}

/* ---- Parts ---- */

void
tarn_editor_page_show_part (TarnEditorPage *self, int group, int structure)
{
  gboolean poses = group == TARN_EDITOR_TEST_POSE;
  tarn_editor_draft_seal (self->draft);
  tarn_editor_groups_choose (self->groups, group, structure);
  if (!poses)
    tarn_editor_form_show (self->form, (TarnFieldGroup)group, structure);
  gtk_widget_set_visible (GTK_WIDGET (self->pose), poses);
  gtk_widget_set_visible (GTK_WIDGET (self->form), !poses);
  tarn_editor_views_choose (self->views, group == (int)TARN_GROUP_STRUCTURE ? structure : -1);
}

static void
on_part (TarnEditorGroups *groups, int group, int structure, TarnEditorPage *self)
{
  (void)groups;
  tarn_editor_page_show_part (self, group, structure);
}

static void
on_structure (GtkWidget *from, int structure, TarnEditorPage *self)
{
  (void)from;
  tarn_editor_page_show_part (self, TARN_GROUP_STRUCTURE, structure);
}

static void
on_pose_moved (TarnEditorPage *self)
{
  double lift;
  TarnPose pose = tarn_editor_pose_get (self->pose, &lift);
  tarn_editor_views_set_pose (self->views, &pose, lift);
  tarn_editor_page_show_pose (self);
}

static void
on_views_posed (TarnEditorPage *self)
{
  tarn_editor_pose_show (self->pose, tarn_editor_views_pose (self->views),
                         tarn_editor_views_lift (self->views));
  tarn_editor_page_show_pose (self);
}

static void
on_seed (TarnEditorPage *self)
{
  tarn_editor_views_set_seed (self->views, gtk_drop_down_get_selected (self->seed));
}

/* ---- Steps ---- */

static gboolean
on_pause (gpointer data)
{
  TarnEditorPage *self = data;
  self->sealing = 0;
  tarn_editor_draft_seal (self->draft);
  return G_SOURCE_REMOVE;
}

static void
set_step (TarnEditorPage *self, GtkWidget *button, const char *action, gboolean can,
          const char *with_field, const char *without, const TarnField *field)
{
  g_autofree char *text = can && field != NULL
                              ? g_strdup_printf (with_field, tarn_editor_field_word (field))
                              : g_strdup (without);
  gtk_widget_set_tooltip_text (button, text);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), action, can);
}

static void
show_steps (TarnEditorPage *self)
{
  const TarnField *field = NULL;
  gboolean can = tarn_editor_draft_can_undo (self->draft, &field);
  set_step (self, self->undo, "editor.undo", can, _ ("Undo: %s (Ctrl+Z)"),
            can ? _ ("Undo (Ctrl+Z)") : _ ("Nothing to undo (Ctrl+Z)"), field);
  field = NULL;
  can = tarn_editor_draft_can_redo (self->draft, &field);
  set_step (self, self->redo, "editor.redo", can, _ ("Redo: %s (Ctrl+Shift+Z)"),
            can ? _ ("Redo (Ctrl+Shift+Z)") : _ ("Nothing to redo (Ctrl+Shift+Z)"), field);
}

/* A part that is shown may be gone, or another one. */
static void
step (TarnEditorPage *self, void (*go) (TarnEditorDraft *))
{
  int before = tarn_editor_draft_patient (self->draft)->structures;
  const TarnField *field = NULL;
  if (go == tarn_editor_draft_undo)
    tarn_editor_draft_can_undo (self->draft, &field);
  else
    tarn_editor_draft_can_redo (self->draft, &field);
  go (self->draft);
  if (field == NULL && tarn_editor_draft_patient (self->draft)->structures != before)
    tarn_editor_page_show_part (self, TARN_GROUP_STRUCTURE, -1);
  else if (field == NULL)
    tarn_editor_page_show_part (self, TARN_GROUP_HABITUS, -1);
}

static void
undo (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action, (void)parameter;
  step (TARN_EDITOR_PAGE (widget), tarn_editor_draft_undo);
}

static void
redo (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action, (void)parameter;
  step (TARN_EDITOR_PAGE (widget), tarn_editor_draft_redo);
}

static void
on_draft (TarnEditorPage *self)
{
  g_clear_handle_id (&self->sealing, g_source_remove);
  self->sealing = g_timeout_add (SEAL_MS, on_pause, self);
  show_steps (self);
  tarn_editor_page_show_file (self);
  tarn_editor_page_list_problems (self);
  tarn_editor_page_ask_window (self);
  tarn_editor_page_show_window (self);
  g_autofree char *title = tarn_editor_page_title (self);
  if (g_strcmp0 (title, self->title) == 0)
    return;
  g_free (self->title);
  self->title = g_steal_pointer (&title);
  g_signal_emit (self, titled_signal, 0);
}

char *
tarn_editor_page_title (TarnEditorPage *self)
{
  const char *title = tarn_patient_prose (tarn_editor_draft_patient (self->draft), "title",
                                          g_get_language_names ()[0]);
  return g_strdup (title != NULL ? title : _ ("A patient without a title"));
}

TarnEditorDraft *
tarn_editor_page_draft (TarnEditorPage *self)
{
  return self->draft;
}

/* ---- The widget ---- */

/* Other pages need the processor for themselves. */
static void
on_mapped (TarnEditorPage *self)
{
  if (gtk_widget_get_mapped (GTK_WIDGET (self)))
    tarn_editor_page_ask_window (self);
  else
    {
      tarn_editor_page_rest_window (self);
      tarn_editor_page_close_map (self);
      tarn_editor_file_flush (self->file);
    }
}

static void
build (TarnEditorPage *self)
{
  static const char *const shown[]
      = { N_ ("As written"), N_ ("Attempt 1"), N_ ("Attempt 2"), N_ ("Attempt 3"), NULL };
  g_autoptr (GtkStringList) attempts = gtk_string_list_new (NULL);
  for (int k = 0; shown[k] != NULL; k++)
    gtk_string_list_append (attempts, _ (shown[k]));
  gtk_drop_down_set_model (self->seed, G_LIST_MODEL (attempts));
  self->groups = TARN_EDITOR_GROUPS (tarn_editor_groups_new (self->draft));
  self->form = TARN_EDITOR_FORM (tarn_editor_form_new (self->draft));
  self->pose = TARN_EDITOR_POSE (tarn_editor_pose_new ());
  self->views = TARN_EDITOR_VIEWS (tarn_editor_views_new (self->draft));
  self->window_card = TARN_EDITOR_WINDOW_CARD (tarn_editor_window_card_new ());
  gtk_widget_set_hexpand (GTK_WIDGET (self->groups), TRUE);
  gtk_widget_set_hexpand (self->left, FALSE);
  gtk_widget_set_hexpand (self->middle, FALSE);
  gtk_widget_set_vexpand (GTK_WIDGET (self->views), TRUE);
  gtk_widget_set_vexpand (self->cards, FALSE);
  gtk_box_append (GTK_BOX (self->left), GTK_WIDGET (self->groups));
  gtk_widget_set_hexpand (GTK_WIDGET (self->form), TRUE);
  gtk_widget_set_hexpand (GTK_WIDGET (self->pose), TRUE);
  gtk_box_append (GTK_BOX (self->middle), GTK_WIDGET (self->form));
  gtk_box_append (GTK_BOX (self->middle), GTK_WIDGET (self->pose));
  gtk_box_prepend (GTK_BOX (self->right), GTK_WIDGET (self->views));
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->window_scroller),
                                 GTK_WIDGET (self->window_card));
}

static void
connect (TarnEditorPage *self)
{
#define TO(object, signal, function)                                                           \
  g_signal_connect_object (object, signal, G_CALLBACK (function), self, G_CONNECT_SWAPPED)
  g_signal_connect_object (self->groups, "chosen", G_CALLBACK (on_part), self, 0);
  g_signal_connect_object (self->form, "chosen", G_CALLBACK (on_structure), self, 0);
  g_signal_connect_object (self->views, "chosen", G_CALLBACK (on_structure), self, 0);
  TO (self->views, "shot", on_shot);
  TO (self->views, "posed", on_views_posed);
  TO (self->pose, "moved", on_pose_moved);
  TO (self->seed, "notify::selected", on_seed);
  TO (self->draft, "changed", on_draft);
#undef TO
  g_signal_connect (self, "map", G_CALLBACK (on_mapped), NULL);
  g_signal_connect_after (self, "unmap", G_CALLBACK (on_mapped), NULL);
}

GtkWidget *
tarn_editor_page_new (TarnPatientList *patients, TarnSettings *settings, const char *folder)
{
  g_return_val_if_fail (TARN_IS_PATIENT_LIST (patients), NULL);
  TarnEditorPage *self = g_object_new (TARN_TYPE_EDITOR_PAGE, NULL);
  TarnPatient start = tarn_editor_start_patient (TARN_START_AVERAGE);
  self->patients = g_object_ref (patients);
  self->settings = g_object_ref (settings);
  self->draft = tarn_editor_draft_new (&start);
  self->file = tarn_editor_file_new (self->draft, folder);
  self->map = tarn_editor_map_new (tarn_editor_page_on_survey, self);
  tarn_patient_clear (&start);
  build (self);
  connect (self);
  tarn_editor_page_connect_files (self);
  on_views_posed (self);
  tarn_editor_page_show_part (self, TARN_GROUP_HABITUS, -1);
  on_draft (self);
  tarn_editor_page_ask_left (self);
  return GTK_WIDGET (self);
}

static gboolean
tarn_editor_page_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (GTK_WIDGET (TARN_EDITOR_PAGE (widget)->groups));
}

/* Tab goes through all of it, beginning with the buttons at the top. */
static gboolean
tarn_editor_page_focus (GtkWidget *widget, GtkDirectionType direction)
{
  return gtk_widget_child_focus (TARN_EDITOR_PAGE (widget)->content, direction);
}

static void
tarn_editor_page_dispose (GObject *object)
{
  TarnEditorPage *self = TARN_EDITOR_PAGE (object);
  g_clear_handle_id (&self->sealing, g_source_remove);
  g_clear_pointer (&self->map, tarn_editor_map_free);
  tarn_editor_page_close_map (self);
  tarn_editor_page_drop_pending (self);
  if (self->exporting != NULL)
    g_cancellable_cancel (self->exporting);
  if (self->chooser != NULL)
    gtk_native_dialog_destroy (GTK_NATIVE_DIALOG (self->chooser));
  g_clear_object (&self->chooser);
  if (self->draft != NULL)
    g_signal_handlers_disconnect_by_data (self->draft, self);
  gtk_widget_dispose_template (GTK_WIDGET (self), TARN_TYPE_EDITOR_PAGE);
  g_clear_object (&self->file);
  g_clear_object (&self->draft);
  g_clear_object (&self->patients);
  g_clear_object (&self->settings);
  g_clear_pointer (&self->found, g_array_unref);
  g_clear_pointer (&self->numbers, g_free);
  g_clear_pointer (&self->title, g_free);
  G_OBJECT_CLASS (tarn_editor_page_parent_class)->dispose (object);
}

static void
bind_template (GtkWidgetClass *class)
{
#define CHILD(name) gtk_widget_class_bind_template_child (class, TarnEditorPage, name)
  gtk_widget_class_set_template_from_resource (class, "/org/tarn/Tarn/editor-page.ui");
  CHILD (content);
  CHILD (left);
  CHILD (middle);
  CHILD (right);
  CHILD (cards);
  CHILD (window_scroller);
  CHILD (new_button);
  CHILD (more_button);
  CHILD (undo);
  CHILD (redo);
  CHILD (file_name);
  CHILD (seed);
  CHILD (notice);
  CHILD (notice_text);
  CHILD (notice_first);
  CHILD (notice_second);
  CHILD (problems);
  CHILD (problems_heading);
#undef CHILD
}

static void
tarn_editor_page_class_init (TarnEditorPageClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_page_dispose;
  widget_class->grab_focus = tarn_editor_page_grab_focus;
  widget_class->focus = tarn_editor_page_focus;
  bind_template (widget_class);
  gtk_widget_class_install_action (widget_class, "editor.undo", NULL, undo);
  gtk_widget_class_install_action (widget_class, "editor.redo", NULL, redo);
  gtk_widget_class_install_action (widget_class, "editor.problem", NULL, first_problem);
  tarn_editor_page_install_window (widget_class);
  tarn_editor_page_install_files (widget_class);
  tarn_editor_page_install_exchange (widget_class);
  titled_signal = g_signal_new ("titled", TARN_TYPE_EDITOR_PAGE, G_SIGNAL_RUN_LAST, 0, NULL,
                                NULL, NULL, G_TYPE_NONE, 0);
}

/* Before what has the focus: an entry would keep Ctrl+Z for itself. */
static void
add_keys (TarnEditorPage *self)
{
  static const struct
  {
    guint key;
    GdkModifierType state;
    const char *action;
  } keys[] = {
    { GDK_KEY_z, GDK_CONTROL_MASK, "editor.undo" },
    { GDK_KEY_z, GDK_CONTROL_MASK | GDK_SHIFT_MASK, "editor.redo" },
    { GDK_KEY_y, GDK_CONTROL_MASK, "editor.redo" },
    { GDK_KEY_n, GDK_CONTROL_MASK, "editor.new" },
    { GDK_KEY_o, GDK_CONTROL_MASK, "editor.open" },
    { GDK_KEY_s, GDK_CONTROL_MASK, "editor.save" },
    { GDK_KEY_s, GDK_CONTROL_MASK | GDK_SHIFT_MASK, "editor.save-as" },
    { GDK_KEY_i, GDK_CONTROL_MASK, "editor.import" },
    { GDK_KEY_e, GDK_CONTROL_MASK, "editor.more" },
    { GDK_KEY_g, GDK_CONTROL_MASK, "editor.best" },
    { GDK_KEY_m, GDK_CONTROL_MASK, "editor.map" },
    { GDK_KEY_F5, 0, "editor.try" },
    { GDK_KEY_F8, 0, "editor.problem" },
  };
  GtkEventController *controller = gtk_shortcut_controller_new ();
  gtk_event_controller_set_propagation_phase (controller, GTK_PHASE_CAPTURE);
  for (gsize k = 0; k < G_N_ELEMENTS (keys); k++)
    gtk_shortcut_controller_add_shortcut (
        GTK_SHORTCUT_CONTROLLER (controller),
        gtk_shortcut_new (gtk_keyval_trigger_new (keys[k].key, keys[k].state),
                          gtk_named_action_new (keys[k].action)));
  gtk_widget_add_controller (GTK_WIDGET (self), controller);
}

static void
tarn_editor_page_init (TarnEditorPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  add_keys (self);
}
