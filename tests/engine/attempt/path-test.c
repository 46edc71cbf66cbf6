/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A recorded path in a sweep's motion. */
#include "engine/attempt/attempt.h"

#include <glib.h>
#include <string.h>

static void
test_linear_between_and_held_beyond (void)
{
  const TarnDrift path[3] = { { .above_mm = 1, .force_n = 2 },
                              { .above_mm = 3, .turn_rad = 0.5, .body_mm = { 0, 0, 4 } },
                              { .above_mm = 3, .lean_rad = -1, .force_n = -2 } };
  TarnMotion motion = { .duration_s = 2, .path = path, .path_samples = 3 };
  g_assert_true (tarn_motion_any (&motion));
  static const double rows[][4]
      = { /* time; above, turn, force */
          { -5, 1, 0, 2 },      { 0, 1, 0, 2 },  { 0.5, 2, 0.25, 1 }, { 1, 3, 0.5, 0 },
          { 1.5, 3, 0.25, -1 }, { 2, 3, 0, -2 }, { 9, 3, 0, -2 }
        };
  for (gsize k = 0; k < G_N_ELEMENTS (rows); k++)
    {
      TarnDrift drift = tarn_motion_at (&motion, rows[k][0], k % 2 == 0);
      g_assert_cmpfloat_with_epsilon (drift.above_mm, rows[k][1], 1e-12);
      g_assert_cmpfloat_with_epsilon (drift.turn_rad, rows[k][2], 1e-12);
      g_assert_cmpfloat_with_epsilon (drift.force_n, rows[k][3], 1e-12);
    }
  g_assert_cmpfloat_with_epsilon (tarn_motion_at (&motion, 0.25, false).body_mm.z, 1, 1e-12);
  motion.path_samples = 1;
  g_assert_cmpfloat (tarn_motion_at (&motion, 1, false).above_mm, ==, 1);
}

static void
scan_with (const TarnBody *body, TarnPose pose, const TarnDrift *path, TarnScan *scan)
{
  TarnScanOptions options = tarn_scan_options_default ();
  TarnMotion motion = tarn_motion_for (tarn_body_patient (body), 0, 7);
  motion.breathing_mm = 0;
  motion.path = path;
  motion.path_samples = path != NULL ? 2 : 0;
  options.pose = pose;
  options.motion = &motion;
  options.ledger = false;
  options.keep_planes = true;
  g_assert_cmpint (tarn_scan_run (body, &options, scan), ==, TARN_OK);
}

static gboolean
same_planes (const TarnScan *a, const TarnScan *b)
{
  const TarnImageGeometry *geometry = &a->sweep.geometry;
  gsize bytes = (gsize)a->sweep.planes * (gsize)geometry->lines * (gsize)geometry->samples;
  return memcmp (a->sweep.grey, b->sweep.grey, bytes) == 0;
}

/* A path that stays at rest shows what no motion shows; one that stays elsewhere shows what is
 * seen from there. */
static void
test_a_constant_path_is_a_place (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.temper.breathing_mm = 0;
  TarnBody *body = NULL;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  static TarnScan still, rest, moved, there;
  TarnPose pose = { .above_mm = 40, .tilt_rad = 0.1, .force_n = 5 };
  const TarnDrift at_rest[2] = { { 0 }, { 0 } };
  const TarnDrift off = { .above_mm = 6, .tilt_rad = 0.05, .turn_rad = 0.4, .force_n = 3 };
  const TarnDrift elsewhere[2] = { off, off };
  TarnPose target = { .above_mm = 46, .tilt_rad = 0.15, .turn_rad = 0.4, .force_n = 8 };

  scan_with (body, pose, NULL, &still);
  scan_with (body, pose, at_rest, &rest);
  g_assert_true (same_planes (&still, &rest));
  g_assert_cmpfloat (still.sweep.reading.volume_ml, ==, rest.sweep.reading.volume_ml);

  scan_with (body, pose, elsewhere, &moved);
  scan_with (body, target, NULL, &there);
  g_assert_false (same_planes (&still, &moved));
  const TarnShot *a = tarn_shots_at (&moved.sweep.shots, 0, false);
  const TarnShot *b = tarn_shots_at (&there.sweep.shots, 0, false);
  g_assert_cmpfloat_with_epsilon (tarn_distance (a->contact.face_mm, b->contact.face_mm), 0,
                                  1e-9);
  g_assert_cmpfloat_with_epsilon (tarn_distance (a->contact.lateral, b->contact.lateral), 0,
                                  1e-9);
  tarn_scan_clear (&still);
  tarn_scan_clear (&rest);
  tarn_scan_clear (&moved);
  tarn_scan_clear (&there);
  tarn_body_free (body);
}

/* Off the body, and off the skin, nothing couples. */
static void
test_lifted_shots_are_dry (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = NULL;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  static TarnScan scan;
  TarnPose pose = { .above_mm = 40, .force_n = 5 };
  const TarnDrift lifts[2] = { { .force_n = -5 }, { .force_n = -9 } };
  const TarnDrift leaves[2] = { { .left_mm = 900 }, { .left_mm = 900 } };
  const TarnDrift *const paths[] = { lifts, leaves };
  for (gsize k = 0; k < G_N_ELEMENTS (paths); k++)
    {
      scan_with (body, pose, paths[k], &scan);
      g_assert_cmpint (scan.sweep.reading.kind, ==, TARN_READING_NOT_SEEN);
      g_assert_cmpfloat (tarn_shots_at (&scan.sweep.shots, 3, false)->contact.wet_fraction, ==,
                         0);
      tarn_scan_clear (&scan);
    }
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/path/samples", test_linear_between_and_held_beyond);
  g_test_add_func ("/path/constant", test_a_constant_path_is_a_place);
  g_test_add_func ("/path/lifted", test_lifted_shots_are_dry);
  return g_test_run ();
}
