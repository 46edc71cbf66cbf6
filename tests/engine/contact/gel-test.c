/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gel: a film that keeps its mass, and what of the face it couples. */
#include "bodies.h"

#include "base/random.h"

#include <math.h>

/* Derived: a cylinder of radius 12 mm less the cap of a sphere of radius 15 mm. */
static void
test_gap_under_an_unpressed_face (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_face_gap_ml (15), 1.244, 0.005 * 1.244);
}

/* The gap scales with the cube of the radius, whatever the elements. */
static void
test_gap_scales (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_face_gap_ml (60), 64 * tarn_face_gap_ml (15), 1e-9);
}

static TarnGelFilm *
film_with (double above_mm, double gel_g)
{
  TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  g_assert_cmpint (tarn_gel_dose (film, above_mm, 0, gel_g), ==, TARN_OK);
  return film;
}

static double
wet_with (const TarnBody *body, double gel_g, double force_n, double tilt_deg)
{
  g_autofree TarnGelFilm *film = film_with (40, gel_g);
  TarnPose pose = pose_at (40, force_n);
  pose.tilt_rad = tarn_rad_from_deg (tilt_deg);
  return contact_of (body, pose, film).wet_fraction;
}

static void
test_a_dose_is_a_mound (void)
{
  g_autofree TarnGelFilm *film = film_with (40, 20);
  int middle = TARN_FILM_CELLS / 2, half = 0;
  double top = (double)film->thickness_mm[middle][middle];
  while ((double)film->thickness_mm[middle][middle + half] > top / 2)
    half++;
  /* About 25 mm across at half its height: own design value. */
  g_assert_cmpfloat_with_epsilon (2 * half * TARN_FILM_PITCH_MM, 25, 4);
  g_assert_cmpfloat_with_epsilon (tarn_gel_mass_g (film), 20, 1e-9);
}

