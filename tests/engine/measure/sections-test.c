/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the planes of a sweep lie, and that the true sections there make the true volume: no
 * picture, no outline finder, only frames, pressing and Pappus. */
#include "base/units.h"
#include "engine/measure/sweep.h"

#include <glib.h>

static TarnBody *
body_of (double volume_ml, double breathing_mm)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = NULL;
  patient.temper.breathing_mm = breathing_mm;
  double scale = cbrt (volume_ml / patient.bladder.volume_ml);
  patient.bladder.volume_ml = volume_ml;
  patient.bladder.length_mm *= scale;
  patient.bladder.width_mm *= scale;
  patient.bladder.height_mm *= scale;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  return body;
}

static TarnShots
shots_at (const TarnBody *body, double force_n, double tremor_mm)
{
  TarnPose pose = { .above_mm = 45, .tilt_rad = tarn_rad_from_deg (5), .force_n = force_n };
  TarnMotion motion = tarn_motion_for (tarn_body_patient (body), tremor_mm, 3);
  TarnContact contact;
  TarnShots shots;
  g_assert_cmpint (tarn_contact_solve (body, &pose, NULL, &contact), ==, TARN_OK);
  g_assert_cmpint (tarn_shots_init (&shots, body, &pose, &contact, &motion, NULL, 36, 20, NULL),
                   ==, TARN_OK);
  return shots;
}

/* Inside the pressed lumen, or outside: signed distance at the point's place at rest. */
static double
lumen_mm (const TarnBody *body, const TarnShot *shot, const TarnPlaneFrame *frame, double u_mm,
          double v_mm)
{
  TarnVec3 p = tarn_add_scaled (frame->centre_mm, frame->lateral, u_mm);
  p = tarn_add_scaled (p, frame->axis, v_mm);
  return tarn_body_lumen_distance_mm (body, tarn_deform_inverse (&shot->deform, p));
}

/* The true section about the point where the plane's line to the lumen's middle is deepest
 * inside. */
static TarnOutline
true_section (const TarnBody *body, const TarnShot *shot, const TarnPlaneFrame *frame)
{
  TarnOutline outline = { 0 };
  double seed_v = 0, deepest = 0;
  for (double v = 20; v < 220; v += 0.5)
    {
      double d = lumen_mm (body, shot, frame, 0, v);
      if (d < deepest)
        {
          deepest = d;
          seed_v = v;
        }
    }
  if (deepest == 0)
    return outline;
  outline.found = true;
  outline.seen = 1;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      double angle = 2 * TARN_PI * k / TARN_OUTLINE_POINTS, in = 0, out = 200;
      for (int halving = 0; halving < 30; halving++)
        {
          double r = (in + out) / 2;
          if (lumen_mm (body, shot, frame, r * cos (angle), seed_v + r * sin (angle)) < 0)
            in = r;
          else
            out = r;
        }
      outline.point[k].u_mm = (float)(in * cos (angle));
      outline.point[k].v_mm = (float)(seed_v + in * sin (angle));
    }
  tarn_outline_measure (outline.point, TARN_OUTLINE_POINTS, &outline.area_mm2,
                        &outline.moment_mm3);
  return outline;
}

/* 128 corners inscribe 0.08 % less than the whole section (derived), and a pressed section
 * need not be star-convex to the last; 0.5 % holds both. */
static void
test_true_sections_make_the_true_volume (void)
{
  static const double volumes_ml[] = { 60, 200, 300 };
  for (gsize k = 0; k < G_N_ELEMENTS (volumes_ml); k++)
    for (double force_n = 0; force_n <= 8; force_n += 8)
      {
        TarnBody *body = body_of (volumes_ml[k], 0);
        TarnShots shots = shots_at (body, force_n, 0);
        g_autofree TarnOutline *section = g_new0 (TarnOutline, 76);
        const TarnOutline *outline[76];
        for (int plane = -20; plane < 56; plane++)
          {
            const TarnShot *shot = tarn_shots_at (&shots, plane, false);
            TarnPlaneFrame frame
                = tarn_plane_frame (&shot->contact, tarn_shots_fan_rad (&shots, plane));
            section[plane + 20] = true_section (body, shot, &frame);
            outline[plane + 20] = &section[plane + 20];
          }
        TarnReading reading = tarn_fan_reading (outline, 76, shots.step_rad);
        g_test_message ("%g mL pressed with %g N: %.2f mL", volumes_ml[k], force_n,
                        reading.volume_ml);
        g_assert_cmpint (reading.kind, ==, TARN_READING_MEASURE);
        g_assert_cmpfloat_with_epsilon (reading.volume_ml, volumes_ml[k],
                                        0.005 * volumes_ml[k]);
        tarn_shots_clear (&shots);
        tarn_body_free (body);
      }
}

