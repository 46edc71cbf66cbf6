/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The patient editor on a screen: every field of the list has its control, edits go to the body
 * and back, structures move by keys, problems lead to their fields, nothing is lost by opening,
 * and the draft goes to the bedside and back. */
#include "wait.h"

#include "app/editor_field.h"
#include "app/editor_map_window.h"
#include "app/editor_page_private.h"
#include "app/editor_section.h"
#include "app/editor_slider.h"
#include "app/editor_starts.h"
#include "app/editor_views.h"
#include "app/settings.h"
#include "app/style.h"
#include "app/window_editor.h"

#include <glib/gstdio.h>
#include <string.h>

#define TARGET_PX 24 /* WCAG 2.2, criterion 2.5.8 */

/* A window with the editor in it, and a folder of its own. */
typedef struct
{
  GtkWidget *window;
  TarnEditorPage *page;
  TarnEditorDraft *draft;
  TarnPatientList *patients;
  char *folder;
} Room;

static void
open_page (Room *room)
{
  room->window = gtk_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (room->window), 1280, 750);
  tarn_style_adopt (GTK_WINDOW (room->window));
  room->page = TARN_EDITOR_PAGE (
      tarn_editor_page_new (room->patients, tarn_settings (), room->folder));
  room->draft = tarn_editor_page_draft (room->page);
  tarn_editor_page_set_surveying (room->page, FALSE);
  gtk_window_set_child (GTK_WINDOW (room->window), GTK_WIDGET (room->page));
  gtk_window_present (GTK_WINDOW (room->window));
  gtk_test_widget_wait_for_draw (room->window);
}

static void
close_page (Room *room)
{
  GtkWidget *page = GTK_WIDGET (room->page);
  g_object_add_weak_pointer (G_OBJECT (page), (gpointer *)&page);
  gtk_window_destroy (GTK_WINDOW (room->window));
  WAIT (page == NULL);
}

static void
set_up (Room *room, gconstpointer data)
{
  (void)data;
  room->folder = g_dir_make_tmp ("tarn-editor-XXXXXX", NULL);
  room->patients = tarn_patient_list_new (NULL);
  open_page (room);
}

static void
tear_down (Room *room, gconstpointer data)
{
  (void)data;
  close_page (room);
  g_object_unref (room->patients);
  g_autoptr (GDir) folder = g_dir_open (room->folder, 0, NULL);
  for (const char *name; (name = g_dir_read_name (folder)) != NULL;)
    {
      g_autofree char *path = g_build_filename (room->folder, name, NULL);
      g_assert_cmpint (g_unlink (path), ==, 0);
    }
  g_assert_cmpint (g_rmdir (room->folder), ==, 0);
  g_free (room->folder);
}

/* The first of @type below @root, in the order of drawing, after @skip others. */
static GtkWidget *
find (GtkWidget *root, GType type, int *skip)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (root, type) && (*skip)-- == 0)
    return root;
  for (GtkWidget *each = gtk_widget_get_first_child (root); each != NULL;
       each = gtk_widget_get_next_sibling (each))
    {
      GtkWidget *found = find (each, type, skip);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static GtkWidget *
nth (Room *room, GType type, int index)
{
  GtkWidget *found = find (GTK_WIDGET (room->page), type, &index);
  g_assert_nonnull (found);
  return found;
}

/* The row of a field that is shown now. */
static GtkWidget *
row_of (Room *room, TarnFieldGroup group, const char *key)
{
  const TarnField *field = tarn_field_find (group, key);
  for (int k = 0;; k++)
    {
      GtkWidget *row = nth (room, TARN_TYPE_EDITOR_FIELD, k);
      if (tarn_editor_field_field (TARN_EDITOR_FIELD (row)) == field)
        return row;
    }
}

/* A part of the patient by the word on its button. */
static void
show_part (Room *room, const char *word)
{
  for (int k = 0;; k++)
    {
      GtkWidget *button = nth (room, GTK_TYPE_TOGGLE_BUTTON, k);
      int skip = 0;
      GtkWidget *label = find (button, GTK_TYPE_LABEL, &skip);
      if (label == NULL || strcmp (gtk_label_get_text (GTK_LABEL (label)), word) != 0)
        continue;
      if (!gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (button)))
        gtk_widget_activate (button);
      WAIT (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (button)));
      return;
    }
}

