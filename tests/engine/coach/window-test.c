/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The acoustic window: it is the map of forecasts that it says it is, its figures follow from
 * the map, and difficulty goes the way it must. */
#include "engine/coach/window.h"

#include "base/parallel.h"
#include "base/units.h"

#include <glib.h>
#include <string.h>

static int
wanted (void)
{
  return g_getenv ("TARN_TEST_QUICK") != NULL ? 30 : 40;
}

static TarnAcousticWindow *
map_of (const TarnPatient *patient, const TarnParallel *parallel)
{
  TarnAcousticWindow *window = g_new (TarnAcousticWindow, 1);
  TarnWindowOptions options = { .poses_wanted = wanted (), .parallel = parallel };
  g_assert_cmpint (tarn_window_map (patient, &options, window, NULL), ==, TARN_OK);
  return window;
}

/* Of the plain patient; made once. */
static const TarnAcousticWindow *
plain_map (void)
{
  static TarnAcousticWindow *window;
  TarnPatient patient = tarn_patient_default ();
  if (window == NULL)
    window = map_of (&patient, NULL);
  return window;
}

static TarnPose
pose_of (const TarnAcousticWindow *window, int layer, int above, int left, int tilt)
{
  return (TarnPose){ .above_mm = window->above.first + above * window->above.step,
                     .left_mm = window->left.first + left * window->left.step,
                     .tilt_rad = window->tilt.first + tilt * window->tilt.step,
                     .force_n = window->layer[layer].force_n };
}

/* What the map's figures follow from. */
static void
check_figures (const TarnAcousticWindow *window)
{
  int open = 0, poses = 0, verdict[TARN_VERDICTS] = { 0 };
  for (int k = 0; k < window->layers; k++)
    for (int a = 0; a < window->above.count; a++)
      for (int l = 0; l < window->left.count; l++)
        for (int t = 0; t < window->tilt.count; t++)
          {
            poses++;
            open += window->layer[k].open[a][l][t];
            verdict[window->layer[k].verdict[a][l][t]]++;
          }
  g_assert_cmpint (window->poses, ==, poses);
  g_assert_cmpint (window->accurate, ==, open);
  g_assert_cmpint (window->open, ==, open > 0);
  for (int k = 0; k < TARN_VERDICTS; k++)
    g_assert_cmpfloat_with_epsilon (window->share[k], (double)verdict[k] / poses, 1e-9);
  g_assert_cmpfloat (window->difficulty, >=, 0);
  g_assert_cmpfloat (window->difficulty, <=, 100);

  const int *best = window->best_cell;
  TarnPose pose = pose_of (window, window->best_layer, best[0], best[1], best[2]);
  g_assert_cmpmem (&pose, sizeof pose, &window->best, sizeof pose);
  if (!window->open)
    return;
  g_assert_true (window->layer[window->best_layer].open[best[0]][best[1]][best[2]]);
  /* The size: the run of open cells through the best one. */
  int run = 1;
  for (int way = -1; way <= 1; way += 2)
    for (int l = best[1] + way; l >= 0 && l < window->left.count
                                && window->layer[window->best_layer].open[best[0]][l][best[2]];
         l += way)
      run++;
  g_assert_cmpfloat_with_epsilon (window->left_mm, run * window->left.step, 1e-9);
}

static void
test_plain_patient_has_a_window_about_the_midline (void)
{
  const TarnAcousticWindow *window = plain_map ();
  check_figures (window);
  g_assert_true (window->open);
  g_assert_false (window->lower_bound);
  g_assert_cmpfloat (fabs (window->best.left_mm), <=, window->left.step);
  g_assert_cmpfloat (window->best_coverage, >, 0.97);
}

/* Each cell is what asking for its pose gives. */
static void
test_cells_are_forecasts (void)
{
  TarnPatient patient = tarn_patient_default ();
  const TarnAcousticWindow *window = plain_map ();
  TarnBody *body = NULL;
  TarnSurvey *survey = NULL;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  g_assert_cmpint (tarn_survey_new (body, &survey), ==, TARN_OK);
  for (int k = 0; k < 20; k++)
    {
      int layer = k % window->layers, a = k * 5 % window->above.count;
      int l = k * 3 % window->left.count, t = k * 7 % window->tilt.count;
      TarnPose pose = pose_of (window, layer, a, l, t);
      TarnCoverage coverage;
      g_assert_cmpint (tarn_coverage_at (survey, &pose, NULL, 0, &coverage), ==, TARN_OK);
      g_assert_cmpint (window->layer[layer].verdict[a][l][t], ==, coverage.verdict);
      g_assert_cmpfloat_with_epsilon (window->layer[layer].coverage[a][l][t],
                                      coverage.seen_ml / coverage.urine_ml, 1e-6);
    }
  tarn_survey_free (survey);
  tarn_body_free (body);
}

