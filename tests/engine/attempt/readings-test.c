/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Calipers, judgement, record, and the truth at the end. */
#include "bed.h"

#include "base/units.h"

#include <math.h>

/* Both ends of the lumen in the held plane's frame, along one of the patient's axes, through
 * the lumen's middle. */
static TarnCaliper
ends_in_plane (const TarnAttempt *attempt, TarnVec3 direction, double length_mm)
{
  TarnPlaneSetup plane = tarn_attempt_plane (attempt);
  TarnVec3 middle = tarn_body_lumen_centre_mm (plane.body);
  double at[4];
  for (int end = 0; end < 2; end++)
    {
      TarnVec3 p = tarn_add_scaled (middle, direction, (end - 0.5) * length_mm);
      TarnVec3 from = tarn_sub (tarn_deform_forward (plane.deform, p), plane.frame.centre_mm);
      at[2 * end] = tarn_dot (from, plane.frame.lateral);
      at[2 * end + 1] = tarn_dot (from, plane.frame.axis);
    }
  return (TarnCaliper){ at[0], at[1], at[2], at[3] };
}

static void
set_caliper (TarnAttempt *attempt, int which, TarnCaliper c)
{
  BED (attempt, .kind = TARN_INPUT_CALIPER, .code = (uint8_t)which,
       .value = { c.u0_mm, c.v0_mm, c.u1_mm, c.v1_mm });
}

/* Width and height on a transverse plane, length on a sagittal one, as true as may be. */
static void
measure (TarnAttempt *attempt, double stretch, double coefficient)
{
  double length, width, height;
  tarn_body_lumen_diameters_mm (tarn_attempt_body (attempt), &length, &width, &height);
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 20 });
  bed_hand (attempt, 45, 0, 0, 4);
  bed_wait (attempt, 2);
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 1);
  set_caliper (attempt, TARN_CALIPER_WIDTH,
               ends_in_plane (attempt, tarn_vec3 (1, 0, 0), stretch * width));
  set_caliper (attempt, TARN_CALIPER_HEIGHT,
               ends_in_plane (attempt, tarn_vec3 (0, 1, 0), stretch * height));
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 0);
  bed_hand (attempt, 45, 0, 90, 4);
  bed_wait (attempt, 2);
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 1);
  set_caliper (attempt, TARN_CALIPER_LENGTH,
               ends_in_plane (attempt, tarn_vec3 (0, 0, 1), stretch * length));
  BED (attempt, .kind = TARN_INPUT_MEASURE, .value = { coefficient });
}

static void
test_calipers_make_a_reading (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  measure (attempt, 1, TARN_COEFFICIENT_ELLIPSOID);
  g_assert_cmpfloat_with_epsilon (fabs (bedside->caliper_turn_rad[TARN_CALIPER_WIDTH]), 0,
                                  0.05);
  g_assert_cmpfloat_with_epsilon (bedside->caliper_turn_rad[TARN_CALIPER_LENGTH], TARN_PI / 2,
                                  0.05);
  g_assert_cmpint (tarn_attempt_readings (attempt), ==, 1);
  const TarnAttemptReading *reading = tarn_attempt_reading (attempt, 0);
  g_assert_cmpint (reading->source, ==, TARN_SOURCE_CALIPERS);
  g_assert_null (reading->scan);
  const TarnDiameters *d = &reading->diameters;
  g_assert_cmpfloat_with_epsilon (
      reading->reading.volume_ml,
      TARN_COEFFICIENT_ELLIPSOID * d->length_mm * d->width_mm * d->height_mm / 1000, 1e-9);
  g_assert_cmpint (tarn_attempt_ledger (attempt, 0), ==, TARN_OK);

  BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE);
  BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT);
  TarnTruth truth;
  bed_finish (attempt, &truth);
  g_test_message ("%.0f mL by calipers", truth.recorded_ml);
  g_assert_cmpfloat_with_epsilon (truth.calipers.caliper_error_ml
                                      + truth.calipers.formula_error_ml,
                                  truth.recorded_ml - truth.truth_ml, 1e-6);
  g_assert_cmpstr (tarn_verdict_name (truth.verdict), ==, "accurate");
  g_assert_true (truth.was_right.right);
  g_assert_false (truth.has_ledger);
  g_assert_cmpfloat (truth.facts.section_share, >, 0.9);
  g_assert_cmpfloat (truth.score.technique, >=, 14);
  g_assert_cmpfloat (truth.score.reading, ==, 50);
  tarn_attempt_free (attempt);
}

