/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The whole window on a screen: an attempt driven through its actions from the briefing to the
 * truth is, byte for byte, the attempt that its log makes in the engine alone; a crashed
 * attempt is there again; what cannot be loaded, shown or written is said, and the window goes
 * on. */
#include "wait.h"

#include "app/journal.h"
#include "app/judge_page.h"
#include "app/settings.h"
#include "app/window.h"
#include "base/units.h"
#include "store/patient_file.h"

#include <glib/gstdio.h>
#include <gtk/gtk.h>

typedef struct
{
  TarnApplication *application;
  TarnWindow *window;
} Room;

static GFile *
patient (const char *name)
{
  g_autofree char *path = g_build_filename (g_getenv ("TARN_ANATOMIES"), name, NULL);
  return g_file_new_for_path (path);
}

/* The plain adult under a probe of 12 planes, in the home that is gone afterwards: for what is
 * about a truth that is told, however it was found. */
static GFile *
patient_of_few_planes (void)
{
  g_autoptr (GFile) plain = patient ("01-plain-adult.anatomy");
  g_autofree char *text = NULL,
                  *path = g_build_filename (g_get_home_dir (), "few.anatomy", NULL);
  g_assert_true (g_file_load_contents (plain, NULL, &text, NULL, NULL, NULL));
  g_autofree char *few = g_strconcat (text, "\n[Probe]\nplanes=12\n", NULL);
  g_assert_true (g_file_set_contents (path, few, -1, NULL));
  return g_file_new_for_path (path);
}

static void
open_window (Room *room)
{
  room->window = tarn_window_new (room->application);
  gtk_window_present (GTK_WINDOW (room->window));
  gtk_test_widget_wait_for_draw (GTK_WIDGET (room->window));
}

static void
set_up (Room *room, gconstpointer data)
{
  (void)data;
  g_object_set (tarn_settings (), "cautions-accepted", TRUE, NULL);
  room->application = TARN_APPLICATION (g_application_get_default ());
  open_window (room);
}

