/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The debrief, driven: its words, its pictures, and the advice at the bedside. */
#include "judged_sample.h"

#include "app/body_view_private.h"
#include "app/coach_line.h"
#include "app/debrief_bladder.h"
#include "app/debrief_view.h"
#include "app/fan_grid.h"
#include "app/ledger_view.h"
#include "app/style.h"
#include "app/truth_page.h"
#include "app/words_advice.h"
#include "app/words_debrief.h"
#include "base/units.h"

#include <gtk/gtk.h>
#include <math.h>
#include <string.h>
#include <time.h>

static const TarnUnits plain = { 0 };

/* ---- Words ---- */

/* Each move with each cue is said, and no two alike; the same whichever way the probe is
 * turned, and of now as of then. */
static void
test_words_of_advice (void)
{
  for (int turn = 0; turn < 4; turn++)
    {
      g_autoptr (GHashTable) said
          = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
      for (int move = 0; move < TARN_MOVES; move++)
        for (int cue = 0; cue < TARN_CUES; cue++)
          {
            TarnAdvice advice
                = { .move = { (TarnMoveKind)move, 0.4 }, .cue = (TarnCue)cue, .gain_ml = 70 };
            char *then = tarn_words_advice (&advice, turn * TARN_PI / 2, &plain);
            char *now = tarn_words_advice_now (&advice, turn * TARN_PI / 2);
            g_assert_cmpuint (strlen (now), >, 10);
            g_assert_cmpuint (strlen (then), >=, strlen (now) - 10);
            g_assert_null (strchr (now, '%'));
            g_assert_true (g_hash_table_add (said, then));
            g_assert_true (g_hash_table_add (said, now) || cue == TARN_CUE_NONE);
          }
    }
}

static void
assert_move (TarnMoveKind kind, double amount, const char *expected)
{
  const TarnMove move = { kind, amount };
  g_autofree char *text = tarn_words_move (&move, 0, &plain);
  g_assert_cmpstr (text, ==, expected);
}

/* Amounts in the units of a hand: half centimetres, whole degrees, newtons, grams, percent. */
static void
test_words_of_amounts (void)
{
  const TarnUnits millimetres = { .millimetres = TRUE };
  const TarnMove slide = { TARN_MOVE_SLIDE_RIGHT, 21 };
  g_autofree char *text = tarn_words_move (&slide, 0, &millimetres);
  g_assert_cmpstr (text, ==, "Slide 20 mm to the patient’s right.");
  assert_move (TARN_MOVE_SLIDE_RIGHT, 21, "Slide 2 cm to the patient’s right.");
  assert_move (TARN_MOVE_SLIDE_HEAD, 14, "Slide 1.5 cm towards the head.");
  assert_move (TARN_MOVE_TILT_FEET, 0.2, "Tilt the beam 11° towards the feet.");
  assert_move (TARN_MOVE_PRESS, 3.2, "Press about 3 N more, gently.");
  assert_move (TARN_MOVE_LIFT, 0.4, "Lift the fold about 40 % further away.");
  assert_move (TARN_MOVE_SLIDE_HEAD, 0, "Slide towards the head.");
}

/* Transverse, planes of negative angle lean to the feet (as the sheet of planes says); turned
 * to sagittal, to the patient's right; and the side follows the mark. */
static void
test_words_follow_the_turn (void)
{
  g_assert_nonnull (strstr (tarn_words_cue (TARN_CUE_FIRST_PLANES, 0, TRUE), "to the feet"));
  g_assert_nonnull (strstr (tarn_words_cue (TARN_CUE_LAST_PLANES, 0, FALSE), "to the head"));
  g_assert_nonnull (
      strstr (tarn_words_cue (TARN_CUE_FIRST_PLANES, TARN_PI / 2, TRUE), "patient’s right"));
  g_assert_cmpstr (tarn_words_side (TARN_SIDE_LAST, 0), ==, "To the head");
  g_assert_cmpstr (tarn_words_way (0, TRUE), ==, "to the head");
}

