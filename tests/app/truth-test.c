/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The letter after an attempt, from plain truths. */
#include "judged_sample.h"

#include "app/fan_grid.h"
#include "app/judge_page.h"
#include "app/ledger_view.h"
#include "app/style.h"
#include "app/truth_page.h"

#include <gtk/gtk.h>
#include <string.h>

static const TarnUnits plain = { 0 };

typedef struct
{
  GtkWidget *window;
  TarnTruthPage *page;
  SampleFan *fan;
  TarnPatient patient;
  int heard;
} Room;

static void
count (int *times)
{
  (*times)++;
}

static void
room_init (Room *room, const TarnTruth *truth, gboolean sweep)
{
  *room = (Room){ .fan = sample_fan_new (), .patient = tarn_patient_default () };
  g_assert_cmpint (
      tarn_patient_set_prose (&room->patient, "debrief", "", "The bone lay in the way."), ==,
      TARN_OK);
  TarnRunReading reading
      = sample_sweep (room->fan, TARN_READING_MEASURE, truth->facts.facts.reading_ml, 48);
  room->window = gtk_window_new ();
  room->page = TARN_TRUTH_PAGE (tarn_truth_page_new ());
  gtk_window_set_default_size (GTK_WINDOW (room->window), 1280, 800);
  gtk_window_set_child (GTK_WINDOW (room->window), GTK_WIDGET (room->page));
  tarn_style_adopt (GTK_WINDOW (room->window));
  tarn_truth_page_tell (room->page, &room->patient, sweep ? &reading : NULL, truth, &plain);
  g_signal_connect_swapped (room->page, "again", G_CALLBACK (count), &room->heard);
  g_signal_connect_swapped (room->page, "next", G_CALLBACK (count), &room->heard);
  g_signal_connect_swapped (room->page, "library", G_CALLBACK (count), &room->heard);
  gtk_window_present (GTK_WINDOW (room->window));
  gtk_test_widget_wait_for_draw (room->window);
}

static void
room_clear (Room *room)
{
  gtk_window_destroy (GTK_WINDOW (room->window));
  tarn_patient_clear (&room->patient);
  sample_fan_free (room->fan);
}

