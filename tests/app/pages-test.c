/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The pages around the bedside, on a screen: their templates, signals, words for who cannot see
 * them, sizes, and that nothing of them is left behind. */
#include "class_folder.h"

#include "app/about.h"
#include "app/briefing_page.h"
#include "app/cautions.h"
#include "app/library_page.h"
#include "app/patient_card.h"
#include "app/preferences.h"
#include "app/shortcuts.h"
#include "app/style.h"
#include "engine/attempt/input.h"

#include <libintl.h>
#include <locale.h>
#include <string.h>

/* WCAG 2.2, criterion 2.5.8: targets of at least 24 by 24 CSS pixels. */
#define TARGET_PX 24

/* A window with one page in it. */
typedef struct
{
  TarnSettings *settings;
  GtkWidget *window, *page;
  char *folder;
  TarnPatientList *list;
} Fixture;

static void
spin (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    continue;
}

static void
set_up (Fixture *fixture, gconstpointer data)
{
  (void)data;
  fixture->settings = tarn_settings_new (g_settings_schema_source_get_default ());
  fixture->folder = class_folder_new ();
  fixture->window = gtk_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (fixture->window), 1280, 800);
  tarn_style_adopt (GTK_WINDOW (fixture->window));
}

static void
show_page (Fixture *fixture, GtkWidget *page)
{
  fixture->page = page;
  g_object_add_weak_pointer (G_OBJECT (page), (gpointer *)&fixture->page);
  gtk_window_set_child (GTK_WINDOW (fixture->window), page);
  gtk_window_present (GTK_WINDOW (fixture->window));
  gtk_test_widget_wait_for_draw (fixture->window);
}

static void
show_library (Fixture *fixture)
{
  fixture->list = tarn_patient_list_new (fixture->folder);
  show_page (fixture, tarn_library_page_new (fixture->list, fixture->settings));
  list_wait (fixture->list);
  gtk_test_widget_wait_for_draw (fixture->window);
}

/* Whatever was shown goes with its window; memory settings are those of the whole program. */
static void
tear_down (Fixture *fixture, gconstpointer data)
{
  (void)data;
  gtk_window_destroy (GTK_WINDOW (fixture->window));
  spin ();
  g_assert_null (fixture->page);
  g_clear_object (&fixture->list);
  class_folder_remove (fixture->folder);
  g_object_unref (fixture->settings);
  g_autoptr (GSettings) raw = g_settings_new ("org.tarn.Tarn");
  g_auto (GStrv) keys = NULL;
  g_autoptr (GSettingsSchema) schema = NULL;
  g_object_get (raw, "settings-schema", &schema, NULL);
  keys = g_settings_schema_list_keys (schema);
  for (char **key = keys; *key != NULL; key++)
    g_settings_reset (raw, *key);
  spin ();
}

