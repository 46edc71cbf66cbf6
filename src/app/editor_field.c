/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The control follows from the kind in the list of fields alone, so that a new row of the list
 * is in the editor without a line here. */
#include "app/editor_field.h"

#include "app/editor_slider.h"
#include "app/editor_words.h"

#include <glib/gi18n.h>
#include <string.h>

#define SLIDERS_MAX 3
#define CHECKS_MAX  16

struct _TarnEditorField
{
  GtkWidget parent_instance;
  TarnEditorDraft *draft;
  const TarnField *field;
  int structure;
  char *locale;

  GtkWidget *state, *reset, *facts;
  TarnEditorSlider *slider[SLIDERS_MAX];
  GtkWidget *choice, *flag, *flag_word, *entry, *check[CHECKS_MAX];
  GtkTextBuffer *text;
  gboolean showing; /* what changes is not the instructor's doing */
};

G_DEFINE_FINAL_TYPE (TarnEditorField, tarn_editor_field, GTK_TYPE_WIDGET)

const TarnField *
tarn_editor_field_field (TarnEditorField *self)
{
  return self->field;
}

static const void *
owner_of (TarnEditorField *self)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  return self->structure >= 0 ? (const void *)&patient->structure[self->structure] : patient;
}

/* ---- From the control to the draft ---- */

static void
set_number (TarnEditorField *self, int component, double value)
{
  if (!tarn_editor_draft_set_number (self->draft, self->field, self->structure, component,
                                     value))
    tarn_editor_field_refresh (self);
}

static void
on_moved (TarnEditorSlider *slider, double value, TarnEditorField *self)
{
  for (int k = 0; k < SLIDERS_MAX; k++)
    if (self->slider[k] == slider)
      set_number (self, k, value);
}

static void
on_choice (TarnEditorField *self)
{
  guint selected = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->choice));
  if (!self->showing && selected != GTK_INVALID_LIST_POSITION)
    set_number (self, 0, selected);
}

static void
on_flag (TarnEditorField *self)
{
  if (!self->showing)
    set_number (self, 0, gtk_switch_get_active (GTK_SWITCH (self->flag)));
}

static void
on_check (TarnEditorField *self)
{
  unsigned bits = 0;
  if (self->showing)
    return;
  for (int k = 0; k < self->field->words; k++)
    if (gtk_check_button_get_active (GTK_CHECK_BUTTON (self->check[k])))
      bits |= 1u << k;
  set_number (self, 0, bits);
}

static void
set_text (TarnEditorField *self, const char *text)
{
  if (self->field->kind == TARN_FIELD_NAME)
    tarn_editor_draft_set_id (self->draft, text);
  else
    tarn_editor_draft_set_text (self->draft, self->field, self->locale, text);
}

static void
on_entry (TarnEditorField *self)
{
  if (!self->showing)
    set_text (self, gtk_editable_get_text (GTK_EDITABLE (self->entry)));
}

static void
on_text (TarnEditorField *self)
{
  GtkTextIter start, end;
  if (self->showing)
    return;
  gtk_text_buffer_get_bounds (self->text, &start, &end);
  g_autofree char *text = gtk_text_buffer_get_text (self->text, &start, &end, FALSE);
  set_text (self, text);
}

static void
reset (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorField *self = TARN_EDITOR_FIELD (widget);
  (void)action;
  (void)parameter;
  tarn_editor_draft_reset (self->draft, self->field, self->structure);
}

/* ---- From the draft to the control ---- */

/* The text in exactly the language that is edited. */
static const char *
text_of (TarnEditorField *self)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  if (self->field->kind == TARN_FIELD_NAME)
    return patient->id;
  for (int k = 0; k < patient->proses; k++)
    if (strcmp (patient->prose[k].key, self->field->key) == 0
        && strcmp (patient->prose[k].locale, self->locale) == 0)
      return patient->prose[k].value;
  return "";
}

static void
show_text (TarnEditorField *self)
{
  const char *text = text_of (self);
  if (self->entry != NULL && strcmp (gtk_editable_get_text (GTK_EDITABLE (self->entry)), text))
    gtk_editable_set_text (GTK_EDITABLE (self->entry), text);
  if (self->text == NULL)
    return;
  GtkTextIter start, end;
  gtk_text_buffer_get_bounds (self->text, &start, &end);
  g_autofree char *there = gtk_text_buffer_get_text (self->text, &start, &end, FALSE);
  if (strcmp (there, text) != 0)
    gtk_text_buffer_set_text (self->text, text, -1);
}

