/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One call from a pose to a verdict, and the straight rays beside it. */
#include "base/units.h"
#include "engine/verdict/scan.h"

#include <glib.h>

static TarnBody *
default_body (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = NULL;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  return body;
}

static double
count_calls (void *clock)
{
  return ++*(double *)clock;
}

/* What is in one struct is consistent. */
static void
test_scan_fills_everything (void)
{
  TarnBody *body = default_body ();
  g_autofree TarnScan *scan = g_new (TarnScan, 1);
  TarnScanOptions options = tarn_scan_options_default ();
  double clock = 0;
  options.keep_planes = true;
  options.now_ms = count_calls;
  options.clock = &clock;
  g_assert_cmpint (tarn_scan_run (body, &options, scan), ==, TARN_OK);

  g_assert_cmpfloat_with_epsilon (scan->truth_ml, 300, 1e-9);
  g_assert_cmpfloat_with_epsilon (scan->pressed_volume_ml, 300, 0.001 * 300);
  g_assert_cmpfloat (scan->error_ml, ==, scan->sweep.reading.volume_ml - scan->truth_ml);
  g_assert_cmpfloat_with_epsilon (scan->tolerance_ml, 30, 1e-9);
  g_assert_true (scan->has_ledger);
  g_assert_false (scan->over_comfort);
  g_assert_nonnull (scan->sweep.grey);
  g_assert_cmpint (scan->sweep.planes, ==, 36);
  g_assert_cmpfloat (scan->contents.urine, >, 0.9);
  g_assert_cmpfloat (scan->contents.urine + scan->contents.other, <=, 1);
  g_assert_cmpstr (tarn_verdict_name (scan->verdict), ==, "accurate");
  g_assert_cmpfloat (scan->sweep_ms, >, 0);
  g_assert_cmpfloat (scan->ledger_ms, >, 0);
  tarn_scan_clear (scan);
  tarn_body_free (body);
}

static void
test_without_a_ledger_a_wrong_reading_has_no_cause (void)
{
  TarnBody *body = default_body ();
  g_autofree TarnScan *scan = g_new (TarnScan, 1);
  TarnScanOptions options = tarn_scan_options_default ();
  options.ledger = false;
  options.pose.left_mm = 80;
  options.pose.lean_rad = tarn_rad_from_deg (15);
  options.pose.force_n = 25;
  g_assert_cmpint (tarn_scan_run (body, &options, scan), ==, TARN_OK);
  g_assert_cmpstr (tarn_verdict_name (scan->verdict), ==, "not-accurate");
  g_assert_false (scan->has_ledger);
  g_assert_true (scan->over_comfort);
  tarn_scan_clear (scan);
  tarn_body_free (body);
}

static void
test_bad_options_are_refused (void)
{
  TarnBody *body = default_body ();
  g_autofree TarnScan *scan = g_new (TarnScan, 1);
  TarnScanOptions good = tarn_scan_options_default (), bad;
  bad = good;
  bad.gel_g = NAN;
  g_assert_cmpint (tarn_scan_run (body, &bad, scan), ==, TARN_OUT_OF_RANGE);
  bad = good;
  bad.pose.above_mm = INFINITY;
  g_assert_cmpint (tarn_scan_run (body, &bad, scan), !=, TARN_OK);
  bad = good;
  bad.pose.left_mm = 300;
  g_assert_cmpint (tarn_scan_run (body, &bad, scan), ==, TARN_OFF_BODY);
  g_assert_cmpint (scan->sweep.planes, ==, 0);
  bad = good;
  bad.tremor_mm = 51;
  g_assert_cmpint (tarn_scan_run (body, &bad, scan), ==, TARN_OUT_OF_RANGE);
  bad = good;
  bad.planes = -1;
  g_assert_cmpint (tarn_scan_run (body, &bad, scan), ==, TARN_OUT_OF_RANGE);
  tarn_body_free (body);
}

/* Gel that lay there before is used, and none of it vanishes. */
static void
test_gel_on_the_skin_is_used_and_kept (void)
{
  TarnBody *body = default_body ();
  g_autofree TarnScan *scan = g_new (TarnScan, 1);
  g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  TarnScanOptions options = tarn_scan_options_default ();
  options.ledger = false;
  options.gel_g = 0;
  options.film = film;
  tarn_gel_dose (film, 40, 0, 12);
  g_assert_cmpint (tarn_scan_run (body, &options, scan), ==, TARN_OK);
  g_assert_cmpfloat (scan->sweep.contact.wet_fraction, >, 0.9);
  g_assert_cmpfloat_with_epsilon (tarn_gel_mass_g (film), 12, 0.001);
  tarn_scan_clear (scan);
  tarn_body_free (body);
}

/* The voxels hold the bladder; what is hidden and what is seen make it whole. */
static void
test_rays_share_out_the_whole_bladder (void)
{
  TarnBody *body = default_body ();
  for (int k = 0; k < 12; k++)
    {
      TarnPose pose = { .above_mm = -10 + 10 * k,
                        .left_mm = 7 * k,
                        .tilt_rad = tarn_rad_from_deg (3 * k),
                        .force_n = 2 * k };
      TarnView view;
      TarnGeometricLoss loss;
      g_assert_cmpint (tarn_view_init (&view, body, &pose, NULL, 0), ==, TARN_OK);
      g_assert_cmpint (tarn_geometric_loss (body, &view, &loss), ==, TARN_OK);
      double sum_ml = loss.seen_ml;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        sum_ml += loss.hidden_ml[cause];
      g_assert_cmpfloat_with_epsilon (sum_ml, loss.urine_ml, 1e-6 * loss.urine_ml);
      g_assert_cmpfloat_with_epsilon (loss.urine_ml, 300, 0.01 * 300);
      g_assert_cmpfloat (loss.hidden_ml[TARN_CAUSE_CONTACT], ==, 0);
      g_assert_cmpfloat (loss.hidden_ml[TARN_CAUSE_GAS], ==, 0);
    }
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/scan/everything", test_scan_fills_everything);
  g_test_add_func ("/scan/no-ledger", test_without_a_ledger_a_wrong_reading_has_no_cause);
  g_test_add_func ("/scan/refused", test_bad_options_are_refused);
  g_test_add_func ("/scan/gel", test_gel_on_the_skin_is_used_and_kept);
  g_test_add_func ("/scan/rays", test_rays_share_out_the_whole_bladder);
  return g_test_run ();
}
