/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The scripted novice: where it begins, that it can be repeated, and that it learns. */
#include "engine/coach/novice.h"

#include "base/units.h"

#include <glib.h>
#include <string.h>

#define STARTS 2

typedef struct
{
  TarnNoviceRun run[STARTS][TARN_NOVICES];
} Log;

/* Each turn has a place of its own. */
static void
note (void *context, int start, TarnNoviceKind kind, const TarnNoviceRun *run)
{
  Log *log = context;
  log->run[start][kind] = *run;
}

static int
starts (void)
{
  return g_getenv ("TARN_TEST_QUICK") != NULL ? 1 : STARTS;
}

/* With a small probe, quickly swept: figures are not looked at here. */
static TarnPatient
quick_patient (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.probe.lines = 48;
  patient.probe.samples = 256;
  patient.probe.planes = 5;
  return patient;
}

static Log *
learn (guint64 seed, const TarnParallel *parallel, TarnLearned learned[TARN_NOVICES])
{
  Log *log = g_new0 (Log, 1);
  TarnPatient patient = quick_patient ();
  TarnLearnOptions options = {
    .starts = starts (), .seed = seed, .parallel = parallel, .done = note, .context = log
  };
  g_assert_cmpint (tarn_learn (&patient, &options, learned, NULL), ==, TARN_OK);
  return log;
}

static void
assert_same_pose (const TarnPose *a, const TarnPose *b)
{
  g_assert_cmpmem (a, sizeof *a, b, sizeof *b);
}

static void
test_threads_change_nothing (void)
{
  TarnThreadPool *pool = tarn_thread_pool_new (2);
  TarnLearned alone[TARN_NOVICES], many[TARN_NOVICES];
  Log *a = learn (8, NULL, alone), *b = learn (8, tarn_thread_pool_parallel (pool), many);
  for (int kind = 0; kind < TARN_NOVICES; kind++)
    {
      int good = 0, sweeps = 0;
      g_assert_cmpfloat (alone[kind].success, ==, many[kind].success);
      g_assert_cmpfloat (alone[kind].sweeps, ==, many[kind].sweeps);
      for (int k = 0; k < starts (); k++)
        {
          const TarnNoviceRun *run = &a->run[k][kind];
          assert_same_pose (&run->pose, &b->run[k][kind].pose);
          g_assert_cmpfloat (run->reading.volume_ml, ==, b->run[k][kind].reading.volume_ml);
          g_assert_cmpint (run->sweeps, >=, 1);
          g_assert_cmpint (run->sweeps, <=, TARN_NOVICE_SWEEPS);
          good += run->success;
          sweeps += run->sweeps;
        }
      g_assert_cmpfloat_with_epsilon (alone[kind].success, (double)good / starts (), 1e-12);
      g_assert_cmpfloat_with_epsilon (alone[kind].sweeps, (double)sweeps / starts (), 1e-12);
    }
  g_free (a);
  g_free (b);
  tarn_thread_pool_free (pool);
}

/* The ranges that novice.h gives, bad habits included. */
static void
test_it_begins_about_the_landmark (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnPose before = { 0 };
  for (guint64 seed = 0; seed < 4; seed++)
    {
      TarnNoviceStart *start;
      g_assert_cmpint (tarn_novice_start_new (&patient, seed, &start, NULL), ==, TARN_OK);
      TarnPose pose = tarn_novice_start_pose (start);
      g_assert_cmpfloat (pose.above_mm, >=, 15);
      g_assert_cmpfloat (pose.above_mm, <=, 65);
      g_assert_cmpfloat (ABS (pose.left_mm), <=, 45);
      g_assert_cmpfloat (pose.tilt_rad, >=, tarn_rad_from_deg (-5));
      g_assert_cmpfloat (pose.tilt_rad, <=, tarn_rad_from_deg (50));
      g_assert_cmpfloat (ABS (pose.lean_rad), <=, tarn_rad_from_deg (10));
      g_assert_cmpfloat (pose.force_n, >=, 2);
      g_assert_cmpfloat (pose.force_n, <=, 30);
      g_assert_cmpfloat (pose.above_mm, !=, before.above_mm);
      before = pose;
      tarn_novice_start_free (start);
    }
}

/* A patient that cannot be is told as such. */
static void
test_an_impossible_patient_is_refused (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnLearnOptions options = { .starts = 2 };
  TarnLearned learned[TARN_NOVICES];
  TarnProblem problem = { 0 };
  patient.structures = 1;
  patient.structure[0] = (TarnStructure){ .kind = TARN_STRUCTURE_CYST,
                                          .centre_mm = { 0, 70, 40 },
                                          .radii_mm = { 30, 30, 30 } };
  g_assert_cmpint (tarn_learn (&patient, &options, learned, &problem), ==, TARN_IMPOSSIBLE);
  g_assert_nonnull (strstr (problem.key, "Structure 1"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/novice/threads-change-nothing", test_threads_change_nothing);
  g_test_add_func ("/novice/begins-about-the-landmark", test_it_begins_about_the_landmark);
  g_test_add_func ("/novice/an-impossible-patient-is-refused",
                   test_an_impossible_patient_is_refused);
  return g_test_run ();
}