static const TarnPatient *
patient (Room *room)
{
  return tarn_editor_draft_patient (room->draft);
}

static void
act (Room *room, const char *action)
{
  g_assert_true (gtk_widget_activate_action (GTK_WIDGET (room->page), action, NULL));
}

static TarnEditorShot *
shot_of (Room *room)
{
  return tarn_editor_views_shot (TARN_EDITOR_VIEWS (nth (room, TARN_TYPE_EDITOR_VIEWS, 0)));
}

/* Whether what is shown is of the draft as it stands. */
static gboolean
is_current (Room *room)
{
  TarnEditorShot *shot = shot_of (room);
  return shot != NULL && shot->wish.state == tarn_editor_draft_state (room->draft)
         && (shot->body == NULL || shot->section[0] != NULL);
}

/* ---- Fields ---- */

static void
assert_named (GtkWidget *widget)
{
  bool control = GTK_IS_RANGE (widget) || GTK_IS_SPIN_BUTTON (widget)
                 || GTK_IS_DROP_DOWN (widget) || GTK_IS_SWITCH (widget)
                 || GTK_IS_TEXT_VIEW (widget) || TARN_IS_EDITOR_SECTION (widget)
                 || (GTK_IS_ENTRY (widget) && !GTK_IS_SPIN_BUTTON (widget));
  if (!gtk_widget_get_visible (widget))
    return;
  if (control && !GTK_IS_SCROLLBAR (gtk_widget_get_parent (widget)))
    g_assert_true (gtk_test_accessible_has_property (GTK_ACCESSIBLE (widget),
                                                     GTK_ACCESSIBLE_PROPERTY_LABEL));
  if (GTK_IS_BUTTON (widget) || GTK_IS_DROP_DOWN (widget) || GTK_IS_SWITCH (widget)
      || GTK_IS_SPIN_BUTTON (widget))
    for (int orientation = 0; orientation < 2; orientation++)
      {
        int least = 0;
        gtk_widget_measure (widget, (GtkOrientation)orientation, -1, &least, NULL, NULL, NULL);
        g_assert_cmpint (least, >=, TARGET_PX);
      }
  for (GtkWidget *each = gtk_widget_get_first_child (widget); each != NULL;
       each = gtk_widget_get_next_sibling (each))
    assert_named (each);
}

/* Every field of the list is in the editor, each control has a name and is large enough. */
static void
test_fields (Room *room, gconstpointer data)
{
  static const char *const part[]
      = { "Title and story", "Build",     "Symphysis", "Bladder",   "1. Cyst", "Behaviour",
          "Situation",       "Variation", "Probe",     "Pass rule", "Texts",   "Test pose" };
  int rows = 0, wanted = 0;
  gboolean quick = g_getenv ("TARN_TEST_QUICK") != NULL;
  (void)data;
  tarn_editor_draft_add_structure (room->draft, TARN_STRUCTURE_CYST, tarn_vec3 (0, 60, 150),
                                   tarn_vec3 (20, 20, 20));
  for (gsize k = 0; k < G_N_ELEMENTS (part); k++)
    {
      show_part (room, part[k]);
      if (!quick || k % 4 == 1)
        assert_named (GTK_WIDGET (room->page));
      if (strcmp (part[k], "Test pose") == 0)
        continue;
      for (int n = 0;; n++)
        {
          int skip = n;
          if (find (GTK_WIDGET (room->page), TARN_TYPE_EDITOR_FIELD, &skip) == NULL)
            break;
          rows++;
        }
    }
  for (int k = 0; k < tarn_field_count (); k++)
    wanted += tarn_field_at (k)->words > 0 || tarn_field_at (k)->low != tarn_field_at (k)->high
              || tarn_field_is_text (tarn_field_at (k));
  g_assert_cmpint (rows, ==, wanted);
}

