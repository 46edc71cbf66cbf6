/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The replay page, driven: what it shows at a moment is the attempt played to that moment (the
 * digest of a plain replay is the oracle); keys, list and time line go where they say; two
 * attempts beside one another keep step. */
#include "judged_sample.h"

#include "app/replay_page_private.h"
#include "app/style.h"
#include "base/units.h"
#include "store/attempt_log.h"
#include "store/patient_file.h"

#include <glib/gstdio.h>
#include <gtk/gtk.h>
#include <string.h>

/* ---- An attempt that was made ---- */

static char *folder, *patient_path;
static TarnPatientFile *file;

static void
open_patient (void)
{
  g_autoptr (GError) error = NULL;
  folder = g_dir_make_tmp ("tarn-replay-XXXXXX", &error);
  patient_path = g_build_filename (folder, "someone.anatomy", NULL);
  const char *text
      = "[Anatomy]\nformat=1\nid=someone\ntitle=Someone\nseed=1\n[Habitus]\nsex=male\n"
        "age-years=40\nfat-mm=18\n[Bladder]\nvolume-ml=320\n[Probe]\nplanes=12\n";
  g_assert_true (g_file_set_contents (patient_path, text, -1, &error));
  file = tarn_patient_file_load (patient_path, &error);
  g_assert_no_error (error);
}

static void
hand (TarnRun *run, double above_mm, double force_n)
{
  TarnPose pose
      = { .above_mm = above_mm, .tilt_rad = tarn_rad_from_deg (5), .force_n = force_n };
  tarn_run_hand (run, &pose);
}

static void
on_truth (GObject *source, GAsyncResult *result, gpointer data)
{
  g_assert_nonnull (tarn_run_truth_finish (TARN_RUN (source), result, NULL));
  *(gboolean *)data = TRUE;
}

/* @rest_ticks: before the sweep. */
static TarnRun *
made_run (guint64 seed, int rest_ticks)
{
  g_autoptr (GError) error = NULL;
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  gboolean told = FALSE;
  setup.seed = seed;
  TarnRun *run = tarn_run_new (&file->patient, &setup, &error);
  g_assert_no_error (error);
  tarn_run_set_origin (run, patient_path, file->sha256);
  tarn_run_do (run, TARN_INPUT_DEED, TARN_DEED_HANDS, 0);
  tarn_run_advance_ticks (run, 30);
  tarn_run_do (run, TARN_INPUT_GEL, 0, 20);
  hand (run, 45, 7);
  tarn_run_advance_ticks (run, rest_ticks);
  tarn_run_do (run, TARN_INPUT_SWEEP, 0, 0);
  tarn_run_advance_ticks (run, 200);
  TarnInput record = { .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT, .reading = 0 };
  tarn_run_input (run, &record);
  tarn_run_do (run, TARN_INPUT_FINISH, 0, 0);
  tarn_run_advance_ticks (run, 0);
  tarn_run_truth_async (run, NULL, on_truth, &told);
  while (!told)
    g_main_context_iteration (NULL, TRUE);
  return run;
}

/* ---- The room ---- */

typedef struct
{
  GtkWidget *window;
  TarnReplayPage *page;
  TarnRun *run;
} Room;

static void
settle (void)
{
  for (int k = 0; k < 50 && g_main_context_iteration (NULL, FALSE); k++)
    ;
}

/* Until the page knows all there is, and shows the moment it is at. */
static void
wait_for (TarnReplaySide *side, const TarnReplayKnown *known, double seconds)
{
  uint32_t tick = (uint32_t)(seconds * TARN_TICKS_PER_SECOND + 0.5);
  while (!known->complete || tarn_replay_side_bedside (side) == NULL
         || tarn_replay_side_bedside (side)->tick != tick)
    g_main_context_iteration (NULL, TRUE);
}

/* The one that all rooms show. */
static TarnRun *first;

static void
room_init (Room *room)
{
  if (first == NULL)
    first = made_run (3, 90);
  *room = (Room){ .run = g_object_ref (first) };
  room->window = gtk_window_new ();
  room->page = TARN_REPLAY_PAGE (tarn_replay_page_new ());
  gtk_window_set_default_size (GTK_WINDOW (room->window), 1280, 740);
  gtk_window_set_child (GTK_WINDOW (room->window), GTK_WIDGET (room->page));
  tarn_style_adopt (GTK_WINDOW (room->window));
  gtk_window_present (GTK_WINDOW (room->window));
  tarn_replay_page_show (room->page, room->run);
  wait_for (room->page->side_a, &room->page->known_a, 0);
}

