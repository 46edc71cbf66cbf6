/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The page of readings and judgement, from plain readings: what is pressed goes out as inputs,
 * what has been said is shown, and the truth has to wait for a judgement. */
#include "judged_sample.h"

#include "app/fan_grid.h"
#include "app/judge_form.h"
#include "app/judge_page.h"
#include "app/style.h"

#include <gtk/gtk.h>
#include <string.h>

static const TarnUnits plain = { 0 };

typedef struct
{
  GtkWidget *window;
  TarnJudgePage *page;
  SampleFan *fan;
  TarnJudgeView view;
  GArray *inputs;
  int back, finished;
} Room;

static void
on_input (TarnJudgePage *page, gpointer input, Room *room)
{
  (void)page;
  g_array_append_vals (room->inputs, input, 1);
}

static void
count (int *times)
{
  (*times)++;
}

static void
room_init (Room *room, gboolean readings)
{
  *room = (Room){ .fan = sample_fan_new (),
                  .inputs = g_array_new (FALSE, FALSE, sizeof (TarnInput)),
                  .view = { .chosen = -1, .recorded = -1 } };
  room->window = gtk_window_new ();
  room->page = TARN_JUDGE_PAGE (tarn_judge_page_new ());
  gtk_window_set_default_size (GTK_WINDOW (room->window), 1280, 800);
  gtk_window_set_child (GTK_WINDOW (room->window), GTK_WIDGET (room->page));
  tarn_style_adopt (GTK_WINDOW (room->window));
  if (readings)
    {
      room->view.reading[0] = sample_sweep (room->fan, TARN_READING_MEASURE, 214, 48);
      room->view.reading[1] = sample_calipers (247, 130);
      room->view.reading[2] = sample_sweep (room->fan, TARN_READING_LOWER_BOUND, 640, 200);
      room->view.readings = 3;
      room->view.chosen = 0;
    }
  tarn_judge_page_show (room->page, &room->view, &plain);
  g_signal_connect (room->page, "input", G_CALLBACK (on_input), room);
  g_signal_connect_swapped (room->page, "back", G_CALLBACK (count), &room->back);
  g_signal_connect_swapped (room->page, "finished", G_CALLBACK (count), &room->finished);
  gtk_window_present (GTK_WINDOW (room->window));
  gtk_test_widget_wait_for_draw (room->window);
}

static void
room_clear (Room *room)
{
  const TarnJudgeView nothing = { .chosen = -1, .recorded = -1 };
  tarn_judge_page_show (room->page, &nothing, &plain);
  gtk_window_destroy (GTK_WINDOW (room->window));
  g_array_unref (room->inputs);
  sample_fan_free (room->fan);
}