/* What is set in a control is in the draft, in its body and its picture; undo takes it back. */
static void
test_edit (Room *room, gconstpointer data)
{
  (void)data;
  show_part (room, "Bladder");
  GtkWidget *row = row_of (room, TARN_GROUP_BLADDER, "volume-ml");
  int skip = 0;
  GtkWidget *entry = find (row, GTK_TYPE_SPIN_BUTTON, &skip);
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (entry), 412);
  g_assert_cmpfloat (patient (room)->bladder.volume_ml, ==, 412);
  WAIT (is_current (room));
  g_assert_cmpfloat_with_epsilon (shot_of (room)->true_ml, 412, 0.412);
  g_assert_nonnull (shot_of (room)->plane);
  act (room, "editor.undo");
  g_assert_cmpfloat (patient (room)->bladder.volume_ml, ==, 300);
  g_assert_cmpfloat (gtk_spin_button_get_value (GTK_SPIN_BUTTON (entry)), ==, 300);
  act (room, "editor.redo");
  WAIT (is_current (room));
  g_assert_cmpfloat_with_epsilon (shot_of (room)->true_ml, 412, 0.412);

  /* A field that is stated can go back to its default. */
  row = row_of (room, TARN_GROUP_BLADDER, "pear");
  g_assert_true (gtk_widget_has_css_class (row, "tarn-at-default"));
  skip = 0;
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (find (row, GTK_TYPE_SPIN_BUTTON, &skip)), 0.6);
  g_assert_cmpfloat (patient (room)->bladder.pear, ==, 0.6);
  g_assert_false (gtk_widget_has_css_class (row, "tarn-at-default"));
  gtk_widget_activate_action (row, "field.reset", NULL);
  g_assert_cmpfloat (patient (room)->bladder.pear, ==, 0.2);
  g_assert_true (gtk_widget_has_css_class (row, "tarn-at-default"));
}

/* A number with more digits than are shown stays as the file has it. */
static void
test_digits (Room *room, gconstpointer data)
{
  const TarnField *fat = tarn_field_find (TARN_GROUP_HABITUS, "fat-mm");
  (void)data;
  tarn_editor_draft_set_number (room->draft, fat, -1, 0, 18.123456789);
  guint64 state = tarn_editor_draft_state (room->draft);
  show_part (room, "Build");
  GtkWidget *row = row_of (room, TARN_GROUP_HABITUS, "fat-mm");
  int skip = 0;
  gtk_spin_button_update (GTK_SPIN_BUTTON (find (row, GTK_TYPE_SPIN_BUTTON, &skip)));
  g_assert_cmpuint (tarn_editor_draft_state (room->draft), ==, state);
  g_assert_cmpfloat (patient (room)->habitus.fat_mm, ==, 18.123456789);
}

/* ---- Structures ---- */

static gboolean
press (GtkWidget *widget, guint key, GdkModifierType state)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (widget);
  gboolean taken = FALSE;
  for (guint k = 0; k < g_list_model_get_n_items (controllers); k++)
    {
      g_autoptr (GtkEventController) each = g_list_model_get_item (controllers, k);
      if (GTK_IS_EVENT_CONTROLLER_KEY (each))
        g_signal_emit_by_name (each, "key-pressed", key, 0, state, &taken);
    }
  return taken;
}

