/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What force does.  Common practice, no source: a light hand for a slim body, a firm one and
 * a lifted fold for a large one. */
#include "people.h"

#include <glib.h>

#define LOW  POSE (.above_mm = 40, .tilt_deg = 15)
#define HIGH POSE (.above_mm = 55, .tilt_deg = 5)

static Pose
with_force (Pose pose, double force_n)
{
  pose.force_n = force_n;
  return pose;
}

static void
test_gentle_hand_reads_a_slim_body_right (void)
{
  static const double volumes_ml[] = { 40, 100, 200 };
  for (gsize k = 0; k < G_N_ELEMENTS (volumes_ml); k++)
    {
      TarnPatient patient = person_slim (volumes_ml[k]);
      TarnBody *body = person_body (&patient, 0);
      for (double force_n = 2; force_n <= 5; force_n += 3)
        {
          Pose pose = with_force (volumes_ml[k] < 150 ? LOW : HIGH, force_n);
          Outcome outcome = scan_without_ledger (body, pose);
          say ("slim", pose, &outcome);
          g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "accurate");
        }
      tarn_body_free (body);
    }
}

/* It is flattened against what lies behind and widened out of the field; its volume stays. */
static void
test_hard_hand_presses_a_slim_full_bladder_out_of_the_field (void)
{
  static const double volumes_ml[] = { 400, 500 };
  for (gsize k = 0; k < G_N_ELEMENTS (volumes_ml); k++)
    {
      TarnPatient patient = person_slim (volumes_ml[k]);
      TarnBody *body = person_body (&patient, 0);
      Outcome gentle = scan_without_ledger (body, with_force (HIGH, 2));
      say ("slim, gentle", with_force (HIGH, 2), &gentle);
      g_assert_cmpstr (tarn_verdict_name (gentle.verdict), ==, "accurate");
      double before_ml = gentle.reading.volume_ml;
      for (double force_n = 15; force_n <= 30; force_n += 15)
        {
          Pose pose = with_force (HIGH, force_n);
          Outcome outcome = scan_with_ledger (body, pose);
          say ("slim, pressed", pose, &outcome);
          g_assert_cmpfloat (outcome.reading.volume_ml, <, before_ml);
          before_ml = outcome.reading.volume_ml;
          if (force_n < 25)
            continue;
          g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "clipped");
          g_assert_cmpint (outcome.reading.kind, ==, TARN_READING_LOWER_BOUND);
        }
      tarn_body_free (body);
    }
}

static void
test_large_body_needs_lift_and_a_firm_hand (void)
{
  static const double volumes_ml[] = { 150, 379 };
  const Pose pose = POSE (.above_mm = 40, .tilt_deg = 5);
  for (gsize k = 0; k < G_N_ELEMENTS (volumes_ml); k++)
    {
      TarnPatient patient = person_large (volumes_ml[k]);
      TarnBody *hanging = person_body (&patient, 0), *lifted = person_body (&patient, 1);
      Outcome light = scan_without_ledger (hanging, with_force (pose, 2));
      Outcome firm = scan_without_ledger (lifted, with_force (pose, 15));
      say ("large, light, not lifted", with_force (pose, 2), &light);
      say ("large, firm, lifted", with_force (pose, 15), &firm);
      g_assert_cmpstr (tarn_verdict_name (light.verdict), !=, "accurate");
      g_assert_cmpstr (tarn_verdict_name (firm.verdict), ==, "accurate");
      tarn_body_free (hanging);
      tarn_body_free (lifted);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/force/gentle-slim", test_gentle_hand_reads_a_slim_body_right);
  g_test_add_func ("/force/hard-slim",
                   test_hard_hand_presses_a_slim_full_bladder_out_of_the_field);
  g_test_add_func ("/force/large", test_large_body_needs_lift_and_a_firm_hand);
  return g_test_run ();
}
