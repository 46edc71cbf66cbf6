/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What must hold of every error ledger. */
#include "people.h"

#include <glib.h>
#include <string.h>

/* Bowel gas between the abdominal wall and the dome. */
static TarnPatient
person_gassy (double volume_ml)
{
  TarnPatient patient = person_plain (volume_ml);
  person_add (&patient, TARN_STRUCTURE_BOWEL_GAS, tarn_vec3 (8, 25, 92), tarn_vec3 (34, 9, 11));
  return patient;
}

typedef struct
{
  TarnPatient (*person) (double volume_ml);
  double volume_ml;
  Pose pose;
} Case;

static const Case cases[] = {
  { person_plain, 180, POSE_OF (.above_mm = 10, .tilt_deg = -10) },
  { person_plain, 320, POSE_OF (.above_mm = 20, .tilt_deg = 20) },
  { person_slim, 400, POSE_OF (.above_mm = 0, .tilt_deg = 0) },
  { person_gassy, 260, POSE_OF (.above_mm = 120, .tilt_deg = 40) },
  { person_gassy, 260, POSE_OF (.above_mm = 105, .tilt_deg = 20, .gel_g = 2) },
};

static void
run_case (const Case *one, Outcome *outcome, TarnGeometricLoss *loss)
{
  TarnPatient patient = one->person (one->volume_ml);
  TarnBody *body = person_body (&patient, 0);
  *outcome = scan_with_ledger (body, one->pose);
  *loss = lose (body, one->pose);
  say (patient.id, one->pose, outcome);
  g_test_message ("by rays: edge %.1f bone %.1f gas %.1f", loss->hidden_ml[TARN_CAUSE_EDGE],
                  loss->hidden_ml[TARN_CAUSE_BONE], loss->hidden_ml[TARN_CAUSE_GAS]);
  tarn_body_free (body);
}

/* Sum, absent causes, and the second way: where rays put one cause clearly above another, so
 * does the ledger. */
static void
test_cases (void)
{
  int compared = 0;
  for (gsize c = 0; c < G_N_ELEMENTS (cases); c++)
    {
      Outcome outcome;
      TarnGeometricLoss loss;
      run_case (&cases[c], &outcome, &loss);

      double sum_ml = 0;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        {
          sum_ml += outcome.ledger.entry_ml[cause];
          if (cause != TARN_CAUSE_REST && !(outcome.ledger.acting >> cause & 1))
            g_assert_cmpfloat (outcome.ledger.entry_ml[cause], ==, 0);
        }
      g_assert_cmpfloat_with_epsilon (sum_ml, outcome.error_ml, 1e-9);
      g_assert_cmpuint (outcome.ledger.acting & 1u << TARN_CAUSE_OTHER_FLUID, ==, 0);
      if (cases[c].person != person_gassy)
        g_assert_cmpfloat (outcome.ledger.entry_ml[TARN_CAUSE_GAS], ==, 0);

      for (int a = TARN_CAUSE_EDGE; a <= TARN_CAUSE_GAS; a++)
        for (int b = TARN_CAUSE_EDGE; b <= TARN_CAUSE_GAS; b++)
          if (loss.hidden_ml[a] > 1.5 * loss.hidden_ml[b] + 0.05 * outcome.truth_ml)
            {
              g_assert_cmpfloat (outcome.ledger.entry_ml[a], <, outcome.ledger.entry_ml[b]);
              compared++;
            }
    }
  g_assert_cmpint (compared, >=, 6);
}

static void
test_thread_counts_change_nothing (void)
{
  TarnPatient patient = person_gassy (260);
  TarnBody *body = person_body (&patient, 0);
  TarnLedger ledger[2];
  for (int threads = 1; threads <= 4; threads += 3)
    {
      TarnScanOptions options = pose_options (
          POSE (.above_mm = 110, .tilt_deg = 30, .gel_g = 1, .tremor_mm = 2, .seed = 7));
      TarnThreadPool *pool = tarn_thread_pool_new (threads);
      options.parallel = tarn_thread_pool_parallel (pool);
      options.planes = 18;
      g_autofree TarnScan *scan = g_new (TarnScan, 1);
      g_assert_cmpint (tarn_scan_run (body, &options, scan), ==, TARN_OK);
      ledger[threads > 1] = scan->ledger;
      g_assert_cmpuint (scan->ledger.acting & 1u << TARN_CAUSE_MOTION, !=, 0);
      tarn_scan_clear (scan);
      tarn_thread_pool_free (pool);
    }
  g_assert_cmpmem (&ledger[0], sizeof ledger[0], &ledger[1], sizeof ledger[1]);
  tarn_body_free (body);
}

/* The set with nothing removed is the reading itself, and a body that holds still has no
 * motion to remove. */
