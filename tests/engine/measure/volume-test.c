/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Volumes from sections of bodies whose volumes are known in closed form. */
#include "base/random.h"
#include "base/units.h"
#include "engine/measure/volume.h"

#include <glib.h>

#define POINTS 720

static double
sphere_ml (double radius_mm)
{
  return 4 * TARN_PI / 3 * pow (radius_mm, 3) / TARN_MM3_PER_ML;
}

/* The section of an ellipse with half-axes across u and along v, about (u, v). */
static void
ellipse (double u_mm, double v_mm, double across_mm, double along_mm, TarnOutlinePoint *point)
{
  for (int k = 0; k < POINTS; k++)
    {
      double angle = 2 * TARN_PI * k / POINTS;
      point[k].u_mm = (float)(u_mm + across_mm * cos (angle));
      point[k].v_mm = (float)(v_mm + along_mm * sin (angle));
    }
}

/* Derived: planes through the middle of a sphere all cut the same disc. */
static void
test_centred_sphere_is_exact_from_any_number_of_planes (void)
{
  static TarnOutlinePoint point[12 * POINTS];
  for (int planes = 1; planes <= 12; planes++)
    {
      for (int k = 0; k < planes; k++)
        ellipse (0, 80, 50, 50, &point[k * POINTS]);
      g_assert_cmpfloat_with_epsilon (tarn_rotation_volume_ml (point, POINTS, planes),
                                      sphere_ml (50), 0.001 * sphere_ml (50));
    }
}

/* Extremes over the planes' phase of the error on an ellipsoid, half-axes a, b across the axis
 * with a / b = 1.5, percent. */
static void
ellipsoid_extremes (int planes, double *low_percent, double *high_percent)
{
  static TarnOutlinePoint point[4 * POINTS];
  double a = 60, b = 40, c = 50;
  double truth_ml = 4 * TARN_PI / 3 * a * b * c / TARN_MM3_PER_ML;
  *low_percent = INFINITY;
  *high_percent = -INFINITY;
  for (int phase = 0; phase < 180; phase++)
    {
      for (int k = 0; k < planes; k++)
        {
          double angle = TARN_PI * (k + phase / 180.0) / planes;
          double across = 1 / sqrt (pow (cos (angle) / a, 2) + pow (sin (angle) / b, 2));
          ellipse (0, 80, across, c, &point[k * POINTS]);
        }
      double percent = (tarn_rotation_volume_ml (point, POINTS, planes) / truth_ml - 1) * 100;
      *low_percent = fmin (*low_percent, percent);
      *high_percent = fmax (*high_percent, percent);
    }
}

/* Derived: closed form of the rotational sum over an ellipse's radius. */
static void
test_rotation_errs_on_an_ellipsoid_as_theory_says (void)
{
  static const struct
  {
    int planes;
    double low, high;
  } expected[] = { { 2, -7.69, 8.33 }, { 3, -1.59, 1.61 }, { 4, -0.32, 0.32 } };
  for (gsize k = 0; k < G_N_ELEMENTS (expected); k++)
    {
      double low, high;
      ellipsoid_extremes (expected[k].planes, &low, &high);
      g_assert_cmpfloat_with_epsilon (low, expected[k].low, 0.02);
      g_assert_cmpfloat_with_epsilon (high, expected[k].high, 0.02);
    }
}

/* Derived: a sphere of radius R whose middle is 0.9 R off the axis, four planes. */
static void
test_rotation_about_an_axis_off_the_middle (void)
{
  static TarnOutlinePoint point[4 * POINTS];
  double radius = 50, off = 45;
  for (int phase = 0; phase < 90; phase++)
    {
      for (int k = 0; k < 4; k++)
        {
          double angle = TARN_PI * (k + phase / 90.0) / 4;
          double disc = sqrt (radius * radius - pow (off * sin (angle), 2));
          ellipse (off * cos (angle), 80, disc, disc, &point[k * POINTS]);
        }
      double percent
          = (tarn_rotation_volume_ml (point, POINTS, 4) / sphere_ml (radius) - 1) * 100;
      g_assert_cmpfloat (fabs (percent), <=, 0.12);
    }
}

/* Sections of a sphere at @distance_mm from the Pappus axis, @angle_rad off the fan's middle:
 * discs of radius r at distance d, moment π r² d. */
