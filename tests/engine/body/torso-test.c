/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * torso-test.c: skin, layers, pannus, bones. */
#include "bodies.h"

/* The superellipse by its formula, exponent 2.5. */
static double
front_mm (double half_width, double half_depth, double middle, double x)
{
  return middle - half_depth * pow (1 - pow (fabs (x) / half_width, 2.5), 0.4);
}

/* On the midline in front of the origin: skin, fat, then the bone 4 mm behind the fat. */
static void
test_midline (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = body_of (&patient);
  double fat_mm = patient.habitus.fat_mm, skin_mm = patient.habitus.skin_mm;
  double front = -(skin_mm + fat_mm + 4);
  static const struct
  {
    double behind_front;
    TarnTissue tissue;
  } at_origin[]
      = { { -0.05, TARN_TISSUE_AIR }, { 0.05, TARN_TISSUE_SKIN }, { 1.95, TARN_TISSUE_SKIN },
          { 2.05, TARN_TISSUE_FAT },  { 23.9, TARN_TISSUE_FAT },  { 24.05, TARN_TISSUE_BONE },
          { 34, TARN_TISSUE_BONE } };
  for (gsize k = 0; k < G_N_ELEMENTS (at_origin); k++)
    {
      TarnVec3 p = { 0, front + at_origin[k].behind_front, 0 };
      g_assert_cmpint (tarn_body_tissue (body, p), ==, at_origin[k].tissue);
    }

  TarnVec3 point, inward;
  g_assert_true (tarn_body_skin_at (body, 0, 0, &point, &inward));
  g_assert_cmpfloat (tarn_distance (point, tarn_vec3 (0, front, 0)), <, 1e-9);
  g_assert_cmpfloat (tarn_distance (inward, tarn_vec3 (0, 1, 0)), <, 1e-9);
  tarn_body_free (body);
}

/* Above the bone, 20 mm to the side: skin, fat, muscle, gap, wall, lumen, each as thick as the
 * file says. */
static void
test_layers_above (void)
{
  TarnPatient patient = plain_patient (300);
  TarnBody *body = body_of (&patient);
  TarnColumn column;
  TarnVec3 point, inward;
  g_assert_true (tarn_body_skin_at (body, 45, 0, &point, &inward));
  tarn_body_column (body, point, inward, 130, &column);
  g_assert_cmpfloat_with_epsilon (column.skin_mm, patient.habitus.skin_mm, 0.02);
  g_assert_cmpfloat_with_epsilon (column.fat_mm, patient.habitus.fat_mm, 0.02);
  g_assert_cmpfloat_with_epsilon (column.muscle_mm, 3, 0.02); /* linea alba */
  double length, width, height;
  tarn_body_lumen_diameters_mm (body, &length, &width, &height);
  g_assert_cmpfloat_with_epsilon (column.fluid_mm, height, 1.5);
  g_assert_cmpfloat (column.bone_mm, >, column.fluid_mm + 30);
  g_assert_cmpfloat (column.bone_mm, <, 130);

  point.x = 20;
  point.y -= 5;
  tarn_body_column (body, point, tarn_vec3 (0, 1, 0), 60, &column);
  g_assert_cmpfloat_with_epsilon (column.muscle_mm, patient.habitus.muscle_mm, 0.3);
  tarn_body_free (body);
}

/* Spine: about 110 mm behind the skin in a slim adult (own design value). */
static void
test_spine (void)
{
  TarnPatient patient = plain_patient (40);
  patient.habitus.fat_mm = 8;
  TarnBody *body = body_of (&patient);
  TarnColumn column;
  tarn_body_column (body, tarn_vec3 (0, -14, 60), tarn_vec3 (0, 1, 0), 200, &column);
  g_assert_cmpfloat_with_epsilon (column.bone_mm, 110, 8);
  tarn_body_free (body);
}

/* The bone's edge can be found: over the origin the column is short, above it long; the
 * symphysis runs back and to the feet at its inclination. */
static void
test_symphysis (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = body_of (&patient);
  TarnColumn column;
  tarn_body_column (body, tarn_vec3 (0, -24, -5), tarn_vec3 (0, 1, 0), 60, &column);
  double five_below = column.bone_mm;
  tarn_body_column (body, tarn_vec3 (0, -24, -15), tarn_vec3 (0, 1, 0), 60, &column);
  g_assert_cmpfloat_with_epsilon (column.bone_mm - five_below, 10, 0.3); /* tan 45° */
  tarn_body_column (body, tarn_vec3 (0, -24, 20), tarn_vec3 (0, 1, 0), 60, &column);
  g_assert_cmpfloat (column.bone_mm, >, 60);

  /* Its extent along and across is the file's. */
  const TarnBoneBox *box = &tarn_body_bones (body)->symphysis;
  g_assert_cmpfloat (2 * box->half_along_mm, ==, patient.symphysis.height_mm);
  g_assert_cmpfloat (2 * box->half_across_mm, ==, patient.symphysis.thickness_mm);
  g_assert_cmpfloat_with_epsilon (
      tarn_bones_distance_mm (tarn_body_bones (body), tarn_vec3 (0, 0, 0), NULL), 0, 1e-9);
  tarn_body_free (body);
}