static void
test_far_off_calipers_are_unexplained (void)
{
  TarnAttempt *attempt = bed_plain ();
  measure (attempt, 0.6, TARN_COEFFICIENT_ELLIPSOID);
  BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT);
  TarnTruth truth;
  bed_finish (attempt, &truth);
  g_assert_cmpstr (tarn_verdict_name (truth.verdict), ==, "unexplained");
  g_assert_cmpfloat (truth.facts.section_share, <, 0.7);
  tarn_attempt_free (attempt);
}

/* Calipers set on the fluid in the belly are wrong fluid, whatever the number. */
static void
test_calipers_on_other_fluid (void)
{
  TarnAttempt *attempt = bed_shipped ("08-fluid-in-the-belly.anatomy");
  const TarnStructure *ascites = &tarn_attempt_patient (attempt)->structure[0];
  bed_hand (attempt, 110, 0, 0, 4);
  bed_wait (attempt, 1);
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 1);
  TarnPlaneSetup plane = tarn_attempt_plane (attempt);
  TarnVec3 to = tarn_sub (ascites->centre_mm, plane.frame.centre_mm);
  double u = tarn_dot (to, plane.frame.lateral), v = tarn_dot (to, plane.frame.axis);
  for (int k = 0; k < TARN_CALIPERS; k++)
    set_caliper (attempt, k, (TarnCaliper){ u - 8, v, u + 8, v });
  BED (attempt, .kind = TARN_INPUT_MEASURE, .value = { 0.5 });
  BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT);
  TarnTruth truth;
  bed_finish (attempt, &truth);
  g_assert_cmpstr (tarn_verdict_name (truth.verdict), ==, "wrong-fluid");
  g_assert_cmpuint (truth.score.missed & TARN_MISS_WRONG_FLUID_RECORDED, !=, 0);
  tarn_attempt_free (attempt);
}

static void
test_calipers_need_a_held_plane_and_all_three (void)
{
  TarnAttempt *attempt = bed_plain ();
  TarnInput caliper = { .kind = TARN_INPUT_CALIPER, .value = { -20, 60, 20, 60 } };
  TarnInput measures = { .kind = TARN_INPUT_MEASURE, .value = { 0.5 } };
  g_assert_cmpint (tarn_attempt_input (attempt, &caliper), ==, TARN_IMPOSSIBLE);
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 1);
  for (uint8_t k = 0; k < TARN_CALIPERS; k++)
    {
      g_assert_cmpint (tarn_attempt_input (attempt, &measures), ==, TARN_IMPOSSIBLE);
      caliper.code = k;
      g_assert_cmpint (tarn_attempt_input (attempt, &caliper), ==, TARN_OK);
    }
  measures.value[0] = 0;
  g_assert_cmpint (tarn_attempt_input (attempt, &measures), ==, TARN_OUT_OF_RANGE);
  measures.value[0] = 0.5;
  for (int k = 0; k < TARN_ATTEMPT_READINGS_MAX; k++)
    g_assert_cmpint (tarn_attempt_input (attempt, &measures), ==, TARN_OK);
  g_assert_cmpint (tarn_attempt_input (attempt, &measures), ==, TARN_IMPOSSIBLE);
  tarn_attempt_free (attempt);
}

/* Which judgement and which reading count. */
static void
test_the_recorded_reading_counts (void)
{
  TarnAttempt *attempt = bed_plain ();
  bed_sweep (attempt, 45);
  bed_sweep (attempt, 150);
  TarnInput none = { .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE, .reading = 2 };
  g_assert_cmpint (tarn_attempt_input (attempt, &none), ==, TARN_IMPOSSIBLE);
  none.reading = -1;
  g_assert_cmpint (tarn_attempt_input (attempt, &none), ==, TARN_IMPOSSIBLE);

  BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE, .reading = 0);
  BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_DO_NOT_USE,
       .cause = TARN_VERDICT_CLIPPED, .reading = 1);
  BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT, .reading = 0,
       .value = { 12345 });
  TarnTruth truth;
  TarnInput finish = { .kind = TARN_INPUT_FINISH };
  g_assert_cmpint (tarn_attempt_truth (attempt, &truth), ==, TARN_IMPOSSIBLE);
  bed_finish (attempt, &truth);
  g_assert_cmpint (truth.recorded, ==, 0);
  g_assert_cmpint (truth.judged, ==, 0);
  g_assert_cmpint (truth.judgement.kind, ==, TARN_JUDGEMENT_USE);
  g_assert_cmpfloat (truth.recorded_ml, ==,
                     tarn_attempt_reading (attempt, 0)->reading.volume_ml);
  g_assert_true (truth.has_ledger);
  g_assert_cmpstr (tarn_verdict_name (truth.verdict), ==, "accurate");
  g_assert_true (truth.was_right.right);
  g_assert_true (truth.facts.measurable);
  g_assert_true (truth.facts.scanned);
  g_assert_cmpfloat (truth.score.reading, ==, 50);
  g_assert_cmpfloat (truth.score.judgement, ==, 20);

  /* The same when asked again; and nothing more is taken. */
  TarnTruth again;
  g_assert_cmpint (tarn_attempt_truth (attempt, &again), ==, TARN_OK);
  g_assert_cmpfloat (again.score.total, ==, truth.score.total);
  g_assert_cmpint (tarn_attempt_input (attempt, &finish), ==, TARN_IMPOSSIBLE);
  uint64_t digest = tarn_attempt_digest (attempt);
  bed_wait (attempt, 1);
  g_assert_cmpuint (tarn_attempt_digest (attempt), ==, digest);
  tarn_attempt_free (attempt);
}