static void
test_words_of_aim (void)
{
  TarnAimProfile aim = { .tilt_share = 0.8, .slide_share = 1 };
  aim.best_tilt_rad = tarn_rad_from_deg (-8);
  g_autofree char *tilt = tarn_words_aim_tilt (&aim, 0);
  g_autofree char *slide = tarn_words_aim_slide (&aim, 0, &plain);
  g_autofree char *room = tarn_words_margin (TARN_SIDE_LAST, tarn_rad_from_deg (-14), &plain);
  g_assert_cmpstr (tilt, ==,
                   "Tilted 8° further to the feet, the section would have been 25 % larger.");
  g_assert_cmpstr (slide, ==, "Sliding would not have found a larger section.");
  g_assert_cmpstr (room, ==, "ran out by 14°");

  /* A slide is positive along elevation (aim.h): transverse, to the head; sagittal, left. */
  aim.slide_share = 0.5;
  aim.best_slide_mm = 30;
  g_autofree char *to_head = tarn_words_aim_slide (&aim, 0, &plain);
  g_autofree char *to_left = tarn_words_aim_slide (&aim, TARN_PI / 2, &plain);
  g_assert_nonnull (strstr (to_head, "to the head, "));
  g_assert_nonnull (strstr (to_left, "to the patient’s left, "));
}

/* ---- A whole attempt ---- */

typedef struct
{
  GtkWidget *window;
  TarnTruthPage *page;
  TarnRun *run;
  const TarnTruth *truth;
} Room;

static void
iterate (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static GtkWidget *
find (GtkWidget *from, GType type)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (from, type))
    return from;
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find (child, type);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static int
count_class (GtkWidget *from, const char *css_class)
{
  int count = gtk_widget_has_css_class (from, css_class);
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    count += count_class (child, css_class);
  return count;
}

/* A sweep from where the side of the picture cuts the bladder. */
static void
sweep_aside (TarnRun *run)
{
  const TarnPose pose
      = { .above_mm = 45, .left_mm = 45, .tilt_rad = 0.1, .lean_rad = 0.35, .force_n = 5 };
  const TarnPose lifted = { .above_mm = 45, .left_mm = 45, .tilt_rad = 0.1, .lean_rad = 0.35 };
  tarn_run_hand (run, &lifted);
  tarn_run_advance_ticks (run, 60);
  tarn_run_do (run, TARN_INPUT_GEL, 0, 20);
  tarn_run_advance_ticks (run, 1);
  tarn_run_hand (run, &pose);
  tarn_run_advance_ticks (run, 90);
  tarn_run_do (run, TARN_INPUT_SWEEP, 0, 0);
  tarn_run_advance_ticks (run, 5 * TARN_TICKS_PER_SECOND);
  iterate ();
}

static void
keep_result (GObject *source, GAsyncResult *result, gpointer data)
{
  (void)source;
  *(GAsyncResult **)data = g_object_ref (result);
}

static const TarnTruth *
truth_of (TarnRun *run)
{
  g_autoptr (GAsyncResult) result = NULL;
  const TarnInput written
      = { .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT, .reading = 0 };
  tarn_run_input (run, &written);
  tarn_run_do (run, TARN_INPUT_FINISH, 0, 0);
  tarn_run_truth_async (run, NULL, keep_result, &result);
  while (result == NULL)
    g_main_context_iteration (NULL, TRUE);
  return tarn_run_truth_finish (run, result, NULL);
}

static TarnRun *
run_new (TarnMode mode)
{
  TarnPatient patient = tarn_patient_default ();
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  g_autoptr (GError) error = NULL;
  setup.mode = mode;
  TarnRun *run = tarn_run_new (&patient, &setup, &error);
  g_assert_no_error (error);
  tarn_patient_clear (&patient);
  return run;
}

