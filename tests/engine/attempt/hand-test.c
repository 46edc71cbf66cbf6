/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand follows, trembles and stays on the body; the patient breathes and stirs. */
#include "bed.h"

#include "base/units.h"

#include <math.h>

/* The step response of a critically damped spring, 1 - (1 + t/τ) exp (-t/τ): a textbook's. */
static void
test_follows_as_a_damped_spring (void)
{
  TarnAttempt *attempt = bed_plain ();
  BED (attempt, .kind = TARN_INPUT_HAND, .value = { 40, 0, 0, 0, 0.5, 0 });
  for (int tick = 1; tick <= 40; tick++)
    {
      double t = tick / 60.0 / 0.06;
      bed_wait (attempt, 1.0 / 60);
      g_assert_cmpfloat_with_epsilon (tarn_attempt_bedside (attempt)->pose.turn_rad,
                                      0.5 * (1 - (1 + t) * exp (-t)), 1e-9);
    }
  tarn_attempt_free (attempt);
}

static void
test_slides_no_faster_than_a_hand (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  bed_hand (attempt, 140, 40, 0, 0);
  TarnPose before = bedside->pose;
  for (int tick = 0; tick < 60; tick++)
    {
      bed_wait (attempt, 1.0 / 60);
      double way = hypot (bedside->pose.above_mm - before.above_mm,
                          bedside->pose.left_mm - before.left_mm);
      /* The hand's own 400 mm/s and the tremor's. */
      g_assert_cmpfloat (way, <=, 400.0 / 60 + 0.3);
      before = bedside->pose;
    }
  g_assert_cmpfloat_with_epsilon (bedside->pose.above_mm, 140, 2);
  g_assert_cmpfloat_with_epsilon (bedside->pose.left_mm, 40, 2);
  tarn_attempt_free (attempt);
}

/* Wherever the learner wants it, pressed or not: it ends on the skin, as near as may be. */
static void
test_stays_on_the_body (void)
{
  static const double wanted[][2] = { { 2000, 0 },   { -2000, 0 },  { 40, 2000 },
                                      { 40, -2000 }, { 900, -700 }, { -300, 200 } };
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 20 });
  for (gsize k = 0; k < G_N_ELEMENTS (wanted); k++)
    {
      TarnVec3 skin, inward;
      bed_hand (attempt, wanted[k][0], wanted[k][1], 0, 6);
      bed_wait (attempt, 3);
      g_assert_true (tarn_body_skin_at (tarn_attempt_body (attempt), bedside->pose.above_mm,
                                        bedside->pose.left_mm, &skin, &inward));
      g_assert_true (bedside->on_skin);
      g_assert_cmpfloat (bedside->contact.indentation_mm, >, 0);
      /* It went all the way that there is skin. */
      g_assert_cmpfloat_with_epsilon (bedside->pose.above_mm, bedside->hand.above_mm, 3);
      g_assert_cmpfloat_with_epsilon (bedside->pose.left_mm, bedside->hand.left_mm, 3);
      bed_hand (attempt, 40, 0, 0, 6);
      bed_wait (attempt, 3);
    }
  tarn_attempt_free (attempt);
}

static void
test_off_the_skin_nothing_is_shown (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 20 });
  double laid_g = bedside->gel_g;
  for (int k = 0; k < 30; k++)
    {
      bed_hand (attempt, 20 + 3 * k, 0, 0, 0);
      bed_wait (attempt, 0.1);
      g_assert_false (bedside->on_skin);
      g_assert_cmpfloat (bedside->pose.force_n, ==, 0);
      g_assert_cmpfloat (bedside->contact.indentation_mm, ==, 0);
      g_assert_cmpfloat (bedside->contact.wet_fraction, ==, 0);
      for (int row = 0; row < TARN_FACE_ELEMENTS; row++)
        for (int column = 0; column < TARN_FACE_ELEMENTS; column++)
          g_assert_cmpfloat ((double)bedside->contact.wet[row][column], ==, 0);
    }
  /* The mound still lies where it was laid. */
  bed_hand (attempt, 40, 0, 0, 0);
  bed_wait (attempt, 1);
  g_assert_cmpfloat_with_epsilon (bedside->gel_g, laid_g, 0.5);
  tarn_attempt_free (attempt);
}

/* RMS of the face along the skin over a long hold. */
static double
tremor_rms_mm (double force_n)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  const int ticks = 30 * 60;
  double sum = 0, above = 0, left = 0;
  bed_hand (attempt, 40, 0, 0, force_n);
  bed_wait (attempt, 2);
  for (int k = 0; k < ticks; k++)
    {
      bed_wait (attempt, 1.0 / 60);
      double up = bedside->pose.above_mm - 40, aside = bedside->pose.left_mm;
      sum += up * up + aside * aside;
      above += up / ticks;
      left += aside / ticks;
    }
  tarn_attempt_free (attempt);
  return sqrt (sum / ticks - above * above - left * left);
}

static void
test_trembles_and_more_under_force (void)
{
  double light = tremor_rms_mm (5), firm = tremor_rms_mm (40);
  g_assert_cmpfloat_with_epsilon (light, 0.4, 0.05);
  g_assert_cmpfloat_with_epsilon (firm / light, 1 + 20 * 0.05, 0.02);
}