/* The gradient of the bones' distance is its rate of change. */
static void
test_bone_gradient (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = body_of (&patient);
  const TarnBones *bones = tarn_body_bones (body);
  for (uint64_t k = 0; k < 2000; k++)
    {
      TarnVec3 p = draw_in (3, k, tarn_vec3 (-90, -20, -80), tarn_vec3 (90, 140, 120)), g;
      double d = tarn_bones_distance_mm (bones, p, &g);
      g_assert_cmpfloat_with_epsilon (tarn_length (g), 1, 1e-9);
      if (d < 0.5)
        continue;
      /* The way back along the gradient ends on the bone. */
      TarnVec3 foot = tarn_add_scaled (p, g, -d);
      g_assert_cmpfloat_with_epsilon (tarn_bones_distance_mm (bones, foot, NULL), 0, 1e-9);
    }
  tarn_body_free (body);
}

/* Arc lengths against a fine polyline through the superellipse's own formula. */
static void
test_left_is_arc_length (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = body_of (&patient);
  double half_width = patient.habitus.torso_width_mm / 2;
  double half_depth = patient.habitus.torso_depth_mm / 2;
  double middle = -(patient.habitus.skin_mm + patient.habitus.fat_mm + 4) + half_depth;
  double arc = 0, x = 0, y = front_mm (half_width, half_depth, middle, 0);
  int next = 1;
  for (double nx = 0.002; nx < 0.93 * half_width; nx += 0.002)
    {
      double ny = front_mm (half_width, half_depth, middle, nx);
      arc += hypot (nx - x, ny - y);
      x = nx;
      y = ny;
      if (arc < next * 20)
        continue;
      TarnVec3 point, inward;
      for (int side = -1; side <= 1; side += 2)
        {
          g_assert_true (tarn_body_skin_at (body, 30, side * arc, &point, &inward));
          g_assert_cmpfloat (tarn_distance (point, tarn_vec3 (side * x, y, 30)), <, 0.1);
        }
      next++;
    }
  g_assert_cmpint (next, >, 7);
  tarn_body_free (body);
}

/* With a pannus: neighbouring places along the skin are as far apart as their arc lengths, and
 * lie on the skin. */
static void
test_above_is_arc_length (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.pannus_mm = 50;
  patient.habitus.pannus_reach_mm = 150;
  TarnBody *body = body_of (&patient);
  TarnVec3 last, point, inward;
  double sum = 0;
  g_assert_true (tarn_body_skin_at (body, 0, 0, &last, &inward));
  g_assert_cmpfloat (last.z, ==, 0);
  for (int k = 1; k <= 2000; k++)
    {
      g_assert_true (tarn_body_skin_at (body, k * 0.1, 0, &point, &inward));
      sum += tarn_distance (last, point);
      last = point;
      g_assert_cmpfloat_with_epsilon (sum, k * 0.1, 0.1);
      g_assert_cmpfloat_with_epsilon (tarn_body_skin_distance_mm (body, point), 0, 1e-3);
    }
  tarn_body_free (body);
}

static void
test_off_the_torso (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = body_of (&patient);
  TarnVec3 point = { 1, 2, 3 }, inward = { 4, 5, 6 };
  static const double off[][2] = { { 1e4, 0 }, { -1e4, 0 }, { 40, 900 },    { 40, -260 },
                                   { NAN, 0 }, { 0, NAN },  { INFINITY, 0 } };
  for (gsize k = 0; k < G_N_ELEMENTS (off); k++)
    {
      g_assert_false (tarn_body_skin_at (body, off[k][0], off[k][1], &point, &inward));
      g_assert_cmpfloat (point.x, ==, 1);
      g_assert_cmpfloat (inward.z, ==, 6);
    }
  tarn_body_free (body);
}

/* The pannus adds pannus-mm · (1 − lift) of fat over the target, none at the reach and below
 * the bone; what lies behind the fat does not move. */
static void
test_pannus_and_lift (void)
{
  TarnPatient patient = plain_patient (300);
  patient.habitus.pannus_mm = 40;
  patient.habitus.pannus_reach_mm = 160;
  for (int k = 0; k <= 4; k++)
    {
      double lift = k / 4.0;
      TarnBody *body = body_with_lift (&patient, lift);
      static const double level[] = { -40, 45, 60, 200 };
      for (int j = 0; j < 4; j++)
        {
          TarnColumn column;
          tarn_body_column (body, tarn_vec3 (0, -120, level[j]), tarn_vec3 (0, 1, 0), 260,
                            &column);
          double hangs = j == 1 || j == 2 ? 40 * (1 - lift) : 0;
          if (j > 0)
            g_assert_cmpfloat_with_epsilon (column.fat_mm, patient.habitus.fat_mm + hangs, 0.3);
          g_assert_cmpfloat_with_epsilon (
              tarn_body_skin_distance_mm (body, tarn_vec3 (0, -24 - hangs, level[j])), 0, 0.2);
        }
      tarn_body_free (body);
    }
}

