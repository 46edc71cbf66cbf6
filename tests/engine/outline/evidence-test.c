/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is said of each point, and what is not to be found at all. */
#include "base/units.h"
#include "trial.h"

#include <glib.h>
#include <math.h>

#define SEEDS 4

static Painting
with_obstacle (Painting painting, PainterObstacleKind kind, double from_rad, double to_rad,
               double depth_mm)
{
  painting.obstacles = 1;
  painting.obstacle[0] = (PainterObstacle){ kind, from_rad, to_rad, depth_mm };
  return painting;
}

/* Cut by the sector's side, the outline follows the side there and says so. */
static void
test_side_cuts (void)
{
  Painting painting = trial_ellipse (60, 95, 40, 30, 0);
  TrialErrors errors = trial_errors (painting, SEEDS);
  TarnOutline outline = trial_outline (&painting, NULL);
  double side = -painting.geometry.first_angle_rad;

  g_assert_cmpfloat (fabs (errors.mean_percent), <, 3);
  g_assert_cmpfloat (errors.at_edge, >, 0.15);
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      const TarnOutlinePoint *p = &outline.point[k];
      double off_mm = hypot (p->u_mm, p->v_mm) * sin (side - atan2 (p->u_mm, p->v_mm));
      g_assert_cmpfloat (off_mm, >, -0.01);
      if (p->evidence == TARN_EVIDENCE_AT_EDGE)
        g_assert_cmpfloat (off_mm, <, 0.5);
      else
        g_assert_cmpfloat (off_mm, >, 0.2);
    }
}

/* Likewise by the depth limit, which it must not take for a shadow. */
static void
test_depth_limit_cuts (void)
{
  Painting painting = trial_ellipse (0, 170, 40, 40, 0);
  TrialErrors errors = trial_errors (painting, SEEDS);
  TarnOutline outline = trial_outline (&painting, NULL);
  double far
      = painting.geometry.face_radius_mm + tarn_image_depth_limit_mm (&painting.geometry);

  g_assert_cmpfloat (fabs (errors.mean_percent), <, 3);
  g_assert_cmpfloat (errors.at_edge, >, 0.15);
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      double radius = hypot (outline.point[k].u_mm, outline.point[k].v_mm);
      g_assert_cmpfloat (radius, <, far + 0.01);
      if (outline.point[k].evidence == TARN_EVIDENCE_AT_EDGE)
        g_assert_cmpfloat (radius, >, far - 0.5);
    }
}

/* Fluid across the whole field, cut by both sides and the depth limit: only its near wall and
 * the haze under it tell it from the shadow of a wide bone, which must not be found. */
static void
test_field_full_of_fluid (void)
{
  Painting painting = trial_ellipse (0, 140, 200, 90, 0);

  painting.geometry.samples = 320;
  painting.geometry.sample_pitch_mm = 90.0 / 320;
  painting.haze_db = -6;
  TrialErrors errors = trial_errors (painting, SEEDS);
  g_assert_cmpfloat (fabs (errors.mean_percent), <, 8);
  g_assert_cmpfloat (errors.at_edge, >, 0.5);

  painting.regions = 0;
  painting = with_obstacle (painting, PAINTER_BONE, -0.8, 0.8, 35);
  TarnOutline outline = trial_outline (&painting, NULL);
  g_assert_cmpint (outline.found, ==, false);
}

/* A narrow shadow across the region hides its border there and nowhere else. */
static void
expect_bridged_behind (Painting painting, double from_rad, double to_rad)
{
  TrialErrors errors = trial_errors (painting, SEEDS);
  TarnOutline outline = trial_outline (&painting, NULL);
  int hidden = 0, hidden_seen = 0, clear = 0, clear_seen = 0;

  g_assert_cmpfloat (errors.worst_percent, <, 8);
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      const TarnOutlinePoint *p = &outline.point[k];
      double angle = atan2 (p->u_mm, p->v_mm);
      bool seen = p->evidence == TARN_EVIDENCE_SEEN;
      if (angle > from_rad && angle < to_rad)
        {
          hidden++;
          hidden_seen += seen;
        }
      else if (angle < from_rad - 0.06 || angle > to_rad + 0.06)
        {
          clear++;
          clear_seen += seen;
        }
    }
  g_assert_cmpint (hidden_seen, ==, 0);
  g_assert_cmpint (hidden, >, 4);
  g_assert_cmpint (clear_seen, >=, clear * 95 / 100);
}

static void
test_bone_across (void)
{
  Painting painting = trial_ellipse (5, 90, 40, 28, 0.2);

  expect_bridged_behind (with_obstacle (painting, PAINTER_BONE, 0.1, 0.2, 25), 0.1, 0.2);
  expect_bridged_behind (with_obstacle (painting, PAINTER_GAS, 0.1, 0.2, 25), 0.1, 0.2);
  expect_bridged_behind (with_obstacle (painting, PAINTER_DRY, -0.8, -0.3, 0), -0.8, -0.3);
}

/* Where dark runs into dark: the region's end lies in a shadow that reaches the sector's side
 * and the depth limit.  The area must stay near the truth, where a leak would double it. */
static void
test_shadow_does_not_leak (void)
{
  Painting painting
      = with_obstacle (trial_ellipse (5, 90, 40, 28, 0.2), PAINTER_BONE, 0.25, 0.8, 25);
  TrialErrors errors = trial_errors (painting, SEEDS);

  g_assert_cmpfloat (errors.worst_percent, <, 8);
  g_assert_cmpfloat (errors.bridged, >, 0.15);
}

