/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Calipers on frozen planes of a real body. */
#include "base/units.h"
#include "engine/measure/calipers.h"

#include <glib.h>

static TarnBody *
default_body (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = NULL;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  return body;
}

static TarnSweepSetup
setup_at (const TarnBody *body, double turn_deg)
{
  TarnPose pose = { .above_mm = 45,
                    .tilt_rad = tarn_rad_from_deg (5),
                    .turn_rad = tarn_rad_from_deg (turn_deg),
                    .force_n = 1 };
  return tarn_sweep_setup (body, &pose);
}

/* A light hand, the true best planes, an unerring caliper: each diameter is right to what the
 * instrument's one speed of sound and a slight press leave, and so is the volume. */
static void
test_ideal_calipers_on_the_best_planes (void)
{
  TarnBody *body = default_body ();
  TarnSweepSetup across = setup_at (body, 0), along = setup_at (body, 90);
  TarnFrozenPlane transverse, sagittal;
  g_assert_cmpint (tarn_calipers_freeze (&across, &transverse), ==, TARN_OK);
  g_assert_cmpint (tarn_calipers_freeze (&along, &sagittal), ==, TARN_OK);
  g_assert_true (transverse.outline.found);
  g_assert_true (sagittal.outline.found);

  TarnCalipers calipers = tarn_calipers_ideal (&transverse.outline, &sagittal.outline);
  TarnDiameters diameters = tarn_calipers_diameters (&calipers), truth;
  tarn_body_lumen_diameters_mm (body, &truth.length_mm, &truth.width_mm, &truth.height_mm);
  g_test_message ("L %.1f of %.1f, W %.1f of %.1f, H %.1f of %.1f mm", diameters.length_mm,
                  truth.length_mm, diameters.width_mm, truth.width_mm, diameters.height_mm,
                  truth.height_mm);
  g_assert_cmpfloat_with_epsilon (diameters.length_mm, truth.length_mm, 0.08 * truth.length_mm);
  g_assert_cmpfloat_with_epsilon (diameters.width_mm, truth.width_mm, 0.08 * truth.width_mm);
  g_assert_cmpfloat_with_epsilon (diameters.height_mm, truth.height_mm, 0.08 * truth.height_mm);

  double truth_ml = tarn_body_true_volume_ml (body);
  TarnCaliperReport report
      = tarn_caliper_report (&diameters, TARN_COEFFICIENT_ELLIPSOID, &truth, truth_ml);
  g_assert_cmpfloat (fabs (report.caliper_error_ml), <, 0.08 * truth_ml);
  g_assert_cmpfloat_with_epsilon (report.caliper_error_ml + report.formula_error_ml,
                                  report.volume_ml - truth_ml, 1e-9);
  tarn_frozen_plane_clear (&transverse);
  tarn_frozen_plane_clear (&sagittal);
  tarn_body_free (body);
}

/* The tilt chosen is the best: none of the planes a little off is wider. */
static void
test_no_other_tilt_shows_a_wider_section (void)
{
  TarnBody *body = default_body ();
  TarnSweepSetup setup = setup_at (body, 0);
  setup.motion.breathing_mm = 0;
  TarnFrozenPlane frozen;
  g_assert_cmpint (tarn_calipers_freeze (&setup, &frozen), ==, TARN_OK);
  g_autofree TarnSweep *sweep = g_new0 (TarnSweep, 1);
  g_assert_cmpint (tarn_sweep_run (&setup, false, sweep), ==, TARN_OK);

  double widest_mm = 0, widest_rad = 0;
  for (int k = 0; k < sweep->planes; k++)
    {
      const TarnOutline *outline = &sweep->plane[k].outline;
      double low = 0, high = 0;
      for (int p = 0; outline->found && p < TARN_OUTLINE_POINTS; p++)
        {
          low = fmin (low, outline->point[p].u_mm);
          high = fmax (high, outline->point[p].u_mm);
        }
      if (high - low > widest_mm)
        {
          widest_mm = high - low;
          widest_rad = sweep->plane[k].fan_rad;
        }
    }
  /* The maximum is flat: within a few planes of what the outlines say. */
  g_assert_cmpfloat_with_epsilon (frozen.fan_rad, widest_rad, 4 * sweep->step_rad);
  tarn_sweep_clear (sweep);
  tarn_frozen_plane_clear (&frozen);
  tarn_body_free (body);
}

static void
test_off_the_body_nothing_is_frozen (void)
{
  TarnBody *body = default_body ();
  TarnSweepSetup setup = setup_at (body, 0);
  TarnFrozenPlane frozen;
  setup.pose.left_mm = 300;
  g_assert_cmpint (tarn_calipers_freeze (&setup, &frozen), ==, TARN_OFF_BODY);
  g_assert_null (frozen.grey);
  tarn_frozen_plane_clear (&frozen);
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/freeze/ideal", test_ideal_calipers_on_the_best_planes);
  g_test_add_func ("/freeze/widest", test_no_other_tilt_shows_a_wider_section);
  g_test_add_func ("/freeze/off-body", test_off_the_body_nothing_is_frozen);
  return g_test_run ();
}
