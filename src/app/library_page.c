/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/library_page.h"

#include "app/difficulty.h"
#include "app/folder_chooser.h"
#include "app/patient_card.h"
#include "engine/attempt/input.h"

#include <glib/gi18n.h>
#include <string.h>

#define PATIENCE_MS 300  /* what takes longer shows that it is busy */
#define SETTLED_MS  1500 /* on the page before there is time for difficulties */

struct _TarnLibraryPage
{
  GtkWidget parent_instance;
  TarnPatientList *list;
  TarnSettings *settings;
  TarnDifficulty *difficulty;
  GtkFilterListModel *shown;
  GtkSortListModel *sorted;
  char *wanted; /* the search, folded; NULL: everything */
  guint waiting, settling;
  GtkFileChooserNative *chooser;

  GtkWidget *scroller;
  GtkLabel *notice, *mode_text, *no_match_text;
  GtkToggleButton *guided, *practice, *easiest_first;
  GtkSearchEntry *search;
  GtkStack *stack;
  GtkSpinner *spinner;
  GtkFlowBox *cards;
  GtkWidget *open_folder;
};

G_DEFINE_FINAL_TYPE (TarnLibraryPage, tarn_library_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_MODE,
  N_PROPS
};

enum
{
  SIGNAL_PATIENT_CHOSEN,
  N_SIGNALS
};

static GParamSpec *props[N_PROPS];
static guint signals[N_SIGNALS];

const char *
tarn_library_mode_text (int mode)
{
  if (mode == TARN_MODE_GUIDED)
    return _ ("You see where the beam goes, and may look inside.");
  return _ ("No advice until the end: you judge your readings first, then you see the truth.");
}

/* Search */

/* Folded so that neither case nor accents matter. */
static char *
fold (const char *text)
{
  g_autofree char *apart = g_utf8_normalize (text, -1, G_NORMALIZE_ALL);
  if (apart == NULL)
    return g_strdup ("");
  GString *plain = g_string_new (NULL);
  for (const char *c = apart; *c != '\0'; c = g_utf8_next_char (c))
    if (!g_unichar_ismark (g_utf8_get_char (c)))
      g_string_append_unichar (plain, g_utf8_get_char (c));
  char *folded = g_utf8_casefold (plain->str, -1);
  g_string_free (plain, TRUE);
  return folded;
}

static gboolean
is_wanted (gpointer object, gpointer data)
{
  TarnLibraryPage *self = data;
  TarnPatientItem *item = object;
  if (self->wanted == NULL)
    return TRUE;
  const char *scenario = tarn_patient_item_text (item, "scenario");
  g_autofree char *all = g_strjoin (
      "\n", tarn_patient_item_title (item), scenario != NULL ? scenario : "",
      tarn_patient_item_objective (item), tarn_patient_item_file_name (item), NULL);
  g_autofree char *folded = fold (all);
  return strstr (folded, self->wanted) != NULL;
}

static void show_what_there_is (TarnLibraryPage *self);

static void
on_search_changed (TarnLibraryPage *self)
{
  g_autofree char *text = g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->search)));
  g_strstrip (text);
  g_free (self->wanted);
  self->wanted = text[0] != '\0' ? fold (text) : NULL;
  gtk_filter_changed (gtk_filter_list_model_get_filter (self->shown),
                      GTK_FILTER_CHANGE_DIFFERENT);
  show_what_there_is (self);
}

static void
start_search (GtkWidget *widget, const char *action, GVariant *parameter)
{
  (void)action;
  (void)parameter;
  gtk_widget_grab_focus (GTK_WIDGET (TARN_LIBRARY_PAGE (widget)->search));
}

static void
clear_search (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnLibraryPage *self = TARN_LIBRARY_PAGE (widget);
  (void)action;
  (void)parameter;
  gtk_editable_set_text (GTK_EDITABLE (self->search), "");
  on_search_changed (self);
  gtk_widget_grab_focus (GTK_WIDGET (self->search));
}

/* By way of the box, which then knows where the arrow keys go on from. */
static gboolean
focus_first_card (TarnLibraryPage *self)
{
  GtkFlowBoxChild *first = gtk_flow_box_get_child_at_index (self->cards, 0);
  if (first == NULL || !gtk_widget_get_mapped (GTK_WIDGET (first)))
    return FALSE;
  gtk_widget_grab_focus (GTK_WIDGET (self->search));
  return gtk_widget_child_focus (GTK_WIDGET (self->cards), GTK_DIR_TAB_FORWARD);
}