static void
test_structures (Room *room, gconstpointer data)
{
  GtkWidget *sagittal = nth (room, TARN_TYPE_EDITOR_SECTION, TARN_SECTION_SAGITTAL);
  GtkWidget *coronal = nth (room, TARN_TYPE_EDITOR_SECTION, TARN_SECTION_CORONAL);
  (void)data;
  show_part (room, "Structures");
  GtkWidget *scroller = GTK_WIDGET (nth (room, GTK_TYPE_FLOW_BOX, 0));
  g_assert_true (
      gtk_widget_activate_action (scroller, "structure.add", "i", TARN_STRUCTURE_BOWEL_GAS));
  g_assert_cmpint (patient (room)->structures, ==, 1);
  show_part (room, "1. Bowel gas");
  WAIT (is_current (room));

  /* In the sagittal section the head is at the left and the back below; in the coronal one the
   * patient's left is at the right. */
  TarnVec3 before = patient (room)->structure[0].centre_mm;
  g_assert_true (press (sagittal, GDK_KEY_Left, 0));
  g_assert_true (press (sagittal, GDK_KEY_Down, GDK_SHIFT_MASK));
  g_assert_true (press (coronal, GDK_KEY_Right, 0));
  TarnVec3 after = patient (room)->structure[0].centre_mm;
  g_assert_cmpfloat (after.z - before.z, ==, 1);
  g_assert_cmpfloat (after.y - before.y, ==, 5);
  g_assert_cmpfloat (after.x - before.x, ==, 1);
  before = patient (room)->structure[0].radii_mm;
  g_assert_true (press (sagittal, GDK_KEY_Right, GDK_CONTROL_MASK));
  g_assert_true (press (sagittal, GDK_KEY_Up, GDK_CONTROL_MASK));
  after = patient (room)->structure[0].radii_mm;
  g_assert_cmpfloat (after.z - before.z, ==, 1);
  g_assert_cmpfloat (after.y - before.y, ==, 1);
  g_assert_cmpfloat (after.x, ==, before.x);

  int skip = 0;
  GtkWidget *row = find (GTK_WIDGET (room->page), TARN_TYPE_EDITOR_FIELD, &skip);
  g_assert_true (gtk_widget_activate_action (row, "structure.duplicate", NULL));
  g_assert_cmpint (patient (room)->structures, ==, 2);
  show_part (room, "2. Bowel gas");
  skip = 0;
  row = find (GTK_WIDGET (room->page), TARN_TYPE_EDITOR_FIELD, &skip);
  g_assert_true (gtk_widget_activate_action (row, "structure.remove", NULL));
  g_assert_cmpint (patient (room)->structures, ==, 1);
  act (room, "editor.undo");
  g_assert_cmpint (patient (room)->structures, ==, 2);
}

/* ---- Problems ---- */

static void
test_problems (Room *room, gconstpointer data)
{
  const TarnField *catheter = tarn_field_find (TARN_GROUP_PASS, "must-not-miss");
  const TarnField *title = tarn_field_find (TARN_GROUP_ANATOMY, "title");
  (void)data;
  WAIT (is_current (room));
  tarn_editor_draft_set_number (room->draft, catheter, -1, 0,
                                TARN_MISS_BLOCKED_CATHETER_MISSED);
  tarn_editor_draft_set_text (room->draft, title, "", "");
  /* The first leads to its field. */
  act (room, "editor.problem");
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (room->window));
  g_assert_nonnull (focus);
  g_assert_true (gtk_widget_is_ancestor (focus, row_of (room, TARN_GROUP_ANATOMY, "title")));
  tarn_editor_draft_undo (room->draft);
  tarn_editor_draft_undo (room->draft);

  /* What only the body knows: and the last good pictures stand. */
  tarn_editor_draft_set_number (room->draft, tarn_field_find (TARN_GROUP_BLADDER, "height-mm"),
                                -1, 0, 400);
  WAIT (is_current (room));
  g_assert_null (shot_of (room)->body);
  g_assert_cmpstr (shot_of (room)->problem.key, ==, "[Bladder] volume-ml");
  act (room, "editor.problem");
  focus = gtk_window_get_focus (GTK_WINDOW (room->window));
  g_assert_true (
      gtk_widget_is_ancestor (focus, row_of (room, TARN_GROUP_BLADDER, "volume-ml")));
}