/* A template's child by its id in the .ui file. */
static GtkWidget *
child (GtkWidget *root, const char *id)
{
  const char *own
      = GTK_IS_BUILDABLE (root) ? gtk_buildable_get_buildable_id (GTK_BUILDABLE (root)) : NULL;
  if (g_strcmp0 (own, id) == 0)
    return root;
  for (GtkWidget *each = gtk_widget_get_first_child (root); each != NULL;
       each = gtk_widget_get_next_sibling (each))
    {
      GtkWidget *found = child (each, id);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static const char *
text_of (GtkWidget *root, const char *id)
{
  return gtk_label_get_text (GTK_LABEL (child (root, id)));
}

/* ---- Cautions ---- */

static void
on_accepted (GtkWidget *page, gboolean tour, GString *heard)
{
  (void)page;
  g_string_append (heard, tour ? "tour " : "accepted ");
}

static void
test_cautions (Fixture *fixture, gconstpointer data)
{
  (void)data;
  g_autoptr (GString) heard = g_string_new (NULL);
  show_page (fixture, tarn_cautions_page_new (fixture->settings));
  g_signal_connect (fixture->page, "accepted", G_CALLBACK (on_accepted), heard);
  g_assert_false (tarn_settings_cautions_accepted (fixture->settings));
  g_assert_true (gtk_widget_grab_focus (fixture->page));
  g_assert_true (gtk_window_get_focus (GTK_WINDOW (fixture->window))
                 == child (fixture->page, "tour"));
  gtk_widget_activate (child (fixture->page, "accept"));
  gtk_widget_activate_action (fixture->page, "cautions.tour", NULL);
  for (int i = 0; i < 100 && strlen (heard->str) < 14; i++)
    {
      spin ();
      g_usleep (10000);
    }
  g_assert_nonnull (strstr (heard->str, "accepted "));
  g_assert_nonnull (strstr (heard->str, "tour "));
  g_assert_true (tarn_settings_cautions_accepted (fixture->settings));
}

/* Without a schema the page can be accepted all the same. */
static void
test_cautions_unkept (Fixture *fixture, gconstpointer data)
{
  (void)data;
  g_autoptr (TarnSettings) built_in = tarn_settings_new (NULL);
  show_page (fixture, tarn_cautions_page_new (built_in));
  gtk_widget_activate_action (fixture->page, "cautions.accept", NULL);
  g_assert_true (tarn_settings_cautions_accepted (built_in));
}

/* ---- Briefing ---- */

static void
on_chosen (GtkWidget *page, TarnPatientItem *item, int mode, GString *heard)
{
  (void)page;
  g_string_append_printf (heard, "%s:%d ", tarn_patient_item_id (item), mode);
}

static void
on_back (GtkWidget *page, GString *heard)
{
  (void)page;
  g_string_append (heard, "back ");
}

static void
test_briefing (Fixture *fixture, gconstpointer data)
{
  (void)data;
  g_autoptr (GString) heard = g_string_new (NULL);
  class_folder_add (fixture->folder, "ward", "Woman on the ward",
                    "scenario=She has not been.\nobjective=Look first.\n");
  g_autofree char *path = g_build_filename (fixture->folder, "ward.anatomy", NULL);
  g_autoptr (TarnPatientItem) item = tarn_patient_item_load (path);

  show_page (fixture, tarn_briefing_page_new ());
  TarnBriefingPage *page = TARN_BRIEFING_PAGE (fixture->page);
  g_signal_connect (page, "begin", G_CALLBACK (on_chosen), heard);
  g_signal_connect (page, "back", G_CALLBACK (on_back), heard);
  gtk_widget_activate_action (fixture->page, "briefing.begin", NULL); /* nobody yet */
  tarn_briefing_page_show (page, item, TARN_MODE_PRACTICE);
  g_assert_cmpstr (text_of (fixture->page, "title"), ==, "Woman on the ward");
  g_assert_cmpstr (text_of (fixture->page, "scenario"), ==, "She has not been.");
  g_assert_cmpstr (text_of (fixture->page, "mode_heading"), ==, "Practice");
  /* What the file does not say takes no room. */
  g_assert_false (gtk_widget_get_visible (child (fixture->page, "briefing")));
  g_assert_false (gtk_widget_get_visible (child (fixture->page, "policy_heading")));
  /* Practice does not say beforehand what there is to find. */
  g_assert_false (gtk_widget_get_visible (child (fixture->page, "objective_heading")));
  g_assert_false (gtk_widget_get_visible (child (fixture->page, "objective")));

  gtk_widget_activate_action (fixture->page, "briefing.begin", NULL);
  gtk_widget_activate_action (fixture->page, "briefing.other-mode", NULL);
  g_assert_cmpint (tarn_briefing_page_mode (page), ==, TARN_MODE_GUIDED);
  g_assert_cmpstr (text_of (fixture->page, "mode_heading"), ==, "Guided");
  g_assert_true (gtk_widget_get_visible (child (fixture->page, "objective_heading")));
  g_assert_cmpstr (text_of (fixture->page, "objective"), ==, "Look first.");
  gtk_widget_activate_action (fixture->page, "briefing.begin", NULL);
  gtk_widget_activate_action (fixture->page, "briefing.back", NULL);
  g_assert_cmpstr (heard->str, ==, "ward:1 ward:0 back ");
}

/* ---- Library ---- */

static GtkFlowBoxChild *
card (Fixture *fixture, int index)
{
  return gtk_flow_box_get_child_at_index (GTK_FLOW_BOX (child (fixture->page, "cards")), index);
}

static void
test_library (Fixture *fixture, gconstpointer data)
{
  (void)data;
  g_autoptr (GString) heard = g_string_new (NULL);
  class_folder_write (fixture->folder, "a.anatomy",
                      "[Anatomy]\nformat=1\nid=x\ntitle=X\nseed=1\ncolour=blue\n");
  class_folder_add (fixture->folder, "b", "Woman of 50",
                    "scenario=She is tender.\nobjective=Press lightly.\n");
  show_library (fixture);
  g_signal_connect (fixture->page, "patient-chosen", G_CALLBACK (on_chosen), heard);
  GtkWidget *broken = GTK_WIDGET (card (fixture, 0)), *good = GTK_WIDGET (card (fixture, 1));
  g_assert_null (card (fixture, 2));

  /* The broken file is there, with its problem in words, and cannot be chosen. */
  g_assert_cmpstr (text_of (broken, "title"), ==, "a.anatomy");
  g_assert_true (g_str_has_prefix (text_of (broken, "text"), "Line 6: "));
  g_assert_cmpstr (text_of (broken, "result"), ==, "This file cannot be used");
  g_signal_emit_by_name (child (fixture->page, "cards"), "child-activated", broken);
  g_assert_cmpstr (heard->str, ==, "");

  g_assert_cmpstr (text_of (good, "text"), ==, "She is tender.");
  gtk_test_accessible_assert_property (good, GTK_ACCESSIBLE_PROPERTY_LABEL, "Woman of 50");
  gtk_test_accessible_assert_property (
      good, GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
      "She is tender. Not tried yet Difficulty: being worked out");
  g_signal_emit_by_name (child (fixture->page, "cards"), "child-activated", good);
  tarn_library_page_set_mode (TARN_LIBRARY_PAGE (fixture->page), TARN_MODE_PRACTICE);
  g_signal_emit_by_name (child (fixture->page, "cards"), "child-activated", good);
  g_assert_cmpstr (heard->str, ==, "b:0 b:1 ");

  tarn_patient_item_note_attempt (list_item (fixture->list, 1), "Clipped", 40);
  g_assert_cmpstr (text_of (good, "result"), ==, "1 attempt: Clipped. Best score 40 of 100.");
  g_assert_true (gtk_widget_grab_focus (fixture->page));
  g_assert_true (gtk_window_get_focus (GTK_WINDOW (fixture->window)) == broken);
}

static void
search_for (Fixture *fixture, const char *text)
{
  GtkWidget *search = child (fixture->page, "search");
  gtk_editable_set_text (GTK_EDITABLE (search), text);
  g_signal_emit_by_name (search, "search-changed");
}

static const char *
stack_page (Fixture *fixture)
{
  return gtk_stack_get_visible_child_name (GTK_STACK (child (fixture->page, "stack")));
}

static void
test_library_search (Fixture *fixture, gconstpointer data)
{
  (void)data;
  class_folder_add (fixture->folder, "a", "Niña de 6 años", "");
  class_folder_add (fixture->folder, "b", "Man of 70",
                    "scenario=He dribbles.\nobjective=Find it.\n");
  show_library (fixture);
  for (int k = 0; k < 2; k++)
    {
      search_for (fixture, k == 0 ? "dribbles" : "find it");
      g_assert_cmpstr (text_of (GTK_WIDGET (card (fixture, 0)), "title"), ==, "Man of 70");
      g_assert_null (card (fixture, 1));
    }
  search_for (fixture, "  NINA ");
  g_assert_nonnull (card (fixture, 0));
  g_assert_null (card (fixture, 1));
  g_assert_cmpstr (text_of (GTK_WIDGET (card (fixture, 0)), "title"), ==, "Niña de 6 años");
  search_for (fixture, "nobody");
  g_assert_cmpstr (stack_page (fixture), ==, "no-match");
  g_assert_nonnull (strstr (text_of (fixture->page, "no_match_text"), "nobody"));
  gtk_widget_activate_action (fixture->page, "library.clear-search", NULL);
  g_assert_cmpstr (stack_page (fixture), ==, "patients");
  g_assert_nonnull (card (fixture, 1));
  gtk_widget_activate_action (fixture->page, "library.search", NULL);
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (fixture->window));
  g_assert_true (gtk_widget_is_ancestor (focus, child (fixture->page, "search")));
}

/* The first-time text and its button; then a folder is chosen, and has patients. */
static void
test_library_empty (Fixture *fixture, gconstpointer data)
{
  (void)data;
  char *class_folder = class_folder_new ();
  class_folder_add (class_folder, "c", "Of the class", "");
  show_library (fixture);
  g_assert_cmpstr (stack_page (fixture), ==, "empty");
  g_assert_true (gtk_widget_grab_focus (fixture->page));
  g_assert_true (gtk_window_get_focus (GTK_WINDOW (fixture->window))
                 == child (fixture->page, "open_folder"));
  g_object_set (fixture->settings, "class-folder", class_folder, NULL);
  list_wait_for (fixture->list, 1);
  g_assert_cmpstr (stack_page (fixture), ==, "patients");
  g_object_set (fixture->settings, "class-folder", "/no/such/folder", NULL);
  list_wait_for (fixture->list, 0);
  g_assert_true (gtk_widget_get_visible (child (fixture->page, "notice")));
  g_assert_nonnull (strstr (text_of (fixture->page, "notice"), "/no/such/folder"));
  class_folder_remove (class_folder);
}

/* ---- The keyboard itself ---- */

/* Presses keys as a person would, by xdotool; waits until @until holds. */
static void
press (Fixture *fixture, const char *keys, gboolean (*until) (Fixture *, gpointer),
       gpointer data)
{
  g_autoptr (GError) error = NULL;
  g_auto (GStrv) argv = NULL;
  g_autofree char *command = g_strconcat ("xdotool key --clearmodifiers ", keys, NULL);
  g_shell_parse_argv (command, NULL, &argv, NULL);
  g_spawn_async (NULL, argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  for (int i = 0; i < 1000 && !until (fixture, data); i++)
    {
      spin ();
      g_usleep (10000);
    }
  if (!until (fixture, data))
    g_test_message ("%s had no effect", keys);
  g_assert_true (until (fixture, data));
}

static gboolean
has_focus (Fixture *fixture, gpointer widget)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (fixture->window));
  return focus != NULL && (focus == widget || gtk_widget_is_ancestor (focus, widget));
}

