/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a deformation must be: volume-preserving, reversible, still in bone, and moving with
 * the face.  The bounds are this project's own; that volume keeps is physics (soft tissue and
 * urine do not compress under a hand). */
#include "presses.h"

#include <math.h>

#define PRESSES 12
#define POINTS  150

/* Central differences; the map has kinks in its slope where a bone's mask ends, so the step
 * is small. */
static double
jacobian (const TarnDeform *deform, TarnVec3 p)
{
  static const TarnVec3 step[3] = { { 1e-5, 0, 0 }, { 0, 1e-5, 0 }, { 0, 0, 1e-5 } };
  TarnVec3 column[3];
  for (int k = 0; k < 3; k++)
    column[k] = tarn_scale (tarn_sub (tarn_deform_forward (deform, tarn_add (p, step[k])),
                                      tarn_deform_forward (deform, tarn_sub (p, step[k]))),
                            0.5e5);
  return tarn_dot (column[0], tarn_cross (column[1], column[2]));
}

typedef void (*Check) (const TarnBody *body, const TarnDeform *deform,
                       const TarnContact *contact, TarnVec3 p);

/* Runs @check on random points of random presses of every build. */
static void
check_everywhere (Check check)
{
  for (int build = 0; build < BUILDS; build++)
    {
      TarnBody *body = body_with (fat_of_build_mm[build], 300);
      for (uint64_t k = 0; k < PRESSES; k++)
        {
          TarnDeform deform;
          TarnContact contact = random_press (body, 100 * (uint64_t)build + k, &deform);
          for (uint64_t point = 0; point < POINTS; point++)
            check (body, &deform, &contact, random_point (k, point));
        }
      tarn_body_free (body);
    }
}

/* det = 1, derived from incompressibility. */
static void
check_volume (const TarnBody *body, const TarnDeform *deform, const TarnContact *contact,
              TarnVec3 p)
{
  (void)body, (void)contact;
  g_assert_cmpfloat_with_epsilon (jacobian (deform, p), 1, 1e-3);
}

static void
check_return (const TarnBody *body, const TarnDeform *deform, const TarnContact *contact,
              TarnVec3 p)
{
  (void)body, (void)contact;
  TarnVec3 there = tarn_deform_forward (deform, p);
  g_assert_cmpfloat (tarn_distance (tarn_deform_inverse (deform, there), p), <, 1e-6);
  TarnVec3 back = tarn_deform_inverse (deform, p);
  g_assert_cmpfloat (tarn_distance (tarn_deform_forward (deform, back), p), <, 1e-6);
}

/* From the way that the face's middle took. */
static double
distance_from_way (const TarnContact *contact, TarnVec3 p)
{
  TarnVec3 from = tarn_sub (p, contact->skin_mm);
  double along = tarn_clamp (tarn_dot (from, contact->axis), 0, contact->indentation_mm);
  return tarn_length (tarn_add_scaled (from, contact->axis, -along));
}

/* No jets: nothing in the body moves much farther than the face, and little far from it. */
static void
check_way (const TarnBody *body, const TarnDeform *deform, const TarnContact *contact,
           TarnVec3 p)
{
  if (tarn_body_skin_distance_mm (body, p) > 0)
    return;
  double way = tarn_distance (tarn_deform_forward (deform, p), p);
  double distance = distance_from_way (contact, p);
  g_assert_cmpfloat (way, <, 1.15 * contact->indentation_mm + 0.1);
  if (distance > 60)
    g_assert_cmpfloat (way, <, 0.6 * contact->indentation_mm);
  if (distance > 120)
    g_assert_cmpfloat (way, <, 0.4 * contact->indentation_mm);
}

static void
test_volume_is_conserved (void)
{
  check_everywhere (check_volume);
}

static void
test_there_and_back (void)
{
  check_everywhere (check_return);
}

static void
test_no_jets_and_little_far_away (void)
{
  check_everywhere (check_way);
}

/* Points in bone, and up to 0.02 mm of its skin. */
static void
test_bone_stays (void)
{
  int inside = 0;
  for (int build = 0; build < BUILDS; build++)
    {
      TarnBody *body = body_with (fat_of_build_mm[build], 300);
      const TarnBones *bones = tarn_body_bones (body);
      for (uint64_t k = 0; k < PRESSES; k++)
        {
          TarnDeform deform;
          random_press (body, k, &deform);
          for (uint64_t point = 0; point < 2000; point++)
            {
              TarnVec3 p = random_point (k, point);
              if (tarn_bones_distance_mm (bones, p, NULL) > 0.02)
                continue;
              inside++;
              double way = tarn_distance (tarn_deform_forward (&deform, p), p);
              g_assert_cmpfloat (way, <, 0.01);
            }
        }
      tarn_body_free (body);
    }
  g_assert_cmpint (inside, >, 500);
}

