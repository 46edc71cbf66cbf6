/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand's wander and the patient's breathing. */
#include "base/units.h"
#include "engine/measure/motion.h"

#include <glib.h>

/* Over long times the RMS is the one asked for, in mm and, for tilt and lean, in degrees. */
static void
test_tremor_has_the_rms_asked_for (void)
{
  TarnMotion motion = { .tremor_mm = 4, .duration_s = 3 };
  double skin = 0, beam = 0;
  int count = 0;
  for (motion.seed = 0; motion.seed < 40; motion.seed++)
    for (double t = 0; t < 60; t += 0.05, count++)
      {
        TarnDrift drift = tarn_motion_at (&motion, t, false);
        skin += drift.above_mm * drift.above_mm + drift.left_mm * drift.left_mm;
        beam += drift.tilt_rad * drift.tilt_rad + drift.lean_rad * drift.lean_rad;
      }
  g_assert_cmpfloat_with_epsilon (sqrt (skin / count), 4, 0.08);
  g_assert_cmpfloat_with_epsilon (tarn_deg_from_rad (sqrt (beam / count)), 4, 0.08);
}

/* The spectrum ends at 3 Hz and begins at 0.3 Hz: in a hundredth of a second it cannot jump,
 * and over ten seconds it has no mean to speak of. */
static void
test_tremor_is_smooth_and_has_no_drift (void)
{
  TarnMotion motion = { .tremor_mm = 1, .duration_s = 3 };
  for (motion.seed = 0; motion.seed < 20; motion.seed++)
    {
      double fastest = 0, mean = 0;
      int count = 4000;
      for (int k = 0; k < count; k++)
        {
          double before = tarn_motion_at (&motion, 0.01 * k, false).above_mm;
          double after = tarn_motion_at (&motion, 0.01 * k + 0.01, false).above_mm;
          fastest = fmax (fastest, fabs (after - before) / 0.01);
          mean += before / count;
        }
      /* Derived: six sines of amplitude 1/√6 · 2^½ · 2^-½ cannot together move faster than
       * the sum of their peak speeds, each at most 2π·3 Hz. */
      g_assert_cmpfloat (fastest, <, 6 * 2 * TARN_PI * 3 * sqrt (2.0 / 6) / sqrt (2));
      g_assert_cmpfloat (fabs (mean), <, 0.15);
    }
}

static void
test_breathing_is_head_to_feet_with_its_range_and_rate (void)
{
  TarnMotion motion = { .breathing_mm = 10, .breathing_per_minute = 12, .seed = 3 };
  double low = 0, high = 0;
  for (double t = 0; t < 10; t += 0.01)
    {
      TarnDrift drift = tarn_motion_at (&motion, t, false);
      low = fmin (low, drift.body_mm.z);
      high = fmax (high, drift.body_mm.z);
      g_assert_cmpfloat (drift.body_mm.x, ==, 0);
      g_assert_cmpfloat (drift.above_mm, ==, 0);
      TarnDrift later = tarn_motion_at (&motion, t + 5, false);
      g_assert_cmpfloat_with_epsilon (later.body_mm.z, drift.body_mm.z, 1e-9);
    }
  g_assert_cmpfloat_with_epsilon (high - low, 10, 0.01);
}

static void
test_restless_patients_jerk_now_and_then (void)
{
  TarnMotion motion = { .restless = 1, .seed = 5 };
  int quiet = 0, moved = 0;
  for (double t = 0; t < 200; t += 0.1)
    {
      double off = tarn_length (tarn_motion_at (&motion, t, false).body_mm);
      g_assert_cmpfloat (off, <, 40);
      quiet += off < 0.5;
      moved += off > 3;
    }
  g_assert_cmpint (quiet, >, 200);
  g_assert_cmpint (moved, >, 50);
}

static void
test_nothing_moves_when_nothing_is_asked_for (void)
{
  TarnMotion motion = { .duration_s = 3, .seed = 8 };
  g_assert_false (tarn_motion_any (&motion));
  TarnDrift drift = tarn_motion_at (&motion, 1.5, true);
  g_assert_cmpfloat (drift.above_mm, ==, 0);
  g_assert_cmpfloat (tarn_length (drift.body_mm), ==, 0);
}

static void
test_same_seed_same_motion (void)
{
  TarnMotion motion
      = { .tremor_mm = 3, .breathing_mm = 2, .breathing_per_minute = 14, .restless = 0.5 };
  for (motion.seed = 0; motion.seed < 10; motion.seed++)
    {
      TarnDrift once = tarn_motion_at (&motion, 1.25, false);
      tarn_motion_at (&motion, 0.5, false);
      TarnDrift again = tarn_motion_at (&motion, 1.25, false);
      g_assert_cmpmem (&once, sizeof once, &again, sizeof again);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/motion/tremor-rms", test_tremor_has_the_rms_asked_for);
  g_test_add_func ("/motion/tremor-smooth", test_tremor_is_smooth_and_has_no_drift);
  g_test_add_func ("/motion/breathing", test_breathing_is_head_to_feet_with_its_range_and_rate);
  g_test_add_func ("/motion/restless", test_restless_patients_jerk_now_and_then);
  g_test_add_func ("/motion/still", test_nothing_moves_when_nothing_is_asked_for);
  g_test_add_func ("/motion/seeded", test_same_seed_same_motion);
  return g_test_run ();
}