/* The first descendant of @type whose texts include @text; NULL where there is none. */
static GtkWidget *
find (GtkWidget *from, GType type, const char *text)
{
  if (text == NULL
          ? g_type_is_a (G_OBJECT_TYPE (from), type)
          : GTK_IS_LABEL (from) && g_str_equal (gtk_label_get_text (GTK_LABEL (from)), text))
    return text == NULL || type == GTK_TYPE_LABEL ? from : gtk_widget_get_ancestor (from, type);
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find (child, type, text);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static const TarnInput *
last_input (Room *room)
{
  g_assert_cmpuint (room->inputs->len, >, 0);
  return &g_array_index (room->inputs, TarnInput, room->inputs->len - 1);
}

/* Without a reading, the page says what to do, and only what needs none can be said. */
static void
test_empty (void)
{
  Room room;
  room_init (&room, FALSE);
  GtkWidget *form = find (GTK_WIDGET (room.page), TARN_TYPE_JUDGE_FORM, NULL);
  g_assert_nonnull (find (GTK_WIDGET (room.page), GTK_TYPE_LABEL, "No reading yet"));
  g_assert_cmpint (gtk_widget_get_sensitive (find (form, GTK_TYPE_CHECK_BUTTON, "Use it")), ==,
                   FALSE);
  GtkWidget *stop = find (form, GTK_TYPE_CHECK_BUTTON, "Should not be scanned");
  g_assert_cmpint (gtk_widget_get_sensitive (stop), ==, TRUE);
  g_assert_cmpint (gtk_widget_activate_action (GTK_WIDGET (room.page), "judge.finish", NULL),
                   ==, TRUE);
  g_assert_cmpint (room.finished, ==, 0);

  gtk_check_button_set_active (GTK_CHECK_BUTTON (stop), TRUE);
  g_assert_cmpint (last_input (&room)->kind, ==, TARN_INPUT_JUDGE);
  g_assert_cmpint (last_input (&room)->code, ==, TARN_JUDGEMENT_NOT_TO_BE_SCANNED);
  g_assert_cmpint (last_input (&room)->reading, ==, -1);
  gtk_widget_activate_action (GTK_WIDGET (room.page), "judge.finish", NULL);
  g_assert_cmpint (room.finished, ==, 1);
  gtk_widget_activate_action (GTK_WIDGET (room.page), "judge.back", NULL);
  g_assert_cmpint (room.back, ==, 1);
  room_clear (&room);
}

/* Readings stand in the order in which they were made; the chosen one is judged. */
static void
test_judging (void)
{
  Room room;
  room_init (&room, TRUE);
  GtkWidget *page = GTK_WIDGET (room.page), *form = find (page, TARN_TYPE_JUDGE_FORM, NULL);
  g_assert_nonnull (find (page, GTK_TYPE_LABEL, "1 · Sweep at 0:48"));
  g_assert_nonnull (find (page, GTK_TYPE_LABEL, "2 · Calipers at 2:10"));
  g_assert_nonnull (find (page, GTK_TYPE_LABEL, "At least 640 mL"));
  g_assert_nonnull (find (page, GTK_TYPE_LABEL, "Your judgement of reading 1"));

  tarn_judge_page_choose (room.page, 2);
  gtk_check_button_set_active (
      GTK_CHECK_BUTTON (find (form, GTK_TYPE_CHECK_BUTTON, "Do not use it")), TRUE);
  g_assert_cmpint (last_input (&room)->code, ==, TARN_JUDGEMENT_DO_NOT_USE);
  g_assert_cmpint (last_input (&room)->cause, ==, TARN_VERDICT_NOT_ACCURATE);
  g_assert_cmpint (last_input (&room)->reading, ==, 2);

  GtkWidget *cause = find (form, GTK_TYPE_DROP_DOWN, NULL);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (cause), 0);
  g_assert_cmpint (last_input (&room)->cause, ==, TARN_VERDICT_CLIPPED);
  g_assert_nonnull (find (page, GTK_TYPE_LABEL, "Do not use it: clipped"));

  /* Looking at another reading says nothing about it. */
  guint said = room.inputs->len;
  tarn_judge_page_choose (room.page, 1);
  g_assert_cmpuint (room.inputs->len, ==, said);
  g_assert_cmpint (gtk_check_button_get_active (
                       GTK_CHECK_BUTTON (find (form, GTK_TYPE_CHECK_BUTTON, "Do not use it"))),
                   ==, FALSE);
  room_clear (&room);
}

/* The learner chooses which reading is written and how; nothing is written by itself. */
static void
test_note (void)
{
  Room room;
  room_init (&room, TRUE);
  GtkWidget *page = GTK_WIDGET (room.page), *form = find (page, TARN_TYPE_JUDGE_FORM, NULL);
  g_assert_nonnull (find (form, GTK_TYPE_LABEL, "Nothing is in the note yet."));
  gtk_check_button_set_active (
      GTK_CHECK_BUTTON (find (form, GTK_TYPE_CHECK_BUTTON, "At least 214 mL")), TRUE);
  g_assert_cmpint (last_input (&room)->kind, ==, TARN_INPUT_RECORD);
  g_assert_cmpint (last_input (&room)->code, ==, TARN_RECORD_AT_LEAST);
  g_assert_cmpint (last_input (&room)->reading, ==, 0);
  g_assert_nonnull (
      find (form, GTK_TYPE_LABEL, "In the note: reading 1, written as “At least 214 mL”."));

  /* With the third reading judged, the written one still waits. */
  tarn_judge_page_choose (room.page, 2);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (find (form, GTK_TYPE_CHECK_BUTTON, "Use it")),
                               TRUE);
  g_autofree char *missing = tarn_judge_view_missing (tarn_judge_page_view (room.page));
  g_assert_cmpstr (missing, ==, "Judge reading 1 as well: it is in the note.");
  gtk_widget_activate_action (page, "judge.finish", NULL);
  g_assert_cmpint (room.finished, ==, 0);

  tarn_judge_page_choose (room.page, 0);
  gtk_check_button_set_active (
      GTK_CHECK_BUTTON (find (form, GTK_TYPE_CHECK_BUTTON, "At least")), TRUE);
  gtk_widget_activate_action (page, "judge.finish", NULL);
  g_assert_cmpint (room.finished, ==, 1);
  room_clear (&room);
}