/* ---- The acoustic window ---- */

static gboolean
says (GtkWidget *root, const char *words)
{
  if (GTK_IS_LABEL (root) && strstr (gtk_label_get_text (GTK_LABEL (root)), words) != NULL)
    return TRUE;
  for (GtkWidget *each = gtk_widget_get_first_child (root); each != NULL;
       each = gtk_widget_get_next_sibling (each))
    if (says (each, words))
      return TRUE;
  return FALSE;
}

static TarnEditorMapWindow *
map_window (void)
{
  GListModel *windows = gtk_window_get_toplevels ();
  for (guint k = 0; k < g_list_model_get_n_items (windows); k++)
    {
      g_autoptr (GtkWidget) each = g_list_model_get_item (windows, k);
      if (TARN_IS_EDITOR_MAP_WINDOW (each))
        return TARN_EDITOR_MAP_WINDOW (each);
    }
  return NULL;
}

/* From the best pose a cell towards the feet and one to the right; Home leads back. */
static void
walk_the_map (Room *room, TarnEditorViews *views)
{
  TarnPose best = *tarn_editor_views_pose (views);
  g_assert_null (map_window ());
  act (room, "editor.map");
  TarnEditorMapWindow *window = map_window ();
  int skip = 0;
  GtkWidget *map = find (GTK_WIDGET (window), GTK_TYPE_DRAWING_AREA, &skip);
  g_assert_nonnull (map);
  g_assert_true (press (map, GDK_KEY_Down, 0));
  g_assert_true (press (map, GDK_KEY_Left, 0));
  const TarnPose *pose = tarn_editor_views_pose (views);
  g_assert_cmpfloat (pose->above_mm, <, best.above_mm);
  g_assert_cmpfloat (pose->left_mm, <, best.left_mm);
  g_assert_cmpfloat (pose->tilt_rad, ==, best.tilt_rad);
  for (int k = 0; k < 20; k++) /* no further than the map */
    g_assert_true (press (map, GDK_KEY_Page_Down, 0));
  g_assert_cmpfloat (tarn_editor_views_pose (views)->tilt_rad, <, 1.1);
  g_assert_true (press (map, GDK_KEY_Home, 0));
  pose = tarn_editor_views_pose (views);
  g_assert_cmpfloat (pose->above_mm, ==, best.above_mm);
  g_assert_cmpfloat (pose->left_mm, ==, best.left_mm);
  g_assert_cmpfloat (pose->tilt_rad, ==, best.tilt_rad);
  gtk_window_destroy (GTK_WINDOW (window));
  act (room, "editor.map");
  g_assert_nonnull (map_window ());
  gtk_window_destroy (GTK_WINDOW (map_window ()));
}

/* It is there without asking, and its best pose is a key away. */
static void
test_window (Room *room, gconstpointer data)
{
  TarnEditorViews *views = TARN_EDITOR_VIEWS (nth (room, TARN_TYPE_EDITOR_VIEWS, 0));
  TarnPose before = *tarn_editor_views_pose (views);
  (void)data;
  tarn_editor_draft_set_number (room->draft, tarn_field_find (TARN_GROUP_PROBE, "planes"), -1,
                                0, 24);
  g_assert_false (says (GTK_WIDGET (room->page), "Difficulty "));
  tarn_editor_page_set_surveying (room->page, TRUE);
  WAIT (says (GTK_WIDGET (room->page), "Difficulty "));
  /* Texts make no other window; numbers do. */
  tarn_editor_draft_set_text (room->draft, tarn_field_find (TARN_GROUP_ANATOMY, "author"), "",
                              "A. N. Other");
  g_autoptr (TarnEditorSurvey) known = tarn_editor_page_survey (room->page);
  g_assert_nonnull (known);
  tarn_editor_page_set_surveying (room->page, FALSE);
  tarn_editor_draft_set_number (room->draft, tarn_field_find (TARN_GROUP_PROBE, "planes"), -1,
                                0, 26);
  g_assert_null (tarn_editor_page_survey (room->page));
  tarn_editor_draft_undo (room->draft);
  act (room, "editor.best");
  const TarnPose *after = tarn_editor_views_pose (views);
  g_assert_true (after->above_mm != before.above_mm || after->tilt_rad != before.tilt_rad
                 || after->force_n != before.force_n);
  walk_the_map (room, views);
}