/* More than half hidden: what is missing is missing, but nothing is added. */
static void
test_half_hidden_reads_low (void)
{
  Painting painting
      = with_obstacle (trial_ellipse (5, 90, 40, 28, 0.2), PAINTER_BONE, 0.05, 0.8, 25);
  TrialErrors errors = trial_errors (painting, SEEDS);

  g_assert_cmpfloat (errors.mean_percent, <, 2);
  g_assert_cmpfloat (errors.worst_percent, <, 45);
  g_assert_cmpfloat (errors.bridged, >, 0.25);
}

static Painting
with_dry (Painting painting, double from_rad, double to_rad)
{
  painting.obstacle[painting.obstacles++]
      = (PainterObstacle){ PAINTER_DRY, from_rad, to_rad, 0, true };
  return painting;
}

/* Dry lines are dark from the face on, beside a region that is dark too.  What reaches into
 * them may be bridged or left out, but the outline must not follow the dark. */
static void
expect_no_more_than_there_is (Painting painting, double least_percent)
{
  TrialErrors errors = trial_errors (painting, SEEDS);

  g_assert_cmpfloat (errors.mean_percent, <, 2);
  g_assert_cmpfloat (errors.mean_percent, >, least_percent);
  g_assert_cmpfloat (errors.bridged, >, 0.1);
}

static void
test_dry_edges_do_not_leak (void)
{
  Painting painting = trial_ellipse (5, 90, 40, 28, 0.2);
  Painting third = with_dry (painting, -0.8, -0.25);
  Painting both = with_dry (third, 0.35, 0.8);

  expect_no_more_than_there_is (third, -8);
  expect_no_more_than_there_is (both, -12);
}

static void
test_half_in_dry_lines_reads_low (void)
{
  Painting painting = trial_ellipse (5, 90, 40, 28, 0.2);

  expect_no_more_than_there_is (with_dry (painting, -0.8, 0.05), -60);
  painting.haze_db = -14;
  painting.enhance_db_mm = 0.1;
  expect_no_more_than_there_is (with_dry (painting, 0.05, 0.8), -60);
}

static void
expect_nothing (Painting painting)
{
  for (int seed = 1; seed <= SEEDS; seed++)
    {
      painting.seed = (uint64_t)seed;
      TarnOutline outline = trial_outline (&painting, NULL);
      g_assert_cmpint (outline.found, ==, false);
      g_assert_cmpfloat (outline.area_mm2, ==, 0);
      g_assert_cmpfloat (outline.seen + outline.bridged + outline.at_edge, ==, 0);
    }
}

/* Dry at one side, at both, and all but a window of tissue between them. */
static void
test_nothing_in_dry_edges (void)
{
  Painting painting = with_dry (painter_default (), -0.8, -0.23);

  expect_nothing (painting);
  expect_nothing (with_dry (painting, 0.23, 0.8));
  expect_nothing (with_dry (painting, -0.1, 0.8));
}

static void
test_nothing_in_plain_tissue (void)
{
  expect_nothing (painter_default ());
}

static void
test_nothing_behind_obstacles (void)
{
  const double width[] = { 0.1, 0.2, 0.8 };

  for (int kind = PAINTER_BONE; kind <= PAINTER_DRY; kind++)
    for (size_t k = 0; k < G_N_ELEMENTS (width); k++)
      expect_nothing (with_obstacle (painter_default (), (PainterObstacleKind)kind, -width[k],
                                     width[k], 40));
}

/* Tissue that fades into noise looks dark, and is no fluid. */
static void
test_nothing_in_dropout (void)
{
  Painting painting = painter_default ();

  painting.fade_db_mm = 0.4;
  expect_nothing (painting);
  painting.noise_db = -50;
  expect_nothing (painting);
}

static void
test_nothing_in_black_and_white (void)
{
  Painting painting = painter_default ();

  painting.tissue_db = -200;
  expect_nothing (painting);
  painting.tissue_db = 60;
  expect_nothing (painting);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/evidence/side-cuts", test_side_cuts);
  g_test_add_func ("/evidence/depth-limit-cuts", test_depth_limit_cuts);
  g_test_add_func ("/evidence/field-full-of-fluid", test_field_full_of_fluid);
  g_test_add_func ("/evidence/bone-across", test_bone_across);
  g_test_add_func ("/evidence/shadow-does-not-leak", test_shadow_does_not_leak);
  g_test_add_func ("/evidence/half-hidden-reads-low", test_half_hidden_reads_low);
  g_test_add_func ("/evidence/dry-edges-do-not-leak", test_dry_edges_do_not_leak);
  g_test_add_func ("/evidence/half-in-dry-lines-reads-low", test_half_in_dry_lines_reads_low);
  g_test_add_func ("/evidence/nothing-in-dry-edges", test_nothing_in_dry_edges);
  g_test_add_func ("/evidence/nothing-in-plain-tissue", test_nothing_in_plain_tissue);
  g_test_add_func ("/evidence/nothing-behind-obstacles", test_nothing_behind_obstacles);
  g_test_add_func ("/evidence/nothing-in-dropout", test_nothing_in_dropout);
  g_test_add_func ("/evidence/nothing-in-black-and-white", test_nothing_in_black_and_white);
  return g_test_run ();
}