static TarnDebriefView *
view_of (Room *room)
{
  return TARN_DEBRIEF_VIEW (find (GTK_WIDGET (room->page), TARN_TYPE_DEBRIEF_VIEW));
}

static TarnFanGrid *
grid_of (Room *room)
{
  return TARN_FAN_GRID (find (GTK_WIDGET (room->page), TARN_TYPE_FAN_GRID));
}

static void
tell_time (const char *what, gint64 began_us, clock_t began)
{
  g_test_message ("%s after %.0f ms, %.0f ms of them the program’s", what,
                  (double)(g_get_monotonic_time () - began_us) / 1000,
                  1000.0 * (double)(clock () - began) / CLOCKS_PER_SEC);
}

static void
room_init (Room *room)
{
  *room = (Room){ .run = run_new (TARN_MODE_PRACTICE) };
  sweep_aside (room->run);
  room->truth = truth_of (room->run);
  g_assert_nonnull (room->truth);
  room->window = gtk_window_new ();
  room->page = TARN_TRUTH_PAGE (tarn_truth_page_new ());
  gtk_window_set_default_size (GTK_WINDOW (room->window), 1280, 800);
  gtk_window_set_child (GTK_WINDOW (room->window), GTK_WIDGET (room->page));
  tarn_style_adopt (GTK_WINDOW (room->window));
  gint64 began_us = g_get_monotonic_time ();
  clock_t began = clock ();
  tarn_truth_page_show (room->page, room->run, room->truth);
  gtk_window_present (GTK_WINDOW (room->window));
  gtk_test_widget_wait_for_draw (room->window);
  tell_time ("the letter", began_us, began);
  GtkWidget *card = find (GTK_WIDGET (room->page), TARN_TYPE_BLADDER_CARD);
  while (count_class (card, "tarn-part") == 0)
    g_main_context_iteration (NULL, TRUE);
  tell_time ("all of it", began_us, began);
}

static void
room_clear (Room *room)
{
  gtk_window_destroy (GTK_WINDOW (room->window));
  tarn_run_stop (room->run);
  g_object_unref (room->run);
}

/* Parts of the legend: their volumes make the truth (within what rounding to whole millilitres
 * leaves), and each is a switch that goes to the picture and back. */
static void
assert_legend (Room *room)
{
  GtkWidget *card = find (GTK_WIDGET (room->page), TARN_TYPE_BLADDER_CARD);
  GtkWidget *body = find (card, TARN_TYPE_BODY_VIEW);
  TarnBodyView *view = TARN_BODY_VIEW (body);
  g_assert_cmpint (count_class (card, "tarn-part"), >=, 2);
  g_assert_nonnull (view->picture);
  int all = tarn_scene_picture_mesh (view->picture)->indices;
  GtkWidget *part = find (card, GTK_TYPE_GRID);
  part = gtk_widget_get_first_child (part);
  g_assert_true (GTK_IS_TOGGLE_BUTTON (part));
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (part), FALSE);
  while (tarn_scene_picture_mesh (view->picture)->indices == all)
    g_main_context_iteration (NULL, TRUE);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (part), TRUE);
  while (tarn_scene_picture_mesh (view->picture)->indices != all)
    g_main_context_iteration (NULL, TRUE);
}

static void
press_key (GtkWidget *widget, guint keyval)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (widget);
  for (guint k = 0; k < g_list_model_get_n_items (controllers); k++)
    {
      g_autoptr (GtkEventController) each = g_list_model_get_item (controllers, k);
      gboolean handled = FALSE;
      if (GTK_IS_EVENT_CONTROLLER_KEY (each))
        g_signal_emit_by_name (each, "key-pressed", keyval, 0, (GdkModifierType)0, &handled);
    }
}

