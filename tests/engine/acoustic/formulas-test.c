/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The textbook formulas against figures from outside the project.  Each check names its
 * source; "derived" means worked out by hand or to more digits from the definition, "memory"
 * that the figure was not read afresh in the work named. */
#include "base/units.h"
#include "engine/acoustic/formulas.h"

#include <glib.h>
#include <math.h>

/* Derived from r = (Z2 - Z1)/(Z2 + Z1). */
static void
test_reflection (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_reflection_intensity (1.38, 1.70), 0.010794, 1e-6);
  g_assert_cmpfloat_with_epsilon (tarn_reflection_intensity (1.70, 7.80), 0.41230, 1e-5);
  g_assert_cmpfloat_with_epsilon (tarn_reflection_intensity (1.63, 0.0004), 0.99902, 1e-5);
}

/* A echo from a softer medium comes back upside down. */
static void
test_reflection_sign (void)
{
  g_assert_cmpfloat (tarn_reflection_amplitude (1.63, 0.0004), <, -0.999);
  g_assert_cmpfloat (tarn_reflection_amplitude (1.70, 7.80), >, 0.64);
  g_assert_cmpfloat (tarn_reflection_amplitude (1.5, 1.5), ==, 0);
}

/* Conservation of energy. */
static void
test_nothing_is_lost_at_a_border (void)
{
  for (double z1 = 0.0004; z1 < 10; z1 *= 1.7)
    for (double z2 = 0.0004; z2 < 10; z2 *= 1.9)
      g_assert_cmpfloat_with_epsilon (
          tarn_reflection_intensity (z1, z2) + tarn_transmission_intensity (z1, z2), 1, 1e-12);
}

/* Derived: asin (sin 20° · 1580/1450), asin (1580/3500). */
static void
test_refraction (void)
{
  double behind = tarn_refraction_rad (tarn_rad_from_deg (20), 1450, 1580);
  g_assert_cmpfloat_with_epsilon (tarn_deg_from_rad (behind), 21.881, 0.001);
  double critical = tarn_critical_angle_rad (1580, 3500);
  g_assert_cmpfloat_with_epsilon (tarn_deg_from_rad (critical), 26.835, 0.001);
  g_assert_cmpfloat (tarn_refraction_rad (critical + 1e-9, 1580, 3500), ==, TARN_PI / 2);
  g_assert_cmpfloat (tarn_critical_angle_rad (3500, 1580), ==, TARN_PI / 2);
}

/* Marczak 1997, J. Acoust. Soc. Am. 102, 2776: computed from the published polynomial. */
static void
test_water_speed (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_water_speed_m_s (20), 1482.38, 0.02);
  g_assert_cmpfloat_with_epsilon (tarn_water_speed_m_s (37), 1523.65, 0.02);
}

/* Derived: 2 · 0.5 · 3 · 10. */
static void
test_round_trip (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_round_trip_db (0.5, 1, 3, 100), 30.0, 0.01);
}

/* Derived: tissue at 0.5 dB/cm/MHz less urine at 0.0022 dB/cm/MHz², 8 cm at 3 MHz. */
static void
test_enhancement (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_enhancement_db (0.5, 1, 0.0022, 2, 3, 80), 23.7, 0.1);
  /* With the tissue's own power of 1.05 the same tissue stands a little higher. */
  g_assert_cmpfloat_with_epsilon (tarn_enhancement_db (0.5, 1.05, 0.0022, 2, 3, 80), 25.04,
                                  0.01);
}

/* Derived from 0.886 λF/D. */
static void
test_elevation_at_focus (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_elevation_width_mm (70, 12, 70, 3, 1540), 2.65, 0.01);
}

/* Derived: two cycles of 1540/3e6 m, halved. */
static void
test_axial_width (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_axial_width_mm (2, 3, 1540), 0.51, 0.005);
}

static void
test_lateral_width_grows_with_depth (void)
{
  for (double depth_mm = 1; depth_mm < 300; depth_mm += 1)
    g_assert_cmpfloat (tarn_lateral_width_mm (depth_mm, 12, 3, 1540), <=,
                       tarn_lateral_width_mm (depth_mm + 1, 12, 3, 1540) + 1e-12);
}