/* A label that is on the page and not hidden. */
static gboolean
says (GtkWidget *from, const char *text)
{
  if (!gtk_widget_get_visible (from))
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

static void
test_shadowed (void)
{
  Room room;
  TarnTruth truth = sample_truth_shadowed ();
  room_init (&room, &truth, TRUE);
  SAYS (room, "You wrote 214 mL; the bladder held 320 mL.");
  SAYS (room, "The bone hid 71 mL. The edge of the picture cut 38 mL.");
  SAYS (room, "Shadowed");
  SAYS (room, "Of reading 1: Do not use it: clipped");
  SAYS (room, "That was right, but the cause is another.");
  SAYS (room, "Move up, a finger’s breadth above the bone’s edge");
  SAYS (room, "Not done, or not in time:");
  /* 8 + 15 + 11 + 8: the parts as shown, not 41.5 rounded by itself. */
  SAYS (room, "Score: 42 of 100");
  SILENT (room, "Not passed");
  SAYS (room, "Upper edge of the pubic bone felt");
  SAYS (room, "The bone lay in the way.");
  SAYS (room, "The planes");
  SILENT (room, "Errors that must not happen");
  SILENT (room, "Coefficient");
  room_clear (&room);
}

/* Calipers: both errors by name, the coefficient with its source, and what must not be missed.
 */
static void
test_calipers (void)
{
  Room room;
  TarnTruth truth = sample_truth_calipers ();
  room_init (&room, &truth, FALSE);
  SAYS (room, "The formula took away 42 mL. The calipers stood too close together, for 31 mL.");
  SAYS (room, "ellipsoid");
  SAYS (room, "This bladder’s own is 0.63");
  SAYS (room, "Errors that must not happen");
  SAYS (room, "Not passed. So much urine was held back that someone had to be told");
  SAYS (room, "Not passed. Score: 42 of 100");
  SAYS (room, "only “at least”");
  SAYS (room, "fails the attempt, whatever the score");
  SILENT (room, "The planes");
  room_clear (&room);
}

static void
test_rightly_not_scanned (void)
{
  Room room;
  TarnTruth truth = sample_truth_stop ();
  room_init (&room, &truth, FALSE);
  SAYS (room, "You did not scan; the bladder held 320 mL.");
  SAYS (room, "Should not be scanned");
  SAYS (room, "That was right.");
  SILENT (room, "Not passed");
  SILENT (room, "What you wrote down");
  SILENT (room, "Where the millilitres went");
  SILENT (room, "Not accurate");
  SILENT (room, "Not done");
  room_clear (&room);
}

/* A good number of a patient who should not have been scanned: first that it is not passed and
 * why, then the number, and no praise anywhere. */
static void
test_scanned_against_a_stop (void)
{
  Room room;
  TarnTruth truth = sample_truth_shadowed ();
  truth.verdict = TARN_VERDICT_ACCURATE;
  truth.judgement = (TarnJudgement){ TARN_JUDGEMENT_USE, 0 };
  truth.was_right = (TarnJudged){ 0 };
  truth.facts.facts.stop = true;
  truth.facts.must_not_miss = truth.score.missed = TARN_MISS_SCANNED_AGAINST_STOP;
  truth.score.failed = true;
  room_init (&room, &truth, TRUE);
  SAYS (room,
        "Not passed. Something in this situation spoke against scanning, and you scanned.");
  SAYS (room, "You wrote 214 mL; the bladder held 320 mL.");
  SAYS (room, "Not passed. Score: 42 of 100");
  SAYS (room, "That was not right: something spoke against scanning.");
  SILENT (room, "Errors that must not happen");
  SILENT (room, "as close as it has to be");
  SILENT (room, "The same again");
  SILENT (room, "That was right");
  room_clear (&room);
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

static void
draw_some_frames (GtkWidget *window)
{
  for (int k = 0; k < 3; k++)
    {
      gtk_widget_queue_draw (window);
      gtk_test_widget_wait_for_draw (window);
    }
}

/* However far down one read the last letter, and wherever the focus goes. */
static void
test_opens_at_its_top (void)
{
  Room room;
  TarnTruth truth = sample_truth_shadowed ();
  room_init (&room, &truth, TRUE);
  draw_some_frames (room.window);
  GtkWidget *scroll = find (GTK_WIDGET (room.page), GTK_TYPE_SCROLLED_WINDOW);
  GtkAdjustment *at = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scroll));
  GtkWidget *grid = find (GTK_WIDGET (room.page), TARN_TYPE_FAN_GRID);
  TarnRunReading reading = sample_sweep (room.fan, TARN_READING_MEASURE, 214, 48);
  gtk_widget_grab_focus (grid);
  draw_some_frames (room.window);
  g_assert_cmpfloat (gtk_adjustment_get_value (at), >, 0);
  tarn_truth_page_tell (room.page, &room.patient, &reading, &truth, &plain);
  gtk_window_set_focus (GTK_WINDOW (room.window), NULL);
  gtk_widget_grab_focus (grid);
  draw_some_frames (room.window);
  g_assert_cmpfloat (gtk_adjustment_get_value (at), ==, 0);
  room_clear (&room);
}