static void
show_numbers (TarnEditorField *self)
{
  const void *owner = owner_of (self);
  double first = tarn_field_get (self->field, owner, 0);
  for (int k = 0; k < SLIDERS_MAX; k++)
    if (self->slider[k] != NULL)
      tarn_editor_slider_show (self->slider[k], tarn_field_get (self->field, owner, k));
  if (self->choice != NULL)
    gtk_drop_down_set_selected (GTK_DROP_DOWN (self->choice), (guint)first);
  if (self->flag != NULL)
    {
      gtk_switch_set_active (GTK_SWITCH (self->flag), first != 0);
      gtk_label_set_text (GTK_LABEL (self->flag_word),
                          tarn_editor_choice_word (self->field, (int)first));
    }
  for (int k = 0; k < CHECKS_MAX; k++)
    if (self->check[k] != NULL)
      gtk_check_button_set_active (GTK_CHECK_BUTTON (self->check[k]),
                                   ((unsigned)first >> k & 1) != 0);
}

/* A field at its default looks so; one that is stated can go back. */
static void
show_state (TarnEditorField *self)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  const TarnStructure *part
      = self->structure >= 0 ? &patient->structure[self->structure] : NULL;
  gboolean stated = tarn_field_is_stated (self->field, patient, part);
  g_autofree char *value = NULL;
  if (self->field->note != NULL && self->field->derive == NULL)
    value = tarn_editor_field_value (self->field, patient, self->structure);
  gtk_widget_set_visible (self->reset, stated && !self->field->required);
  gtk_widget_set_visible (self->state, !stated && !self->field->required);
  gtk_label_set_text (GTK_LABEL (self->state), value != NULL ? value : _ ("default"));
  if (stated || self->field->required)
    gtk_widget_remove_css_class (GTK_WIDGET (self), "tarn-at-default");
  else
    gtk_widget_add_css_class (GTK_WIDGET (self), "tarn-at-default");
}

void
tarn_editor_field_refresh (TarnEditorField *self)
{
  g_return_if_fail (TARN_IS_EDITOR_FIELD (self));
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  if (self->structure >= patient->structures)
    return;
  self->showing = TRUE;
  if (tarn_field_components (self->field) == 0)
    show_text (self);
  else
    {
      show_numbers (self);
      show_state (self);
    }
  g_autofree char *facts = tarn_editor_field_facts (self->field, patient, self->structure);
  gtk_label_set_text (GTK_LABEL (self->facts), facts);
  gtk_widget_set_visible (self->facts, facts[0] != '\0');
  self->showing = FALSE;
}

void
tarn_editor_field_set_locale (TarnEditorField *self, const char *locale)
{
  g_return_if_fail (TARN_IS_EDITOR_FIELD (self));
  if (self->field->kind != TARN_FIELD_PROSE)
    return;
  g_free (self->locale);
  self->locale = g_strdup (locale);
  tarn_editor_field_refresh (self);
}

/* ---- Building ---- */

static GtkWidget *
label_new (const char *text, const char *class)
{
  GtkWidget *label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  return label;
}

static void
name (GtkWidget *control, TarnEditorField *self)
{
  gtk_accessible_update_property (GTK_ACCESSIBLE (control), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  tarn_editor_field_word (self->field),
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  tarn_editor_field_help (self->field), -1);
}

static void
add_sliders (TarnEditorField *self)
{
  const TarnField *field = self->field;
  gboolean said = field->note != NULL && field->derive == NULL && !field->required;
  for (int k = 0; k < tarn_field_components (field); k++)
    {
      const char *word = tarn_editor_component_word (field, k);
      g_autofree char *full
          = word != NULL ? g_strdup_printf ("%s: %s", tarn_editor_field_word (field), word)
                         : g_strdup (tarn_editor_field_word (field));
      TarnEditorSliderSetup setup = { .word = word,
                                      .name = full,
                                      .unit = field->unit,
                                      .low = said ? MIN (field->fixed, field->low) : field->low,
                                      .high = field->high,
                                      .step = tarn_editor_field_step (field),
                                      .digits = tarn_editor_field_digits (field),
                                      .entry_only = field->kind == TARN_FIELD_SEED };
      self->slider[k] = TARN_EDITOR_SLIDER (tarn_editor_slider_new (&setup));
      gtk_widget_set_parent (GTK_WIDGET (self->slider[k]), GTK_WIDGET (self));
      g_signal_connect (self->slider[k], "moved", G_CALLBACK (on_moved), self);
    }
}

