/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a trembling hand does.  Common practice, no source: hold still while acquiring. */
#include "people.h"

#include <glib.h>

#define SEEDS 6

static double
rms_ml (const TarnBody *body, Pose pose, Outcome outcome[SEEDS])
{
  double sum = 0;
  for (int seed = 0; seed < SEEDS; seed++)
    {
      pose.seed = (uint64_t)seed;
      outcome[seed] = scan (body, pose);
      say ("tremor", pose, &outcome[seed]);
      sum += outcome[seed].error_ml * outcome[seed].error_ml;
    }
  return sqrt (sum / SEEDS);
}

static void
test_wild_hand_is_wrong_and_told_why (void)
{
  static const double volumes_ml[] = { 200, 300 };
  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = person_plain (volumes_ml[v]);
      TarnBody *body = person_body (&patient, 0);
      Pose pose = POSE (.above_mm = 45, .tilt_deg = 5);
      Outcome steady[SEEDS], wild[SEEDS];
      pose.tremor_mm = 1;
      double steady_ml = rms_ml (body, pose, steady);
      pose.tremor_mm = 15;
      double wild_ml = rms_ml (body, pose, wild);

      int wrong = 0, moved = 0;
      for (int seed = 0; seed < SEEDS; seed++)
        {
          g_assert_cmpstr (tarn_verdict_name (steady[seed].verdict), ==, "accurate");
          wrong += wild[seed].verdict != TARN_VERDICT_ACCURATE;
          moved += wild[seed].verdict == TARN_VERDICT_MOVED;
        }
      g_test_message ("RMS error %.1f mL at 1 mm, %.1f at 15; %d of %d wrong were moved",
                      steady_ml, wild_ml, moved, wrong);
      g_assert_cmpfloat (wild_ml, >=, 3 * steady_ml);
      g_assert_cmpint (wrong, >, 0);
      g_assert_cmpint (2 * moved, >, wrong);
      tarn_body_free (body);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/tremor/wild", test_wild_hand_is_wrong_and_told_why);
  return g_test_run ();
}
