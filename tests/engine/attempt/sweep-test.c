/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A sweep within an attempt: recorded, read, frozen, explained. */
#include "bed.h"

#include "base/units.h"

#include <math.h>
#include <string.h>

static void
test_sweep_reads_the_bladder (void)
{
  TarnAttempt *attempt = bed_plain ();
  bed_sweep (attempt, 40);
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  g_assert_cmpint (bedside->sweeps, ==, 1);
  g_assert_true (bedside->frozen);
  g_assert_false (bedside->sweeping);
  g_assert_cmpint (tarn_attempt_readings (attempt), ==, 1);

  const TarnAttemptReading *reading = tarn_attempt_reading (attempt, 0);
  g_assert_cmpint (reading->source, ==, TARN_SOURCE_SWEEP);
  g_assert_cmpuint (reading->tick, ==, bedside->tick);
  g_assert_cmpfloat_with_epsilon (reading->reading.volume_ml, 300, 30);
  g_assert_cmpfloat (reading->scan->sweep.contact.wet_fraction, >, 0.95);
  g_assert_cmpfloat (reading->wander_mm, >, 0.05);
  g_assert_cmpfloat (reading->wander_mm, <, 1.5);
  g_assert_cmpfloat (reading->section_share, >, 0.9);
  g_assert_cmpfloat_with_epsilon (reading->force_most_n, 5, 0.01);
  g_assert_nonnull (reading->scan->sweep.grey);
  g_assert_false (reading->scan->has_ledger);
  tarn_attempt_free (attempt);
}

/* The live plane goes through the fan as the sweep does, and is held afterwards. */
static void
test_live_plane_follows_the_sweep (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  double half_rad = tarn_rad_from_deg (tarn_attempt_patient (attempt)->probe.fan_deg) / 2;
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 1);
  g_assert_cmpfloat (tarn_attempt_plane (attempt).frame.fan_rad, ==, 0);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  for (int k = 0; k < 180; k++)
    {
      g_assert_true (bedside->sweeping);
      g_assert_cmpfloat_with_epsilon (bedside->sweep_share, k / 180.0, 1e-12);
      g_assert_cmpfloat_with_epsilon (bedside->fan_rad, half_rad * (k / 90.0 - 1), 1e-12);
      g_assert_cmpfloat (tarn_attempt_plane (attempt).frame.fan_rad, ==, bedside->fan_rad);
      bed_wait (attempt, 1.0 / 60);
    }
  g_assert_false (bedside->sweeping);

  TarnPlaneSetup held = tarn_attempt_plane (attempt);
  TarnVec3 face_mm = held.contact->face_mm;
  g_assert_cmpfloat (held.frame.fan_rad, ==, 0);
  bed_hand (attempt, 80, 0, 0, 5);
  bed_wait (attempt, 1);
  TarnPlaneSetup later = tarn_attempt_plane (attempt);
  g_assert_cmpuint (later.noise_seed, ==, held.noise_seed);
  g_assert_cmpfloat (tarn_distance (later.contact->face_mm, face_mm), ==, 0);
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 0);
  g_assert_cmpfloat (tarn_distance (tarn_attempt_plane (attempt).contact->face_mm, face_mm), >,
                     20);
  tarn_attempt_free (attempt);
}

/* Noise differs from tick to tick, and is the same when asked for again. */
static void
test_live_noise_changes_with_the_tick (void)
{
  TarnAttempt *attempt = bed_plain ();
  uint64_t seed = tarn_attempt_plane (attempt).noise_seed;
  g_assert_cmpuint (tarn_attempt_plane (attempt).noise_seed, ==, seed);
  bed_wait (attempt, 1.0 / 60);
  g_assert_cmpuint (tarn_attempt_plane (attempt).noise_seed, !=, seed);
  tarn_attempt_free (attempt);
}

/* Who tilts along with the fan spreads its planes, so that fewer meet the bladder: the reading
 * is low, and the ledger says that motion did it. */
static void
test_moving_is_recorded_and_blamed (void)
{
  TarnAttempt *attempt = bed_plain ();
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 30 });
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 1.5);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  for (int k = 0; k < 180; k++)
    {
      BED (attempt, .kind = TARN_INPUT_HAND,
           .value = { 40, 0, tarn_rad_from_deg (5 - 25 * k / 180.0), 0, 0, 5 });
      bed_wait (attempt, 1.0 / 60);
    }
  const TarnAttemptReading *reading = tarn_attempt_reading (attempt, 0);
  g_assert_cmpfloat (reading->reading.volume_ml, <, 260);
  g_assert_cmpint (tarn_attempt_ledger (attempt, 0), ==, TARN_OK);
  g_assert_true (reading->scan->has_ledger);
  g_assert_cmpfloat (reading->scan->ledger.entry_ml[TARN_CAUSE_MOTION], <, -40);
  g_assert_cmpstr (tarn_verdict_name (reading->scan->verdict), ==, "moved");
  tarn_attempt_free (attempt);
}