/* A number that no reading gives can be written as well, and is told apart from readings. */
static void
test_own_number (void)
{
  Room room;
  room_init (&room, TRUE);
  GtkWidget *page = GTK_WIDGET (room.page), *form = find (page, TARN_TYPE_JUDGE_FORM, NULL);
  GtkWidget *own = find (form, GTK_TYPE_CHECK_BUTTON, "A number of your own");
  GtkSpinButton *ml = GTK_SPIN_BUTTON (find (form, GTK_TYPE_SPIN_BUTTON, NULL));
  g_assert_false (gtk_widget_is_visible (GTK_WIDGET (ml)));
  gtk_check_button_set_active (GTK_CHECK_BUTTON (own), TRUE);
  g_assert_true (gtk_widget_is_visible (GTK_WIDGET (ml)));
  g_assert_cmpint (last_input (&room)->kind, ==, TARN_INPUT_RECORD);
  g_assert_cmpint (last_input (&room)->code, ==, TARN_RECORD_EXACT);
  g_assert_cmpint (last_input (&room)->reading, ==, -1);

  gtk_spin_button_set_value (ml, 350);
  g_assert_cmpint (last_input (&room)->reading, ==, -1);
  g_assert_cmpfloat (last_input (&room)->value[0], ==, 350);
  g_assert_nonnull (
      find (form, GTK_TYPE_LABEL, "In the note: a number of your own, “350 mL”."));
  gtk_check_button_set_active (
      GTK_CHECK_BUTTON (find (form, GTK_TYPE_CHECK_BUTTON, "It is at least that much")), TRUE);
  g_assert_cmpint (last_input (&room)->code, ==, TARN_RECORD_AT_LEAST);
  g_assert_cmpfloat (last_input (&room)->value[0], ==, 350);

  /* What is typed counts without the Return key as well. */
  gtk_check_button_set_active (GTK_CHECK_BUTTON (find (form, GTK_TYPE_CHECK_BUTTON, "Use it")),
                               TRUE);
  gtk_editable_set_text (GTK_EDITABLE (ml), "410");
  gtk_widget_activate_action (page, "judge.finish", NULL);
  g_assert_cmpint (room.finished, ==, 1);
  g_assert_cmpfloat (last_input (&room)->value[0], ==, 410);

  /* The reading instead: the number goes. */
  gtk_check_button_set_active (GTK_CHECK_BUTTON (find (form, GTK_TYPE_CHECK_BUTTON, "214 mL")),
                               TRUE);
  g_assert_cmpint (last_input (&room)->reading, ==, 0);
  g_assert_false (gtk_widget_is_visible (GTK_WIDGET (ml)));
  room_clear (&room);
}

static void
test_deeds_stay_done (void)
{
  Room room;
  room_init (&room, TRUE);
  GtkCheckButton *clean = GTK_CHECK_BUTTON (
      find (GTK_WIDGET (room.page), GTK_TYPE_CHECK_BUTTON, "Wipe patient and probe"));
  gtk_check_button_set_active (clean, TRUE);
  g_assert_cmpint (last_input (&room)->kind, ==, TARN_INPUT_DEED);
  g_assert_cmpint (last_input (&room)->code, ==, TARN_DEED_CLEAN);
  gtk_check_button_set_active (clean, FALSE);
  g_assert_cmpint (gtk_check_button_get_active (clean), ==, TRUE);
  room_clear (&room);
}

/* Nothing on the page knows the truth: no verdict, no volume but those read. */
static void
test_truth_stays_hidden (void)
{
  Room room;
  room_init (&room, TRUE);
  g_assert_null (find (GTK_WIDGET (room.page), GTK_TYPE_LABEL, "Truth"));
  g_assert_null (find (GTK_WIDGET (room.page), GTK_TYPE_LABEL, "Accurate"));
  room_clear (&room);
}

static gboolean
press (GtkWidget *widget, guint keyval)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (widget);
  gboolean handled = FALSE;
  for (guint k = 0; k < g_list_model_get_n_items (controllers); k++)
    {
      g_autoptr (GObject) controller = g_list_model_get_item (controllers, k);
      if (GTK_IS_EVENT_CONTROLLER_KEY (controller))
        g_signal_emit_by_name (controller, "key-pressed", keyval, 0, 0, &handled);
    }
  return handled;
}

