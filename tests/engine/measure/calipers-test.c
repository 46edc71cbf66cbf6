/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Three diameters, and the errors told apart. */
#include "base/units.h"
#include "engine/measure/calipers.h"

#include <glib.h>
#include <string.h>

static double
box_ml (double length_cm, double width_cm, double height_cm, double k)
{
  TarnDiameters diameters = { 10 * length_cm, 10 * width_cm, 10 * height_cm };
  return tarn_diameters_volume_ml (&diameters, k);
}

/* Derived: closed form. */
static void
test_sphere (void)
{
  g_assert_cmpfloat_with_epsilon (box_ml (10, 10, 10, TARN_COEFFICIENT_ELLIPSOID), 523.6, 0.1);
}

/* Derived: plain sums. */
static void
test_coefficients_on_one_box (void)
{
  g_assert_cmpfloat_with_epsilon (box_ml (8, 10, 12, 0.52), 499.2, 0.05);
  g_assert_cmpfloat_with_epsilon (box_ml (8, 10, 12, TARN_COEFFICIENT_ELLIPSOID), 502.65, 0.05);
  g_assert_cmpfloat_with_epsilon (box_ml (8, 10, 12, 0.7), 672.0, 0.05);
}

/* A handbook's worked sum. */
static void
test_handbook_sum (void)
{
  g_assert_cmpfloat_with_epsilon (box_ml (4.8, 5.1, 4.7, 0.6), 69, 0.1);
}

/* The regression coefficients of 146 children, by shape, on one box. */
static void
test_coefficients_by_shape (void)
{
  static const struct
  {
    const char *name;
    double volume_ml;
  } expected[] = { { "round", 282.7 },
                   { "triangular", 314.0 },
                   { "all shapes", 332.6 },
                   { "ellipsoid, measured", 404.2 },
                   { "cuboid", 465.2 } };
  for (gsize k = 0; k < G_N_ELEMENTS (expected); k++)
    {
      const TarnCoefficient *coefficient = NULL;
      for (int c = 0; c < TARN_COEFFICIENTS; c++)
        if (strcmp (tarn_coefficient (c)->name, expected[k].name) == 0)
          coefficient = tarn_coefficient (c);
      g_assert_nonnull (coefficient);
      g_assert_cmpfloat_with_epsilon (box_ml (7, 8, 9, coefficient->k), expected[k].volume_ml,
                                      0.1);
    }
}

static void
test_every_coefficient_names_its_source (void)
{
  for (int c = 0; c < TARN_COEFFICIENTS; c++)
    {
      g_assert_cmpuint (strlen (tarn_coefficient (c)->source), >, 0);
      g_assert_cmpfloat (tarn_coefficient (c)->k, >=, 0.5);
      g_assert_cmpfloat (tarn_coefficient (c)->k, <=, 1);
    }
}

/* Derived: 1.05³ and 0.95³. */
static void
test_five_percent_on_all_three (void)
{
  TarnDiameters truth = { 100, 90, 60 };
  for (int sign = -1; sign <= 1; sign += 2)
    {
      double f = 1 + 0.05 * sign;
      TarnDiameters measured = { 100 * f, 90 * f, 60 * f };
      double truth_ml = tarn_diameters_volume_ml (&truth, 0.55);
      TarnCaliperReport report = tarn_caliper_report (&measured, 0.55, &truth, truth_ml);
      g_assert_cmpfloat_with_epsilon (100 * report.caliper_error_ml / truth_ml,
                                      sign > 0 ? 15.76 : -14.26, 0.01);
      g_assert_cmpfloat_with_epsilon (report.formula_error_ml, 0, 1e-9);
    }
}

static void
test_errors_sum_to_the_error (void)
{
  TarnDiameters truth = { 100, 90, 60 }, measured = { 97, 85, 66 };
  TarnCaliperReport report = tarn_caliper_report (&measured, 0.52, &truth, 310);
  g_assert_cmpfloat_with_epsilon (report.caliper_error_ml + report.formula_error_ml,
                                  report.volume_ml - 310, 1e-9);
  g_assert_cmpfloat_with_epsilon (report.true_coefficient, 310 / 540.0, 1e-12);
}

/* A right hand with the wrong formula: the caliper error is none. */
static void
test_perfect_calipers_have_only_a_formula_error (void)
{
  TarnDiameters truth = { 100, 90, 60 };
  TarnCaliperReport report = tarn_caliper_report (&truth, 0.52, &truth, 360);
  g_assert_cmpfloat (report.caliper_error_ml, ==, 0);
  g_assert_cmpfloat_with_epsilon (report.formula_error_ml, 0.52 * 540 - 360, 1e-9);
}

static void
test_decision_error (void)
{
  g_assert_cmpint (tarn_decision (320, 310, 300), ==, TARN_DECISION_RIGHT);
  g_assert_cmpint (tarn_decision (290, 310, 300), ==, TARN_DECISION_MISSED);
  g_assert_cmpint (tarn_decision (320, 280, 300), ==, TARN_DECISION_NEEDLESS);
  g_assert_cmpint (tarn_decision (120, 280, 300), ==, TARN_DECISION_RIGHT);
}

/* On an ellipse the ideal pairs are its axes, however it lies. */
static void
test_ideal_calipers_find_an_ellipse_s_axes (void)
{
  TarnOutline transverse = { .found = true }, sagittal = { .found = true };
  double slant = tarn_rad_from_deg (30);
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      double angle = 2 * TARN_PI * k / TARN_OUTLINE_POINTS;
      transverse.point[k].u_mm = (float)(3 + 45 * cos (angle));
      transverse.point[k].v_mm = (float)(80 + 30 * sin (angle));
      double along = 55 * cos (angle), across = 28 * sin (angle);
      sagittal.point[k].u_mm = (float)(along * cos (slant) - across * sin (slant));
      sagittal.point[k].v_mm = (float)(90 + along * sin (slant) + across * cos (slant));
    }
  TarnCalipers calipers = tarn_calipers_ideal (&transverse, &sagittal);
  TarnDiameters diameters = tarn_calipers_diameters (&calipers);
  g_assert_cmpfloat_with_epsilon (diameters.width_mm, 90, 0.1);
  g_assert_cmpfloat_with_epsilon (diameters.height_mm, 60, 0.1);
  g_assert_cmpfloat_with_epsilon (diameters.length_mm, 110, 0.1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/calipers/sphere", test_sphere);
  g_test_add_func ("/calipers/coefficients-on-one-box", test_coefficients_on_one_box);
  g_test_add_func ("/calipers/handbook-sum", test_handbook_sum);
  g_test_add_func ("/calipers/coefficients-by-shape", test_coefficients_by_shape);
  g_test_add_func ("/calipers/sources", test_every_coefficient_names_its_source);
  g_test_add_func ("/calipers/five-percent", test_five_percent_on_all_three);
  g_test_add_func ("/calipers/errors-sum", test_errors_sum_to_the_error);
  g_test_add_func ("/calipers/formula-error", test_perfect_calipers_have_only_a_formula_error);
  g_test_add_func ("/calipers/decision-error", test_decision_error);
  g_test_add_func ("/calipers/ideal", test_ideal_calipers_find_an_ellipse_s_axes);
  return g_test_run ();
}