static gboolean
is_active (Fixture *fixture, gpointer data)
{
  (void)data;
  return gtk_window_is_active (GTK_WINDOW (fixture->window));
}

static gboolean
has_heard (Fixture *fixture, gpointer heard)
{
  (void)fixture;
  return ((GString *)heard)->len > 0;
}

/* Without a window manager nobody gives our window the keys. */
static void
take_keys (Fixture *fixture)
{
  gtk_window_set_title (GTK_WINDOW (fixture->window), "pages-under-test");
  const char *argv[] = { "xdotool",       "search",           "--sync",      "--name",
                         "--onlyvisible", "pages-under-test", "windowfocus", NULL };
  g_autoptr (GError) error = NULL;
  g_spawn_async (NULL, (char **)argv, NULL, G_SPAWN_SEARCH_PATH | G_SPAWN_STDOUT_TO_DEV_NULL,
                 NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  for (int i = 0; i < 1000 && !is_active (fixture, NULL); i++)
    {
      spin ();
      g_usleep (10000);
    }
  g_assert_true (is_active (fixture, NULL));
}

static void
test_library_keyboard (Fixture *fixture, gconstpointer data)
{
  (void)data;
  g_autoptr (GString) heard = g_string_new (NULL);
  class_folder_add (fixture->folder, "a", "First", "");
  class_folder_add (fixture->folder, "b", "Second", "");
  show_library (fixture);
  g_signal_connect (fixture->page, "patient-chosen", G_CALLBACK (on_chosen), heard);
  take_keys (fixture);
  gtk_widget_grab_focus (fixture->page);
  g_assert_true (has_focus (fixture, card (fixture, 0)));
  press (fixture, "Right", has_focus, card (fixture, 1));
  press (fixture, "ctrl+f", has_focus, child (fixture->page, "search"));
  press (fixture, "Escape", has_focus, card (fixture, 0));
  press (fixture, "Right", has_focus, card (fixture, 1));
  press (fixture, "Return", has_heard, heard);
  g_assert_cmpstr (heard->str, ==, "b:0 ");
}

/* ---- Preferences, style, dialogs ---- */

static void
test_preferences (Fixture *fixture, gconstpointer data)
{
  (void)data;
  GtkWidget *window
      = tarn_preferences_new_for (fixture->settings, GTK_WINDOW (fixture->window));
  gpointer weak = window;
  g_object_add_weak_pointer (G_OBJECT (window), &weak);
  gtk_window_present (GTK_WINDOW (window));
  gtk_test_widget_wait_for_draw (window);
  const struct
  {
    const char *id, *key;
  } choices[] = { { "theme", "theme" },
                  { "handedness", "handedness" },
                  { "volume_unit", "volume-unit" },
                  { "length_unit", "length-unit" } };
  for (gsize i = 0; i < G_N_ELEMENTS (choices); i++)
    {
      guint kept = 0;
      gtk_drop_down_set_selected (GTK_DROP_DOWN (child (window, choices[i].id)), 1);
      g_object_get (fixture->settings, choices[i].key, &kept, NULL);
      g_assert_cmpuint (kept, ==, 1);
    }
  gtk_switch_set_active (GTK_SWITCH (child (window, "reduce_motion")), TRUE);
  g_assert_true (tarn_settings_reduce_motion (fixture->settings));
  g_object_set (fixture->settings, "class-folder", "/class", NULL);
  g_assert_cmpstr (text_of (window, "folder"), ==, "/class");
  gtk_widget_activate_action (window, "preferences.forget-folder", NULL);
  g_assert_cmpstr (tarn_settings_class_folder (fixture->settings), ==, "");
  g_assert_false (gtk_widget_get_visible (child (window, "forget")));
  gtk_widget_activate_action (window, "window.close", NULL);
  for (int i = 0; i < 200 && weak != NULL; i++)
    {
      spin ();
      g_usleep (10000);
    }
  g_assert_null (weak);
}

static void
test_style (Fixture *fixture, gconstpointer data)
{
  (void)data;
  gtk_window_present (GTK_WINDOW (fixture->window));
  g_assert_true (gtk_widget_has_css_class (fixture->window, "tarn"));
  g_assert_false (tarn_style_is_dark ());
  g_assert_true (tarn_style_moves ());
  g_object_set (fixture->settings, "theme", TARN_THEME_DARK, "reduce-motion", TRUE, NULL);
  spin ();
  g_assert_true (tarn_style_is_dark ());
  g_assert_true (gtk_widget_has_css_class (fixture->window, "dark"));
  g_assert_false (tarn_style_moves ());
  g_object_set (fixture->settings, "theme", TARN_THEME_LIGHT, "reduce-motion", FALSE, NULL);
  spin ();
  g_assert_false (gtk_widget_has_css_class (fixture->window, "dark"));
  g_assert_true (tarn_style_moves ());
}

static void
test_shortcuts_and_about (Fixture *fixture, gconstpointer data)
{
  (void)data;
  gtk_window_present (GTK_WINDOW (fixture->window));
  GtkWidget *shortcuts = tarn_shortcuts_new (GTK_WINDOW (fixture->window));
  gtk_window_present (GTK_WINDOW (shortcuts));
  gtk_test_widget_wait_for_draw (shortcuts);
  gtk_window_destroy (GTK_WINDOW (shortcuts));

  tarn_about_show (GTK_WINDOW (fixture->window));
  GListModel *windows = gtk_window_get_toplevels ();
  GtkWidget *about = NULL;
  for (guint i = 0; i < g_list_model_get_n_items (windows); i++)
    {
      g_autoptr (GtkWidget) window = g_list_model_get_item (windows, i);
      if (GTK_IS_ABOUT_DIALOG (window))
        about = window;
    }
  g_assert_nonnull (about);
  gtk_test_widget_wait_for_draw (about);
  const char *comments = gtk_about_dialog_get_comments (GTK_ABOUT_DIALOG (about));
  g_assert_nonnull (strstr (comments, tarn_cautions_text ()));
  g_assert_true (gtk_icon_theme_has_icon (
      gtk_icon_theme_get_for_display (gdk_display_get_default ()), "org.tarn.Tarn"));
  gtk_window_destroy (GTK_WINDOW (about));
}

/* ---- Sizes ---- */

/* What can be pressed is large enough, at the least size that the page can have. */
static void
assert_targets (GtkWidget *widget)
{
  if (!gtk_widget_get_visible (widget))
    return;
  if (GTK_IS_BUTTON (widget) || GTK_IS_DROP_DOWN (widget) || GTK_IS_SWITCH (widget))
    for (int orientation = 0; orientation < 2; orientation++)
      {
        int least = 0;
        gtk_widget_measure (widget, (GtkOrientation)orientation, -1, &least, NULL, NULL, NULL);
        g_assert_cmpint (least, >=, TARGET_PX);
      }
  for (GtkWidget *each = gtk_widget_get_first_child (widget); each != NULL;
       each = gtk_widget_get_next_sibling (each))
    assert_targets (each);
}

static void
assert_fits (GtkWidget *page, int width, int height)
{
  int least_width = 0, least_height = 0;
  gtk_widget_measure (page, GTK_ORIENTATION_HORIZONTAL, -1, &least_width, NULL, NULL, NULL);
  g_assert_cmpint (least_width, <=, width);
  gtk_widget_measure (page, GTK_ORIENTATION_VERTICAL, width, &least_height, NULL, NULL, NULL);
  g_assert_cmpint (least_height, <=, height);
}

/* All pages at text half as large again fit the smallest window, less its header bar; also run
 * with texts that are longer (pseudo.py). */
static void
test_fits (Fixture *fixture, gconstpointer data)
{
  (void)data;
  class_folder_add (fixture->folder, "a", "A", "objective=Look.\n");
  show_library (fixture);
  g_autoptr (TarnPatientItem) item = g_object_ref (list_item (fixture->list, 0));
  g_autoptr (GtkWidget) cautions
      = g_object_ref_sink (tarn_cautions_page_new (fixture->settings));
  g_autoptr (GtkWidget) briefing = g_object_ref_sink (tarn_briefing_page_new ());
  tarn_briefing_page_show (TARN_BRIEFING_PAGE (briefing), item, TARN_MODE_GUIDED);
  GtkWidget *preferences = tarn_preferences_new_for (fixture->settings, NULL);
  gboolean pseudo = g_strcmp0 (g_getenv ("LANGUAGE"), "qq") == 0;
  g_assert_cmpint (g_utf8_strchr (tarn_cautions_text (), -1, 0x27e6) != NULL, ==, pseudo);

  GtkWidget *stack = gtk_stack_new ();
  g_object_ref (fixture->page);
  gtk_window_set_child (GTK_WINDOW (fixture->window), NULL);
  GtkWidget *pages[] = { fixture->page, cautions, briefing };
  for (gsize i = 0; i < G_N_ELEMENTS (pages); i++)
    gtk_stack_add_child (GTK_STACK (stack), pages[i]);
  g_object_unref (fixture->page);
  gtk_window_set_child (GTK_WINDOW (fixture->window), stack);
  for (int dpi = 96; dpi <= 144; dpi += 48)
    {
      g_object_set (gtk_settings_get_default (), "gtk-xft-dpi", dpi * 1024, NULL);
      gtk_test_widget_wait_for_draw (fixture->window);
      for (gsize i = 0; i < G_N_ELEMENTS (pages); i++)
        {
          assert_fits (pages[i], 1280, 750);
          assert_targets (pages[i]);
        }
      assert_fits (preferences, 1280, 800);
      assert_targets (preferences);
    }
  g_object_set (gtk_settings_get_default (), "gtk-xft-dpi", 96 * 1024, NULL);
  gtk_window_destroy (GTK_WINDOW (preferences));
}

int
main (int argc, char **argv)
{
  const char *words = g_getenv ("TARN_LOCALE_DIR");
  gtk_test_init (&argc, &argv, NULL);
  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, words != NULL ? words : TARN_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  /* What GtkApplication does for the program. */
  gtk_icon_theme_add_resource_path (gtk_icon_theme_get_for_display (gdk_display_get_default ()),
                                    "/org/tarn/Tarn/icons");
  tarn_style_start (tarn_settings ());
#define ADD(path, test) g_test_add (path, Fixture, NULL, set_up, test, tear_down)
  ADD ("/pages/cautions", test_cautions);
  ADD ("/pages/cautions-unkept", test_cautions_unkept);
  ADD ("/pages/briefing", test_briefing);
  ADD ("/pages/library", test_library);
  ADD ("/pages/library-search", test_library_search);
  ADD ("/pages/library-empty", test_library_empty);
  ADD ("/pages/library-keyboard", test_library_keyboard);
  ADD ("/pages/preferences", test_preferences);
  ADD ("/pages/style", test_style);
  ADD ("/pages/shortcuts-and-about", test_shortcuts_and_about);
  ADD ("/pages/fits", test_fits);
  return g_test_run ();
}