static void
test_nothing_removed_is_the_reading (void)
{
  TarnPatient patient = person_plain (200);
  patient.temper.breathing_mm = 0;
  TarnBody *body = person_body (&patient, 0);
  TarnScanOptions options = pose_options (POSE (.above_mm = 10, .tilt_deg = 10));
  options.ledger = false;
  g_autofree TarnScan *scan = g_new (TarnScan, 1);
  g_assert_cmpint (tarn_scan_run (body, &options, scan), ==, TARN_OK);
  TarnLedger ledger;
  double reading_ml[TARN_LEDGER_SETS];
  g_assert_cmpint (tarn_ledger_run (&scan->setup, &scan->sweep, &ledger, reading_ml), ==,
                   TARN_OK);
  g_assert_cmpfloat (reading_ml[0], ==, scan->sweep.reading.volume_ml);
  g_assert_cmpuint (ledger.acting & 1u << TARN_CAUSE_MOTION, ==, 0);
  g_assert_cmpfloat (ledger.entry_ml[TARN_CAUSE_MOTION], ==, 0);
  tarn_scan_clear (scan);
  tarn_body_free (body);
}

/* The slow way. */

#define SLOW_CAUSES 3
static const TarnCause slow_cause[SLOW_CAUSES]
    = { TARN_CAUSE_GAS, TARN_CAUSE_CONTACT, TARN_CAUSE_MOTION };

/* A whole sweep of its own with causes that are not there at all, a bit for each: a body
 * without gas, a face wet all over, a hand and a patient that keep still. */
static double
reading_without (unsigned removed, double volume_ml, Pose pose)
{
  TarnPatient patient = removed & 1 ? person_plain (volume_ml) : person_gassy (volume_ml);
  TarnBody *body = person_body (&patient, 0);
  TarnScanOptions options = pose_options (pose);
  TarnSweepSetup setup = tarn_sweep_setup (body, &options.pose);
  setup.motion = tarn_motion_for (&patient, pose.tremor_mm, pose.seed);
  if (removed & 4)
    setup.motion = (TarnMotion){ .duration_s = setup.motion.duration_s, .seed = pose.seed };
  setup.planes = options.planes;
  setup.parallel = options.parallel;
  g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  g_assert_cmpint (tarn_gel_dose (film, pose.above_mm, pose.left_mm, pose.gel_g), ==, TARN_OK);
  setup.film = removed & 2 ? NULL : film;
  g_autofree TarnSweep *sweep = g_new (TarnSweep, 1);
  g_assert_cmpint (tarn_sweep_run (&setup, false, sweep), ==, TARN_OK);
  double reading_ml = sweep->reading.volume_ml;
  tarn_sweep_clear (sweep);
  tarn_body_free (body);
  return reading_ml;
}

/* Three causes, eight sweeps, all six orders of removal: from outside the same as the ledger
 * from within.  Edge and bone, where the ledger tries them too, have nothing to give here. */
static void
test_three_causes_by_whole_sweeps (void)
{
  static const int order[6][SLOW_CAUSES]
      = { { 0, 1, 2 }, { 0, 2, 1 }, { 1, 0, 2 }, { 1, 2, 0 }, { 2, 0, 1 }, { 2, 1, 0 } };
  const double volume_ml = 320;
  Pose pose = POSE (.above_mm = 110, .tilt_deg = 33, .force_n = 2, .gel_g = 2, .tremor_mm = 5,
                    .seed = 3, .planes = 18);
  TarnPatient patient = person_gassy (volume_ml);
  TarnBody *body = person_body (&patient, 0);
  Outcome outcome = scan_with_ledger (body, pose);
  say ("three causes", pose, &outcome);

  double error_ml[1 << SLOW_CAUSES], entry_ml[SLOW_CAUSES] = { 0 };
  for (unsigned set = 0; set < 1 << SLOW_CAUSES; set++)
    {
      error_ml[set] = reading_without (set, volume_ml, pose) - outcome.truth_ml;
      g_test_message ("without %u: %.2f mL off", set, error_ml[set]);
    }
  for (int o = 0; o < 6; o++)
    {
      unsigned removed = 0;
      for (int k = 0; k < SLOW_CAUSES; k++)
        {
          unsigned with = removed | 1u << order[o][k];
          entry_ml[order[o][k]] += (error_ml[removed] - error_ml[with]) / 6;
          removed = with;
        }
    }
  g_assert_cmpfloat_with_epsilon (error_ml[0], outcome.error_ml, 1e-9);
  for (int k = 0; k < SLOW_CAUSES; k++)
    {
      double said_ml = outcome.ledger.entry_ml[slow_cause[k]];
      g_test_message ("%s: %.2f mL by the ledger, %.2f by whole sweeps",
                      tarn_cause_name (slow_cause[k]), said_ml, entry_ml[k]);
      g_assert_cmpuint (outcome.ledger.acting >> slow_cause[k] & 1, ==, 1);
      g_assert_cmpfloat (fabs (entry_ml[k]), >, 3);
      g_assert_cmpfloat_with_epsilon (said_ml, entry_ml[k], 0.75);
    }
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ledger/cases", test_cases);
  g_test_add_func ("/ledger/threads", test_thread_counts_change_nothing);
  g_test_add_func ("/ledger/nothing-removed", test_nothing_removed_is_the_reading);
  g_test_add_func ("/ledger/by-whole-sweeps", test_three_causes_by_whole_sweeps);
  return g_test_run ();
}
