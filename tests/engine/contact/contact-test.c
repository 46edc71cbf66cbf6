/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Force, indentation, the probe's frame, and what a fingertip feels. */
#include "bodies.h"

#include "base/random.h"

#include <math.h>
#include <string.h>

/* Derived from F = (8/3) E a δ and F = (16/9) E √R δ^1.5. */
static void
test_handbook_contacts (void)
{
  g_assert_cmpfloat_with_epsilon (tarn_punch_force_n (10, 16.9, 10), 4.51, 0.0451);
  g_assert_cmpfloat_with_epsilon (tarn_hertz_force_n (10, 60, 10), 4.35, 0.0435);
}

/* Deep uniform fat and a tiny force: the layers' law becomes the punch law.  The contact
 * radius is 15 mm and fat has 5.5 kPa; both are known from the law's essay. */
static void
test_thick_layer_obeys_the_punch_law (void)
{
  TarnColumn column = { .fat_mm = 1e5, .bone_mm = 1e5 };
  double depth = tarn_contact_indentation_mm (&column, 0.01, false);
  g_assert_cmpfloat_with_epsilon (tarn_punch_force_n (5.5, 15, depth), 0.01, 1e-4);
}

typedef struct
{
  double fat_mm, force_n, depth_mm;
} Given;

/* Own design values of this project, a third either way. */
static void
test_bodies_give_way_as_designed (void)
{
  static const Given given[] = { { 18, 5, 10 }, { 18, 15, 20 }, { 18, 25, 28 },
                                 { 50, 1, 4 },  { 50, 5, 15 },  { 50, 15, 30 } };
  for (size_t k = 0; k < G_N_ELEMENTS (given); k++)
    {
      TarnBody *body = body_with (given[k].fat_mm, 300, 0, 0);
      TarnContact contact = contact_of (body, pose_at (40, given[k].force_n), NULL);
      g_test_message ("fat %g mm, %g N: %.1f mm", given[k].fat_mm, given[k].force_n,
                      contact.indentation_mm);
      g_assert_cmpfloat (contact.indentation_mm, >, given[k].depth_mm * 2 / 3);
      g_assert_cmpfloat (contact.indentation_mm, <, given[k].depth_mm * 4 / 3);
      tarn_body_free (body);
    }
}

/* Over comfort included: a plain adult's comfort lies inside the range. */
static void
test_more_force_goes_deeper_and_smoothly (void)
{
  TarnBody *body = plain_body ();
  for (double above = -20; above <= 80; above += 20)
    {
      double before = 0, slope_before = INFINITY;
      for (double force = 0.25; force <= 60; force += 0.25)
        {
          double depth = contact_of (body, pose_at (above, force), NULL).indentation_mm;
          double slope = (depth - before) / 0.25;
          g_assert_cmpfloat (slope, >, 0);
          if (force > 0.5)
            g_assert_cmpfloat (fabs (slope - slope_before), <, 0.25);
          before = depth;
          slope_before = slope;
        }
    }
  tarn_body_free (body);
}

static void
test_bone_leaves_a_third_of_what_is_in_front (void)
{
  for (double fat = 4; fat < 60; fat += 9)
    {
      TarnBody *body = body_with (fat, 150, 0, 0);
      for (double above = -20; above <= 40; above += 5)
        {
          TarnContact contact = contact_of (body, pose_at (above, 60), NULL);
          TarnColumn column;
          tarn_body_column (body, contact.skin_mm, contact.axis, 250, &column);
          if (isfinite (column.bone_mm))
            g_assert_cmpfloat (contact.indentation_mm, <=, column.bone_mm * 2 / 3 + 1e-9);
        }
      tarn_body_free (body);
    }
}

/* Down over the symphysis' upper border in small steps: nothing jumps. */
static void
test_sliding_onto_bone_is_gradual (void)
{
  TarnBody *body = plain_body ();
  double before = contact_of (body, pose_at (50, 10), NULL).indentation_mm, steepest = 0;
  for (double above = 49.75; above >= -5; above -= 0.25)
    {
      double depth = contact_of (body, pose_at (above, 10), NULL).indentation_mm;
      steepest = fmax (steepest, fabs (depth - before));
      before = depth;
    }
  g_test_message ("steepest change %.2f mm in a quarter of a millimetre", steepest);
  g_assert_cmpfloat (steepest, <, 2);
  tarn_body_free (body);
}

/* Thicker layers give more, bone close behind gives less. */
static void
test_bone_behind_stiffens (void)
{
  TarnColumn near = { .skin_mm = 2, .fat_mm = 18, .bone_mm = 20 };
  TarnColumn far = { .skin_mm = 2, .fat_mm = 18, .soft_mm = 100, .bone_mm = 120 };
  for (double force = 1; force <= 30; force += 1)
    g_assert_cmpfloat (tarn_contact_indentation_mm (&near, force, false), <,
                       0.95 * tarn_contact_indentation_mm (&far, force, false));
}