static void
room_clear (Room *room)
{
  gtk_window_destroy (GTK_WINDOW (room->window));
  g_object_unref (room->run);
  settle ();
}

/* The attempt played plainly up to a tick. */
static uint64_t
digest_at (TarnRun *run, uint32_t tick)
{
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  TarnAttempt *attempt;
  setup.seed = tarn_run_seed (run);
  g_assert_cmpint (tarn_attempt_new (&file->patient, &setup, &attempt, NULL), ==, TARN_OK);
  g_autoptr (GArray) log = tarn_run_log (run);
  for (guint k = 0; k < log->len && g_array_index (log, TarnInput, k).tick <= tick; k++)
    g_assert_cmpint (tarn_attempt_replay (attempt, &g_array_index (log, TarnInput, k)), ==,
                     TARN_OK);
  while (tarn_attempt_bedside (attempt)->tick < tick)
    g_assert_cmpint (tarn_attempt_tick (attempt), ==, TARN_OK);
  uint64_t digest = tarn_attempt_digest (attempt);
  tarn_attempt_free (attempt);
  return digest;
}

static void
check_at (Room *room, TarnReplaySide *side, uint32_t tick, TarnRun *run)
{
  TarnReplayPlayer *player = tarn_replay_side_player (side);
  tarn_replay_player_wait (player, tick);
  g_assert_cmphex (tarn_replay_player_digest (player), ==, digest_at (run, tick));
  (void)room;
}

static gboolean
press (Room *room, guint key, GdkModifierType state)
{
  gboolean handled = FALSE;
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (room->page->content);
  for (guint k = 0; k < g_list_model_get_n_items (controllers) && !handled; k++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, k);
      if (GTK_IS_EVENT_CONTROLLER_KEY (controller))
        g_signal_emit_by_name (controller, "key-pressed", key, 0, state, &handled);
    }
  return handled;
}

