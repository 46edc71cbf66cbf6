/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What gel does.  Common practice, no source: plenty, about 20 g. */
#include "people.h"

#include <glib.h>

static const double volumes_ml[] = { 200, 300 };

/* Without gel nothing couples, however firm the hand. */
static void
test_no_gel_no_contact (void)
{
  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = person_plain (volumes_ml[v]);
      TarnBody *body = person_body (&patient, 0);
      for (double force_n = 2; force_n <= 15; force_n += 13)
        {
          Pose pose = POSE (.gel_g = 0, .force_n = force_n, .tilt_deg = 10);
          Outcome outcome = scan_with_ledger (body, pose);
          say ("no gel", pose, &outcome);
          g_assert_cmpint (outcome.reading.kind, ==, TARN_READING_NOT_SEEN);
          g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==, "poor-contact");
        }
      tarn_body_free (body);
    }
}

/* A strongly leaned, light probe on little gel couples on one side only. */
static void
test_little_gel_under_a_tilted_probe_leaves_dry_edges (void)
{
  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = person_plain (volumes_ml[v]);
      TarnBody *body = person_body (&patient, 0);
      Pose pose = POSE (.above_mm = 50, .left_mm = -32, .tilt_deg = 10, .lean_deg = 25,
                        .force_n = 0.5, .gel_g = 2);
      Outcome little = scan_with_ledger (body, pose);
      say ("2 g, leaned", pose, &little);
      g_assert_cmpfloat (little.wet_fraction, <, 0.8);
      g_assert_cmpstr (tarn_verdict_name (little.verdict), ==, "poor-contact");

      pose.gel_g = 20;
      Outcome plenty = scan_without_ledger (body, pose);
      say ("20 g, leaned", pose, &plenty);
      g_assert_cmpfloat (plenty.wet_fraction, >, 0.9);
      g_assert_cmpstr (tarn_verdict_name (plenty.verdict), ==, "accurate");
      tarn_body_free (body);
    }
}

/* Slid 80 mm from where 2 g were laid, the face has left most of it on the way. */
static void
test_sliding_far_wipes_the_gel_off (void)
{
  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = person_plain (volumes_ml[v]);
      TarnBody *body = person_body (&patient, 0);
      Pose pose = POSE (.above_mm = 50, .left_mm = -32, .tilt_deg = 10, .lean_deg = 25,
                        .force_n = 0.5, .gel_g = 0);
      TarnPose to = pose_options (pose).pose, from = to;
      from.left_mm += 80;
      from.lean_rad = 0;
      for (int plenty = 0; plenty <= 1; plenty++)
        {
          g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
          tarn_gel_dose (film, from.above_mm, from.left_mm, plenty ? 20 : 2);
          tarn_gel_wipe (film, body, &from, &to);
          pose.film = film;
          Outcome outcome
              = plenty ? scan_without_ledger (body, pose) : scan_with_ledger (body, pose);
          say (plenty ? "slid on 20 g" : "slid on 2 g", pose, &outcome);
          g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==,
                           plenty ? "accurate" : "poor-contact");
        }
      tarn_body_free (body);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/gel/none", test_no_gel_no_contact);
  g_test_add_func ("/gel/little", test_little_gel_under_a_tilted_probe_leaves_dry_edges);
  g_test_add_func ("/gel/sliding", test_sliding_far_wipes_the_gel_off);
  return g_test_run ();
}