static void
add_choice (TarnEditorField *self)
{
  g_autoptr (GPtrArray) words = g_ptr_array_new ();
  for (int k = 0; k < self->field->words; k++)
    g_ptr_array_add (words, (gpointer)tarn_editor_choice_word (self->field, k));
  g_ptr_array_add (words, NULL);
  self->choice = gtk_drop_down_new_from_strings ((const char *const *)words->pdata);
  gtk_widget_set_parent (self->choice, GTK_WIDGET (self));
  name (self->choice, self);
  g_signal_connect_swapped (self->choice, "notify::selected", G_CALLBACK (on_choice), self);
}

static void
press_switch (GSimpleAction *action, GVariant *parameter, gpointer flag)
{
  (void)action;
  (void)parameter;
  gtk_switch_set_active (flag, !gtk_switch_get_active (flag));
}

static void
press_check (GSimpleAction *action, GVariant *parameter, gpointer check)
{
  (void)action;
  (void)parameter;
  gtk_check_button_set_active (check, !gtk_check_button_get_active (check));
}

/* The accessibility bus knows a widget's actions alone. */
static void
give_bus_press (GtkWidget *widget, gboolean is_switch)
{
  const GActionEntry entry
      = { .name = "press", .activate = is_switch ? press_switch : press_check };
  g_autoptr (GSimpleActionGroup) group = g_simple_action_group_new ();
  g_action_map_add_action_entries (G_ACTION_MAP (group), &entry, 1, widget);
  gtk_widget_insert_action_group (widget, "field", G_ACTION_GROUP (group));
}

static void
add_flag (TarnEditorField *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  self->flag = gtk_switch_new ();
  self->flag_word = label_new ("", NULL);
  gtk_widget_set_valign (self->flag, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (box), self->flag);
  gtk_box_append (GTK_BOX (box), self->flag_word);
  gtk_widget_set_parent (box, GTK_WIDGET (self));
  name (self->flag, self);
  give_bus_press (self->flag, TRUE);
  g_signal_connect_swapped (self->flag, "notify::active", G_CALLBACK (on_flag), self);
}

static void
add_checks (TarnEditorField *self)
{
  g_return_if_fail (self->field->words <= CHECKS_MAX);
  for (int k = 0; k < self->field->words; k++)
    {
      self->check[k]
          = gtk_check_button_new_with_label (tarn_editor_choice_word (self->field, k));
      gtk_widget_set_size_request (self->check[k], -1, 24);
      gtk_widget_set_parent (self->check[k], GTK_WIDGET (self));
      give_bus_press (self->check[k], FALSE);
      g_signal_connect_swapped (self->check[k], "toggled", G_CALLBACK (on_check), self);
    }
}

static void
add_entry (TarnEditorField *self)
{
  self->entry = gtk_entry_new ();
  gtk_editable_set_enable_undo (GTK_EDITABLE (self->entry), FALSE); /* the draft does it */
  gtk_entry_set_max_length (GTK_ENTRY (self->entry), (int)self->field->high);
  gtk_widget_set_parent (self->entry, GTK_WIDGET (self));
  name (self->entry, self);
  g_signal_connect_swapped (self->entry, "changed", G_CALLBACK (on_entry), self);
}

static void
add_text (TarnEditorField *self)
{
  GtkWidget *scroller = gtk_scrolled_window_new (), *view = gtk_text_view_new ();
  gboolean long_text = self->field->high > 1000;
  gtk_text_view_set_wrap_mode (GTK_TEXT_VIEW (view), GTK_WRAP_WORD_CHAR);
  gtk_text_view_set_accepts_tab (GTK_TEXT_VIEW (view), FALSE);
  gtk_text_view_set_left_margin (GTK_TEXT_VIEW (view), 6);
  gtk_text_view_set_right_margin (GTK_TEXT_VIEW (view), 6);
  gtk_text_view_set_top_margin (GTK_TEXT_VIEW (view), 6);
  gtk_text_view_set_bottom_margin (GTK_TEXT_VIEW (view), 6);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), view);
  gtk_scrolled_window_set_min_content_height (GTK_SCROLLED_WINDOW (scroller),
                                              long_text ? 120 : 72);
  gtk_widget_add_css_class (scroller, "tarn-text");
  gtk_widget_set_parent (scroller, GTK_WIDGET (self));
  name (view, self);
  self->text = gtk_text_view_get_buffer (GTK_TEXT_VIEW (view));
  gtk_text_buffer_set_enable_undo (self->text, FALSE);
  g_signal_connect_swapped (self->text, "changed", G_CALLBACK (on_text), self);
}