/* The planes' angles are (i + ½) step − fan / 2, and the widened fan runs on in step. */
static void
test_planes_stand_evenly_about_the_middle (void)
{
  TarnBody *body = body_of (300, 0);
  TarnShots shots = shots_at (body, 3, 0);
  g_assert_false (shots.moving);
  for (int k = -20; k < 56; k++)
    g_assert_cmpfloat_with_epsilon (tarn_deg_from_rad (tarn_shots_fan_rad (&shots, k)),
                                    (k + 0.5) * 70 / 36 - 35, 1e-9);
  g_assert_cmpint (tarn_shots_beyond (&tarn_body_patient (body)->probe, 36), ==, 20);
  tarn_shots_clear (&shots);
  tarn_body_free (body);
}

/* A body that breathes under a still hand is the hand moved the other way, head to feet. */
static void
test_breathing_moves_the_probe_against_the_body (void)
{
  TarnBody *body = body_of (300, 10);
  TarnShots shots = shots_at (body, 3, 0);
  double low = 0, high = 0;
  g_assert_true (shots.moving);
  for (int k = 0; k < 36; k++)
    {
      const TarnContact *moved = &tarn_shots_at (&shots, k, false)->contact;
      const TarnContact *still = &tarn_shots_at (&shots, k, true)->contact;
      TarnVec3 by = tarn_sub (moved->centre_mm, still->centre_mm);
      TarnMotion motion = tarn_motion_for (tarn_body_patient (body), 0, 3);
      TarnDrift drift = tarn_motion_at (&motion, (k + 0.5) / 36 * 3, false);
      g_assert_cmpfloat (by.x, ==, 0);
      g_assert_cmpfloat (by.y, ==, 0);
      g_assert_cmpfloat_with_epsilon (by.z, -drift.body_mm.z, 1e-9);
      low = fmin (low, by.z);
      high = fmax (high, by.z);
    }
  g_assert_cmpfloat (high - low, >, 4);
  g_assert_cmpfloat (high - low, <=, 10);
  tarn_shots_clear (&shots);
  tarn_body_free (body);
}

/* A trembling hand stays on the skin: each face is pressed in as the nominal one is. */
static void
test_trembling_hand_stays_on_the_skin (void)
{
  TarnBody *body = body_of (300, 0);
  TarnShots shots = shots_at (body, 5, 10);
  double furthest = 0;
  for (int k = -20; k < 56; k++)
    {
      const TarnContact *moved = &tarn_shots_at (&shots, k, false)->contact;
      furthest = fmax (furthest, tarn_distance (moved->skin_mm, shots.still.contact.skin_mm));
      g_assert_cmpfloat (fabs (tarn_body_skin_distance_mm (body, moved->skin_mm)), <, 0.5);
      g_assert_cmpfloat_with_epsilon (moved->indentation_mm, shots.still.contact.indentation_mm,
                                      3);
    }
  g_assert_cmpfloat (furthest, >, 5);
  tarn_shots_clear (&shots);
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/sections/true-volume", test_true_sections_make_the_true_volume);
  g_test_add_func ("/sections/angles", test_planes_stand_evenly_about_the_middle);
  g_test_add_func ("/sections/breathing", test_breathing_moves_the_probe_against_the_body);
  g_test_add_func ("/sections/tremor", test_trembling_hand_stays_on_the_skin);
  return g_test_run ();
}