/* The ledger does not depend on when it is made, or what came between. */
static void
test_ledger_may_come_later (void)
{
  TarnAttempt *early = bed_plain (), *late = bed_plain ();
  bed_sweep (early, 20);
  g_assert_cmpint (tarn_attempt_ledger (early, 0), ==, TARN_OK);
  bed_sweep (late, 20);
  BED (late, .kind = TARN_INPUT_FREEZE, .code = 0);
  BED (late, .kind = TARN_INPUT_WIPE);
  BED (late, .kind = TARN_INPUT_LIFT, .value = { 1 });
  bed_hand (late, 90, 30, 45, 12);
  bed_wait (late, 2);
  g_assert_cmpint (tarn_attempt_ledger (late, 0), ==, TARN_OK);
  const TarnScan *a = tarn_attempt_reading (early, 0)->scan;
  const TarnScan *b = tarn_attempt_reading (late, 0)->scan;
  double sum_ml = 0;
  for (int cause = 0; cause < TARN_CAUSES; cause++)
    {
      g_assert_cmpfloat (a->ledger.entry_ml[cause], ==, b->ledger.entry_ml[cause]);
      sum_ml += a->ledger.entry_ml[cause];
    }
  g_assert_cmpfloat_with_epsilon (sum_ml, a->error_ml, 1e-6);
  g_assert_cmpint (a->verdict, ==, b->verdict);
  tarn_attempt_free (early);
  tarn_attempt_free (late);
}

static void
test_abandoned_sweep_reads_nothing (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 1);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  bed_wait (attempt, 1);
  BED (attempt, .kind = TARN_INPUT_ABANDON);
  g_assert_false (bedside->sweeping);
  g_assert_cmpfloat (bedside->fan_rad, ==, 0);
  bed_wait (attempt, 3);
  g_assert_cmpint (bedside->sweeps, ==, 0);
  g_assert_cmpint (tarn_attempt_readings (attempt), ==, 0);
  tarn_attempt_free (attempt);
}

/* What has no hand, or no sense, during a sweep or off the skin. */
static void
test_what_must_wait_is_refused (void)
{
  static const TarnInput waits[] = {
    { .kind = TARN_INPUT_SWEEP },
    { .kind = TARN_INPUT_GEL, .value = { 5 } },
    { .kind = TARN_INPUT_WIPE },
    { .kind = TARN_INPUT_DEPTH, .value = { 100 } },
    { .kind = TARN_INPUT_GAIN, .value = { 3 } },
    { .kind = TARN_INPUT_FREEZE, .code = 1 },
  };
  TarnAttempt *attempt = bed_plain ();
  TarnInput abandon = { .kind = TARN_INPUT_ABANDON };
  g_assert_cmpint (tarn_attempt_input (attempt, &waits[0]), ==, TARN_IMPOSSIBLE);
  g_assert_cmpint (tarn_attempt_input (attempt, &abandon), ==, TARN_IMPOSSIBLE);
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 1);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  int inputs = tarn_attempt_inputs (attempt);
  for (gsize k = 0; k < G_N_ELEMENTS (waits); k++)
    g_assert_cmpint (tarn_attempt_input (attempt, &waits[k]), ==, TARN_IMPOSSIBLE);
  g_assert_cmpint (tarn_attempt_inputs (attempt), ==, inputs);
  tarn_attempt_free (attempt);
}

static void
test_lift_waits_for_the_sweep (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.pannus_mm = 30;
  TarnAttempt *attempt = bed_new (&patient, 1, NULL, false);
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 1);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  BED (attempt, .kind = TARN_INPUT_LIFT, .value = { 1 });
  bed_wait (attempt, 2.5);
  g_assert_cmpfloat (bedside->lift, ==, 0);
  g_assert_cmpfloat (tarn_body_lift (tarn_attempt_body (attempt)), ==, 0);
  bed_wait (attempt, 3);
  g_assert_cmpfloat (bedside->lift, ==, 1);
  g_assert_cmpfloat (tarn_body_lift (tarn_attempt_body (attempt)), ==, 1);
  /* And smoothly: a tenth at a time. */
  BED (attempt, .kind = TARN_INPUT_LIFT, .value = { 0 });
  double before = 1;
  for (int k = 0; k < 240; k++)
    {
      bed_wait (attempt, 1.0 / 60);
      double lift = tarn_body_lift (tarn_attempt_body (attempt));
      g_assert_cmpfloat_with_epsilon (lift, before, 0.11);
      g_assert_cmpfloat_with_epsilon (lift, bedside->lift, 0.051);
      before = lift;
    }
  g_assert_cmpfloat (before, ==, 0);
  tarn_attempt_free (attempt);
}

/* A hand that leaves the skin in the middle of a sweep loses what comes after. */
static void
test_lifting_off_during_a_sweep_loses_the_rest (void)
{
  TarnAttempt *attempt = bed_plain ();
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 20 });
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 1.5);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  bed_wait (attempt, 1);
  bed_hand (attempt, 40, 0, 0, 0);
  bed_wait (attempt, 2);
  const TarnAttemptReading *reading = tarn_attempt_reading (attempt, 0);
  for (int k = 24; k < 36; k++)
    g_assert_false (reading->scan->sweep.plane[k].outline.found);
  g_assert_cmpfloat (reading->reading.volume_ml, <, 250);
  tarn_attempt_free (attempt);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/sweep/reads", test_sweep_reads_the_bladder);
  g_test_add_func ("/sweep/live", test_live_plane_follows_the_sweep);
  g_test_add_func ("/sweep/noise", test_live_noise_changes_with_the_tick);
  g_test_add_func ("/sweep/moved", test_moving_is_recorded_and_blamed);
  g_test_add_func ("/sweep/ledger", test_ledger_may_come_later);
  g_test_add_func ("/sweep/abandoned", test_abandoned_sweep_reads_nothing);
  g_test_add_func ("/sweep/waits", test_what_must_wait_is_refused);
  g_test_add_func ("/sweep/lift", test_lift_waits_for_the_sweep);
  g_test_add_func ("/sweep/lifted-off", test_lifting_off_during_a_sweep_loses_the_rest);
  return g_test_run ();
}