/* By keyboard alone: move, enlarge, go back; what is chosen is told in words. */
static void
test_planes_by_keyboard (void)
{
  Room room;
  room_init (&room, TRUE);
  GtkWidget *widget = find (GTK_WIDGET (room.page), TARN_TYPE_FAN_GRID, NULL);
  TarnFanGrid *grid = TARN_FAN_GRID (widget);
  gtk_test_widget_wait_for_draw (room.window);
  g_assert_cmpint (tarn_fan_grid_chosen (grid), ==, SAMPLE_PLANES / 2);
  press (widget, GDK_KEY_Home);
  g_assert_cmpint (tarn_fan_grid_chosen (grid), ==, 0);
  g_assert_cmpstr (tarn_fan_grid_text (grid), ==,
                   "Plane 1 of 36, 35° to the feet: nothing outlined");
  press (widget, GDK_KEY_Left);
  g_assert_cmpint (tarn_fan_grid_chosen (grid), ==, 0);
  press (widget, GDK_KEY_Right);
  g_assert_cmpint (tarn_fan_grid_chosen (grid), ==, 1);
  press (widget, GDK_KEY_Down);
  g_assert_cmpint (tarn_fan_grid_chosen (grid), >, 3);
  g_assert_cmpint (press (widget, GDK_KEY_Escape), ==, FALSE);
  press (widget, GDK_KEY_Return);
  g_assert_cmpint (tarn_fan_grid_enlarged (grid), ==, TRUE);
  g_assert_cmpint (press (widget, GDK_KEY_Escape), ==, TRUE);
  g_assert_cmpint (tarn_fan_grid_enlarged (grid), ==, FALSE);
  gtk_test_accessible_assert_role (GTK_ACCESSIBLE (grid), GTK_ACCESSIBLE_ROLE_IMG);
  gtk_test_accessible_assert_property (GTK_ACCESSIBLE (grid), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                       tarn_fan_grid_text (grid));
  room_clear (&room);
}

static void
test_calipers_are_told (void)
{
  Room room;
  room_init (&room, TRUE);
  tarn_judge_page_choose (room.page, 1);
  g_assert_nonnull (find (GTK_WIDGET (room.page), GTK_TYPE_LABEL,
                          "0.524 × 9.4 cm × 8.1 cm × 6.2 cm = 247 mL"));
  room_clear (&room);
}

/* While the truth is worked out nothing can be pressed but “Cancel”. */
static void
test_busy (void)
{
  Room room;
  room_init (&room, TRUE);
  GtkWidget *page = GTK_WIDGET (room.page);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (find (page, GTK_TYPE_CHECK_BUTTON, "Use it")),
                               TRUE);
  tarn_judge_page_set_busy (room.page, TRUE);
  gtk_widget_activate_action (page, "judge.finish", NULL);
  g_assert_cmpint (room.finished, ==, 0);
  int cancelled = 0;
  g_signal_connect_swapped (page, "cancel", G_CALLBACK (count), &cancelled);
  GtkWidget *cancel = find (page, GTK_TYPE_BUTTON, "Cancel");
  g_assert_true (gtk_widget_is_visible (cancel));
  g_signal_emit_by_name (cancel, "clicked");
  g_assert_cmpint (cancelled, ==, 1);
  tarn_judge_page_set_busy (room.page, FALSE);
  g_assert_false (gtk_widget_is_visible (cancel));
  gtk_widget_activate_action (page, "judge.finish", NULL);
  g_assert_cmpint (room.finished, ==, 1);
  room_clear (&room);
}

/* At text half as large again the page fits the smallest window, less its header bar; what is
 * pressed is large enough (WCAG 2.2, 2.5.8: 24 px). */
static void
test_fits (void)
{
  Room room;
  room_init (&room, TRUE);
  for (int dpi = 96; dpi <= 144; dpi += 48)
    {
      int least = 0;
      g_object_set (gtk_settings_get_default (), "gtk-xft-dpi", dpi * 1024, NULL);
      gtk_test_widget_wait_for_draw (room.window);
      gtk_widget_measure (GTK_WIDGET (room.page), GTK_ORIENTATION_HORIZONTAL, -1, &least, NULL,
                          NULL, NULL);
      g_assert_cmpint (least, <=, 1280);
      gtk_widget_measure (GTK_WIDGET (room.page), GTK_ORIENTATION_VERTICAL, 1280, &least, NULL,
                          NULL, NULL);
      g_assert_cmpint (least, <=, 750);
      sample_assert_targets (GTK_WIDGET (room.page));
    }
  g_object_set (gtk_settings_get_default (), "gtk-xft-dpi", 96 * 1024, NULL);
  room_clear (&room);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  sample_language ();
  tarn_style_start (tarn_settings ());
  g_test_add_func ("/judge/empty", test_empty);
  g_test_add_func ("/judge/judging", test_judging);
  g_test_add_func ("/judge/note", test_note);
  g_test_add_func ("/judge/own-number", test_own_number);
  g_test_add_func ("/judge/deeds-stay-done", test_deeds_stay_done);
  g_test_add_func ("/judge/truth-stays-hidden", test_truth_stays_hidden);
  g_test_add_func ("/judge/planes-by-keyboard", test_planes_by_keyboard);
  g_test_add_func ("/judge/calipers-are-told", test_calipers_are_told);
  g_test_add_func ("/judge/busy", test_busy);
  g_test_add_func ("/judge/fits", test_fits);
  return g_test_run ();
}