/* Without a record, what was judged last is what is explained. */
static void
test_the_last_judgement_counts_where_nothing_is_recorded (void)
{
  TarnAttempt *attempt = bed_plain ();
  bed_sweep (attempt, 45);
  BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_DO_NOT_USE,
       .cause = TARN_VERDICT_MOVED, .reading = 0);
  TarnTruth truth;
  bed_finish (attempt, &truth);
  g_assert_cmpint (truth.judged, ==, 0);
  g_assert_cmpint (truth.recorded, ==, -1);
  g_assert_cmpint (truth.record, ==, TARN_RECORD_NONE);
  g_assert_cmpstr (tarn_verdict_name (truth.verdict), ==, "accurate");
  g_assert_false (truth.was_right.right);
  tarn_attempt_free (attempt);
}

static void
test_a_number_of_ones_own_is_invented (void)
{
  TarnAttempt *attempt = bed_plain ();
  BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT, .reading = -1,
       .value = { 300 });
  TarnTruth truth;
  bed_finish (attempt, &truth);
  g_assert_cmpfloat (truth.recorded_ml, ==, 300);
  g_assert_cmpuint (truth.score.missed, ==, TARN_MISS_INVENTED_VOLUME);
  g_assert_cmpint (truth.verdict, ==, TARN_VERDICT_NOT_ACCURATE);
  g_assert_false (truth.facts.scanned);
  tarn_attempt_free (attempt);
}

/* A bladder larger than the field is not measurable, the others shipped are. */
static void
test_only_the_very_full_cannot_be_measured (void)
{
  static const char *const files[]
      = { "01-plain-adult.anatomy",         "03-slim-young-adult.anatomy",
          "04-large-abdomen.anatomy",       "05-off-the-midline.anatomy",
          "06-low-behind-the-bone.anatomy", "08-fluid-in-the-belly.anatomy",
          "22-scar-and-gas.anatomy",        "07-very-full.anatomy" };
  for (gsize k = 0; k < G_N_ELEMENTS (files); k++)
    {
      TarnAttempt *attempt = bed_shipped (files[k]);
      TarnTruth truth;
      bed_finish (attempt, &truth);
      g_test_message ("%s: %d", files[k], truth.facts.measurable);
      g_assert_cmpint (truth.facts.measurable, ==, k < G_N_ELEMENTS (files) - 1);
      tarn_attempt_free (attempt);
    }
}

/* At least so much is the right answer there, and full marks for the reading. */
static void
test_at_least_is_right_for_the_very_full (void)
{
  TarnAttempt *attempt = bed_shipped ("07-very-full.anatomy");
  bed_sweep (attempt, 90);
  BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_AT_LEAST);
  BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_AT_LEAST);
  TarnTruth truth;
  bed_finish (attempt, &truth);
  g_assert_cmpint (truth.facts.reading_kind, ==, TARN_READING_LOWER_BOUND);
  g_assert_cmpstr (tarn_verdict_name (truth.verdict), ==, "clipped");
  g_assert_true (truth.was_right.right);
  g_assert_cmpfloat (truth.score.reading, ==, 50);
  g_assert_cmpfloat (truth.score.judgement, ==, 20);
  tarn_attempt_free (attempt);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/readings/calipers", test_calipers_make_a_reading);
  g_test_add_func ("/readings/calipers-off", test_far_off_calipers_are_unexplained);
  g_test_add_func ("/readings/calipers-wrong-fluid", test_calipers_on_other_fluid);
  g_test_add_func ("/readings/calipers-need", test_calipers_need_a_held_plane_and_all_three);
  g_test_add_func ("/readings/recorded", test_the_recorded_reading_counts);
  g_test_add_func ("/readings/judged",
                   test_the_last_judgement_counts_where_nothing_is_recorded);
  g_test_add_func ("/readings/invented", test_a_number_of_ones_own_is_invented);
  g_test_add_func ("/readings/measurable", test_only_the_very_full_cannot_be_measured);
  g_test_add_func ("/readings/at-least", test_at_least_is_right_for_the_very_full);
  return g_test_run ();
}