/* Enter or Escape in the search entry goes to the first patient found. */
static void
on_search_activate (TarnLibraryPage *self)
{
  focus_first_card (self);
}

/* What is shown */

/* What is wrong with a folder; what is wrong with the settings, the window says. */
static void
show_notice (TarnLibraryPage *self)
{
  const char *problem = tarn_patient_list_problem (self->list);
  gtk_label_set_text (self->notice, problem != NULL ? problem : "");
  gtk_widget_set_visible (GTK_WIDGET (self->notice), problem != NULL);
}

static void
show_what_there_is (TarnLibraryPage *self)
{
  guint all = g_list_model_get_n_items (G_LIST_MODEL (self->list));
  guint shown = g_list_model_get_n_items (G_LIST_MODEL (self->shown));
  const char *page = "patients";
  if (all == 0 && !tarn_patient_list_loading (self->list))
    page = "empty";
  else if (all > 0 && shown == 0)
    {
      page = "no-match";
      g_autofree char *text = g_strdup_printf (
          _ ("No patient matches “%s”"), gtk_editable_get_text (GTK_EDITABLE (self->search)));
      gtk_label_set_text (self->no_match_text, text);
    }
  else if (all == 0 && self->waiting == 0)
    page = "loading";
  gtk_stack_set_visible_child_name (self->stack, page);
  gtk_spinner_set_spinning (self->spinner, g_str_equal (page, "loading"));
}

static gboolean
on_patience_ends (gpointer data)
{
  TarnLibraryPage *self = data;
  self->waiting = 0;
  show_what_there_is (self);
  return G_SOURCE_REMOVE;
}

static void
on_loading (TarnLibraryPage *self)
{
  g_clear_handle_id (&self->waiting, g_source_remove);
  if (tarn_patient_list_loading (self->list))
    self->waiting = g_timeout_add (PATIENCE_MS, on_patience_ends, self);
  show_what_there_is (self);
}

static GtkWidget *
make_card (gpointer item, gpointer data)
{
  (void)data;
  return tarn_patient_card_new (item);
}

static void
on_card_activated (TarnLibraryPage *self, GtkFlowBoxChild *child)
{
  TarnPatientItem *item = tarn_patient_card_item (TARN_PATIENT_CARD (child));
  if (tarn_patient_item_patient (item) != NULL)
    g_signal_emit (self, signals[SIGNAL_PATIENT_CHOSEN], 0, item,
                   tarn_library_page_mode (self));
}

/* The mode */

int
tarn_library_page_mode (TarnLibraryPage *self)
{
  g_return_val_if_fail (TARN_IS_LIBRARY_PAGE (self), TARN_MODE_GUIDED);
  return gtk_toggle_button_get_active (self->guided) ? TARN_MODE_GUIDED : TARN_MODE_PRACTICE;
}

void
tarn_library_page_set_mode (TarnLibraryPage *self, int mode)
{
  g_return_if_fail (TARN_IS_LIBRARY_PAGE (self));
  g_return_if_fail (mode == TARN_MODE_GUIDED || mode == TARN_MODE_PRACTICE);
  gtk_toggle_button_set_active (mode == TARN_MODE_GUIDED ? self->guided : self->practice, TRUE);
}

static void
on_mode_toggled (TarnLibraryPage *self)
{
  gtk_label_set_text (self->mode_text, tarn_library_mode_text (tarn_library_page_mode (self)));
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_MODE]);
}

/* Difficulty */

/* Who has no figure stands last. */
static int
compare_difficulty (gconstpointer a, gconstpointer b, gpointer data)
{
  double first = tarn_patient_item_difficulty ((TarnPatientItem *)a);
  double second = tarn_patient_item_difficulty ((TarnPatientItem *)b);
  (void)data;
  first = first < 0 ? G_MAXDOUBLE : first;
  second = second < 0 ? G_MAXDOUBLE : second;
  return (first > second) - (first < second);
}

/* Sorted when asked to, and once all figures are there: not each time that one comes. */
static void
sort_cards (TarnLibraryPage *self)
{
  bool wanted = gtk_toggle_button_get_active (self->easiest_first);
  g_autoptr (GtkSorter) sorter
      = wanted ? GTK_SORTER (gtk_custom_sorter_new (compare_difficulty, NULL, NULL)) : NULL;
  gtk_sort_list_model_set_sorter (self->sorted, sorter);
}