static void
test_bad_doses_are_refused (void)
{
  g_autofree TarnGelFilm *film = film_with (40, 5);
  g_assert_cmpint (tarn_gel_dose (film, 40, 0, -1), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpint (tarn_gel_dose (film, 40, 0, 101), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpint (tarn_gel_dose (film, 40, 0, NAN), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpint (tarn_gel_dose (film, NAN, 0, 5), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpint (tarn_gel_dose (film, 40, INFINITY, 5), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpfloat_with_epsilon (tarn_gel_mass_g (film), 5, 1e-9);
}

static void
test_bad_slides_are_refused (void)
{
  TarnBody *body = plain_body ();
  g_autofree TarnGelFilm *film = film_with (40, 5);
  TarnPose here = pose_at (40, 5), nowhere = pose_at (NAN, 5), off = pose_at (1500, 5);
  g_assert_cmpint (tarn_gel_wipe (film, body, &here, &nowhere), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpint (tarn_gel_wipe (film, body, &nowhere, &here), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpint (tarn_gel_wipe (film, body, &here, &off), ==, TARN_OFF_BODY);
  tarn_body_free (body);
}

static TarnPose
random_pose (uint64_t seed, uint64_t k)
{
  return (TarnPose){ .above_mm = 140 * tarn_uniform_at (seed, 8 * k),
                     .left_mm = 160 * tarn_uniform_at (seed, 8 * k + 1) - 80,
                     .tilt_rad = 1.4 * tarn_uniform_at (seed, 8 * k + 2) - 0.7,
                     .lean_rad = 1.4 * tarn_uniform_at (seed, 8 * k + 3) - 0.7,
                     .turn_rad = 3 * tarn_uniform_at (seed, 8 * k + 4),
                     .force_n = 30 * tarn_uniform_at (seed, 8 * k + 5) };
}

/* Doses, presses and slides in random order; all the film's cells stay at or above zero. */
static void
test_mass_is_conserved (void)
{
  TarnBody *body = plain_body ();
  for (uint64_t seed = 1; seed <= 6; seed++)
    {
      g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
      double mass = 0;
      TarnPose pose = random_pose (seed, 1000);
      for (uint64_t k = 0; k < 60; k++)
        {
          double choice = tarn_uniform_at (seed, 8 * k + 6);
          double gel = 20 * tarn_uniform_at (seed, 8 * k + 7);
          TarnPose next = random_pose (seed, k);
          if (choice < 0.25)
            {
              g_assert_cmpint (tarn_gel_dose (film, next.above_mm, next.left_mm, gel), ==,
                               TARN_OK);
              mass += gel;
            }
          else if (choice < 0.6)
            contact_of (body, next, film);
          else
            g_assert_cmpint (tarn_gel_wipe (film, body, &pose, &next), ==, TARN_OK);
          pose = next;
          g_assert_cmpfloat_with_epsilon (tarn_gel_mass_g (film), mass, 1e-6);
        }
      for (int row = 0; row < TARN_FILM_CELLS; row++)
        for (int column = 0; column < TARN_FILM_CELLS; column++)
          g_assert_cmpfloat (film->thickness_mm[row][column], >=, 0);
      g_assert_cmpfloat (film->on_probe_g, >=, 0);
    }
  tarn_body_free (body);
}

static void
test_bare_skin_never_couples (void)
{
  TarnBody *body = plain_body ();
  for (double force = 0; force <= 60; force += 5)
    g_assert_cmpfloat (wet_with (body, 0, force, 5), ==, 0);
  /* Gel somewhere else does not help either. */
  g_autofree TarnGelFilm *film = film_with (120, 20);
  g_assert_cmpfloat (contact_of (body, pose_at (20, 15), film).wet_fraction, ==, 0);
  tarn_body_free (body);
}

static void
test_little_gel_leaves_edges_dry (void)
{
  TarnBody *body = plain_body ();
  g_assert_cmpfloat (wet_with (body, 2, 2, 0), <, 0.95);
  g_assert_cmpfloat (wet_with (body, 2, 1, 0), <, 0.85);
  for (double force = 1; force <= 15; force += 2)
    for (double tilt = -40; tilt <= 40; tilt += 5)
      if (fabs (tilt) >= 25)
        g_assert_cmpfloat (wet_with (body, 2, force, tilt), <, 0.95);
  /* A firm, upright probe closes the gap. */
  g_assert_cmpfloat (wet_with (body, 2, 10, 0), >, 0.99);

  /* It is the edges that are dry. */
  g_autofree TarnGelFilm *film = film_with (40, 2);
  TarnContact contact = contact_of (body, pose_at (40, 1), film);
  int middle = TARN_FACE_ELEMENTS / 2;
  g_assert_cmpfloat (contact.wet[middle][middle], ==, 1);
  g_assert_cmpfloat (contact.wet[middle][0], ==, 0);
  g_assert_cmpfloat (contact.wet[0][middle], ==, 0);
  tarn_body_free (body);
}

static void
test_enough_gel_wets_all (void)
{
  TarnBody *body = plain_body ();
  for (double force = 1; force <= 30; force += 3)
    for (double tilt = -30; tilt <= 30; tilt += 10)
      g_assert_cmpfloat (wet_with (body, 20, force, tilt), >, 0.995);
  tarn_body_free (body);
}

static void
test_more_gel_or_force_never_dries (void)
{
  TarnBody *body = plain_body ();
  for (double tilt = 0; tilt <= 40; tilt += 20)
    {
      double before = 0;
      for (double gel = 0.25; gel <= 20; gel *= 1.6)
        {
          double wet = wet_with (body, gel, 3, tilt);
          g_assert_cmpfloat (wet, >=, before - 1e-6);
          before = wet;
        }
      before = 0;
      for (double force = 0; force <= 20; force += 2)
        {
          double wet = wet_with (body, 2, force, tilt);
          g_assert_cmpfloat (wet, >=, before - 0.02);
          before = wet;
        }
    }
  tarn_body_free (body);
}

static void
test_touching_again_changes_nothing (void)
{
  TarnBody *body = plain_body ();
  for (double gel = 0.5; gel <= 20; gel *= 2)
    {
      g_autofree TarnGelFilm *film = film_with (40, gel);
      TarnPose pose = pose_at (40, 4);
      pose.tilt_rad = 0.3;
      double first = contact_of (body, pose, film).wet_fraction, again = 0;
      for (int k = 0; k < 20; k++)
        again = contact_of (body, pose, film).wet_fraction;
      g_assert_cmpfloat_with_epsilon (again, first, 0.01);
    }
  tarn_body_free (body);
}

static double
wet_after_slide (const TarnBody *body, double gel_g, double way_mm)
{
  g_autofree TarnGelFilm *film = film_with (100, gel_g);
  TarnPose from = pose_at (100, 5), to = pose_at (100 - way_mm, 5);
  contact_of (body, from, film);
  g_assert_cmpint (tarn_gel_wipe (film, body, &from, &to), ==, TARN_OK);
  return contact_of (body, to, film).wet_fraction;
}

static void
test_sliding_far_wipes_the_gel_off (void)
{
  TarnBody *body = plain_body ();
  for (double gel = 2; gel <= 5; gel++)
    {
      g_assert_cmpfloat (wet_after_slide (body, gel, 60), <, 0.95);
      g_assert_cmpfloat (wet_after_slide (body, gel, 80), <, 0.9);
    }
  g_assert_cmpfloat (wet_after_slide (body, 20, 80), >, 0.99);
  g_assert_cmpfloat (wet_after_slide (body, 5, 10), >, 0.99);
  tarn_body_free (body);
}

static void
test_a_lifted_probe_wipes_nothing (void)
{
  TarnBody *body = plain_body ();
  g_autofree TarnGelFilm *film = film_with (100, 5), *kept = g_memdup2 (film, sizeof *film);
  TarnPose from = pose_at (100, 0), to = pose_at (40, 0);
  g_assert_cmpint (tarn_gel_wipe (film, body, &from, &to), ==, TARN_OK);
  g_assert_cmpmem (film, sizeof *film, kept, sizeof *kept);
  tarn_body_free (body);
}

/* Pressing thins the gel in the beam's way. */
static void
test_path_through_gel (void)
{
  TarnBody *body = plain_body ();
  double before = 5;
  for (double force = 0; force <= 30; force += 5)
    {
      g_autofree TarnGelFilm *film = film_with (40, 20);
      double path = contact_of (body, pose_at (40, force), film).path_gel_mm;
      g_assert_cmpfloat (path, <, before);
      g_assert_cmpfloat (path, >, 0.04);
      before = path;
    }
  g_assert_cmpfloat (contact_of (body, pose_at (40, 5), NULL).path_gel_mm, ==, 0);
  tarn_body_free (body);
}

/* The wettest and the driest touch along the midline of a body with a hanging fold. */
static double
driest_near_fold (double gel_g, double lift)
{
  TarnBody *body = body_with (50, 300, 60, lift);
  double driest = 1;
  for (double above = -20; above <= 30; above += 2)
    {
      g_autofree TarnGelFilm *film = film_with (above, gel_g);
      driest = fmin (driest, contact_of (body, pose_at (above, 5), film).wet_fraction);
    }
  tarn_body_free (body);
  return driest;
}

static void
test_a_crease_traps_air (void)
{
  double folded = driest_near_fold (4, 0), lifted = driest_near_fold (4, 1);
  g_test_message ("4 g at the crease: wet %.3f, lifted %.3f", folded, lifted);
  g_assert_cmpfloat (folded, <, lifted - 0.05);
  g_assert_cmpfloat (lifted, >, 0.99);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/gel/gap-under-an-unpressed-face", test_gap_under_an_unpressed_face);
  g_test_add_func ("/gel/gap-scales", test_gap_scales);
  g_test_add_func ("/gel/a-dose-is-a-mound", test_a_dose_is_a_mound);
  g_test_add_func ("/gel/bad-doses-are-refused", test_bad_doses_are_refused);
  g_test_add_func ("/gel/bad-slides-are-refused", test_bad_slides_are_refused);
  g_test_add_func ("/gel/mass-is-conserved", test_mass_is_conserved);
  g_test_add_func ("/gel/bare-skin-never-couples", test_bare_skin_never_couples);
  g_test_add_func ("/gel/little-gel-leaves-edges-dry", test_little_gel_leaves_edges_dry);
  g_test_add_func ("/gel/enough-gel-wets-all", test_enough_gel_wets_all);
  g_test_add_func ("/gel/more-gel-or-force-never-dries", test_more_gel_or_force_never_dries);
  g_test_add_func ("/gel/touching-again-changes-nothing", test_touching_again_changes_nothing);
  g_test_add_func ("/gel/sliding-far-wipes-the-gel-off", test_sliding_far_wipes_the_gel_off);
  g_test_add_func ("/gel/a-lifted-probe-wipes-nothing", test_a_lifted_probe_wipes_nothing);
  g_test_add_func ("/gel/path-through-gel", test_path_through_gel);
  g_test_add_func ("/gel/a-crease-traps-air", test_a_crease_traps_air);
  return g_test_run ();
}
