/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. The map is read for its labels; each gets a row with a choice of what it is.
 * 2. What stands in the way of importing is said in place, and Import waits for it.
 * 3. Closing at any time cancels; nothing is left of what was under way. */
#include "app/editor_import.h"

#include "app/chosen_units.h"
#include "app/editor_labels.h"
#include "app/editor_words.h"
#include "app/style.h"

#include <glib/gi18n.h>

#define PULSE_MS 120

/* The first choices of a row; then come the kinds of structures. */
enum
{
  LEFT_OUT,
  BLADDER,
  KINDS
};

struct _TarnEditorImport
{
  GtkWindow parent_instance;
  GtkWidget *intro, *scroller, *grid, *hint, *progress, *go;
  GPtrArray *choices; /* of GtkDropDown, the grid's */

  TarnEditorDraft *draft;
  char *map_path, *map_copy;
  TarnEditorLabels *labels; /* NULL: not read yet */
  GCancellable *cancellable;
  guint pulse;
};

G_DEFINE_FINAL_TYPE (TarnEditorImport, tarn_editor_import, GTK_TYPE_WINDOW)

static guint imported_signal;

/* ---- What work under way knows of the dialog: nothing, once that is closed ---- */

static GWeakRef *
link_to (TarnEditorImport *self)
{
  GWeakRef *link = g_new0 (GWeakRef, 1);
  g_weak_ref_init (link, self);
  return link;
}

/* A new reference or NULL; @link is gone. */
static TarnEditorImport *
follow (GWeakRef *link)
{
  TarnEditorImport *self = g_weak_ref_get (link);
  g_weak_ref_clear (link);
  g_free (link);
  return self;
}

/* ---- How far it is ---- */

static gboolean
on_pulse (gpointer data)
{
  gtk_progress_bar_pulse (GTK_PROGRESS_BAR (((TarnEditorImport *)data)->progress));
  return G_SOURCE_CONTINUE;
}

/* @text: what is being done; NULL: nothing. */
static void
show_work (TarnEditorImport *self, const char *text)
{
  g_clear_handle_id (&self->pulse, g_source_remove);
  if (text != NULL)
    self->pulse = g_timeout_add (PULSE_MS, on_pulse, self);
  gtk_progress_bar_set_text (GTK_PROGRESS_BAR (self->progress), text);
  gtk_widget_set_visible (self->progress, text != NULL);
  gtk_widget_set_sensitive (self->grid, text == NULL);
}

static void
say (TarnEditorImport *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->hint), text != NULL ? text : "");
  gtk_widget_set_visible (self->hint, text != NULL);
}

/* ---- What the labels are ---- */

/* What was chosen; NULL, or what stands in the way. */
static const char *
gather (TarnEditorImport *self, TarnLabelImport *import)
{
  int bladders = 0;
  *import = (TarnLabelImport){ .map_path = self->map_path, .map_copy = self->map_copy };
  for (guint k = 0; k < self->choices->len; k++)
    {
      guint chosen = gtk_drop_down_get_selected (g_ptr_array_index (self->choices, k));
      uint16_t label = self->labels->of[k].label;
      if (chosen == BLADDER)
        {
          import->bladder = label;
          bladders++;
        }
      else if (chosen >= KINDS && import->structures == TARN_STRUCTURES_MAX)
        return _ ("These are more structures than a patient can have: leave some out.");
      else if (chosen >= KINDS)
        {
          import->structure[import->structures] = label;
          import->kind[import->structures++] = (TarnStructureKind)(chosen - KINDS);
        }
    }
  if (bladders == 0)
    return _ ("Say which label is the bladder.");
  return bladders == 1 ? NULL : _ ("Only one label can be the bladder.");
}

static void
on_choice (TarnEditorImport *self)
{
  TarnLabelImport import;
  const char *problem = gather (self, &import);
  say (self, problem);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "import.go", problem == NULL);
}

static GtkStringList *
choice_words (void)
{
  const TarnField *field = tarn_field_find (TARN_GROUP_STRUCTURE, "kind");
  GtkStringList *words = gtk_string_list_new (NULL);
  gtk_string_list_append (words, _ ("Leave out"));
  gtk_string_list_append (words, _ ("Bladder"));
  for (int k = 0; k < TARN_STRUCTURE_KINDS; k++)
    gtk_string_list_append (words, tarn_editor_choice_word (field, k));
  return words;
}

