/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A sweep within an attempt: recorded, read, frozen, explained. */
#include "bed.h"

#include <math.h>

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
  g_assert_cmpfloat_with_epsilon (reading->reading.volume_ml, 300, 30);
  g_assert_cmpfloat (reading->wander_mm, >, 0.05);
  g_assert_cmpfloat (reading->wander_mm, <, 1.5);
  g_test_message ("%.1f mL, wet %.3f, wander %.2f, section %.3f", reading->reading.volume_ml,
                  reading->scan->sweep.contact.wet_fraction, reading->wander_mm,
                  reading->section_share);
  tarn_attempt_free (attempt);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/sweep/reads", test_sweep_reads_the_bladder);
  return g_test_run ();
}
