/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The rows are made anew only when the structures are others; what comes rarely stands last. */
#include "app/editor_groups.h"

#include "app/editor_problems.h"
#include "app/editor_words.h"

#include <glib/gi18n.h>

/* In the order of an instructor's work. */
static const TarnFieldGroup order[] = {
  TARN_GROUP_ANATOMY,   TARN_GROUP_HABITUS, TARN_GROUP_BLADDER,   TARN_GROUP_SYMPHYSIS,
  TARN_GROUP_STRUCTURE, TARN_GROUP_PATIENT, TARN_GROUP_SITUATION, TARN_GROUP_VARIATION,
  TARN_GROUP_PASS,      TARN_GROUP_TEXT,    TARN_GROUP_PROBE,
};

/* One row: a button that stays down while its part is shown. */
typedef struct
{
  int group, structure;
  GtkWidget *row, *count;
} Part;

struct _TarnEditorGroups
{
  GtkWidget parent_instance;
  TarnEditorDraft *draft;
  GtkWidget *scroller, *list;
  GArray *parts;
  int kinds[TARN_STRUCTURES_MAX], structures; /* that the rows show */
  int group, structure;
  gboolean showing;
};

G_DEFINE_FINAL_TYPE (TarnEditorGroups, tarn_editor_groups, GTK_TYPE_WIDGET)

static guint chosen_signal;

static Part *
part_at (TarnEditorGroups *self, guint index)
{
  return &g_array_index (self->parts, Part, index);
}

static void on_row (GtkToggleButton *row, TarnEditorGroups *self);

static void
add_part (TarnEditorGroups *self, int group, int structure, const char *text)
{
  Part part = { .group = group, .structure = structure };
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *word = gtk_label_new (text);
  part.count = gtk_label_new ("");
  gtk_label_set_xalign (GTK_LABEL (word), 0);
  gtk_label_set_ellipsize (GTK_LABEL (word), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (word, TRUE);
  gtk_widget_set_margin_start (word, structure >= 0 ? 18 : 0);
  gtk_widget_add_css_class (part.count, "tarn-problems");
  gtk_widget_set_visible (part.count, FALSE);
  gtk_box_append (GTK_BOX (box), word);
  gtk_box_append (GTK_BOX (box), part.count);
  part.row = gtk_toggle_button_new ();
  gtk_button_set_child (GTK_BUTTON (part.row), box);
  gtk_widget_add_css_class (part.row, "flat");
  gtk_widget_add_css_class (part.row, "tarn-part");
  gtk_accessible_update_property (GTK_ACCESSIBLE (part.row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  text, -1);
  g_signal_connect (part.row, "toggled", G_CALLBACK (on_row), self);
  gtk_box_append (GTK_BOX (self->list), part.row);
  g_array_append_val (self->parts, part);
}

static void
add_structures (TarnEditorGroups *self, const TarnPatient *patient)
{
  for (int k = 0; k < patient->structures; k++)
    {
      g_autofree char *word = tarn_editor_structure_word (patient, k);
      add_part (self, TARN_GROUP_STRUCTURE, k, word);
      self->kinds[k] = (int)patient->structure[k].kind;
    }
  self->structures = patient->structures;
}

static void
fill (TarnEditorGroups *self)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  GtkWidget *row;
  self->showing = TRUE;
  while ((row = gtk_widget_get_first_child (self->list)) != NULL)
    gtk_box_remove (GTK_BOX (self->list), row);
  g_array_set_size (self->parts, 0);
  for (gsize k = 0; k < G_N_ELEMENTS (order); k++)
    {
      add_part (self, (int)order[k], -1, tarn_editor_group_word (order[k]));
      if (order[k] == TARN_GROUP_STRUCTURE)
        add_structures (self, patient);
    }
  add_part (self, TARN_EDITOR_TEST_POSE, -1, _ ("Test pose"));
  self->showing = FALSE;
  tarn_editor_groups_choose (self, self->group, self->structure);
}

static void
on_changed (TarnEditorGroups *self)
{
  const TarnPatient *patient = tarn_editor_draft_patient (self->draft);
  gboolean same = self->structures == patient->structures;
  for (int k = 0; same && k < patient->structures; k++)
    same = self->kinds[k] == (int)patient->structure[k].kind;
  if (!same)
    fill (self);
}

void
tarn_editor_groups_choose (TarnEditorGroups *self, int group, int structure)
{
  g_return_if_fail (TARN_IS_EDITOR_GROUPS (self));
  self->showing = TRUE;
  self->group = group;
  self->structure = structure;
  for (guint k = 0; k < self->parts->len; k++)
    {
      Part *part = part_at (self, k);
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (part->row),
                                    part->group == group && part->structure == structure);
    }
  self->showing = FALSE;
}