static GtkWidget *
cell (TarnEditorImport *self, const char *text, int column, int row)
{
  GtkWidget *label = gtk_label_new (text);
  gtk_label_set_xalign (GTK_LABEL (label), column == 0 ? 0 : 1);
  gtk_grid_attach (GTK_GRID (self->grid), label, column, row, 1, 1);
  return label;
}

static void
add_row (TarnEditorImport *self, GtkStringList *words, int index)
{
  const TarnUnits units = tarn_chosen_units ();
  unsigned number = self->labels->of[index].label;
  gboolean known = self->labels->tissues && number < TARN_TISSUES;
  g_autofree char *name = known ? g_strdup (tarn_editor_tissue_word ((TarnTissue)number))
                                /* Translators: a label in a segmented volume is a number. */
                                : g_strdup_printf (_ ("Label %u"), number);
  g_autofree char *volume = tarn_words_volume (self->labels->of[index].volume_ml, &units);
  g_autofree char *both = g_strdup_printf ("%s, %s", name, volume);
  GtkWidget *choice = gtk_drop_down_new (G_LIST_MODEL (g_object_ref (words)), NULL);
  cell (self, name, 0, index);
  gtk_widget_add_css_class (cell (self, volume, 1, index), "tarn-figures");
  gtk_widget_set_hexpand (choice, TRUE);
  gtk_widget_set_tooltip_text (choice, _ ("What this label is (Space opens, arrows choose)"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (choice), GTK_ACCESSIBLE_PROPERTY_LABEL, both,
                                  -1);
  /* One label alone can be nothing else. */
  gboolean bladder = self->labels->count == 1 || (known && number == TARN_TISSUE_URINE);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (choice), bladder ? BLADDER : LEFT_OUT);
  g_signal_connect_object (choice, "notify::selected", G_CALLBACK (on_choice), self,
                           G_CONNECT_SWAPPED);
  gtk_grid_attach (GTK_GRID (self->grid), choice, 2, index, 1, 1);
  g_ptr_array_add (self->choices, choice);
}

static void
on_read (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (TarnEditorImport) self = follow (data);
  g_autoptr (GError) error = NULL;
  g_autofree TarnEditorLabels *labels = tarn_editor_labels_read_finish (result, &error);
  (void)source;
  if (self == NULL)
    return;
  g_autoptr (GtkStringList) words = choice_words ();
  self->labels = g_steal_pointer (&labels);
  show_work (self, NULL);
  if (self->labels == NULL || self->labels->count == 0)
    {
      say (self, error != NULL ? error->message : _ ("There is no label in this map."));
      return;
    }
  for (int k = 0; k < self->labels->count; k++)
    add_row (self, words, k);
  gtk_widget_set_visible (self->scroller, TRUE);
  gtk_widget_grab_focus (g_ptr_array_index (self->choices, 0));
  on_choice (self);
}

/* ---- Importing ---- */

static void
on_imported (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (TarnEditorImport) self = follow (data);
  g_autoptr (GError) error = NULL;
  TarnPatient patient = { 0 };
  double agreement = 0;
  (void)source;
  gboolean done = tarn_editor_labels_import_finish (result, &patient, &agreement, &error);
  if (self != NULL && done)
    {
      tarn_editor_draft_seal (self->draft);
      tarn_editor_draft_replace (self->draft, &patient);
      g_signal_emit (self, imported_signal, 0, agreement);
      gtk_window_destroy (GTK_WINDOW (self));
    }
  else if (self != NULL)
    {
      g_autofree char *text
          = g_strdup_printf (_ ("The map cannot be imported: %s"), error->message);
      show_work (self, NULL);
      say (self, text);
      gtk_widget_action_set_enabled (GTK_WIDGET (self), "import.go", TRUE);
    }
  tarn_patient_clear (&patient);
}

static void
go (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnEditorImport *self = TARN_EDITOR_IMPORT (widget);
  TarnLabelImport import;
  (void)action, (void)parameter;
  if (self->labels == NULL || gather (self, &import) != NULL)
    return;
  say (self, NULL);
  show_work (self, _ ("Importing…"));
  gtk_widget_action_set_enabled (widget, "import.go", FALSE);
  tarn_editor_labels_import (&import, tarn_editor_draft_patient (self->draft),
                             self->cancellable, on_imported, link_to (self));
}

/* ---- The window ---- */