static void
test_guarding_stiffens_the_muscle (void)
{
  TarnColumn column
      = { .skin_mm = 2, .fat_mm = 8, .muscle_mm = 10, .soft_mm = 80, .bone_mm = 100 };
  g_assert_cmpfloat (tarn_contact_indentation_mm (&column, 10, true), <,
                     tarn_contact_indentation_mm (&column, 10, false) - 0.3);

  TarnBody *body = plain_body ();
  double comfort = tarn_body_patient (body)->temper.comfort_n;
  g_assert_false (contact_of (body, pose_at (40, comfort), NULL).guarding);
  g_assert_true (contact_of (body, pose_at (40, comfort + 0.5), NULL).guarding);
  tarn_body_free (body);
}

static void
assert_direction (TarnVec3 got, double x, double y, double z)
{
  g_assert_cmpfloat_with_epsilon (got.x, x, 0.02);
  g_assert_cmpfloat_with_epsilon (got.y, y, 0.02);
  g_assert_cmpfloat_with_epsilon (got.z, z, 0.02);
}

/* Signs by the project's frame: +x left, +y back, +z head. */
static void
test_frame_has_the_agreed_signs (void)
{
  TarnBody *body = plain_body ();
  TarnPose pose = pose_at (40, 5);
  TarnContact contact = contact_of (body, pose, NULL);
  assert_direction (contact.axis, 0, 1, 0);
  assert_direction (contact.lateral, 1, 0, 0);
  assert_direction (contact.elevation, 0, 0, 1);

  pose.turn_rad = TARN_PI / 2;
  contact = contact_of (body, pose, NULL);
  assert_direction (contact.lateral, 0, 0, -1); /* mark to the head, lateral away from it */
  assert_direction (contact.elevation, 1, 0, 0);

  pose = pose_at (40, 5);
  pose.tilt_rad = tarn_rad_from_deg (30);
  contact = contact_of (body, pose, NULL);
  assert_direction (contact.axis, 0, cos (pose.tilt_rad), -sin (pose.tilt_rad));
  assert_direction (contact.lateral, 1, 0, 0);

  pose = pose_at (40, 5);
  pose.lean_rad = tarn_rad_from_deg (30);
  contact = contact_of (body, pose, NULL);
  assert_direction (contact.axis, sin (pose.lean_rad), cos (pose.lean_rad), 0);
  assert_direction (contact.elevation, 0, 0, 1);
  tarn_body_free (body);
}

static void
test_frame_is_orthonormal_and_rests_on_the_face (void)
{
  TarnBody *body = plain_body ();
  double radius = tarn_body_patient (body)->probe.face_radius_mm;
  for (uint64_t k = 0; k < 300; k++)
    {
      TarnPose pose = { .above_mm = 120 * tarn_uniform_at (1, 6 * k) - 20,
                        .left_mm = 160 * tarn_uniform_at (1, 6 * k + 1) - 80,
                        .tilt_rad = 2 * tarn_uniform_at (1, 6 * k + 2) - 1,
                        .lean_rad = 2 * tarn_uniform_at (1, 6 * k + 3) - 1,
                        .turn_rad = 12 * tarn_uniform_at (1, 6 * k + 4) - 6,
                        .force_n = 30 * tarn_uniform_at (1, 6 * k + 5) };
      TarnContact c = contact_of (body, pose, NULL);
      g_assert_cmpfloat_with_epsilon (tarn_length (c.axis), 1, 1e-12);
      g_assert_cmpfloat_with_epsilon (tarn_length (c.lateral), 1, 1e-12);
      g_assert_cmpfloat_with_epsilon (tarn_dot (c.axis, c.lateral), 0, 1e-12);
      g_assert_cmpfloat_with_epsilon (
          tarn_distance (tarn_cross (c.lateral, c.axis), c.elevation), 0, 1e-12);
      TarnVec3 face = tarn_add_scaled (c.skin_mm, c.axis, c.indentation_mm);
      g_assert_cmpfloat_with_epsilon (tarn_distance (face, c.face_mm), 0, 1e-9);
      g_assert_cmpfloat_with_epsilon (tarn_distance (c.face_mm, c.centre_mm), radius, 1e-9);
    }
  tarn_body_free (body);
}