static void
add_control (TarnEditorField *self)
{
  switch (self->field->kind)
    {
    case TARN_FIELD_CHOICE:
      add_choice (self);
      break;
    case TARN_FIELD_FLAG:
      add_flag (self);
      break;
    case TARN_FIELD_SET:
      add_checks (self);
      break;
    case TARN_FIELD_NAME:
    case TARN_FIELD_TEXT:
      add_entry (self);
      break;
    case TARN_FIELD_PROSE:
      if (self->field->high > 200)
        add_text (self);
      else
        add_entry (self);
      break;
    default:
      add_sliders (self);
    }
}

static void
add_head (TarnEditorField *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *word = label_new (tarn_editor_field_word (self->field), "tarn-field-word");
  g_autofree char *reset_name
      = g_strdup_printf (_ ("Default for %s"), tarn_editor_field_word (self->field));
  gtk_widget_set_hexpand (word, TRUE);
  self->state = label_new (_ ("default"), "tarn-quiet");
  self->reset = gtk_button_new_from_icon_name ("edit-undo-symbolic");
  gtk_widget_set_tooltip_text (self->reset, _ ("Back to the default (Ctrl+D)"));
  gtk_widget_add_css_class (self->reset, "flat");
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->reset), "field.reset");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->reset), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  reset_name, -1);
  gtk_widget_set_visible (self->reset, FALSE);
  gtk_widget_set_visible (self->state, FALSE);
  gtk_box_append (GTK_BOX (box), word);
  gtk_box_append (GTK_BOX (box), self->state);
  gtk_box_append (GTK_BOX (box), self->reset);
  gtk_widget_set_size_request (box, -1, 28);
  gtk_widget_set_parent (box, GTK_WIDGET (self));
}

GtkWidget *
tarn_editor_field_new (TarnEditorDraft *draft, const TarnField *field, int structure)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (draft), NULL);
  TarnEditorField *self = g_object_new (TARN_TYPE_EDITOR_FIELD, NULL);
  self->draft = g_object_ref (draft);
  self->field = field;
  self->structure = structure;
  self->locale = g_strdup ("");
  add_head (self);
  add_control (self);
  g_autofree char *help = g_strdup_printf ("%s.", tarn_editor_field_help (field));
  /* Where the help is but the word again, once is enough. */
  if (strcmp (tarn_editor_field_help (field), tarn_editor_field_word (field)) != 0)
    gtk_widget_set_parent (label_new (help, "tarn-quiet"), GTK_WIDGET (self));
  self->facts = label_new ("", "tarn-axis");
  gtk_widget_add_css_class (self->facts, "tarn-quiet");
  gtk_widget_set_parent (self->facts, GTK_WIDGET (self));
  tarn_editor_field_refresh (self);
  return GTK_WIDGET (self);
}

static gboolean
tarn_editor_field_grab_focus (GtkWidget *widget)
{
  /* Shift+Tab at the first of its controls asks too, and has to go on. */
  if (gtk_widget_get_focus_child (widget) != NULL)
    return FALSE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (!GTK_IS_BOX (child) && gtk_widget_child_focus (child, GTK_DIR_TAB_FORWARD))
      return TRUE;
  return gtk_widget_child_focus (widget, GTK_DIR_TAB_FORWARD);
}

static void
tarn_editor_field_dispose (GObject *object)
{
  TarnEditorField *self = TARN_EDITOR_FIELD (object);
  GtkWidget *child;
  self->showing = TRUE;
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL)
    gtk_widget_unparent (child);
  g_clear_object (&self->draft);
  g_clear_pointer (&self->locale, g_free);
  G_OBJECT_CLASS (tarn_editor_field_parent_class)->dispose (object);
}

static void
tarn_editor_field_class_init (TarnEditorFieldClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_field_dispose;
  widget_class->grab_focus = tarn_editor_field_grab_focus;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_install_action (widget_class, "field.reset", NULL, reset);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_d, GDK_CONTROL_MASK, "field.reset",
                                       NULL);
}

static void
tarn_editor_field_init (TarnEditorField *self)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));
  gtk_orientable_set_orientation (GTK_ORIENTABLE (layout), GTK_ORIENTATION_VERTICAL);
  gtk_box_layout_set_spacing (GTK_BOX_LAYOUT (layout), 3);
  gtk_widget_add_css_class (GTK_WIDGET (self), "tarn-field");
}