static GtkWidget *
label_in (GtkWidget *box, const char *class)
{
  GtkWidget *label = gtk_label_new ("");
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

static GtkWidget *
button_in (GtkWidget *box, const char *words, const char *tip, const char *action)
{
  GtkWidget *button = gtk_button_new_with_label (words);
  gtk_widget_set_tooltip_text (button, tip);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  gtk_box_append (GTK_BOX (box), button);
  return button;
}

static void
tarn_editor_import_init (TarnEditorImport *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  self->choices = g_ptr_array_new ();
  self->cancellable = g_cancellable_new ();
  gtk_widget_add_css_class (box, "tarn-page");
  gtk_window_set_titlebar (GTK_WINDOW (self), gtk_header_bar_new ());
  gtk_window_set_title (GTK_WINDOW (self), _ ("Import a label map"));
  gtk_window_set_default_size (GTK_WINDOW (self), 560, 520);
  gtk_window_set_child (GTK_WINDOW (self), box);
  self->intro = label_in (box, NULL);
  self->grid = gtk_grid_new ();
  gtk_grid_set_row_spacing (GTK_GRID (self->grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (self->grid), 18);
  self->scroller = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scroller), GTK_POLICY_NEVER,
                                  GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), self->grid);
  gtk_widget_set_vexpand (self->scroller, TRUE);
  gtk_widget_set_visible (self->scroller, FALSE);
  gtk_box_append (GTK_BOX (box), self->scroller);
  self->progress = gtk_progress_bar_new ();
  gtk_progress_bar_set_show_text (GTK_PROGRESS_BAR (self->progress), TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->progress),
                                  GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("Progress"), -1);
  gtk_box_append (GTK_BOX (box), self->progress);
  self->hint = label_in (box, "tarn-notice");
  gtk_widget_set_halign (row, GTK_ALIGN_END);
  gtk_box_append (GTK_BOX (box), row);
  button_in (row, _ ("Cancel"), _ ("Leave the patient as it is (Escape)"), "window.close");
  self->go = button_in (row, _ ("Import"),
                        _ ("Take these labels into the patient (Ctrl+Enter)"), "import.go");
  gtk_widget_add_css_class (self->go, "suggested-action");
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "import.go", FALSE);
  say (self, NULL);
}

GtkWidget *
tarn_editor_import_new (GtkWindow *parent, TarnEditorDraft *draft, const char *map_path,
                        const char *map_copy)
{
  g_return_val_if_fail (TARN_IS_EDITOR_DRAFT (draft), NULL);
  TarnEditorImport *self
      = g_object_new (TARN_TYPE_EDITOR_IMPORT, "transient-for", parent, "modal", parent != NULL,
                      "destroy-with-parent", TRUE, NULL);
  g_autofree char *name = g_filename_display_basename (map_path);
  /* Translators: %s is a file's name. */
  g_autofree char *intro = g_strdup_printf (
      _ ("Say what each label of %s is. The bladder takes its shape and volume from its "
         "label; "
         "the others become ellipsoids of the same place and size, instead of the structures "
         "that the patient has now."),
      name);
  self->draft = g_object_ref (draft);
  self->map_path = g_strdup (map_path);
  self->map_copy = g_strdup (map_copy);
  gtk_label_set_text (GTK_LABEL (self->intro), intro);
  tarn_style_adopt (GTK_WINDOW (self));
  show_work (self, _ ("Reading the map…"));
  tarn_editor_labels_read (map_path, self->cancellable, on_read, link_to (self));
  return GTK_WIDGET (self);
}

static void
tarn_editor_import_dispose (GObject *object)
{
  TarnEditorImport *self = TARN_EDITOR_IMPORT (object);
  g_cancellable_cancel (self->cancellable);
  g_clear_handle_id (&self->pulse, g_source_remove);
  G_OBJECT_CLASS (tarn_editor_import_parent_class)->dispose (object);
}

static void
tarn_editor_import_finalize (GObject *object)
{
  TarnEditorImport *self = TARN_EDITOR_IMPORT (object);
  g_object_unref (self->draft);
  g_object_unref (self->cancellable);
  g_ptr_array_unref (self->choices);
  g_free (self->labels);
  g_free (self->map_path);
  g_free (self->map_copy);
  G_OBJECT_CLASS (tarn_editor_import_parent_class)->finalize (object);
}

static void
tarn_editor_import_class_init (TarnEditorImportClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_editor_import_dispose;
  G_OBJECT_CLASS (class)->finalize = tarn_editor_import_finalize;
  gtk_widget_class_install_action (widget_class, "import.go", NULL, go);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Return, GDK_CONTROL_MASK,
                                       "import.go", NULL);
  imported_signal = g_signal_new ("imported", TARN_TYPE_EDITOR_IMPORT, G_SIGNAL_RUN_LAST, 0,
                                  NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_DOUBLE);
}
