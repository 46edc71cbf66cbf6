/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Made anew for each group; while one is shown only its values follow the draft. */
#include "app/editor_form.h"

#include "app/editor_field.h"
#include "app/editor_starts.h"
#include "app/editor_words.h"

#include <glib/gi18n.h>
#include <math.h>

struct _TarnEditorForm
{
  GtkWidget parent_instance;
  TarnEditorDraft *draft;
  GtkWidget *scroller, *box;
  TarnFieldGroup group;
  int structure;
  GPtrArray *fields; /* of TarnEditorField, in the box */
  GStrv locales;     /* offered; the first is "" */
  char *locale;      /* the one that is shown */
  gboolean showing;
};

G_DEFINE_FINAL_TYPE (TarnEditorForm, tarn_editor_form, GTK_TYPE_WIDGET)

static guint chosen_signal;

static GtkWidget *
add_label (TarnEditorForm *self, const char *text, const char *class)
{
  GtkWidget *label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  gtk_box_append (GTK_BOX (self->box), label);
  return label;
}

/* ---- Structures ---- */

/* Where a new one of @kind lies: in the bladder what belongs there, else beside or above it. */
static TarnVec3
place_for (const TarnPatient *patient, TarnStructureKind kind, TarnVec3 radii_mm)
{
  const TarnBladder *bladder = &patient->bladder;
  double middle_y = patient->habitus.muscle_mm + patient->habitus.prevesical_mm + 8
                    + bladder->height_mm / 2;
  TarnVec3 middle = { bladder->left_mm, middle_y, bladder->rise_mm + bladder->length_mm / 2 };
  if (tarn_structure_is_inside (kind))
    return middle;
  if (kind == TARN_STRUCTURE_DIVERTICULUM)
    return tarn_vec3 (middle.x + bladder->width_mm / 2 + radii_mm.x * 1.2, middle.y, middle.z);
  if (kind == TARN_STRUCTURE_PROSTATE)
    return tarn_vec3 (0, middle.y + 8, bladder->rise_mm - radii_mm.z - 6);
  if (kind == TARN_STRUCTURE_SCAR)
    return tarn_vec3 (0, 2, 40);
  return tarn_vec3 (middle.x, middle.y, bladder->rise_mm + bladder->length_mm + radii_mm.z + 8);
}

static void
on_add (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorForm *self = TARN_EDITOR_FORM (widget);
  TarnStructureKind kind = (TarnStructureKind)g_variant_get_int32 (parameter);
  TarnVec3 radii_mm = tarn_editor_start_radii_mm (kind);
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  (void)action;
  TarnVec3 at = place_for (patient, kind, radii_mm);
  at = tarn_vec3 (round (at.x), round (at.y), round (at.z));
  int index = tarn_editor_draft_add_structure (self->draft, kind, at, radii_mm);
  if (index >= 0)
    g_signal_emit (self, chosen_signal, 0, index);
}

static void
on_duplicate (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorForm *self = TARN_EDITOR_FORM (widget);
  (void)action, (void)parameter;
  int index = tarn_editor_draft_duplicate_structure (self->draft, self->structure);
  if (index >= 0)
    g_signal_emit (self, chosen_signal, 0, index);
}

static void
on_remove (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorForm *self = TARN_EDITOR_FORM (widget);
  int structure = self->structure;
  (void)action, (void)parameter;
  self->structure = -1;
  if (tarn_editor_draft_remove_structure (self->draft, structure))
    {
      int left = tarn_editor_draft_patient (self->draft)->structures;
      g_signal_emit (self, chosen_signal, 0, MIN (structure, left - 1));
    }
}

static void
add_kinds (TarnEditorForm *self)
{
  const TarnField *kind = tarn_field_find (TARN_GROUP_STRUCTURE, "kind");
  GtkWidget *flow = gtk_flow_box_new ();
  gboolean full = tarn_editor_draft_patient (self->draft)->structures == TARN_STRUCTURES_MAX;
  add_label (self, _ ("Add"), "tarn-field-word");
  gtk_flow_box_set_selection_mode (GTK_FLOW_BOX (flow), GTK_SELECTION_NONE);
  gtk_flow_box_set_homogeneous (GTK_FLOW_BOX (flow), TRUE);
  gtk_flow_box_set_min_children_per_line (GTK_FLOW_BOX (flow), 2);
  gtk_flow_box_set_max_children_per_line (GTK_FLOW_BOX (flow), 2);
  gtk_flow_box_set_row_spacing (GTK_FLOW_BOX (flow), 6);
  gtk_flow_box_set_column_spacing (GTK_FLOW_BOX (flow), 6);
  for (int k = 0; k < TARN_STRUCTURE_KINDS; k++)
    {
      GtkWidget *child = gtk_flow_box_child_new ();
      GtkWidget *button = gtk_button_new_with_label (tarn_editor_choice_word (kind, k));
      gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "i", k);
      gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "structure.add");
      gtk_widget_set_tooltip_text (button, full ? _ ("There is no room for one more")
                                                : _ ("Add one of this kind"));
      gtk_widget_set_sensitive (button, !full);
      gtk_flow_box_child_set_child (GTK_FLOW_BOX_CHILD (child), button);
      gtk_widget_set_focusable (child, FALSE);
      gtk_flow_box_append (GTK_FLOW_BOX (flow), child);
    }
  gtk_box_append (GTK_BOX (self->box), flow);
}