/* 1,700 mL, as wide as long: no pose holds it. */
static void
test_too_full_a_bladder_is_at_least (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.torso_width_mm = 310;
  patient.habitus.torso_depth_mm = 205;
  patient.habitus.fat_mm = 8;
  patient.bladder.volume_ml = 1700;
  patient.bladder.length_mm = patient.bladder.width_mm = 190;
  patient.bladder.height_mm = 105;
  TarnAcousticWindow *window = map_of (&patient, NULL);
  check_figures (window);
  g_assert_true (window->lower_bound);
  g_assert_true (window->open);
  g_assert_cmpfloat (window->share[TARN_VERDICT_CLIPPED], >, 0.8);
  g_free (window);
}

/* Open cells to the patient's left (1) or right (-1). */
static int
open_on (const TarnAcousticWindow *window, int side)
{
  int open = 0;
  for (int k = 0; k < window->layers; k++)
    for (int a = 0; a < window->above.count; a++)
      for (int l = 0; l < window->left.count; l++)
        for (int t = 0; t < window->tilt.count; t++)
          if ((window->left.first + l * window->left.step) * side > 1)
            open += window->layer[k].open[a][l][t];
  return open;
}

/* The same bladder behind gas is harder; one that all but fills the field is harder than one
 * that is easily held; and one that lies to the left is rather read from the left. */
static void
test_difficulty_goes_the_right_way (void)
{
  TarnPatient full = tarn_patient_default (), gassy = full,
              small = full; /* full: as plain_map () has it */
  gassy.structure[gassy.structures++] = (TarnStructure){ .kind = TARN_STRUCTURE_BOWEL_GAS,
                                                         .centre_mm = { 0, 0, 75 },
                                                         .radii_mm = { 34, 7, 26 } };
  small.bladder.volume_ml = 120;
  small.bladder.length_mm = 66;
  small.bladder.width_mm = 74;
  small.bladder.height_mm = 39;
  small.bladder.left_mm = 35;
  const TarnAcousticWindow *plain = plain_map ();
  TarnAcousticWindow *behind = map_of (&gassy, NULL);
  TarnAcousticWindow *aside = map_of (&small, NULL);
  check_figures (behind);
  check_figures (aside);
  g_test_message ("difficulty %.1f; behind gas %.1f, small and aside %.1f", plain->difficulty,
                  behind->difficulty, aside->difficulty);
  g_assert_cmpfloat (behind->difficulty, >, plain->difficulty);
  g_assert_cmpint (behind->accurate, <, plain->accurate);
  g_assert_cmpfloat (aside->difficulty, <, plain->difficulty);
  g_assert_cmpint (open_on (aside, 1), >, open_on (aside, -1));
  g_free (behind);
  g_free (aside);
}

static void
test_fold_adds_layers (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.fat_mm = 40;
  patient.habitus.pannus_mm = 40;
  patient.habitus.pannus_reach_mm = 120;
  patient.habitus.torso_width_mm = 420;
  patient.habitus.torso_depth_mm = 300;
  TarnAcousticWindow *window = map_of (&patient, NULL);
  check_figures (window);
  bool flat = false, lifted = false;
  for (int k = 0; k < window->layers; k++)
    {
      flat |= window->layer[k].lift == 0;
      lifted |= window->layer[k].lift == 1;
      g_assert_cmpfloat (window->layer[k].force_n, <=, patient.temper.comfort_n);
    }
  g_assert_true (flat && lifted);
  g_free (window);
}

static void
test_threads_change_nothing (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnThreadPool *pool = tarn_thread_pool_new (3);
  const TarnAcousticWindow *one = plain_map ();
  TarnAcousticWindow *three = map_of (&patient, tarn_thread_pool_parallel (pool));
  g_assert_cmpmem (one->layer, sizeof one->layer, three->layer, sizeof three->layer);
  g_assert_cmpmem (&one->best, sizeof one->best, &three->best, sizeof three->best);
  g_assert_true (one->difficulty == three->difficulty);
  tarn_thread_pool_free (pool);
  g_free (three);
}

static bool
after_a_few (void *context)
{
  return ++*(int *)context > 5;
}

static void
test_can_be_cancelled (void)
{
  TarnPatient patient = tarn_patient_default ();
  g_autofree TarnAcousticWindow *window = g_new (TarnAcousticWindow, 1);
  int asked = 0;
  TarnWindowOptions options
      = { .poses_wanted = 100, .cancelled = after_a_few, .context = &asked };
  g_assert_cmpint (tarn_window_map (&patient, &options, window, NULL), ==, TARN_IMPOSSIBLE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/window/plain-patient-has-a-window-about-the-midline",
                   test_plain_patient_has_a_window_about_the_midline);
  g_test_add_func ("/window/cells-are-forecasts", test_cells_are_forecasts);
  g_test_add_func ("/window/too-full-a-bladder-is-at-least",
                   test_too_full_a_bladder_is_at_least);
  g_test_add_func ("/window/difficulty-goes-the-right-way", test_difficulty_goes_the_right_way);
  g_test_add_func ("/window/fold-adds-layers", test_fold_adds_layers);
  g_test_add_func ("/window/threads-change-nothing", test_threads_change_nothing);
  g_test_add_func ("/window/can-be-cancelled", test_can_be_cancelled);
  return g_test_run ();
}