/* Within 3 % of the indentation, to the side as well. */
static void
test_skin_moves_with_the_face (void)
{
  for (int build = 0; build < BUILDS; build++)
    {
      TarnBody *body = body_with (fat_of_build_mm[build], 300);
      for (uint64_t k = 0; k < 200; k++)
        {
          TarnDeform deform;
          TarnContact contact = random_press (body, k, &deform);
          TarnVec3 moved = tarn_deform_forward (&deform, contact.skin_mm);
          double off = tarn_distance (moved, contact.face_mm);
          g_assert_cmpfloat (off, <, 0.03 * contact.indentation_mm);
        }
      tarn_body_free (body);
    }
}

static void
test_no_force_moves_nothing (void)
{
  TarnBody *body = body_with (18, 300);
  TarnDeform deform;
  press (body, (TarnPose){ .above_mm = 40 }, &deform);
  for (uint64_t k = 0; k < 100; k++)
    {
      TarnVec3 p = random_point (1, k);
      g_assert_cmpfloat (tarn_distance (tarn_deform_forward (&deform, p), p), ==, 0);
      g_assert_cmpfloat (tarn_distance (tarn_deform_inverse (&deform, p), p), ==, 0);
    }
  tarn_body_free (body);
}

/* A body is the same on both sides, so pressing it is. */
static void
test_left_is_as_right (void)
{
  TarnBody *body = body_with (18, 300);
  for (uint64_t k = 0; k < 20; k++)
    {
      TarnPose pose = { .above_mm = 30,
                        .left_mm = 25,
                        .tilt_rad = 0.2,
                        .lean_rad = -0.3,
                        .force_n = 1 + (double)k };
      TarnPose other = pose;
      other.left_mm = -pose.left_mm;
      other.lean_rad = -pose.lean_rad;
      TarnDeform deform, mirrored;
      press (body, pose, &deform);
      press (body, other, &mirrored);
      for (uint64_t point = 0; point < 50; point++)
        {
          TarnVec3 p = random_point (k, point), q = tarn_vec3 (-p.x, p.y, p.z);
          TarnVec3 a = tarn_deform_forward (&deform, p), b = tarn_deform_forward (&mirrored, q);
          b.x = -b.x;
          g_assert_cmpfloat (tarn_distance (a, b), <, 0.02);
        }
    }
  tarn_body_free (body);
}

/* An indentation that is no number gives the identity, never a wild map. */
static void
test_bad_indentations_move_nothing (void)
{
  static const double bad[] = { NAN, INFINITY, -5 };
  TarnBody *body = body_with (18, 300);
  for (size_t k = 0; k < G_N_ELEMENTS (bad); k++)
    {
      TarnDeform deform;
      tarn_deform_init_bones (&deform, tarn_body_bones (body), tarn_vec3 (0, -24, 40),
                              tarn_vec3 (0, 1, 0), bad[k]);
      TarnVec3 p = { 3, 20, 41 };
      g_assert_cmpfloat (tarn_distance (tarn_deform_forward (&deform, p), p), ==, 0);
    }
  tarn_body_free (body);
}

/* In free tissue a short press is the curl of (d × x) / (r² + ε²), by hand:
 * u = δ ε² (ε² d + (d·x) x) / (r² + ε²)². */
static void
test_free_tissue_follows_the_formula (void)
{
  TarnBones none = { .symphysis = { .centre_mm = { 0, 1e4, 0 },
                                    .side = { 1, 0, 0 },
                                    .along = { 0, 1, 0 },
                                    .across = { 0, 0, 1 },
                                    .half_side_mm = 1,
                                    .half_along_mm = 1,
                                    .half_across_mm = 1,
                                    .round_mm = 0.5 } };
  TarnVec3 d = tarn_normalize (tarn_vec3 (0.2, 1, -0.3));
  double delta = 1e-3;
  TarnDeform deform;
  tarn_deform_init_bones (&deform, &none, tarn_vec3 (0, 0, 0), d, delta);
  double e2 = deform.spread_mm * deform.spread_mm;
  for (uint64_t k = 0; k < 100; k++)
    {
      TarnVec3 x = random_point (3, k);
      double r2 = tarn_dot (x, x) + e2;
      TarnVec3 u = tarn_add_scaled (tarn_scale (d, e2), x, tarn_dot (d, x));
      u = tarn_scale (u, delta * e2 / (r2 * r2));
      TarnVec3 got = tarn_sub (tarn_deform_forward (&deform, x), x);
      g_assert_cmpfloat (tarn_distance (got, u), <, 2e-3 * delta);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/deform/volume-is-conserved", test_volume_is_conserved);
  g_test_add_func ("/deform/there-and-back", test_there_and_back);
  g_test_add_func ("/deform/no-jets-and-little-far-away", test_no_jets_and_little_far_away);
  g_test_add_func ("/deform/bone-stays", test_bone_stays);
  g_test_add_func ("/deform/skin-moves-with-the-face", test_skin_moves_with_the_face);
  g_test_add_func ("/deform/left-is-as-right", test_left_is_as_right);
  g_test_add_func ("/deform/no-force-moves-nothing", test_no_force_moves_nothing);
  g_test_add_func ("/deform/bad-indentations-move-nothing", test_bad_indentations_move_nothing);
  g_test_add_func ("/deform/free-tissue-follows-the-formula",
                   test_free_tissue_follows_the_formula);
  return g_test_run ();
}