/* The drawing can be read aloud, and it adds up: 320 − 71 − 38 + 3 + 0 = 214. */
static void
test_ledger_reads_aloud (void)
{
  TarnTruth truth = sample_truth_shadowed ();
  g_autofree char *text = tarn_ledger_text (&truth, &plain);
  g_assert_nonnull (strstr (text, "Truth: 320 mL\nShadow of bone: −71 mL\n"));
  g_assert_nonnull (strstr (text, "Edge of the picture: −38 mL\n"));
  g_assert_nonnull (strstr (text, "Limits of the instrument: +3 mL\n"));
  g_assert_nonnull (strstr (text, "\nReading: 214 mL"));

  GtkWidget *view = g_object_ref_sink (tarn_ledger_view_new ());
  tarn_ledger_view_set_truth (TARN_LEDGER_VIEW (view), &truth, &plain);
  gtk_test_accessible_assert_property (GTK_ACCESSIBLE (view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                       "Where the millilitres went");
  gtk_test_accessible_assert_property (GTK_ACCESSIBLE (view),
                                       GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text);
  g_object_unref (view);
}

/* The width that a window gives decides the height, and more of it never needs more. */
static void
test_ledger_has_height_for_width (void)
{
  TarnTruth truth = sample_truth_shadowed ();
  GtkWidget *view = g_object_ref_sink (tarn_ledger_view_new ());
  int narrow = 0, wide = 0;
  tarn_ledger_view_set_truth (TARN_LEDGER_VIEW (view), &truth, &plain);
  gtk_widget_measure (view, GTK_ORIENTATION_VERTICAL, 330, &narrow, NULL, NULL, NULL);
  gtk_widget_measure (view, GTK_ORIENTATION_VERTICAL, 900, &wide, NULL, NULL, NULL);
  g_assert_cmpint (wide, >, 100);
  g_assert_cmpint (narrow, >=, wide);
  g_object_unref (view);
}

/* Accurate is a plain disc in the measured blue; every other verdict has a pattern. */
static void
test_marks_of_verdicts (void)
{
  g_assert_cmpint (tarn_mark_of_verdict (TARN_VERDICT_ACCURATE), ==, TARN_MARK_MEASURED);
  for (int k = TARN_VERDICT_CLIPPED; k < TARN_VERDICTS; k++)
    g_assert_cmpint (tarn_mark_of_verdict ((TarnVerdict)k), >=, TARN_MARK_EDGE);
  g_assert_cmpint (tarn_mark_of_cause (TARN_CAUSE_GAS), ==, TARN_MARK_SHADOW);
  g_assert_cmpint (tarn_mark_of_cause (TARN_CAUSE_EDGE), ==,
                   tarn_mark_of_verdict (TARN_VERDICT_CLIPPED));
}

static void
test_ways_on (void)
{
  Room room;
  TarnTruth truth = sample_truth_shadowed ();
  room_init (&room, &truth, TRUE);
  gtk_widget_activate_action (GTK_WIDGET (room.page), "truth.again", NULL);
  gtk_widget_activate_action (GTK_WIDGET (room.page), "truth.next", NULL);
  gtk_widget_activate_action (GTK_WIDGET (room.page), "truth.library", NULL);
  g_assert_cmpint (room.heard, ==, 3);
  room_clear (&room);
}

static void
keep_result (GObject *source, GAsyncResult *result, gpointer data)
{
  (void)source;
  *(GAsyncResult **)data = g_object_ref (result);
}

/* One sweep of the plain patient from where it can be seen, with all the gel it needs. */
static void
sweep_once (TarnRun *run)
{
  const TarnPose pose = { .above_mm = 45, .tilt_rad = 0.1, .force_n = 5 };
  const TarnPose lifted = { .above_mm = 45, .tilt_rad = 0.1 };
  tarn_run_hand (run, &lifted);
  tarn_run_advance_ticks (run, 60);
  tarn_run_do (run, TARN_INPUT_GEL, 0, 20);
  tarn_run_advance_ticks (run, 1);
  tarn_run_hand (run, &pose);
  tarn_run_advance_ticks (run, 90);
  tarn_run_do (run, TARN_INPUT_SWEEP, 0, 0);
  tarn_run_advance_ticks (run, 5 * TARN_TICKS_PER_SECOND);
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
judge_and_write (TarnRun *run)
{
  const TarnInput judged
      = { .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE, .reading = 0 };
  const TarnInput written
      = { .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT, .reading = 0 };
  tarn_run_input (run, &judged);
  tarn_run_input (run, &written);
  tarn_run_do (run, TARN_INPUT_DEED, TARN_DEED_NOTE, 0);
  tarn_run_advance_ticks (run, 0);
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

/* A whole attempt through both pages: the reading appears on the one by itself, what is said
 * there is taken by the run, and the letter's sentence names the reading and the truth. */
static void
test_from_a_run (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnRun) run = tarn_run_new (&patient, &setup, &error);
  g_assert_no_error (error);
  g_autoptr (GtkWidget) judge = g_object_ref_sink (tarn_judge_page_new ());
  tarn_judge_page_set_run (TARN_JUDGE_PAGE (judge), run);
  sweep_once (run);
  const TarnJudgeView *view = tarn_judge_page_view (TARN_JUDGE_PAGE (judge));
  g_assert_cmpint (view->readings, ==, 1);
  g_assert_cmpint (view->chosen, ==, 0);
  g_assert_cmpint (view->record, ==, TARN_RECORD_NONE);
  g_autofree char *read = tarn_words_reading (&view->reading[0].reading, &plain);
  g_assert_cmpint (says (judge, read), ==, TRUE);

  judge_and_write (run);
  tarn_judge_page_refresh (TARN_JUDGE_PAGE (judge));
  g_assert_cmpint (view->reading[0].judgement.kind, ==, TARN_JUDGEMENT_USE);
  g_assert_cmpint (view->record, ==, TARN_RECORD_EXACT);
  g_assert_cmpint (view->answer[TARN_DEED_NOTE], ==, TARN_ANSWER_DONE);

  GAsyncResult *result = NULL;
  tarn_run_do (run, TARN_INPUT_FINISH, 0, 0);
  tarn_run_truth_async (run, NULL, keep_result, &result);
  while (result == NULL)
    g_main_context_iteration (NULL, TRUE);
  const TarnTruth *truth = tarn_run_truth_finish (run, result, &error);
  g_assert_no_error (error);
  g_autoptr (GtkWidget) page = g_object_ref_sink (tarn_truth_page_new ());
  tarn_truth_page_show (TARN_TRUTH_PAGE (page), run, truth);
  g_autofree char *headline = tarn_words_headline (truth, &plain);
  g_assert_cmpint (says (page, headline), ==, TRUE);
  g_assert_cmpint (says (page, read), ==, TRUE);
  g_assert_cmpint (says (page, "The planes"), ==, TRUE);
  g_object_unref (result);
  tarn_judge_page_set_run (TARN_JUDGE_PAGE (judge), NULL);
  tarn_patient_clear (&patient);
}

/* At text half as large again the page fits the smallest window, less its header bar; what is
 * pressed is large enough (WCAG 2.2, 2.5.8: 24 px). */
static void
test_fits (void)
{
  Room room;
  TarnTruth truth = sample_truth_shadowed ();
  room_init (&room, &truth, TRUE);
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
  g_test_add_func ("/truth/shadowed", test_shadowed);
  g_test_add_func ("/truth/calipers", test_calipers);
  g_test_add_func ("/truth/rightly-not-scanned", test_rightly_not_scanned);
  g_test_add_func ("/truth/scanned-against-a-stop", test_scanned_against_a_stop);
  g_test_add_func ("/truth/opens-at-its-top", test_opens_at_its_top);
  g_test_add_func ("/truth/ledger-reads-aloud", test_ledger_reads_aloud);
  g_test_add_func ("/truth/ledger-has-height-for-width", test_ledger_has_height_for_width);
  g_test_add_func ("/truth/marks-of-verdicts", test_marks_of_verdicts);
  g_test_add_func ("/truth/ways-on", test_ways_on);
  g_test_add_func ("/truth/from-a-run", test_from_a_run);
  g_test_add_func ("/truth/fits", test_fits);
  return g_test_run ();
}