static double
fan_error_percent (int planes, double angle_rad)
{
  double radius = 50, distance = 90, step_rad = tarn_rad_from_deg (80) / planes;
  double moment[64];
  for (int k = 0; k < planes; k++)
    {
      double off_rad = (k + 0.5 - planes / 2.0) * step_rad - angle_rad;
      double square = radius * radius - pow (distance * sin (off_rad), 2);
      moment[k] = square > 0 ? TARN_PI * square * distance * cos (off_rad) : -1;
    }
  double volume = tarn_moments_volume_mm3 (moment, planes, step_rad, false, false);
  return (volume / TARN_MM3_PER_ML / sphere_ml (radius) - 1) * 100;
}

static double
fan_rms_percent (int planes)
{
  double sum = 0;
  int count = 400;
  for (int k = 0; k < count; k++)
    sum += pow (fan_error_percent (planes, tarn_rad_from_deg (12.0 * k / count - 6)), 2);
  return sqrt (sum / count);
}

/* Derived: the plain sum's RMS is 0.31 % and 0.06 %; following the ends must not be worse,
 * and is in fact far better. */
static void
test_fan_over_a_sphere (void)
{
  g_test_message ("rms %.4f %% of 12 planes, %.4f %% of 24", fan_rms_percent (12),
                  fan_rms_percent (24));
  g_assert_cmpfloat (fan_rms_percent (12), <=, 0.31);
  g_assert_cmpfloat (fan_rms_percent (24), <=, 0.06);
}

/* The oracle: the same integral by 20,000 planes and the plain sum. */
static void
test_volume_of_smooth_moments_is_that_of_a_fine_sum (void)
{
  for (uint64_t seed = 0; seed < 50; seed++)
    {
      double begin = -0.5 + 0.1 * tarn_uniform_at (seed, 0);
      double end = 0.3 + 0.3 * tarn_uniform_at (seed, 1);
      double lean = tarn_uniform_at (seed, 2) - 0.5;
      double fine = 0, moment[36], step = 1.2 / 36;
      for (int k = 0; k < 20000; k++)
        {
          double x = -0.6 + 1.2 * (k + 0.5) / 20000;
          if (x > begin && x < end)
            fine += (x - begin) * (end - x) * (1 + lean * x) * 1.2 / 20000;
        }
      for (int k = 0; k < 36; k++)
        {
          double x = -0.6 + 1.2 * (k + 0.5) / 36;
          moment[k] = x > begin && x < end ? (x - begin) * (end - x) * (1 + lean * x) : -1;
        }
      g_assert_cmpfloat_with_epsilon (tarn_moments_volume_mm3 (moment, 36, step, false, false),
                                      fine, 2e-4 * fine);
    }
}

static void
test_open_end_stands_for_half_a_step (void)
{
  double moment[5] = { 7, 7, 7, 7, 7 };
  g_assert_cmpfloat_with_epsilon (tarn_moments_volume_mm3 (moment, 5, 0.5, true, true), 17.5,
                                  1e-12);
}

static void
test_gap_is_bridged (void)
{
  double whole[7] = { -1, 2, 4, 5, 4, 2, -1 }, holed[7] = { -1, 2, 4, -1, 4, 2, -1 };
  double all = tarn_moments_volume_mm3 (whole, 7, 1, false, false);
  double most = tarn_moments_volume_mm3 (holed, 7, 1, false, false);
  g_assert_cmpfloat (most, <, all);
  g_assert_cmpfloat (most, >, 0.85 * all);
}

static void
test_no_section_no_volume (void)
{
  double none[3] = { -1, -1, -1 }, one[3] = { -1, 6, -1 };
  g_assert_cmpfloat (tarn_moments_volume_mm3 (none, 3, 0.5, false, false), ==, 0);
  g_assert_cmpfloat (tarn_moments_volume_mm3 (one, 3, 0.5, false, false), ==, 6 * 0.5);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/volume/centred-sphere-is-exact",
                   test_centred_sphere_is_exact_from_any_number_of_planes);
  g_test_add_func ("/volume/rotation-on-ellipsoid",
                   test_rotation_errs_on_an_ellipsoid_as_theory_says);
  g_test_add_func ("/volume/rotation-off-axis", test_rotation_about_an_axis_off_the_middle);
  g_test_add_func ("/volume/fan-over-sphere", test_fan_over_a_sphere);
  g_test_add_func ("/volume/fine-sum", test_volume_of_smooth_moments_is_that_of_a_fine_sum);
  g_test_add_func ("/volume/open-end", test_open_end_stands_for_half_a_step);
  g_test_add_func ("/volume/gap-is-bridged", test_gap_is_bridged);
  g_test_add_func ("/volume/no-section", test_no_section_no_volume);
  return g_test_run ();
}
