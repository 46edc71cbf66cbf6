/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An attempt on its own thread is the attempt of the engine, byte for byte: the same inputs at
 * the same ticks, once through the run that the window drives and once straight into the
 * engine. */
#include "app/run.h"

#include "base/units.h"

typedef struct
{
  int ticks; /* that pass before it */
  TarnInput input;
} Step;

#define HAND(above, left, tilt, turn, force)                                                   \
  {                                                                                            \
    .kind = TARN_INPUT_HAND, .value = { above, left, tilt, 0, turn, force }                    \
  }
#define DO(...)                                                                                \
  {                                                                                            \
    .kind = __VA_ARGS__                                                                        \
  }

static const Step script[] = {
  { 3, DO (TARN_INPUT_DEED, .code = TARN_DEED_IDENTITY) },
  { 5, DO (TARN_INPUT_DEED, .code = TARN_DEED_CONSENT) },
  { 20, DO (TARN_INPUT_PALPATE, .value = { 0, 0 }) },
  { 10, HAND (45, 0, 0.1, 0, 0) },
  { 10, DO (TARN_INPUT_GEL, .value = { 20 }) },
  { 10, HAND (45, 0, 0.1, 0, 5) },
  { 60, HAND (50, 4, 0.15, 0, 6) },
  { 45, DO (TARN_INPUT_SWEEP) },
  { 100, HAND (51, 4, 0.15, 0, 6) },
  { 120, DO (TARN_INPUT_FREEZE, .code = 0) },
  { 30, HAND (50, 4, 0.15, TARN_PI / 2, 6) },
  { 80, DO (TARN_INPUT_FREEZE, .code = 1) },
  { 2, DO (TARN_INPUT_CALIPER, .code = TARN_CALIPER_WIDTH, .value = { -40, 80, 40, 80 }) },
  { 2, DO (TARN_INPUT_CALIPER, .code = TARN_CALIPER_HEIGHT, .value = { 0, 60, 0, 120 }) },
  { 2, DO (TARN_INPUT_CALIPER, .code = TARN_CALIPER_LENGTH, .value = { -45, 90, 45, 95 }) },
  { 2, DO (TARN_INPUT_MEASURE, .value = { 0.52 }) },
  { 5, DO (TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE, .reading = 0) },
  { 5, DO (TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT, .reading = 0) },
  { 5, DO (TARN_INPUT_DEED, .code = TARN_DEED_NOTE) },
  { 5, DO (TARN_INPUT_FINISH) },
};

static TarnAttemptSetup
setup_of (void)
{
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  setup.mode = TARN_MODE_PRACTICE;
  setup.seed = 77;
  return setup;
}

static uint64_t
engine_alone (const TarnPatient *patient)
{
  TarnAttemptSetup setup = setup_of ();
  TarnAttempt *attempt = NULL;
  g_assert_cmpint (tarn_attempt_new (patient, &setup, &attempt, NULL), ==, TARN_OK);
  for (gsize k = 0; k < G_N_ELEMENTS (script); k++)
    {
      for (int tick = 0; tick < script[k].ticks; tick++)
        g_assert_cmpint (tarn_attempt_tick (attempt), ==, TARN_OK);
      g_assert_cmpint (tarn_attempt_input (attempt, &script[k].input), ==, TARN_OK);
    }
  uint64_t digest = tarn_attempt_digest (attempt);
  tarn_attempt_free (attempt);
  return digest;
}

static void
test_same_attempt (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnAttemptSetup setup = setup_of ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnRun) run = tarn_run_new (&patient, &setup, &error);
  g_assert_no_error (error);
  tarn_run_set_paper (run, &(TarnRunPaper){ .width = 320, .height = 240, .text_size = 1 });
  tarn_run_set_scene (run, TARN_RUN_SCENE);

  for (gsize k = 0; k < G_N_ELEMENTS (script); k++)
    {
      tarn_run_advance_ticks (run, script[k].ticks);
      tarn_run_input (run, &script[k].input);
      tarn_run_advance_ticks (run, 0);
    }
  g_assert_cmphex (tarn_run_digest (run), ==, engine_alone (&patient));
  g_assert_cmpint (tarn_run_readings (run), ==, 2);
  g_autoptr (GArray) log = tarn_run_log (run);
  g_assert_cmpint (log->len, ==, G_N_ELEMENTS (script));

  g_autoptr (TarnRunFrame) frame = tarn_run_frame (run);
  g_assert_true (frame->bedside.finished);
  g_assert_nonnull (frame->sector);
  g_assert_nonnull (frame->scene);
  tarn_patient_clear (&patient);
}

/* A frozen plane is shot once, a live one with each frame. */
static void
test_only_what_changes (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnAttemptSetup setup = setup_of ();
  g_autoptr (TarnRun) run = tarn_run_new (&patient, &setup, NULL);
  const TarnInput press = HAND (45, 0, 0.1, 0, 5);
  tarn_run_do (run, TARN_INPUT_GEL, 0, 20);
  tarn_run_input (run, &press);
  tarn_run_advance_ticks (run, 60);
  g_autoptr (TarnRunFrame) first = tarn_run_frame (run);
  tarn_run_advance_ticks (run, 1);
  g_autoptr (TarnRunFrame) second = tarn_run_frame (run);
  g_assert_cmpuint (second->plane_number, ==, first->plane_number + 1);

  tarn_run_do (run, TARN_INPUT_FREEZE, 1, 0);
  tarn_run_advance_ticks (run, 1);
  g_autoptr (TarnRunFrame) third = tarn_run_frame (run);
  tarn_run_advance_ticks (run, 30);
  g_autoptr (TarnRunFrame) fourth = tarn_run_frame (run);
  g_assert_true (fourth->bedside.frozen);
  g_assert_cmpuint (fourth->plane_number, ==, third->plane_number);
  g_assert_true (fourth->grey == third->grey);
  tarn_patient_clear (&patient);
}

static void
on_refused (TarnRun *run, int kind, int status, int *count)
{
  (void)run;
  g_assert_cmpint (kind, ==, TARN_INPUT_MEASURE);
  g_assert_cmpint (status, ==, TARN_IMPOSSIBLE);
  ++*count;
}

static void
test_refusals_are_told (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnAttemptSetup setup = setup_of ();
  g_autoptr (TarnRun) run = tarn_run_new (&patient, &setup, NULL);
  int refused = 0;
  g_signal_connect (run, "refused", G_CALLBACK (on_refused), &refused);
  tarn_run_do (run, TARN_INPUT_MEASURE, 0, 0.52);
  tarn_run_advance_ticks (run, 1);
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_assert_cmpint (refused, ==, 1);
  tarn_patient_clear (&patient);
}

static void
on_truth (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;
  (void)source;
  *(bool *)data = true;
  g_assert_null (tarn_run_truth_finish (TARN_RUN (source), result, &error));
  g_assert_nonnull (error);
}

/* The truth of an attempt that is not over is an error, not a number. */
static void
test_truth_waits_for_the_end (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnAttemptSetup setup = setup_of ();
  g_autoptr (TarnRun) run = tarn_run_new (&patient, &setup, NULL);
  bool told = false;
  tarn_run_truth_async (run, NULL, on_truth, &told);
  while (!told)
    g_main_context_iteration (NULL, TRUE);
  tarn_patient_clear (&patient);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/run/same-attempt", test_same_attempt);
  g_test_add_func ("/run/only-what-changes", test_only_what_changes);
  g_test_add_func ("/run/refusals", test_refusals_are_told);
  g_test_add_func ("/run/truth-waits", test_truth_waits_for_the_end);
  return g_test_run ();
}