/* ---- Files ---- */

/* With changes that are not saved, opening asks first. */
static void
test_unsaved (Room *room, gconstpointer data)
{
  g_autofree char *path
      = g_build_filename (g_getenv ("TARN_ANATOMIES"), "07-very-full.anatomy", NULL);
  (void)data;
  tarn_editor_draft_set_number (room->draft, tarn_field_find (TARN_GROUP_HABITUS, "fat-mm"), -1,
                                0, 33);
  tarn_editor_page_open (room->page, path);
  g_assert_cmpstr (patient (room)->id, ==, "new-patient");
  g_assert_true (
      gtk_widget_activate_action (GTK_WIDGET (room->page), "editor.answer", "b", FALSE));
  g_assert_cmpstr (patient (room)->id, ==, "new-patient");
  tarn_editor_page_open (room->page, path);
  g_assert_true (
      gtk_widget_activate_action (GTK_WIDGET (room->page), "editor.answer", "b", TRUE));
  g_assert_cmpstr (patient (room)->id, !=, "new-patient");
  /* Now nothing would be lost. */
  g_assert_true (
      gtk_widget_activate_action (GTK_WIDGET (room->page), "editor.start", "s", "infant"));
  g_assert_cmpfloat (patient (room)->habitus.age_years, ==, 0.75);
  g_assert_true (
      gtk_widget_activate_action (GTK_WIDGET (room->page), "editor.start-from", "s", path));
  g_assert_true (g_str_has_suffix (patient (room)->id, "-copy"));
}

/* ---- The window around it ---- */