/* Derived: 1540 / (2 · depth · lines). */
static void
test_line_limited_rate (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_line_limited_rate_hz (160, 128), 37.6, 0.1);
  g_assert_cmpfloat_with_epsilon (tarn_line_limited_rate_hz (100, 128), 60.2, 0.1);
}

/* Derived: amplitude (1/2)² and (3/4)². */
static void
test_partly_dry_aperture (void)
{
  const float weight[8] = { 1, 1, 1, 1, 1, 1, 1, 1 };
  const float half[8] = { 1, 1, 1, 1, 0, 0, 0, 0 };
  const float three_quarters[8] = { 1, 1, 1, 0, 0, 1, 1, 1 };
  const float none[8] = { 0 };
  g_assert_cmpfloat_with_epsilon (20 * log10 (tarn_wet_gain (weight, half, 8)), -12.04, 0.1);
  g_assert_cmpfloat_with_epsilon (20 * log10 (tarn_wet_gain (weight, three_quarters, 8)), -5.00,
                                  0.1);
  g_assert_cmpfloat (tarn_wet_gain (weight, none, 8), ==, 0);
}

static void
test_wet_aperture (void)
{
  const float weight[8] = { 1, 1, 1, 1, 1, 1, 1, 1 };
  const float half[8] = { 1, 1, 1, 1, 0, 0, 0, 0 };
  const float none[8] = { 0 };
  g_assert_cmpfloat_with_epsilon (tarn_wet_aperture_mm (weight, weight, 8, 1.5), 12, 1e-9);
  g_assert_cmpfloat_with_epsilon (tarn_wet_aperture_mm (weight, half, 8, 1.5), 6, 1e-9);
  g_assert_cmpfloat (tarn_wet_aperture_mm (weight, none, 8, 1.5), ==, 0);
}

/* Kinsler, Fundamentals of Acoustics (memory), with the usual 1.5 MRayl for water and 413 Rayl
 * and 343 m/s for air at 20 °C. */
static void
test_film_of_air (void)
{
  double share = tarn_film_transmission (1.5, 413e-6, 0.001, 3, 343);
  g_assert_cmpfloat_with_epsilon (10 * log10 (share), -40.0, 0.1);
  g_assert_cmpfloat (tarn_film_transmission (1.5, 413e-6, 0, 3, 343), ==, 1);
}

/* Derived from d · 1540/c: 3 mm of gel at 1500, 40 mm of fat at 1450, 80 mm of urine at 1520.
 */
static void
test_shown_length (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_shown_length_mm (3, 1500), 3.08, 0.05);
  g_assert_cmpfloat_with_epsilon (tarn_shown_length_mm (40, 1450) - 40, 2.48, 0.05);
  g_assert_cmpfloat_with_epsilon (tarn_shown_length_mm (80, 1520) - 80, 1.05, 0.05);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/formulas/reflection", test_reflection);
  g_test_add_func ("/formulas/reflection-sign", test_reflection_sign);
  g_test_add_func ("/formulas/nothing-is-lost-at-a-border", test_nothing_is_lost_at_a_border);
  g_test_add_func ("/formulas/refraction", test_refraction);
  g_test_add_func ("/formulas/water-speed", test_water_speed);
  g_test_add_func ("/formulas/round-trip", test_round_trip);
  g_test_add_func ("/formulas/enhancement", test_enhancement);
  g_test_add_func ("/formulas/elevation-at-focus", test_elevation_at_focus);
  g_test_add_func ("/formulas/axial-width", test_axial_width);
  g_test_add_func ("/formulas/lateral-width-grows-with-depth",
                   test_lateral_width_grows_with_depth);
  g_test_add_func ("/formulas/line-limited-rate", test_line_limited_rate);
  g_test_add_func ("/formulas/partly-dry-aperture", test_partly_dry_aperture);
  g_test_add_func ("/formulas/wet-aperture", test_wet_aperture);
  g_test_add_func ("/formulas/film-of-air", test_film_of_air);
  g_test_add_func ("/formulas/shown-length", test_shown_length);
  return g_test_run ();
}