/* A hand that is held shows a small trace, one that slides a large one. */
static void
test_trace_tells_stillness (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 4);
  g_assert_cmpfloat (bedside->unsteady_mm, <, 1.5);
  bed_hand (attempt, 90, 0, 0, 5);
  bed_wait (attempt, 0.5);
  g_assert_cmpfloat (bedside->unsteady_mm, >, 8);
  tarn_attempt_free (attempt);
}

/* Breaths by the minute, counted over half of one; @jump_mm: out, the largest step of the body
 * in one tick. */
static int
breaths_a_minute (double force_n, double *jump_mm)
{
  TarnPatient patient = tarn_patient_default ();
  patient.temper.breathing_mm = 10;
  TarnAttempt *attempt = bed_new (&patient, 3, NULL, false);
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  int breaths = 0;
  double before = bedside->breath, z_mm = bedside->body_mm.z;
  *jump_mm = 0;
  bed_hand (attempt, 40, 0, 0, force_n);
  for (int k = 0; k < 30 * 60; k++)
    {
      bed_wait (attempt, 1.0 / 60);
      breaths += before < 0 && bedside->breath >= 0;
      *jump_mm = fmax (*jump_mm, fabs (bedside->body_mm.z - z_mm));
      g_assert_cmpfloat (fabs (bedside->body_mm.z), <=, 5);
      before = bedside->breath;
      z_mm = bedside->body_mm.z;
    }
  g_assert_cmpint (bedside->guarding, ==, force_n > patient.temper.comfort_n);
  tarn_attempt_free (attempt);
  return 2 * breaths;
}

static void
test_guarding_quickens_breath_without_a_jump (void)
{
  double jump_mm;
  /* As the patient's file says, 14; half as many again under a hand that hurts. */
  g_assert_cmpint (ABS (breaths_a_minute (5, &jump_mm) - 14), <=, 2);
  g_assert_cmpint (ABS (breaths_a_minute (40, &jump_mm) - 21), <=, 2);
  /* The fastest that 5 mm of a sine at 21 a minute moves in a tick. */
  g_assert_cmpfloat (jump_mm, <=, 5 * 2 * TARN_PI * 21 / 60 / 60 * 1.001);
}

/* RMS of what the body moves across, which breathing does not. */
static double
unrest_mm (gboolean asked)
{
  TarnPatient patient = tarn_patient_default ();
  patient.temper.restless = 1;
  TarnAttempt *attempt = bed_new (&patient, 3, NULL, false);
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  double sum = 0;
  if (asked)
    bed_deed (attempt, TARN_DEED_BRIEF);
  bed_wait (attempt, 8);
  for (int k = 0; k < 60 * 60; k++)
    {
      bed_wait (attempt, 1.0 / 60);
      sum += bedside->body_mm.x * bedside->body_mm.x;
    }
  tarn_attempt_free (attempt);
  return sqrt (sum / 3600);
}

static void
test_asked_to_lie_still_moves_a_fifth (void)
{
  double free_mm = unrest_mm (false), asked_mm = unrest_mm (true);
  g_assert_cmpfloat (free_mm, >, 0.5);
  g_assert_cmpfloat_with_epsilon (asked_mm / free_mm, 0.2, 0.01);
}

/* The body's motion moves the probe against it. */
static void
test_contact_rides_on_the_breath (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.temper.breathing_mm = 20;
  TarnAttempt *attempt = bed_new (&patient, 3, NULL, false);
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 2);
  for (int k = 0; k < 100; k++)
    {
      TarnContact still;
      TarnGelFilm film = { 0 };
      bed_wait (attempt, 0.05);
      g_assert_cmpint (
          tarn_contact_solve (tarn_attempt_body (attempt), &bedside->pose, &film, &still), ==,
          TARN_OK);
      TarnVec3 moved = tarn_sub (still.face_mm, bedside->contact.face_mm);
      g_assert_cmpfloat_with_epsilon (tarn_distance (moved, bedside->body_mm), 0, 1e-9);
    }
  tarn_attempt_free (attempt);
}

static void
test_reversed_mark_begins_turned (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.situation.mark_reversed = true;
  TarnAttempt *attempt = bed_new (&patient, 0, NULL, false);
  g_assert_cmpfloat (tarn_attempt_bedside (attempt)->hand.turn_rad, ==, TARN_PI);
  g_assert_cmpfloat (tarn_attempt_bedside (attempt)->contact.lateral.x, <, -0.99);
  tarn_attempt_free (attempt);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/hand/spring", test_follows_as_a_damped_spring);
  g_test_add_func ("/hand/speed", test_slides_no_faster_than_a_hand);
  g_test_add_func ("/hand/on-the-body", test_stays_on_the_body);
  g_test_add_func ("/hand/off-the-skin", test_off_the_skin_nothing_is_shown);
  g_test_add_func ("/hand/tremor", test_trembles_and_more_under_force);
  g_test_add_func ("/hand/trace", test_trace_tells_stillness);
  g_test_add_func ("/hand/breath", test_guarding_quickens_breath_without_a_jump);
  g_test_add_func ("/hand/unrest", test_asked_to_lie_still_moves_a_fifth);
  g_test_add_func ("/hand/rides", test_contact_rides_on_the_breath);
  g_test_add_func ("/hand/reversed", test_reversed_mark_begins_turned);
  return g_test_run ();
}