static void
add_button (GtkWidget *box, const char *label, const char *tooltip, const char *action)
{
  GtkWidget *button = gtk_button_new_with_label (label);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  gtk_widget_set_tooltip_text (button, tooltip);
  gtk_box_append (GTK_BOX (box), button);
}

static void
add_structure_buttons (TarnEditorForm *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  add_button (box, _ ("Duplicate"), _ ("Another one like this beside it"),
              "structure.duplicate");
  add_button (box, _ ("Remove"), _ ("Take this structure away; undo brings it back"),
              "structure.remove");
  gtk_box_append (GTK_BOX (self->box), box);
  add_label (self,
             _ ("Drag it in the sections, or give it the focus there and use the arrows; with "
                "Ctrl they resize it."),
             "tarn-quiet");
}

/* ---- Languages ---- */

static gboolean
has_prose (TarnFieldGroup group)
{
  for (int k = 0; k < tarn_field_count (); k++)
    if (tarn_field_at (k)->group == group && tarn_field_at (k)->kind == TARN_FIELD_PROSE)
      return TRUE;
  return FALSE;
}

/* The languages that the patient has, then those that are often wanted. */
static GStrv
locales_of (const TarnPatient *patient)
{
  static const char *const often[] = { "es", "de", "fr", "it", "pt", "nl", "pl", "sv" };
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  g_strv_builder_add (builder, "");
  g_hash_table_add (seen, (gpointer) "");
  for (int k = 0; k < patient->proses; k++)
    if (g_hash_table_add (seen, patient->prose[k].locale))
      g_strv_builder_add (builder, patient->prose[k].locale);
  for (gsize k = 0; k < G_N_ELEMENTS (often); k++)
    if (g_hash_table_add (seen, (gpointer)often[k]))
      g_strv_builder_add (builder, often[k]);
  return g_strv_builder_end (builder);
}

static void
set_locale (TarnEditorForm *self)
{
  for (guint k = 0; k < self->fields->len; k++)
    tarn_editor_field_set_locale (g_ptr_array_index (self->fields, k), self->locale);
}

static void
on_locale (GtkDropDown *chooser, GParamSpec *pspec, TarnEditorForm *self)
{
  guint selected = gtk_drop_down_get_selected (chooser);
  (void)pspec;
  if (self->showing || selected >= g_strv_length (self->locales))
    return;
  g_free (self->locale);
  self->locale = g_strdup (self->locales[selected]);
  tarn_editor_draft_seal (self->draft);
  set_locale (self);
}

static void
add_locales (TarnEditorForm *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *label = gtk_label_new (_ ("Language of the texts"));
  g_autoptr (GPtrArray) words = g_ptr_array_new ();
  guint selected = 0;
  g_strfreev (self->locales);
  self->locales = locales_of (tarn_editor_draft_patient (self->draft));
  for (guint k = 0; self->locales[k] != NULL; k++)
    {
      g_ptr_array_add (words, k == 0 ? (gpointer)_ ("English, for all others")
                                     : (gpointer)self->locales[k]);
      if (g_str_equal (self->locales[k], self->locale))
        selected = k;
    }
  g_ptr_array_add (words, NULL);
  GtkWidget *chooser = gtk_drop_down_new_from_strings ((const char *const *)words->pdata);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (chooser), selected);
  gtk_accessible_update_property (GTK_ACCESSIBLE (chooser), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Language of the texts"), -1);
  gtk_widget_set_hexpand (chooser, TRUE);
  gtk_box_append (GTK_BOX (box), label);
  gtk_box_append (GTK_BOX (box), chooser);
  gtk_box_append (GTK_BOX (self->box), box);
  g_signal_connect (chooser, "notify::selected", G_CALLBACK (on_locale), self);
}

/* ---- Showing ---- */

static void
empty (TarnEditorForm *self)
{
  GtkWidget *child;
  g_ptr_array_set_size (self->fields, 0);
  while ((child = gtk_widget_get_first_child (self->box)) != NULL)
    gtk_box_remove (GTK_BOX (self->box), child);
}