/* Arrows turn the picture, + goes nearer, a digit looks from another side. */
static void
assert_turns (Room *room)
{
  GtkWidget *card = find (GTK_WIDGET (room->page), TARN_TYPE_BLADDER_CARD);
  TarnBodyView *view = TARN_BODY_VIEW (find (card, TARN_TYPE_BODY_VIEW));
  TarnCamera before = view->goal;
  press_key (GTK_WIDGET (view), GDK_KEY_Left);
  g_assert_cmpfloat (
      tarn_length (tarn_sub (tarn_camera_eye_mm (&view->goal), tarn_camera_eye_mm (&before))),
      >, 10);
  before = view->goal;
  press_key (GTK_WIDGET (view), GDK_KEY_plus);
  g_assert_cmpfloat (view->goal.distance_mm, <, before.distance_mm);
  press_key (GTK_WIDGET (view), GDK_KEY_2);
  g_assert_cmpint (view->preset, ==, TARN_CAMERA_ABOVE);
}

static GtkWidget *
bar_of (GtkWidget *ledger)
{
  GtkWidget *bar = gtk_widget_get_first_child (ledger);
  g_assert_nonnull (bar);
  g_assert_true (gtk_widget_get_focusable (bar));
  return bar;
}

static TarnDebrief *
debrief_of (Room *room)
{
  g_autoptr (GAsyncResult) result = NULL;
  g_autoptr (GError) error = NULL;
  tarn_run_debrief_async (room->run, 0, NULL, keep_result, &result);
  while (result == NULL)
    g_main_context_iteration (NULL, TRUE);
  TarnDebrief *debrief = tarn_run_debrief_finish (room->run, result, &error);
  g_assert_no_error (error);
  return debrief;
}

static int
planes_of (const TarnDebrief *debrief, TarnCause cause)
{
  int planes = 0;
  for (int k = 0; k < debrief->planes; k++)
    planes += (debrief->plane[k].loss.acts & 1u << cause) != 0;
  return planes;
}

/* The largest cause here is the edge: its bar leads to planes that run out of the picture, to
 * the worst of them, and the focus with it; -1 brings all back. */
static void
assert_bar_opens_planes (Room *room)
{
  g_autoptr (TarnDebrief) debrief = debrief_of (room);
  GtkWidget *ledger = find (GTK_WIDGET (room->page), TARN_TYPE_LEDGER_VIEW);
  TarnFanGrid *grid = grid_of (room);
  int all = tarn_fan_grid_shown (grid), moved = planes_of (debrief, TARN_CAUSE_MOTION);
  g_signal_emit_by_name (bar_of (ledger), "clicked");
  iterate ();
  g_assert_cmpint (tarn_fan_grid_shown (grid), ==, planes_of (debrief, TARN_CAUSE_EDGE));
  g_assert_nonnull (strstr (tarn_fan_grid_text (grid), "at the edge"));
  g_assert_nonnull (strstr (tarn_fan_grid_text (grid), "missing here, outside the picture"));
  g_assert_true (gtk_root_get_focus (GTK_ROOT (room->window)) == GTK_WIDGET (grid));

  g_assert_cmpint (moved, >, 1);
  g_assert_cmpint (moved, <, all);
  tarn_debrief_view_open (view_of (room), TARN_CAUSE_MOTION);
  g_assert_cmpint (tarn_fan_grid_shown (grid), ==, moved);
  press_key (GTK_WIDGET (grid), GDK_KEY_Home);
  int first = tarn_fan_grid_chosen (grid);
  press_key (GTK_WIDGET (grid), GDK_KEY_Right);
  g_assert_cmpint (tarn_fan_grid_chosen (grid), >, first);
  g_assert_cmpuint (
      debrief->plane[tarn_fan_grid_chosen (grid)].loss.acts & 1u << TARN_CAUSE_MOTION, !=, 0);
  tarn_debrief_view_open (view_of (room), -1);
  g_assert_cmpint (tarn_fan_grid_shown (grid), ==, all);
}

/* What a plane holds, by rays through the tissues and by the border's own polygon (Pappus,
 * Green's theorem), two ways to the same number; and the outlines make the reading. */