/* A label that is on the page and not hidden. */
static gboolean
says (GtkWidget *from, const char *text)
{
  if (!gtk_widget_get_visible (from) || !gtk_widget_get_child_visible (from))
    return FALSE;
  if (GTK_IS_LABEL (from) && strstr (gtk_label_get_text (GTK_LABEL (from)), text) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (says (child, text))
      return TRUE;
  return FALSE;
}

#define SAYS(room, text)   g_assert_cmpint (says (GTK_WIDGET ((room).page), text), ==, TRUE)
#define SILENT(room, text) g_assert_cmpint (says (GTK_WIDGET ((room).page), text), ==, FALSE)

/* ---- Tests ---- */

static void
test_shows_each_moment (void)
{
  Room room;
  room_init (&room);
  TarnReplayPage *page = room.page;
  static const uint32_t ticks[] = { 200, 31, 320, 121, 0 };
  /* On and back again; the quick run leaves every second one out. */
  gsize step = g_getenv ("TARN_TEST_QUICK") != NULL ? 2 : 1;
  for (gsize k = 0; k < G_N_ELEMENTS (ticks); k += step)
    {
      tarn_replay_page_seek (page, ticks[k]);
      g_assert_cmpfloat (page->now_s, ==, ticks[k] / 60.0);
      check_at (&room, page->side_a, ticks[k], room.run);
    }
  tarn_replay_page_seek (page, 100);
  wait_for (page->side_a, &page->known_a, 100 / 60.0);
  SAYS (room, "Live. Force 7");
  SAYS (room, "within comfort");
  SAYS (room, "What happened");
  SAYS (room, "Gel laid: 20 g");
  SAYS (room, "Clean your hands");
  SAYS (room, "A sweep begins");
  SILENT (room, "How they differ");
  g_assert_false (gtk_widget_get_visible (page->problem));
  room_clear (&room);
}

static void
test_keys (void)
{
  Room room;
  room_init (&room);
  TarnReplayPage *page = room.page;
  double end_s = page->known_a.last_tick / 60.0;
  g_assert_true (press (&room, GDK_KEY_Right, 0));
  g_assert_cmpfloat_with_epsilon (page->now_s, 1.0, 1e-9);
  g_assert_true (press (&room, GDK_KEY_Right, GDK_SHIFT_MASK));
  g_assert_cmpfloat_with_epsilon (page->now_s, 1.1, 1e-9);
  g_assert_true (press (&room, GDK_KEY_Left, GDK_CONTROL_MASK));
  g_assert_true (press (&room, GDK_KEY_Left, 0));
  g_assert_cmpfloat_with_epsilon (page->now_s, 0.0, 1e-9);
  g_assert_true (press (&room, GDK_KEY_Page_Down, 0)); /* the gel, after half a second */
  g_assert_cmpfloat_with_epsilon (page->now_s, 0.5, 1e-9);
  g_assert_true (press (&room, GDK_KEY_Page_Up, 0));
  g_assert_cmpfloat_with_epsilon (page->now_s, 0.0, 1e-9);
  g_assert_true (press (&room, GDK_KEY_End, 0));
  g_assert_cmpfloat_with_epsilon (page->now_s, end_s, 1e-9);
  g_assert_true (press (&room, GDK_KEY_Right, 0)); /* no farther */
  g_assert_cmpfloat_with_epsilon (page->now_s, end_s, 1e-9);
  g_assert_true (press (&room, GDK_KEY_Home, 0));
  g_assert_true (press (&room, GDK_KEY_space, 0));
  while (page->now_s < 0.3)
    g_main_context_iteration (NULL, TRUE);
  g_assert_true (press (&room, GDK_KEY_space, 0));
  double held_s = page->now_s;
  settle ();
  g_assert_cmpfloat (page->now_s, ==, held_s);
  g_assert_false (press (&room, GDK_KEY_Left, GDK_ALT_MASK));
  g_assert_false (press (&room, GDK_KEY_a, 0));
  room_clear (&room);
}

/* Rows, the time line's signal and the actions of the buttons. */
static void
test_list_line_and_buttons (void)
{
  Room room;
  room_init (&room);
  TarnReplayPage *page = room.page;
  gtk_list_box_select_row (page->list, gtk_list_box_get_row_at_index (page->list, 1));
  g_assert_cmpfloat_with_epsilon (page->now_s, 0.5, 1e-9);
  g_signal_emit_by_name (page->line_a, "seek", 2.25);
  g_assert_cmpfloat_with_epsilon (page->now_s, 2.25, 1e-9);
  /* Where the time has gone, the list follows. */
  GtkListBoxRow *row = gtk_list_box_get_selected_row (page->list);
  g_assert_nonnull (row);
  g_assert_true (says (GTK_WIDGET (row), "A sweep begins"));
  gtk_widget_activate_action (GTK_WIDGET (page), "replay.previous", NULL);
  g_assert_cmpfloat_with_epsilon (page->now_s, 2.0, 1e-9);
  gtk_widget_activate_action (GTK_WIDGET (page), "replay.next", NULL);
  g_assert_cmpfloat (page->now_s, >, 2.0);
  sample_assert_targets (GTK_WIDGET (page));
  room_clear (&room);
}

static char *
saved_log (TarnRun *run, const char *name)
{
  g_autoptr (TarnAttemptLog) log = tarn_replay_log_of_run (run);
  g_autoptr (GError) error = NULL;
  char *path = g_build_filename (folder, name, NULL);
  g_assert_true (tarn_attempt_log_save (log, path, &error));
  g_assert_no_error (error);
  return path;
}

/* Two attempts, the other from its file; aligned at the start, then on the first sweep. */
static void
test_two_beside_one_another (void)
{
  Room room;
  room_init (&room);
  TarnReplayPage *page = room.page;
  g_autoptr (TarnRun) other = made_run (8, 150);
  g_autofree char *path = saved_log (other, "b.attempt");
  g_autoptr (GFile) log = g_file_new_for_path (path);
  tarn_replay_page_compare_file (page, log);
  wait_for (page->side_b, &page->known_b, 0);
  SAYS (room, "How they differ");
  SAYS (room, "Greatest force");
  SAYS (room, "B: the other attempt");

  tarn_replay_page_seek (page, 160);
  check_at (&room, page->side_a, 160, room.run);
  check_at (&room, page->side_b, 160, other);
  /* A's sweep begins after 120 ticks, B's after 180. */
  gtk_drop_down_set_selected (page->align, 1);
  tarn_replay_page_seek (page, 160);
  wait_for (page->side_b, &page->known_b, 220 / 60.0);
  check_at (&room, page->side_b, 220, other);
  g_signal_emit_by_name (page->line_b, "seek", 3.0);
  g_assert_cmpfloat_with_epsilon (page->now_s, 2.0, 1e-9);

  gtk_widget_activate_action (GTK_WIDGET (page), "replay.alone", NULL);
  SILENT (room, "How they differ");
  g_assert_null (tarn_replay_side_player (page->side_b));
  room_clear (&room);
}

/* An attempt shown before is offered for comparison; after forgetting it is not. */
static void
test_earlier_attempts (void)
{
  Room room;
  room_init (&room);
  TarnReplayPage *page = room.page;
  g_autoptr (TarnRun) later = made_run (21, 60);
  tarn_replay_page_show (page, later);
  wait_for (page->side_a, &page->known_a, 0);
  g_assert_cmpint (tarn_replay_history_others (page->history, later), ==, 1);
  const char *name;
  g_autoptr (TarnAttemptLog) log = tarn_replay_history_other (page->history, later, 0, &name);
  g_assert_nonnull (strstr (name, "mL"));
  g_assert_cmpuint (log->seed, ==, 3);
  gtk_widget_activate_action (GTK_WIDGET (page), "replay.compare", "i", 0);
  wait_for (page->side_b, &page->known_b, 0);
  check_at (&room, page->side_b, 200, room.run);
  tarn_replay_page_forget (page);
  tarn_replay_page_show (page, later);
  g_assert_cmpint (tarn_replay_history_others (page->history, later), ==, 0);
  room_clear (&room);
}

static void
test_what_cannot_be_compared (void)
{
  Room room;
  room_init (&room);
  TarnReplayPage *page = room.page;
  g_autofree char *path = saved_log (room.run, "own.attempt"), *text = NULL;
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  g_autofree char *bad = g_build_filename (folder, "bad.attempt", NULL);
  g_autoptr (GFile) log = g_file_new_for_path (bad);

  g_assert_true (g_file_set_contents (bad, "once upon a time\n", -1, NULL));
  tarn_replay_page_compare_file (page, log);
  SAYS (room, "bad.attempt:1: no log of an attempt");
  g_assert_null (tarn_replay_side_player (page->side_b));

  g_auto (GStrv) parts = g_strsplit (text, file->sha256, 2);
  g_autofree char *foreign = g_strconcat (
      parts[0], "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff", parts[1],
      NULL);
  g_assert_true (g_file_set_contents (bad, foreign, -1, NULL));
  tarn_replay_page_compare_file (page, log);
  SAYS (room, "made with another patient");
  room_clear (&room);
}

/* All of it, both ways, in the least window. */
static void
test_fits (void)
{
  Room room;
  int width, height;
  room_init (&room);
  for (int k = 0; k < 2; k++)
    {
      gtk_widget_measure (room.page->content, GTK_ORIENTATION_HORIZONTAL, -1, &width, NULL,
                          NULL, NULL);
      gtk_widget_measure (room.page->content, GTK_ORIENTATION_VERTICAL, -1, &height, NULL, NULL,
                          NULL);
      g_test_message ("%d x %d", width, height);
      g_assert_cmpint (width, <=, 1280);
      g_assert_cmpint (height, <=, 700);
      g_autofree char *path = saved_log (room.run, "own.attempt");
      g_autoptr (GFile) log = g_file_new_for_path (path);
      tarn_replay_page_compare_file (room.page, log);
      wait_for (room.page->side_b, &room.page->known_b, 0);
    }
  room_clear (&room);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  sample_language ();
  tarn_style_start (tarn_settings ());
  open_patient ();
  g_test_add_func ("/replay/moments", test_shows_each_moment);
  g_test_add_func ("/replay/keys", test_keys);
  g_test_add_func ("/replay/list", test_list_line_and_buttons);
  g_test_add_func ("/replay/two", test_two_beside_one_another);
  g_test_add_func ("/replay/earlier", test_earlier_attempts);
  g_test_add_func ("/replay/refused", test_what_cannot_be_compared);
  g_test_add_func ("/replay/fits", test_fits);
  int outcome = g_test_run ();
  g_clear_object (&first);
  g_remove (patient_path);
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;
  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      g_remove (path);
    }
  g_rmdir (folder);
  tarn_patient_file_free (file);
  g_free (patient_path);
  g_free (folder);
  return outcome;
}