void
tarn_editor_groups_mark (TarnEditorGroups *self, GArray *problems)
{
  g_return_if_fail (TARN_IS_EDITOR_GROUPS (self));
  for (guint k = 0; k < self->parts->len; k++)
    {
      Part *part = part_at (self, k);
      int count = 0;
      for (guint p = 0; p < problems->len; p++)
        {
          const TarnEditorProblem *problem = &g_array_index (problems, TarnEditorProblem, p);
          count += !problem->warning && (int)problem->group == part->group
                   && (part->group != (int)TARN_GROUP_STRUCTURE
                       || problem->structure == part->structure);
        }
      g_autofree char *text = g_strdup_printf ("%d", count);
      gtk_label_set_text (GTK_LABEL (part->count), text);
      gtk_widget_set_visible (part->count, count > 0);
      g_autofree char *said = count > 0
                                  ? g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d problem",
                                                                  "%d problems", (gulong)count),
                                                     count)
                                  : g_strdup ("");
      gtk_accessible_update_property (GTK_ACCESSIBLE (part->row),
                                      GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, said, -1);
    }
}

static void
on_row (GtkToggleButton *row, TarnEditorGroups *self)
{
  if (self->showing)
    return;
  for (guint k = 0; k < self->parts->len; k++)
    if (part_at (self, k)->row == GTK_WIDGET (row))
      {
        const Part part = *part_at (self, k);
        tarn_editor_groups_choose (self, part.group, part.structure);
        g_signal_emit (self, chosen_signal, 0, part.group, part.structure);
        return;
      }
}

/* On the part that is shown. */
static gboolean
tarn_editor_groups_grab_focus (GtkWidget *widget)
{
  TarnEditorGroups *self = TARN_EDITOR_GROUPS (widget);
  for (guint k = 0; k < self->parts->len; k++)
    if (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (part_at (self, k)->row)))
      return gtk_widget_grab_focus (part_at (self, k)->row);
  return FALSE;
}

/* Tab goes in to the part that is shown and out again; arrows go from part to part. */
static gboolean
tarn_editor_groups_focus (GtkWidget *widget, GtkDirectionType direction)
{
  bool tab = direction == GTK_DIR_TAB_FORWARD || direction == GTK_DIR_TAB_BACKWARD;
  bool within = gtk_widget_get_focus_child (widget) != NULL;
  if (tab)
    return !within && gtk_widget_grab_focus (widget);
  return GTK_WIDGET_CLASS (tarn_editor_groups_parent_class)->focus (widget, direction);
}

GtkWidget *
tarn_editor_groups_new (TarnEditorDraft *draft)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (draft), NULL);
  TarnEditorGroups *self = g_object_new (TARN_TYPE_EDITOR_GROUPS, NULL);
  self->draft = g_object_ref (draft);
  fill (self);
  g_signal_connect_object (draft, "changed", G_CALLBACK (on_changed), self, G_CONNECT_SWAPPED);
  return GTK_WIDGET (self);
}

static void
tarn_editor_groups_dispose (GObject *object)
{
  TarnEditorGroups *self = TARN_EDITOR_GROUPS (object);
  self->showing = TRUE;
  g_clear_pointer (&self->scroller, gtk_widget_unparent);
  g_clear_pointer (&self->parts, g_array_unref);
  g_clear_object (&self->draft);
  G_OBJECT_CLASS (tarn_editor_groups_parent_class)->dispose (object);
}

static void
tarn_editor_groups_class_init (TarnEditorGroupsClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_groups_dispose;
  widget_class->grab_focus = tarn_editor_groups_grab_focus;
  widget_class->focus = tarn_editor_groups_focus;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  chosen_signal = g_signal_new ("chosen", TARN_TYPE_EDITOR_GROUPS, G_SIGNAL_RUN_LAST, 0, NULL,
                                NULL, NULL, G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_INT);
}

static void
tarn_editor_groups_init (TarnEditorGroups *self)
{
  self->group = TARN_GROUP_HABITUS;
  self->structure = -1;
  self->parts = g_array_new (FALSE, FALSE, sizeof (Part));
  self->list = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->list), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Parts of the patient"), -1);
  self->scroller = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scroller), GTK_POLICY_NEVER,
                                  GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), self->list);
  gtk_widget_set_parent (self->scroller, GTK_WIDGET (self));
}