static void
tear_down (Room *room, gconstpointer data)
{
  (void)data;
  if (room->window != NULL)
    gtk_window_destroy (GTK_WINDOW (room->window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  tarn_journal_forget ();
}

static void
act (Room *room, const char *action, const char *format, ...)
{
  GVariant *target = NULL;
  if (format != NULL)
    {
      va_list values;
      va_start (values, format);
      target = g_variant_ref_sink (g_variant_new_va (format, NULL, &values));
      va_end (values);
    }
  g_assert_true (gtk_widget_activate_action_variant (
      GTK_WIDGET (tarn_window_bedside (room->window)), action, target));
  g_clear_pointer (&target, g_variant_unref);
}

static TarnBedside
now (Room *room)
{
  g_autoptr (TarnRunFrame) frame = tarn_run_frame (tarn_window_run (room->window));
  return frame->bedside;
}

static void
give (Room *room, TarnInputKind kind, int code, int reading)
{
  TarnInput input
      = { .kind = (uint8_t)kind, .code = (uint8_t)code, .reading = (int8_t)reading };
  tarn_run_input (tarn_window_run (room->window), &input);
}

static uint64_t
engine_alone (const char *name, guint64 seed, GArray *log)
{
  g_autoptr (GFile) file = patient (name);
  g_autofree char *path = g_file_get_path (file);
  g_autoptr (TarnPatientFile) loaded = tarn_patient_file_load (path, NULL);
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  TarnAttempt *attempt = NULL;
  setup.mode = TARN_MODE_PRACTICE;
  setup.seed = seed;
  g_assert_cmpint (tarn_attempt_new (&loaded->patient, &setup, &attempt, NULL), ==, TARN_OK);
  for (guint k = 0; k < log->len; k++)
    g_assert_cmpint (tarn_attempt_replay (attempt, &g_array_index (log, TarnInput, k)), ==,
                     TARN_OK);
  uint64_t digest = tarn_attempt_digest (attempt);
  tarn_attempt_free (attempt);
  return digest;
}

/* Gel, probe, a slide, a press, a sweep: by actions, as keys and buttons do. */
static void
scan (Room *room)
{
  act (room, "bedside.gel", "d", 20.0);
  act (room, "bedside.down", NULL);
  WAIT (now (room).on_skin);
  for (int k = 0; k < 5; k++)
    act (room, "bedside.slide", "(dd)", 2.0, 0.0);
  act (room, "bedside.tilt", "d", 5.0);
  act (room, "bedside.press", "d", 1.0);
  WAIT (now (room).tick > 60);
  act (room, "bedside.sweep", NULL);
  WAIT (now (room).readings == 1);
}

static GtkWidget *
judge_page (Room *room)
{
  GtkWidget *page = gtk_widget_get_first_child (
      gtk_widget_get_parent (GTK_WIDGET (tarn_window_bedside (room->window))));
  while (page != NULL && !TARN_IS_JUDGE_PAGE (page))
    page = gtk_widget_get_next_sibling (page);
  g_assert_nonnull (page);
  return page;
}

/* Whether a visible label within @from says just @text. */
static gboolean
tells (GtkWidget *from, const char *text)
{
  if (!gtk_widget_get_visible (from))
    return FALSE;
  if (GTK_IS_LABEL (from) && g_str_equal (gtk_label_get_text (GTK_LABEL (from)), text))
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (tells (child, text))
      return TRUE;
  return FALSE;
}

static void
test_attempt (Room *room, gconstpointer data)
{
  static const char name[] = "01-plain-adult.anatomy";
  g_autoptr (GFile) file = patient (name);
  (void)data;
  g_assert_true (tarn_window_begin (room->window, file, TARN_MODE_PRACTICE, 11));
  g_assert_cmpstr (tarn_window_page (room->window), ==, "bedside");
  give (room, TARN_INPUT_DEED, TARN_DEED_HANDS, -1);
  give (room, TARN_INPUT_DEED, TARN_DEED_IDENTITY, -1);
  scan (room);

  act (room, "bedside.judge", NULL);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "judge");
  give (room, TARN_INPUT_JUDGE, TARN_JUDGEMENT_USE, 0);
  give (room, TARN_INPUT_RECORD, TARN_RECORD_EXACT, 0);
  give (room, TARN_INPUT_DEED, TARN_DEED_NOTE, -1);

  TarnRun *run = g_object_ref (tarn_window_run (room->window));
  g_signal_emit_by_name (judge_page (room), "finished");
  WAIT (g_str_equal (tarn_window_page (room->window), "truth"));

  g_autoptr (GArray) log = tarn_run_log (run);
  g_assert_cmphex (tarn_run_digest (run), ==, engine_alone (name, 11, log));
  g_object_unref (run);
  /* The attempt is over: nothing is left to be taken up again. */
  g_assert_null (tarn_journal_left ());
}

/* The truth can be forgone while it is worked out, and asked for again; the attempt has ended
 * once. */
static void
test_cancelled (Room *room, gconstpointer data)
{
  g_autoptr (GFile) file = patient_of_few_planes ();
  (void)data;
  g_assert_true (tarn_window_begin (room->window, file, TARN_MODE_PRACTICE, 13));
  scan (room);
  act (room, "bedside.judge", NULL);
  give (room, TARN_INPUT_JUDGE, TARN_JUDGEMENT_USE, 0);
  g_signal_emit_by_name (judge_page (room), "finished");
  g_signal_emit_by_name (judge_page (room), "cancel");
  WAIT (now (room).finished);
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_assert_cmpstr (tarn_window_page (room->window), ==, "judge");
  g_signal_emit_by_name (judge_page (room), "finished");
  /* As does Escape. */
  gtk_widget_activate_action (GTK_WIDGET (room->window), "window.back", NULL);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "judge");
  WAIT (tarn_run_is_rested (tarn_window_run (room->window)));
  g_assert_cmpstr (tarn_window_page (room->window), ==, "judge");

  g_signal_emit_by_name (judge_page (room), "finished");
  WAIT (g_str_equal (tarn_window_page (room->window), "truth"));
  g_autoptr (GArray) log = tarn_run_log (tarn_window_run (room->window));
  int ends = 0;
  for (guint k = 0; k < log->len; k++)
    ends += g_array_index (log, TarnInput, k).kind == TARN_INPUT_FINISH;
  g_assert_cmpint (ends, ==, 1);
}