/* Each number of a pose in turn made impossible. */
static void
test_impossible_poses_are_refused (void)
{
  static const double bad[] = { NAN, INFINITY, -INFINITY, 1e9 };
  TarnBody *body = plain_body ();
  TarnContact contact, untouched;
  memset (&contact, 0x5a, sizeof contact);
  memcpy (&untouched, &contact, sizeof contact);

  for (size_t field = 0; field < sizeof (TarnPose) / sizeof (double); field++)
    for (size_t k = 0; k < G_N_ELEMENTS (bad); k++)
      {
        double numbers[6] = { 40, 0, 0, 0, 0, 5 };
        numbers[field] = bad[k];
        TarnPose pose
            = { numbers[0], numbers[1], numbers[2], numbers[3], numbers[4], numbers[5] };
        g_assert_cmpint (tarn_contact_solve (body, &pose, NULL, &contact), ==,
                         TARN_OUT_OF_RANGE);
      }
  TarnPose pulled = pose_at (40, -1), far = pose_at (1500, 5);
  g_assert_cmpint (tarn_contact_solve (body, &pulled, NULL, &contact), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpint (tarn_contact_solve (body, &far, NULL, &contact), ==, TARN_OFF_BODY);
  g_assert_cmpmem (&contact, sizeof contact, &untouched, sizeof untouched);

  g_assert_cmpfloat (tarn_contact_palpate_n_mm (body, NAN, 0), ==, 0);
  g_assert_cmpfloat (tarn_contact_palpate_n_mm (body, 1500, 0), ==, 0);
  tarn_body_free (body);
}

/* Where the stiffness falls most steeply on the way from the bone to the head. */
static double
felt_edge_mm (const TarnBody *body, double *steepness)
{
  double edge = 0, before = tarn_contact_palpate_n_mm (body, -25, 0);
  double soft = tarn_contact_palpate_n_mm (body, 45, 0);
  *steepness = 0;
  for (double above = -24; above <= 45; above++)
    {
      double here = tarn_contact_palpate_n_mm (body, above, 0);
      if ((before - here) / soft > *steepness)
        {
          *steepness = (before - here) / soft;
          edge = above - 0.5;
        }
      before = here;
    }
  return edge;
}

static double
bone_top_mm (const TarnBody *body)
{
  double top = -INFINITY;
  for (double z = -20; z < 20; z += 0.25)
    for (double y = -5; y < 30; y += 0.25)
      if (tarn_bones_distance_mm (tarn_body_bones (body), tarn_vec3 (0, y, z), NULL) < 0)
        top = fmax (top, z);
  return top;
}

/* The upper border lies between the origin, its front edge, and its highest point behind. */
static void
test_a_finger_finds_the_bones_upper_border (void)
{
  static const double fat_mm[] = { 8, 18, 30 };
  double steepness_before = INFINITY;
  for (size_t k = 0; k < G_N_ELEMENTS (fat_mm); k++)
    {
      TarnBody *body = body_with (fat_mm[k], 300, 0, 0);
      double steepness, edge = felt_edge_mm (body, &steepness), top = bone_top_mm (body);
      g_test_message ("fat %g mm: border felt at %.1f mm, bone up to %.1f mm, over bone %.2f, "
                      "above %.2f N/mm",
                      fat_mm[k], edge, top, tarn_contact_palpate_n_mm (body, 0, 0),
                      tarn_contact_palpate_n_mm (body, 40, 0));
      g_assert_cmpfloat (edge, >, -5);
      g_assert_cmpfloat (edge, <, top + 5);
      g_assert_cmpfloat (tarn_contact_palpate_n_mm (body, 0, 0), >,
                         1.5 * tarn_contact_palpate_n_mm (body, 40, 0));
      /* More fat, more blur. */
      g_assert_cmpfloat (steepness, <, 0.7 * steepness_before);
      steepness_before = steepness;
      tarn_body_free (body);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/contact/handbook-contacts", test_handbook_contacts);
  g_test_add_func ("/contact/thick-layer-obeys-the-punch-law",
                   test_thick_layer_obeys_the_punch_law);
  g_test_add_func ("/contact/bodies-give-way-as-designed", test_bodies_give_way_as_designed);
  g_test_add_func ("/contact/more-force-goes-deeper-and-smoothly",
                   test_more_force_goes_deeper_and_smoothly);
  g_test_add_func ("/contact/bone-leaves-a-third-of-what-is-in-front",
                   test_bone_leaves_a_third_of_what_is_in_front);
  g_test_add_func ("/contact/sliding-onto-bone-is-gradual", test_sliding_onto_bone_is_gradual);
  g_test_add_func ("/contact/bone-behind-stiffens", test_bone_behind_stiffens);
  g_test_add_func ("/contact/guarding-stiffens-the-muscle", test_guarding_stiffens_the_muscle);
  g_test_add_func ("/contact/frame-has-the-agreed-signs", test_frame_has_the_agreed_signs);
  g_test_add_func ("/contact/frame-is-orthonormal-and-rests-on-the-face",
                   test_frame_is_orthonormal_and_rests_on_the_face);
  g_test_add_func ("/contact/impossible-poses-are-refused", test_impossible_poses_are_refused);
  g_test_add_func ("/contact/a-finger-finds-the-bones-upper-border",
                   test_a_finger_finds_the_bones_upper_border);
  return g_test_run ();
}
