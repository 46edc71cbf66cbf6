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

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ledger/cases", test_cases);
  g_test_add_func ("/ledger/threads", test_thread_counts_change_nothing);
  g_test_add_func ("/ledger/nothing-removed", test_nothing_removed_is_the_reading);
  return g_test_run ();
}