/* A number that no reading gave reaches the truth, which says so. */
static void
test_own_number (Room *room, gconstpointer data)
{
  g_autoptr (GFile) file = patient_of_few_planes ();
  TarnInput number = {
    .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT, .reading = -1, .value = { 333 }
  };
  (void)data;
  g_assert_true (tarn_window_begin (room->window, file, TARN_MODE_PRACTICE, 14));
  scan (room);
  act (room, "bedside.judge", NULL);
  give (room, TARN_INPUT_JUDGE, TARN_JUDGEMENT_USE, 0);
  tarn_run_input (tarn_window_run (room->window), &number);
  g_signal_emit_by_name (judge_page (room), "finished");
  WAIT (g_str_equal (tarn_window_page (room->window), "truth"));
  GtkWidget *truth = gtk_widget_get_last_child (
      gtk_widget_get_parent (GTK_WIDGET (tarn_window_bedside (room->window))));
  g_assert_true (
      tells (truth, "Not passed. You wrote down a volume that no reading of yours gives."));
}

/* The program ends in the middle; the next one offers the attempt, and it is the same. */
static void
test_taken_up_again (Room *room, gconstpointer data)
{
  static const char name[] = "01-plain-adult.anatomy";
  g_autoptr (GFile) file = patient (name);
  (void)data;
  g_assert_true (tarn_window_begin (room->window, file, TARN_MODE_PRACTICE, 12));
  scan (room);
  gtk_window_destroy (GTK_WINDOW (room->window));
  g_autoptr (TarnAttemptLog) left = tarn_journal_left ();
  g_assert_nonnull (left);
  g_assert_cmpint (left->inputs->len, >=, 3);

  open_window (room);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "library");
  tarn_window_take_up (room->window);
  WAIT (g_str_equal (tarn_window_page (room->window), "bedside"));
  g_assert_cmpint (tarn_run_readings (tarn_window_run (room->window)), ==, 1);
  g_assert_true (now (room).on_skin);
}

/* A file that is no patient: said in the window, which stays where it was. */
static void
test_bad_file (Room *room, gconstpointer data)
{
  g_autoptr (GFile) file = g_file_new_for_path ("/nowhere/nobody.anatomy");
  (void)data;
  g_assert_false (tarn_window_begin (room->window, file, TARN_MODE_PRACTICE, 1));
  g_assert_cmpstr (tarn_window_page (room->window), ==, "library");
  g_assert_null (tarn_window_run (room->window));
  tarn_window_open_file (room->window, file);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "library");
}

/* Who opens a file before the cautions were ever accepted sees them first, then the patient. */
static void
test_cautions_first (Room *room, gconstpointer data)
{
  g_autoptr (GFile) file = patient ("01-plain-adult.anatomy");
  (void)data;
  gtk_window_destroy (GTK_WINDOW (room->window));
  g_object_set (tarn_settings (), "cautions-accepted", FALSE, NULL);
  open_window (room);
  tarn_window_open_file (room->window, file);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "cautions");
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (room->window));
  g_assert_true (gtk_widget_activate_action (focus, "cautions.accept", NULL));
  g_assert_cmpstr (tarn_window_page (room->window), ==, "briefing");
  g_assert_true (tarn_settings_cautions_accepted (tarn_settings ()));
}

/* Where nothing can be written, the attempt goes on without its journal. */
static void
test_read_only_home (Room *room, gconstpointer data)
{
  g_autofree char *folder = g_build_filename (g_get_user_state_dir (), "tarn", NULL);
  g_autoptr (GFile) file = patient ("01-plain-adult.anatomy");
  (void)data;
  /* A file where the folder should be stops even root. */
  tarn_journal_forget ();
  (void)g_rmdir (folder);
  g_assert_true (g_file_set_contents (folder, "", 0, NULL));
  g_assert_true (tarn_window_begin (room->window, file, TARN_MODE_PRACTICE, 1));
  g_assert_cmpstr (tarn_window_page (room->window), ==, "bedside");
  WAIT (now (room).tick > 10);
  g_assert_cmpint (g_unlink (folder), ==, 0);
}