static void
assert_planes_add_up (Room *room)
{
  g_autoptr (TarnDebrief) debrief = debrief_of (room);
  TarnRunReading reading;
  double outlined_ml = 0;
  tarn_run_reading (room->run, 0, &reading);
  for (int k = 0; k < debrief->planes; k++)
    {
      const TarnBorder *border = &debrief->plane[k].border;
      const TarnPlaneLoss *loss = &debrief->plane[k].loss;
      double moment_mm3 = 0;
      for (int loop = 0; loop < border->loops; loop++)
        {
          TarnOutlinePoint point[TARN_BORDER_POINTS_MAX];
          double area_mm2, part_mm3;
          int count = border->first[loop + 1] - border->first[loop];
          for (int j = 0; j < count; j++)
            point[j] = (TarnOutlinePoint){ border->u_mm[border->first[loop] + j],
                                           border->v_mm[border->first[loop] + j], 0 };
          tarn_outline_measure (point, count, &area_mm2, &part_mm3);
          moment_mm3 += part_mm3;
        }
      double ml = moment_mm3 * reading.step_rad / TARN_MM3_PER_ML;
      g_assert_cmpfloat (fabs (loss->urine_ml - ml), <=, 0.03 * ml + 0.1);
      outlined_ml += loss->outlined_ml;
    }
  g_assert_cmpfloat (fabs (outlined_ml - reading.reading.volume_ml), <=, 0.5);
}

/* The true border can be hidden, on the planes and by its legend's switch alike. */
static void
assert_border_toggles (Room *room)
{
  gboolean shown = FALSE;
  g_object_get (grid_of (room), "true-border", &shown, NULL);
  g_assert_true (shown);
  g_object_set (grid_of (room), "true-border", FALSE, NULL);
  tarn_fan_grid_set_enlarged (grid_of (room), TRUE);
  gtk_widget_queue_draw (room->window);
  gtk_test_widget_wait_for_draw (room->window);
  g_object_set (grid_of (room), "true-border", TRUE, NULL);
  tarn_fan_grid_set_enlarged (grid_of (room), FALSE);
}

static void
assert_fits (Room *room)
{
  int least = 0;
  gtk_widget_measure (GTK_WIDGET (room->page), GTK_ORIENTATION_HORIZONTAL, -1, &least, NULL,
                      NULL, NULL);
  g_assert_cmpint (least, <=, 1000);
  sample_assert_targets (GTK_WIDGET (view_of (room)));
}

static void
test_driven (void)
{
  Room room;
  room_init (&room);
  assert_legend (&room);
  assert_turns (&room);
  assert_bar_opens_planes (&room);
  assert_planes_add_up (&room);
  assert_border_toggles (&room);
  assert_fits (&room);
  gtk_widget_activate_action (GTK_WIDGET (room.page), "truth.replay", NULL);
  iterate ();
  gtk_widget_activate_action (GTK_WIDGET (room.page), "truth.letter", NULL);
  room_clear (&room);
}

/* ---- Advice at the bedside ---- */

static TarnRunFrame *
frame_with (TarnMoveKind kind, TarnCue cue)
{
  TarnRunFrame *frame = g_new0 (TarnRunFrame, 1);
  g_atomic_ref_count_init (&frame->references);
  frame->bedside.on_skin = true;
  frame->has_advice = kind < TARN_MOVES;
  frame->advice = (TarnAdvice){ .move = { kind, 0 }, .cue = cue };
  return frame;
}

static void
take (GtkWidget *line, TarnMoveKind kind, TarnCue cue, double seconds)
{
  g_autoptr (TarnRunFrame) frame = frame_with (kind, cue);
  tarn_coach_line_take (TARN_COACH_LINE (line), frame,
                        (gint64)(seconds * G_USEC_PER_SEC) + 1000000);
}

#define LINE(line, text)                                                                       \
  g_assert_nonnull (strstr (tarn_coach_line_text (TARN_COACH_LINE (line)), text))

