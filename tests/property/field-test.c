/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the edges of the field do.  Common practice, no source: a bladder that runs out of the
 * picture is more than what is measured. */
#include "people.h"

#include <glib.h>
#include <stdlib.h>

/* 1,700 mL, as wide as long and flat, in a slim man: no pose holds it. */
static void
test_too_full_a_bladder_is_a_lower_bound_from_everywhere (void)
{
  TarnPatient patient = person_slim (1700);
  patient.habitus.torso_width_mm = 310;
  patient.habitus.torso_depth_mm = 205;
  patient.bladder.length_mm = 190;
  patient.bladder.width_mm = 190;
  patient.bladder.height_mm = 105;
  TarnBody *body = person_body (&patient, 0);

  /* By straight rays, from a dense set of poses; then a few sweeps. */
  for (int above = 20; above <= 180; above += 20)
    for (int left = -60; left <= 60; left += 20)
      for (int turn = 0; turn <= 90; turn += 90)
        {
          TarnGeometricLoss loss = lose (body, POSE (.above_mm = above, .left_mm = left,
                                                     .turn_deg = turn, .force_n = 0.5));
          g_assert_cmpfloat (loss.seen_ml, <, 0.88 * loss.urine_ml);
        }
  const Pose poses[] = { POSE (.above_mm = 40, .force_n = 2),
                         POSE (.above_mm = 80, .turn_deg = 90, .force_n = 1),
                         POSE (.above_mm = 110, .left_mm = 40, .force_n = 2),
                         POSE (.above_mm = 150, .tilt_deg = 15, .force_n = 5) };
  for (gsize k = 0; k < G_N_ELEMENTS (poses); k++)
    {
      Outcome outcome = scan_with_ledger (body, poses[k]);
      say ("very full", poses[k], &outcome);
      g_assert_cmpint (outcome.reading.kind, ==, TARN_READING_LOWER_BOUND);
      g_assert_cmpfloat (outcome.reading.volume_ml, <, outcome.truth_ml);
      g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "clipped");
    }
  tarn_body_free (body);
}

typedef struct
{
  double section_mm2, error_ml;
} Aim;

static int
by_section (const void *a, const void *b)
{
  double x = ((const Aim *)a)->section_mm2, y = ((const Aim *)b)->section_mm2;
  return x > y ? -1 : x < y;
}

/* The poses whose middle planes show the largest sections err least; so do the centred ones. */
static void
test_centring_and_the_largest_section_err_least (void)
{
  TarnPatient patients[] = { person_plain (300), person_slim (250), person_plain (150) };
  enum
  {
    AIMS = 9
  };
  for (gsize p = 0; p < G_N_ELEMENTS (patients); p++)
    {
      TarnBody *body = person_body (&patients[p], 0);
      Aim aim[AIMS];
      double centred_ml = 0, off_ml = 0;
      int count = 0;
      for (int above = 20; above <= 90; above += 35)
        for (int left = 0; left <= 80; left += 40)
          {
            Pose pose = POSE (.above_mm = above, .left_mm = left, .tilt_deg = 5);
            Outcome outcome = scan_without_ledger (body, pose);
            say ("aiming", pose, &outcome);
            aim[count++] = (Aim){ outcome.middle_mm2, fabs (outcome.error_ml) };
            if (left == 0)
              centred_ml += fabs (outcome.error_ml) / 3;
            if (left == 80)
              off_ml += fabs (outcome.error_ml) / 3;
          }
      qsort (aim, AIMS, sizeof *aim, by_section);
      double largest_ml = 0, smallest_ml = 0;
      for (int k = 0; k < 3; k++)
        {
          largest_ml += aim[k].error_ml / 3;
          smallest_ml += aim[AIMS - 1 - k].error_ml / 3;
        }
      g_test_message ("%s: mean error %.1f mL centred, %.1f off; %.1f mL with the largest "
                      "sections, %.1f with the smallest",
                      patients[p].id, centred_ml, off_ml, largest_ml, smallest_ml);
      g_assert_cmpfloat (centred_ml, <, off_ml);
      g_assert_cmpfloat (largest_ml, <, smallest_ml);
      tarn_body_free (body);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/field/too-full", test_too_full_a_bladder_is_a_lower_bound_from_everywhere);
  g_test_add_func ("/field/centring", test_centring_and_the_largest_section_err_least);
  return g_test_run ();
}
