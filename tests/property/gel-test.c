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

/* Lost fluid, and the ledger lays it to contact. */
static void
expect_fluid_lost_to_contact (const Outcome *outcome)
{
  g_assert_cmpfloat (outcome->error_ml, <, -outcome->tolerance_ml);
  g_assert_cmpfloat (outcome->ledger.entry_ml[TARN_CAUSE_CONTACT], <, -outcome->tolerance_ml);
  g_assert_cmpstr (tarn_verdict_name (outcome->verdict), ==, "poor-contact");
}

static void
expect_coupled (const Outcome *outcome)
{
  g_assert_cmpfloat (outcome->wet_fraction, >, 0.95);
  g_assert_cmpstr (tarn_verdict_name (outcome->verdict), ==, "accurate");
}

/* The pose with 2 g and with 20 g under the face. */
static void
expect_little_loses_and_plenty_does_not (const TarnBody *body, Pose pose)
{
  pose.gel_g = 2;
  Outcome little = scan_with_ledger (body, pose);
  say ("2 g", pose, &little);
  g_assert_cmpfloat (little.wet_fraction, <, 0.8);
  expect_fluid_lost_to_contact (&little);

  pose.gel_g = 20;
  Outcome plenty = scan_without_ledger (body, pose);
  say ("20 g", pose, &plenty);
  expect_coupled (&plenty);
}

/* A light probe does not close the gaps, and a strongly tilted one lifts an edge. */
static void
test_little_gel_leaves_dry_edges (void)
{
  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = person_plain (volumes_ml[v]);
      TarnBody *body = person_body (&patient, 0);
      expect_little_loses_and_plenty_does_not (
          body, POSE (.above_mm = 70, .tilt_deg = 15, .force_n = 0.5));
      expect_little_loses_and_plenty_does_not (
          body, POSE (.above_mm = 70, .left_mm = -20, .tilt_deg = 30, .force_n = 1));
      tarn_body_free (body);
    }
}

/* Slid 80 mm from where a dose was laid, the face has left most of it on the way. */
static void
test_sliding_far_wipes_the_gel_off (void)
{
  for (gsize v = 0; v < G_N_ELEMENTS (volumes_ml); v++)
    {
      TarnPatient patient = person_plain (volumes_ml[v]);
      TarnBody *body = person_body (&patient, 0);
      Pose pose = POSE (.above_mm = 70, .tilt_deg = 15, .force_n = 1, .gel_g = 0);
      TarnPose to = pose_options (pose).pose, from = to;
      from.left_mm += 80;
      for (int plenty = 0; plenty <= 1; plenty++)
        {
          g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
          tarn_gel_dose (film, from.above_mm, from.left_mm, plenty ? 20 : 2);
          g_assert_cmpint (tarn_gel_wipe (film, body, &from, &to), ==, TARN_OK);
          pose.film = film;
          Outcome outcome
              = plenty ? scan_without_ledger (body, pose) : scan_with_ledger (body, pose);
          say (plenty ? "slid on 20 g" : "slid on 2 g", pose, &outcome);
          if (plenty)
            expect_coupled (&outcome);
          else
            expect_fluid_lost_to_contact (&outcome);
        }
      tarn_body_free (body);
    }
}

/* Dry elements take fluid away, or nothing where the bladder lies under wet ones; what they
 * leave dark is not taken for fluid. */
static void
test_dry_edges_add_nothing (void)
{
  const Pose poses[] = {
    POSE_OF (.above_mm = 50, .left_mm = -32, .tilt_deg = 10, .lean_deg = 25, .force_n = 0.5),
    POSE_OF (.above_mm = 35, .left_mm = 30, .tilt_deg = -15, .lean_deg = -10, .force_n = 0.5),
    POSE_OF (.above_mm = 50, .tilt_deg = 30, .turn_deg = 90, .force_n = 0.5),
  };
  TarnPatient patients[] = { person_plain (300), person_slim (200) };
  for (gsize b = 0; b < G_N_ELEMENTS (patients); b++)
    {
      TarnBody *body = person_body (&patients[b], 0);
      for (gsize k = 0; k < G_N_ELEMENTS (poses); k++)
        {
          Pose pose = poses[k];
          Outcome plenty = scan_without_ledger (body, pose);
          say ("20 g", pose, &plenty);
          for (pose.gel_g = 2; pose.gel_g >= 1; pose.gel_g -= 1)
            {
              Outcome little = scan_without_ledger (body, pose);
              say ("little", pose, &little);
              g_assert_cmpfloat (little.wet_fraction, <, 0.8);
              g_assert_cmpfloat (little.reading.volume_ml, <,
                                 plenty.reading.volume_ml + little.tolerance_ml);
            }
        }
      tarn_body_free (body);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/gel/none", test_no_gel_no_contact);
  g_test_add_func ("/gel/little", test_little_gel_leaves_dry_edges);
  g_test_add_func ("/gel/sliding", test_sliding_far_wipes_the_gel_off);
  g_test_add_func ("/gel/dry-adds-nothing", test_dry_edges_add_nothing);
  return g_test_run ();
}