/* It does not flicker: a second at least; but not when it has become wrong. */
static void
test_line_is_calm (void)
{
  g_autoptr (GtkWidget) line = g_object_ref_sink (tarn_coach_line_new ());
  take (line, TARN_MOVE_SLIDE_HEAD, TARN_CUE_BONE_SHADOW, 0);
  LINE (line, "Slide towards the head.");
  take (line, TARN_MOVE_GEL, TARN_CUE_DRY, 0.1);
  take (line, TARN_MOVE_GEL, TARN_CUE_DRY, 0.5);
  LINE (line, "Slide towards the head.");
  take (line, TARN_MOVE_GEL, TARN_CUE_DRY, 1.1);
  LINE (line, "Lay more gel");
  /* For a moment only. */
  take (line, TARN_MOVE_TILT_FEET, TARN_CUE_BONE_SHADOW, 3);
  take (line, TARN_MOVE_GEL, TARN_CUE_DRY, 3.1);
  LINE (line, "Lay more gel");
  take (line, TARN_MOVE_SLIDE_LEFT, TARN_CUE_RUNS_INTO_OTHER, 4);
  take (line, TARN_MOVE_SLIDE_LEFT, TARN_CUE_RUNS_INTO_OTHER, 4.3);
  LINE (line, "Slide to the patient’s left.");
  take (line, TARN_MOVE_SLIDE_RIGHT, TARN_CUE_RUNS_INTO_MARK, 4.4);
  take (line, TARN_MOVE_SLIDE_RIGHT, TARN_CUE_RUNS_INTO_MARK, 4.7);
  LINE (line, "Slide to the patient’s right.");
  g_autoptr (TarnRunFrame) off = frame_with (TARN_MOVES, TARN_CUE_NONE);
  off->bedside.on_skin = false;
  tarn_coach_line_take (TARN_COACH_LINE (line), off, 10 * G_USEC_PER_SEC);
  g_assert_cmpstr (tarn_coach_line_text (TARN_COACH_LINE (line)), ==, "");
}

/* The run's own: there while the probe is on the skin and advice is wanted, not on a held
 * plane. */
static void
test_advice_of_a_run (void)
{
  g_autoptr (TarnRun) run = run_new (TARN_MODE_GUIDED);
  const TarnPose pose = { .above_mm = 45, .left_mm = 30, .tilt_rad = 0.1, .force_n = 5 };
  gboolean has = FALSE;
  tarn_run_set_scene (run, TARN_RUN_ADVICE);
  tarn_run_hand (run, &pose);
  tarn_run_advance_ticks (run, 90);
  while (!has)
    {
      tarn_run_advance_ticks (run, 1);
      g_autoptr (TarnRunFrame) frame = tarn_run_frame (run);
      has = frame->has_advice;
      if (has)
        g_assert_cmpint (frame->advice.move.kind, <, TARN_MOVES);
      g_usleep (2000);
    }
  tarn_run_do (run, TARN_INPUT_FREEZE, 1, 0);
  tarn_run_advance_ticks (run, 1);
  g_autoptr (TarnRunFrame) held = tarn_run_frame (run);
  g_assert_true (held->bedside.frozen);
  g_assert_false (held->has_advice);
  tarn_run_stop (run);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  sample_language ();
  tarn_style_start (tarn_settings ());
  g_test_add_func ("/debrief/words-of-advice", test_words_of_advice);
  g_test_add_func ("/debrief/words-of-amounts", test_words_of_amounts);
  g_test_add_func ("/debrief/words-follow-the-turn", test_words_follow_the_turn);
  g_test_add_func ("/debrief/words-of-aim", test_words_of_aim);
  g_test_add_func ("/debrief/driven", test_driven);
  g_test_add_func ("/debrief/line-is-calm", test_line_is_calm);
  g_test_add_func ("/debrief/advice-of-a-run", test_advice_of_a_run);
  return g_test_run ();
}
