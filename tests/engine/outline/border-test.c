/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the border is put, on painted pictures whose border is known.  The bounds are own
 * design values: a volume must come out within 5 %, of which the border may take less than
 * half; ±1 mm of border is ±8 % at 200 mL (derived), so 2 % of area at 20 mm radius is 0.2 mm.
 */
#include "base/units.h"
#include "trial.h"

#include <glib.h>
#include <math.h>

#define SEEDS     5
#define FACE_MM   15
#define MEAN_MOST 2.0 /* % */
#define EACH_MOST 5.0

static void
expect_clean (Painting painting)
{
  TrialErrors errors = trial_errors (painting, SEEDS);

  g_assert_cmpfloat (fabs (errors.mean_percent), <, MEAN_MOST);
  g_assert_cmpfloat (errors.worst_percent, <, EACH_MOST);
  g_assert_cmpfloat (errors.seen, >, 0.97);
}

static void
test_circles_at_all_depths (void)
{
  const struct
  {
    double depth_mm, radius_mm;
  } circle[] = { { 40, 10 },  { 40, 20 },  { 70, 10 },  { 70, 35 },
                 { 100, 20 }, { 100, 35 }, { 140, 20 }, { 140, 30 } };

  for (size_t k = 0; k < G_N_ELEMENTS (circle); k++)
    expect_clean (trial_ellipse (0, FACE_MM + circle[k].depth_mm, circle[k].radius_mm,
                                 circle[k].radius_mm, 0));
}

static void
test_ellipses_and_pears (void)
{
  expect_clean (trial_ellipse (5, 90, 45, 25, 0.3));
  expect_clean (trial_ellipse (5, 90, 50, 12, -0.3)); /* four times as long as high */
  expect_clean (trial_ellipse (0, 110, 20, 60, 0));   /* along the beam */
  expect_clean (trial_ellipse (30, 75, 14, 12, 0));   /* small and off the middle */

  Painting pear = trial_ellipse (5, 90, 50, 25, 0.3);
  pear.region[0].pear = 0.5;
  expect_clean (pear);
}

/* Reverberation under the near wall, brighter tissue behind the fluid, noise from below. */
static void
test_haze_enhancement_and_noise (void)
{
  Painting painting = trial_ellipse (5, 90, 45, 25, 0.3);

  painting.haze_db = -14;
  expect_clean (painting);
  painting.enhance_db_mm = 0.23;
  expect_clean (painting);
  painting.noise_db = -58;
  painting.noise_db_mm = 0.25;
  expect_clean (painting);
  painting.fade_db_mm = 0.05;
  expect_clean (painting);
}

/* A section of 10 mm is found, to the half millimetre: 1 mm of diameter is 20 % of its area. */
static void
test_small_section (void)
{
  for (int seed = 1; seed <= SEEDS; seed++)
    {
      Painting painting = trial_ellipse (6, FACE_MM + 70, 5, 5, 0);
      painting.seed = (uint64_t)seed;
      TarnOutline outline = trial_outline (&painting, NULL);
      g_assert_cmpint (outline.found, ==, true);
      g_assert_cmpfloat_with_epsilon (sqrt (outline.area_mm2 / TARN_PI), 5, 0.5);
    }
}

/* Green's theorem on what was found: the moment is the area times the depth of its centre. */
static void
test_moment_of_an_ellipse (void)
{
  Painting painting = trial_ellipse (5, 90, 45, 25, 0.3);
  TarnOutline outline = trial_outline (&painting, NULL);

  g_assert_cmpfloat_with_epsilon (outline.moment_mm3 / outline.area_mm2, 90, 0.5);
}

/* Points stand at equal angles about the seed, counter-clockwise in (u, v). */
static void
test_points_at_equal_angles (void)
{
  Painting painting = trial_ellipse (-10, 80, 40, 25, 0.2);
  TarnOutline outline = trial_outline (&painting, NULL);

  g_assert_cmpfloat (outline.area_mm2, >, 0);
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      double angle = 2 * TARN_PI * k / TARN_OUTLINE_POINTS;
      double du = outline.point[k].u_mm - outline.seed_u_mm;
      double dv = outline.point[k].v_mm - outline.seed_v_mm;
      double across = dv * cos (angle) - du * sin (angle);
      g_assert_cmpfloat_with_epsilon (across, 0, 1e-3);
      g_assert_cmpfloat (du * cos (angle) + dv * sin (angle), >, 0);
    }
  g_assert_cmpfloat_with_epsilon (outline.seen + outline.bridged + outline.at_edge, 1, 1e-12);
}

/* A sphere of 40 mm, cut at every 3 mm from its middle outwards: at 27 mm the section is
 * √(40² - 27²) = 29.5 mm, and its border runs 27 / 29.5 mm across the slice for each mm in the
 * plane (derived), which blurs it inwards.  From plane to plane the neighbour tells how steep
 * it is. */
static void
test_neighbours_correct_an_oblique_border (void)
{
  double radius = 0, alone = 0, guided = 0;

  for (int seed = 1; seed <= SEEDS; seed++)
    {
      TarnOutline outline = { 0 }, neighbour;
      Painting section = { 0 };
      for (int cut = 0; cut <= 9; cut++)
        {
          radius = sqrt (40.0 * 40 - 9.0 * cut * cut);
          section = trial_ellipse (0, 100, radius, radius, 0);
          section.slope = 3 * cut / radius;
          section.seed = (uint64_t)(10 * seed + cut);
          TarnOutlineHints hints = { .neighbour = &neighbour, .fan_step_rad = 3.0 / 100 };
          neighbour = outline;
          outline = trial_outline (&section, cut > 0 ? &hints : NULL);
        }
      double truth = TARN_PI * radius * radius;
      guided += 100 * (outline.area_mm2 / truth - 1) / SEEDS;
      alone += 100 * (trial_outline (&section, NULL).area_mm2 / truth - 1) / SEEDS;
    }
  g_test_message ("alone %+.2f %%, guided %+.2f %%", alone, guided);
  g_assert_cmpfloat (fabs (guided), <, 2.5);
  g_assert_cmpfloat (alone, <, guided - 1.5);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/border/circles-at-all-depths", test_circles_at_all_depths);
  g_test_add_func ("/border/ellipses-and-pears", test_ellipses_and_pears);
  g_test_add_func ("/border/haze-enhancement-and-noise", test_haze_enhancement_and_noise);
  g_test_add_func ("/border/small-section", test_small_section);
  g_test_add_func ("/border/moment-of-an-ellipse", test_moment_of_an_ellipse);
  g_test_add_func ("/border/points-at-equal-angles", test_points_at_equal_angles);
  g_test_add_func ("/border/neighbours-correct-an-oblique-border",
                   test_neighbours_correct_an_oblique_border);
  return g_test_run ();
}
