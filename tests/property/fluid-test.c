/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What other fluid does.  Common practice, no source: prove that the dark region is the
 * bladder. */
#include "people.h"

#include <glib.h>

static TarnPatient
with_ascites (void)
{
  TarnPatient patient = person_plain (120);
  person_add (&patient, TARN_STRUCTURE_ASCITES, tarn_vec3 (0, 52, 122), tarn_vec3 (80, 34, 44));
  return patient;
}

static TarnPatient
with_cyst (void)
{
  TarnPatient patient = person_plain (90);
  person_add (&patient, TARN_STRUCTURE_CYST, tarn_vec3 (10, 60, 120), tarn_vec3 (44, 36, 40));
  return patient;
}

static void
test_other_fluid_in_line_is_the_wrong_fluid (void)
{
  TarnPatient patients[] = { with_ascites (), with_cyst () };
  for (gsize p = 0; p < G_N_ELEMENTS (patients); p++)
    {
      TarnBody *body = person_body (&patients[p], 0);
      for (int above = 20; above <= 120; above += 20)
        {
          Pose pose = POSE (.above_mm = above, .tilt_deg = 10);
          Outcome outcome = scan (body, pose);
          say ("other fluid", pose, &outcome);
          if (above >= 30 && above <= 60)
            g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "accurate");
          if (above < 100)
            continue;
          g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "wrong-fluid");
          g_assert_cmpfloat (outcome.contents.other, >, 0.5);
          g_assert_cmpfloat (outcome.error_ml, >, 0);
        }
      tarn_body_free (body);
    }
}

/* A balloon in a bladder that does not drain: its water, 4/3 π 19³ mm³ = 28.7 mL, is measured
 * with the urine. */
static void
test_balloon_is_measured_with_the_urine (void)
{
  TarnPatient patient = person_plain (150);
  person_add (&patient, TARN_STRUCTURE_BALLOON, tarn_vec3 (0, 50, 20), tarn_vec3 (19, 19, 19));
  TarnBody *body = person_body (&patient, 0);
  Pose pose = POSE (.above_mm = 45, .tilt_deg = 10);
  Outcome outcome = scan_with_ledger (body, pose);
  say ("balloon", pose, &outcome);
  g_assert_cmpfloat_with_epsilon (outcome.ledger.entry_ml[TARN_CAUSE_OTHER_FLUID], 28.7, 4);
  g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "wrong-fluid");
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fluid/in-line", test_other_fluid_in_line_is_the_wrong_fluid);
  g_test_add_func ("/fluid/balloon", test_balloon_is_measured_with_the_urine);
  return g_test_run ();
}