/* Lifting moves nothing behind the fat. */
static void
test_lift_moves_nothing_inside (void)
{
  TarnPatient patient = plain_patient (300);
  patient.habitus.pannus_mm = 40;
  TarnBody *hanging = body_with_lift (&patient, 0), *lifted = body_with_lift (&patient, 1);
  patient.habitus.pannus_mm = 0;
  TarnBody *without = body_of (&patient);
  for (uint64_t k = 0; k < 20000; k++)
    {
      TarnVec3 p = draw_in (9, k, tarn_vec3 (-150, -60, -80), tarn_vec3 (150, 150, 200));
      TarnTissue a = tarn_body_tissue (hanging, p), b = tarn_body_tissue (lifted, p);
      g_assert_cmpint (b, ==, tarn_body_tissue (without, p));
      if (b != TARN_TISSUE_AIR && b != TARN_TISSUE_SKIN)
        g_assert_cmpint (a, ==, b);
    }
  tarn_body_free (hanging);
  tarn_body_free (lifted);
  tarn_body_free (without);
}

/* A fold has a crease at its lower edge, and lifting opens it. */
static void
test_crease (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnColumn column;
  TarnBody *body = body_of (&patient);
  tarn_body_column (body, tarn_vec3 (0, -24, -8), tarn_vec3 (0, 1, 0), 20, &column);
  g_assert_cmpfloat (column.crease, ==, 0);
  tarn_body_free (body);

  patient.habitus.pannus_mm = 40;
  double last = 2;
  for (int k = 0; k <= 4; k++)
    {
      body = body_with_lift (&patient, k / 4.0);
      tarn_body_column (body, tarn_vec3 (0, -24, -8), tarn_vec3 (0, 1, 0), 20, &column);
      g_assert_cmpfloat (column.crease, <, last);
      last = column.crease;
      if (k == 0)
        g_assert_cmpfloat (column.crease, >, 0.9);
      tarn_body_column (body, tarn_vec3 (0, -64, 60), tarn_vec3 (0, 1, 0), 20, &column);
      g_assert_cmpfloat (column.crease, ==, 0);
      tarn_body_free (body);
    }
  g_assert_cmpfloat (last, ==, 0);
}

/* The smoothed normal is the skin's own where that is nearly flat, unit everywhere, and turns
 * outwards steadily towards the flank. */
static void
test_inward_normal (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = body_of (&patient);
  double last = -1;
  for (double left = 0; left < 150; left += 10)
    {
      TarnVec3 point, inward;
      g_assert_true (tarn_body_skin_at (body, 40, left, &point, &inward));
      g_assert_cmpfloat_with_epsilon (tarn_length (inward), 1, 1e-9);
      g_assert_cmpfloat (-inward.x, >, last - 1e-9);
      last = -inward.x;
      g_assert_cmpfloat_with_epsilon (inward.z, 0, 1e-9);

      double distance;
      TarnVec3 outward = tarn_body_normal (body, point, &distance);
      g_assert_cmpfloat_with_epsilon (distance, 0, 0.01);
      g_assert_cmpfloat (-tarn_dot (outward, inward), >, 0.97);
    }
  tarn_body_free (body);
}

static void
test_skin_distance (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.pannus_mm = 30;
  TarnBody *body = body_of (&patient);
  for (uint64_t k = 0; k < 3000; k++)
    {
      TarnVec3 point, inward;
      double depth = draw (2, k, -8, 8);
      g_assert_true (tarn_body_skin_at (body, draw (3, k, 60, 250), draw (4, k, -100, 100),
                                        &point, &inward));
      double zero;
      TarnVec3 normal = tarn_body_normal (body, point, &zero);
      TarnVec3 p = tarn_add_scaled (point, normal, depth);
      g_assert_cmpfloat_with_epsilon (tarn_body_skin_distance_mm (body, p), depth, 0.15);
    }
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/torso/midline", test_midline);
  g_test_add_func ("/torso/layers-above", test_layers_above);
  g_test_add_func ("/torso/spine", test_spine);
  g_test_add_func ("/torso/symphysis", test_symphysis);
  g_test_add_func ("/torso/bone-gradient", test_bone_gradient);
  g_test_add_func ("/torso/left-is-arc-length", test_left_is_arc_length);
  g_test_add_func ("/torso/above-is-arc-length", test_above_is_arc_length);
  g_test_add_func ("/torso/off-the-torso", test_off_the_torso);
  g_test_add_func ("/torso/pannus-and-lift", test_pannus_and_lift);
  g_test_add_func ("/torso/lift-moves-nothing-inside", test_lift_moves_nothing_inside);
  g_test_add_func ("/torso/crease", test_crease);
  g_test_add_func ("/torso/inward-normal", test_inward_normal);
  g_test_add_func ("/torso/skin-distance", test_skin_distance);
  return g_test_run ();
}
