/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the symphysis does.  Common practice, no source: start a few centimetres above it. */
#include "people.h"

#include <glib.h>

#define PLACES 4

/* Beam a little to the head, so that the dome stays in the fan and bone alone takes away. */
static void
test_sliding_over_the_bone_ends_in_its_shadow (void)
{
  static const double volumes_ml[] = { 60, 180, 320 };
  static const double above_mm[PLACES] = { 30, 10, 0, -10 };
  double share[G_N_ELEMENTS (volumes_ml)][PLACES];

  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = person_plain (volumes_ml[v]);
      TarnBody *body = person_body (&patient, 0);
      for (int k = 0; k < PLACES; k++)
        {
          Pose pose = POSE (.above_mm = above_mm[k], .tilt_deg = -10);
          Outcome outcome = scan_with_ledger (body, pose);
          say ("sliding down", pose, &outcome);
          share[v][k] = -outcome.ledger.entry_ml[TARN_CAUSE_BONE] / volumes_ml[v];
          if (k == 0)
            g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "accurate");
          else
            g_assert_cmpfloat (share[v][k], >, share[v][k - 1]);
          if (k == PLACES - 1)
            g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "shadowed");
        }
      tarn_body_free (body);
    }

  /* Small bladders, which lie deeper behind the bone, sooner. */
  for (int k = 1; k < PLACES; k++)
    {
      g_assert_cmpfloat (share[0][k], >, share[1][k]);
      g_assert_cmpfloat (share[1][k], >, share[2][k]);
    }
}

/* From close above the bone: its shadow takes the neck while the fan's end takes the dome. */
static void
test_tilting_far_to_the_feet_cuts_the_dome_and_meets_the_bone (void)
{
  static const double volumes_ml[] = { 180, 320 };
  static const double tilts_deg[] = { 0, 15, 30 };
  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = person_plain (volumes_ml[v]);
      TarnBody *body = person_body (&patient, 0);
      double edge_before_ml = 0;
      for (gsize k = 0; k < G_N_ELEMENTS (tilts_deg); k++)
        {
          Pose pose = POSE (.above_mm = 20, .tilt_deg = tilts_deg[k]);
          Outcome outcome = scan_with_ledger (body, pose);
          say ("tilting", pose, &outcome);
          double edge_ml = outcome.ledger.entry_ml[TARN_CAUSE_EDGE];
          if (k > 0)
            {
              g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "clipped");
              g_assert_cmpfloat (edge_ml, <, edge_before_ml);
              g_assert_cmpfloat (outcome.ledger.entry_ml[TARN_CAUSE_BONE], <, -2);
            }
          edge_before_ml = edge_ml;
        }
      tarn_body_free (body);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/bone/sliding", test_sliding_over_the_bone_ends_in_its_shadow);
  g_test_add_func ("/bone/tilting",
                   test_tilting_far_to_the_feet_cuts_the_dome_and_meets_the_bone);
  return g_test_run ();
}