static void
add_fields (TarnEditorForm *self)
{
  gboolean of_structure = self->group == TARN_GROUP_STRUCTURE;
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      /* What can only have one value is not asked. */
      if (field->group != self->group
          || (tarn_field_components (field) > 0 && field->low == field->high))
        continue;
      GtkWidget *row
          = tarn_editor_field_new (self->draft, field, of_structure ? self->structure : -1);
      gtk_box_append (GTK_BOX (self->box), row);
      g_ptr_array_add (self->fields, row);
    }
  add_label (self, _ ("Ranges and defaults that name no source are own design values."),
             "tarn-quiet");
  set_locale (self);
}

void
tarn_editor_form_show (TarnEditorForm *self, TarnFieldGroup group, int structure)
{
  g_return_if_fail (TARN_IS_EDITOR_FORM (self));
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  gboolean of_structure = group == TARN_GROUP_STRUCTURE;
  self->showing = TRUE;
  self->group = group;
  self->structure = of_structure && structure < patient->structures ? structure : -1;
  empty (self);
  if (of_structure && self->structure >= 0)
    {
      g_autofree char *word = tarn_editor_structure_word (patient, self->structure);
      add_label (self, word, "tarn-heading");
      add_structure_buttons (self);
      add_fields (self);
    }
  else
    {
      add_label (self, tarn_editor_group_word (group), "tarn-heading");
      add_label (self, tarn_editor_group_hint (group), "tarn-quiet");
      if (has_prose (group))
        add_locales (self);
      if (of_structure)
        add_kinds (self);
      else
        add_fields (self);
    }
  gtk_adjustment_set_value (
      gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scroller)), 0);
  self->showing = FALSE;
}

static void
refresh (TarnEditorForm *self)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  if (self->group == TARN_GROUP_STRUCTURE && self->structure >= patient->structures)
    return;
  for (guint k = 0; k < self->fields->len; k++)
    tarn_editor_field_refresh (g_ptr_array_index (self->fields, k));
}

gboolean
tarn_editor_form_focus (TarnEditorForm *self, const TarnField *field)
{
  g_return_val_if_fail (TARN_IS_EDITOR_FORM (self), FALSE);
  for (guint k = 0; k < self->fields->len; k++)
    {
      GtkWidget *row = g_ptr_array_index (self->fields, k);
      if (field == NULL || tarn_editor_field_field (TARN_EDITOR_FIELD (row)) == field)
        return gtk_widget_grab_focus (row);
    }
  return FALSE;
}

/* ---- The widget ---- */

GtkWidget *
tarn_editor_form_new (TarnEditorDraft *draft)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (draft), NULL);
  TarnEditorForm *self = g_object_new (TARN_TYPE_EDITOR_FORM, NULL);
  self->draft = g_object_ref (draft);
  g_signal_connect_object (draft, "changed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  return GTK_WIDGET (self);
}

static void
tarn_editor_form_dispose (GObject *object)
{
  TarnEditorForm *self = TARN_EDITOR_FORM (object);
  if (self->fields != NULL)
    g_ptr_array_set_size (self->fields, 0);
  g_clear_pointer (&self->scroller, gtk_widget_unparent);
  g_clear_pointer (&self->fields, g_ptr_array_unref);
  g_clear_pointer (&self->locales, g_strfreev);
  g_clear_pointer (&self->locale, g_free);
  g_clear_object (&self->draft);
  G_OBJECT_CLASS (tarn_editor_form_parent_class)->dispose (object);
}

static void
tarn_editor_form_class_init (TarnEditorFormClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_form_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "structure.add", "i", on_add);
  gtk_widget_class_install_action (widget_class, "structure.duplicate", NULL, on_duplicate);
  gtk_widget_class_install_action (widget_class, "structure.remove", NULL, on_remove);
  chosen_signal = g_signal_new ("chosen", TARN_TYPE_EDITOR_FORM, G_SIGNAL_RUN_LAST, 0, NULL,
                                NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT);
}

static void
tarn_editor_form_init (TarnEditorForm *self)
{
  self->structure = -1;
  self->locale = g_strdup ("");
  self->fields = g_ptr_array_new ();
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12);
  gtk_widget_set_margin_end (self->box, 18);
  gtk_widget_set_margin_bottom (self->box, 18);
  self->scroller = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scroller), GTK_POLICY_NEVER,
                                  GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), self->box);
  gtk_widget_set_vexpand (self->scroller, TRUE);
  gtk_widget_set_parent (self->scroller, GTK_WIDGET (self));
}