/* Back from page to page with Escape's action. */
static void
test_back (Room *room, gconstpointer data)
{
  g_autoptr (GFile) file = patient ("01-plain-adult.anatomy");
  (void)data;
  tarn_window_open_file (room->window, file);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "briefing");
  g_assert_true (tarn_window_begin (room->window, file, TARN_MODE_GUIDED, 1));
  act (room, "bedside.judge", NULL);
  gtk_widget_activate_action (GTK_WIDGET (room->window), "window.back", NULL);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "bedside");
  gtk_widget_activate_action (GTK_WIDGET (room->window), "window.back", NULL);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "briefing");
  gtk_widget_activate_action (GTK_WIDGET (room->window), "window.back", NULL);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "library");
  /* The attempt waits: nothing that was done is lost by going back. */
  g_assert_nonnull (tarn_window_run (room->window));
}

/* Escape leaves the calipers before it leaves the bedside. */
static void
test_back_from_calipers (Room *room, gconstpointer data)
{
  g_autoptr (GFile) file = patient ("01-plain-adult.anatomy");
  (void)data;
  g_assert_true (tarn_window_begin (room->window, file, TARN_MODE_PRACTICE, 1));
  act (room, "bedside.calipers", NULL);
  gtk_widget_activate_action (GTK_WIDGET (room->window), "window.back", NULL);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "bedside");
  gtk_widget_activate_action (GTK_WIDGET (room->window), "window.back", NULL);
  g_assert_cmpstr (tarn_window_page (room->window), ==, "briefing");
}

/* Calipers on frozen planes make a reading equal in rank. */
static void
test_calipers (Room *room, gconstpointer data)
{
  g_autoptr (GFile) file = patient ("01-plain-adult.anatomy");
  (void)data;
  g_assert_true (tarn_window_begin (room->window, file, TARN_MODE_PRACTICE, 5));
  act (room, "bedside.gel", "d", 20.0);
  act (room, "bedside.down", NULL);
  WAIT (now (room).on_skin);
  act (room, "bedside.freeze", NULL);
  WAIT (now (room).frozen);
  for (int k = 0; k < TARN_CALIPERS; k++)
    {
      TarnInput input = { .kind = TARN_INPUT_CALIPER,
                          .code = (uint8_t)k,
                          .value = { -40, 70 + k, 40, 72 + k } };
      tarn_run_input (tarn_window_run (room->window), &input);
    }
  WAIT (now (room).caliper_set[TARN_CALIPER_LENGTH]);
  /* The button wakes once all three are set; this is what it asks for. */
  tarn_run_do (tarn_window_run (room->window), TARN_INPUT_MEASURE, 0, 0.52);
  WAIT (now (room).readings == 1);
  TarnRunReading reading;
  tarn_run_reading (tarn_window_run (room->window), 0, &reading);
  g_assert_cmpint (reading.source, ==, TARN_SOURCE_CALIPERS);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  /* One application is the process's default, as in the program. */
  g_autoptr (TarnApplication) application = tarn_application_new (G_APPLICATION_NON_UNIQUE);
  g_autoptr (GError) error = NULL;
  g_application_register (G_APPLICATION (application), NULL, &error);
  g_assert_no_error (error);
  g_application_set_default (G_APPLICATION (application));
#define ADD(path, test) g_test_add (path, Room, NULL, set_up, test, tear_down)
  ADD ("/window/attempt", test_attempt);
  ADD ("/window/cancelled", test_cancelled);
  ADD ("/window/own-number", test_own_number);
  ADD ("/window/taken-up-again", test_taken_up_again);
  ADD ("/window/bad-file", test_bad_file);
  ADD ("/window/cautions-first", test_cautions_first);
  ADD ("/window/read-only-home", test_read_only_home);
  ADD ("/window/back", test_back);
  ADD ("/window/back-from-calipers", test_back_from_calipers);
  ADD ("/window/calipers", test_calipers);
#undef ADD
  return g_test_run ();
}