static gboolean
on_settled (gpointer data)
{
  TarnLibraryPage *self = data;
  self->settling = 0;
  tarn_difficulty_set_working (self->difficulty, TRUE);
  return G_SOURCE_REMOVE;
}

/* Only while the page is shown: at the bedside the planes need the processor. */
static void
on_mapped (TarnLibraryPage *self)
{
  g_clear_handle_id (&self->settling, g_source_remove);
  if (gtk_widget_get_mapped (GTK_WIDGET (self)))
    self->settling = g_timeout_add (SETTLED_MS, on_settled, self);
  else
    tarn_difficulty_set_working (self->difficulty, FALSE);
}

/* A folder of patients */

static void
open_folder (GtkWidget *widget, const char *action, GVariant *parameter)
{
  TarnLibraryPage *self = TARN_LIBRARY_PAGE (widget);
  (void)action;
  (void)parameter;
  if (self->chooser == NULL)
    g_set_weak_pointer (
        &self->chooser,
        tarn_folder_chooser_open (GTK_WINDOW (gtk_widget_get_root (widget)), self->settings));
}

static void
on_class_folder (TarnLibraryPage *self)
{
  tarn_patient_list_set_class_folder (self->list, tarn_settings_class_folder (self->settings));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "library.open-folder",
                                 !tarn_settings_is_fixed (self->settings, "class-folder"));
}

/* The widget */

GtkWidget *
tarn_library_page_new (TarnPatientList *list, TarnSettings *settings)
{
  g_return_val_if_fail (TARN_IS_PATIENT_LIST (list), NULL);
  g_return_val_if_fail (TARN_IS_SETTINGS (settings), NULL);
  TarnLibraryPage *self = g_object_new (TARN_TYPE_LIBRARY_PAGE, NULL);
  self->list = g_object_ref (list);
  self->settings = g_object_ref (settings);
  GtkFilter *filter = GTK_FILTER (gtk_custom_filter_new (is_wanted, self, NULL));
  self->shown = gtk_filter_list_model_new (g_object_ref (G_LIST_MODEL (list)), filter);
  self->sorted = gtk_sort_list_model_new (g_object_ref (G_LIST_MODEL (self->shown)), NULL);
  gtk_flow_box_bind_model (self->cards, G_LIST_MODEL (self->sorted), make_card, NULL, NULL);
  self->difficulty = tarn_difficulty_new (G_LIST_MODEL (list), NULL);

  g_signal_connect_object (list, "notify::loading", G_CALLBACK (on_loading), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (list, "notify::problem", G_CALLBACK (show_notice), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (list, "items-changed", G_CALLBACK (show_what_there_is), self,
                           G_CONNECT_SWAPPED | G_CONNECT_AFTER);
  g_signal_connect_object (settings, "notify::class-folder", G_CALLBACK (on_class_folder), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->difficulty, "done", G_CALLBACK (sort_cards), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect (self, "map", G_CALLBACK (on_mapped), NULL);
  g_signal_connect_after (self, "unmap", G_CALLBACK (on_mapped), NULL);
  on_class_folder (self);
  on_loading (self);
  show_notice (self);
  return GTK_WIDGET (self);
}

/* The page itself has nothing to focus: the first patient has. */
static gboolean
tarn_library_page_grab_focus (GtkWidget *widget)
{
  TarnLibraryPage *self = TARN_LIBRARY_PAGE (widget);
  if (focus_first_card (self))
    return TRUE;
  if (gtk_widget_get_mapped (self->open_folder))
    return gtk_widget_grab_focus (self->open_folder);
  return gtk_widget_grab_focus (GTK_WIDGET (self->search));
}

static void
tarn_library_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_MODE)
    g_value_set_int (value, tarn_library_page_mode (TARN_LIBRARY_PAGE (object)));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
tarn_library_page_set_property (GObject *object, guint id, const GValue *value,
                                GParamSpec *pspec)
{
  if (id == PROP_MODE)
    tarn_library_page_set_mode (TARN_LIBRARY_PAGE (object), g_value_get_int (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
tarn_library_page_dispose (GObject *object)
{
  TarnLibraryPage *self = TARN_LIBRARY_PAGE (object);
  g_clear_handle_id (&self->waiting, g_source_remove);
  g_clear_handle_id (&self->settling, g_source_remove);
  if (self->difficulty != NULL)
    tarn_difficulty_set_working (self->difficulty, FALSE);
  g_clear_object (&self->difficulty);
  if (self->chooser != NULL)
    tarn_folder_chooser_close (self->chooser);
  g_clear_weak_pointer (&self->chooser);
  /* The filter calls back into us: the cards must not ask it any more. */
  if (self->cards != NULL)
    gtk_flow_box_bind_model (self->cards, NULL, NULL, NULL, NULL);
  g_clear_object (&self->sorted);
  g_clear_object (&self->shown);
  g_clear_object (&self->list);
  g_clear_object (&self->settings);
  gtk_widget_dispose_template (GTK_WIDGET (self), TARN_TYPE_LIBRARY_PAGE);
  G_OBJECT_CLASS (tarn_library_page_parent_class)->dispose (object);
}

static void
tarn_library_page_finalize (GObject *object)
{
  g_free (TARN_LIBRARY_PAGE (object)->wanted);
  G_OBJECT_CLASS (tarn_library_page_parent_class)->finalize (object);
}

static void
bind_template (GtkWidgetClass *widget_class)
{
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/library-page.ui");
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, scroller);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, notice);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, mode_text);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, no_match_text);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, guided);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, practice);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, easiest_first);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, search);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, stack);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, spinner);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, cards);
  gtk_widget_class_bind_template_child (widget_class, TarnLibraryPage, open_folder);
}