static void
test_trial (void)
{
  TarnApplication *application = TARN_APPLICATION (g_application_get_default ());
  TarnWindow *window = tarn_window_new (application);
  gtk_window_present (GTK_WINDOW (window));
  gtk_test_widget_wait_for_draw (GTK_WIDGET (window));
  g_assert_true (gtk_widget_activate_action (GTK_WIDGET (window), "window.editor", NULL));
  g_assert_cmpstr (tarn_window_page (window), ==, "editor");
  TarnEditorPage *page = tarn_window_editor_page (window);
  const TarnField *title = tarn_field_find (TARN_GROUP_ANATOMY, "title");
  tarn_editor_page_set_surveying (page, FALSE);
  tarn_editor_draft_set_text (tarn_editor_page_draft (page), title, "", "My own patient");
  g_assert_cmpstr (gtk_window_get_title (GTK_WINDOW (window)), ==, "My own patient");
  for (int round = g_getenv ("TARN_TEST_QUICK") != NULL; round < 2; round++)
    {
      g_assert_true (gtk_widget_activate_action (GTK_WIDGET (page), "editor.try", NULL));
      g_assert_cmpstr (tarn_window_page (window), ==, "bedside");
      g_assert_cmpfloat (tarn_run_patient (tarn_window_run (window))->bladder.volume_ml, ==,
                         300);
      gtk_widget_activate_action (GTK_WIDGET (window),
                                  round == 0 ? "window.try-draft" : "window.back", NULL);
      g_assert_cmpstr (tarn_window_page (window), ==, "editor");
    }
  /* What cannot be is not tried. */
  tarn_editor_draft_set_text (tarn_editor_page_draft (page), title, "", "");
  g_assert_true (gtk_widget_activate_action (GTK_WIDGET (page), "editor.try", NULL));
  g_assert_cmpstr (tarn_window_page (window), ==, "editor");
  g_assert_true (says (GTK_WIDGET (page), "Cannot be tried yet"));
  tarn_editor_draft_undo (tarn_editor_page_draft (page));
  gtk_widget_activate_action (GTK_WIDGET (window), "window.back", NULL);
  g_assert_cmpstr (tarn_window_page (window), ==, "library");

  /* The patient whose briefing is open comes into the editor, once nothing is lost by it. */
  tarn_editor_draft_note_saved (tarn_editor_page_draft (page));
  g_autofree char *path
      = g_build_filename (g_getenv ("TARN_ANATOMIES"), "01-plain-adult.anatomy", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  tarn_window_open_file (window, file);
  g_assert_cmpstr (tarn_window_page (window), ==, "briefing");
  gtk_widget_activate_action (GTK_WIDGET (window), "window.edit-patient", NULL);
  g_assert_cmpstr (tarn_window_page (window), ==, "editor");
  g_assert_cmpstr (tarn_editor_draft_patient (tarn_editor_page_draft (page))->id, ==,
                   "plain-adult");

  /* In an attempt it would tell the answer. */
  g_assert_true (tarn_window_begin (window, file, TARN_MODE_PRACTICE, 3));
  gtk_widget_activate_action (GTK_WIDGET (window), "window.edit-patient", NULL);
  g_assert_cmpstr (tarn_window_page (window), ==, "bedside");
  gtk_widget_activate_action (GTK_WIDGET (window), "window.editor", NULL);
  g_assert_cmpstr (tarn_window_page (window), ==, "bedside");
  gtk_window_destroy (GTK_WINDOW (window));
}

/* At text half as large again it fits the smallest window, less its header bar. */
static void
test_fits (Room *room, gconstpointer data)
{
  (void)data;
  tarn_editor_draft_add_structure (room->draft, TARN_STRUCTURE_CYST, tarn_vec3 (0, 60, 150),
                                   tarn_vec3 (20, 20, 20));
  for (int dpi = 96; dpi <= 144; dpi += 48)
    {
      int least = 0;
      g_object_set (gtk_settings_get_default (), "gtk-xft-dpi", dpi * 1024, NULL);
      gtk_test_widget_wait_for_draw (room->window);
      gtk_widget_measure (GTK_WIDGET (room->page), GTK_ORIENTATION_HORIZONTAL, -1, &least, NULL,
                          NULL, NULL);
      g_assert_cmpint (least, <=, 1280);
      gtk_widget_measure (GTK_WIDGET (room->page), GTK_ORIENTATION_VERTICAL, 1280, &least, NULL,
                          NULL, NULL);
      g_assert_cmpint (least, <=, 750);
    }
  g_object_set (gtk_settings_get_default (), "gtk-xft-dpi", 96 * 1024, NULL);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  g_autoptr (TarnApplication) application = tarn_application_new (G_APPLICATION_NON_UNIQUE);
  g_assert_true (g_application_register (G_APPLICATION (application), NULL, NULL));
  g_application_set_default (G_APPLICATION (application));
  g_object_set (tarn_settings (), "cautions-accepted", TRUE, NULL);
#define IN_ROOM(name, function) g_test_add (name, Room, NULL, set_up, function, tear_down)
  IN_ROOM ("/editor/fields", test_fields);
  IN_ROOM ("/editor/edit", test_edit);
  IN_ROOM ("/editor/digits", test_digits);
  IN_ROOM ("/editor/structures", test_structures);
  IN_ROOM ("/editor/problems", test_problems);
  IN_ROOM ("/editor/window", test_window);
  IN_ROOM ("/editor/unsaved", test_unsaved);
  g_test_add_func ("/editor/trial", test_trial);
  IN_ROOM ("/editor/fits", test_fits);
#undef IN_ROOM
  return g_test_run ();
}