static void
tarn_library_page_class_init (TarnLibraryPageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  object_class->get_property = tarn_library_page_get_property;
  object_class->set_property = tarn_library_page_set_property;
  object_class->dispose = tarn_library_page_dispose;
  object_class->finalize = tarn_library_page_finalize;
  widget_class->grab_focus = tarn_library_page_grab_focus;

  props[PROP_MODE] = g_param_spec_int (
      "mode", NULL, NULL, TARN_MODE_GUIDED, TARN_MODE_PRACTICE, TARN_MODE_GUIDED,
      G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  signals[SIGNAL_PATIENT_CHOSEN]
      = g_signal_new ("patient-chosen", TARN_TYPE_LIBRARY_PAGE, G_SIGNAL_RUN_LAST, 0, NULL,
                      NULL, NULL, G_TYPE_NONE, 2, TARN_TYPE_PATIENT_ITEM, G_TYPE_INT);

  gtk_widget_class_install_action (widget_class, "library.search", NULL, start_search);
  gtk_widget_class_install_action (widget_class, "library.clear-search", NULL, clear_search);
  gtk_widget_class_install_action (widget_class, "library.open-folder", NULL, open_folder);
  bind_template (widget_class);
}

/* Wherever the focus is in the window; while another page is shown, the key is not ours. */
static gboolean
on_search_key (GtkWidget *widget, GVariant *parameter, gpointer data)
{
  (void)parameter;
  (void)data;
  return gtk_widget_get_mapped (widget)
         && gtk_widget_activate_action (widget, "library.search", NULL);
}

static gboolean
on_sort_key (GtkWidget *widget, GVariant *parameter, gpointer data)
{
  GtkToggleButton *button = TARN_LIBRARY_PAGE (widget)->easiest_first;
  (void)parameter;
  (void)data;
  if (!gtk_widget_get_mapped (widget))
    return FALSE;
  gtk_toggle_button_set_active (button, !gtk_toggle_button_get_active (button));
  return TRUE;
}

static void
add_keys (TarnLibraryPage *self)
{
  GtkEventController *keys = gtk_shortcut_controller_new ();
  gtk_shortcut_controller_set_scope (GTK_SHORTCUT_CONTROLLER (keys), GTK_SHORTCUT_SCOPE_GLOBAL);
  gtk_shortcut_controller_add_shortcut (
      GTK_SHORTCUT_CONTROLLER (keys),
      gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_f, GDK_CONTROL_MASK),
                        gtk_callback_action_new (on_search_key, NULL, NULL)));
  gtk_shortcut_controller_add_shortcut (
      GTK_SHORTCUT_CONTROLLER (keys),
      gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_e, GDK_CONTROL_MASK),
                        gtk_callback_action_new (on_sort_key, NULL, NULL)));
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

static void
tarn_library_page_init (TarnLibraryPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  add_keys (self);
  g_signal_connect_object (self->guided, "toggled", G_CALLBACK (on_mode_toggled), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->easiest_first, "toggled", G_CALLBACK (sort_cards), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->search, "search-changed", G_CALLBACK (on_search_changed), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->search, "activate", G_CALLBACK (on_search_activate), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->search, "stop-search", G_CALLBACK (on_search_activate), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->cards, "child-activated", G_CALLBACK (on_card_activated), self,
                           G_CONNECT_SWAPPED);
  on_mode_toggled (self);
}
