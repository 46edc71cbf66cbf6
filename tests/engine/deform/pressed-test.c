/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What pressing does to a bladder.  That it flattens a slim person's full bladder against the
 * sacrum and brings a large person's nearer is common practice, no source. */
#include "presses.h"

#include <math.h>

typedef struct
{
  double volume_mm3;
  double width_mm, height_mm; /* left-right, front-back */
  double middle_mm;           /* front-back on the beam's axis */
  double distance_mm;         /* from the face to the lumen */
} Pressed;

static Pressed
measure (const TarnBody *body, const TarnDeform *deform, const TarnContact *contact)
{
  TarnMesh mesh;
  g_assert_cmpint (tarn_mesh_init_copy (&mesh, tarn_body_lumen_mesh (body)), ==, 1);
  TarnVec3 low = { INFINITY, INFINITY, INFINITY }, high = { -INFINITY, -INFINITY, -INFINITY };
  double near = INFINITY, front = INFINITY, back = -INFINITY;
  for (int k = 0; k < mesh.vertices; k++)
    {
      TarnVec3 p = tarn_deform_forward (deform, mesh.vertex_mm[k]);
      mesh.vertex_mm[k] = p;
      low = tarn_vec3 (fmin (low.x, p.x), fmin (low.y, p.y), fmin (low.z, p.z));
      high = tarn_vec3 (fmax (high.x, p.x), fmax (high.y, p.y), fmax (high.z, p.z));
      near = fmin (near, tarn_distance (p, contact->face_mm));

      TarnVec3 from = tarn_sub (p, contact->face_mm);
      double depth = tarn_dot (from, contact->axis);
      if (tarn_length (tarn_cross (from, contact->axis)) < 6)
        {
          front = fmin (front, depth);
          back = fmax (back, depth);
        }
    }
  Pressed pressed
      = { tarn_mesh_volume_mm3 (&mesh), high.x - low.x, high.y - low.y, back - front, near };
  tarn_mesh_clear (&mesh);
  return pressed;
}

static Pressed
press_bladder (double fat_mm, double volume_ml, double force_n)
{
  TarnBody *body = body_with (fat_mm, volume_ml);
  TarnDeform deform;
  TarnPose pose = { .above_mm = 40, .tilt_rad = 0.087, .force_n = force_n };
  TarnContact contact = press (body, pose, &deform);
  Pressed pressed = measure (body, &deform, &contact);
  g_test_message ("fat %g, %g mL, %g N (%.1f mm): width %.1f, height %.1f, on the axis %.1f, "
                  "from the face %.1f mm",
                  fat_mm, volume_ml, force_n, contact.indentation_mm, pressed.width_mm,
                  pressed.height_mm, pressed.middle_mm, pressed.distance_mm);
  tarn_body_free (body);
  return pressed;
}

static void
test_fluid_keeps_its_volume (void)
{
  static const double volume_ml[] = { 40, 300, 700 };
  for (int build = 0; build < BUILDS; build++)
    for (size_t v = 0; v < G_N_ELEMENTS (volume_ml); v++)
      {
        TarnBody *body = body_with (fat_of_build_mm[build], volume_ml[v]);
        for (uint64_t k = 0; k < 6; k++)
          {
            TarnDeform deform;
            TarnContact contact = random_press (body, k, &deform);
            double rest = tarn_mesh_volume_mm3 (tarn_body_lumen_mesh (body));
            double pressed = measure (body, &deform, &contact).volume_mm3;
            g_assert_cmpfloat_with_epsilon (pressed / rest, 1, 1e-3);
          }
        tarn_body_free (body);
      }
}

static void
test_a_slim_full_bladder_is_flattened_and_widened (void)
{
  for (double volume = 400; volume <= 500; volume += 50)
    {
      Pressed rest = press_bladder (8, volume, 0), light = press_bladder (8, volume, 3),
              hard = press_bladder (8, volume, 27);
      g_assert_cmpfloat (hard.middle_mm, <, 0.8 * rest.middle_mm);
      g_assert_cmpfloat (hard.height_mm, <, rest.height_mm - 3);
      g_assert_cmpfloat (hard.width_mm, >, 1.1 * rest.width_mm);
      g_assert_cmpfloat (light.width_mm, <, 1.03 * rest.width_mm);
    }
}

static void
test_pressing_brings_a_deep_bladder_nearer (void)
{
  double before = INFINITY;
  for (double force = 0; force <= 20; force += 5)
    {
      Pressed pressed = press_bladder (50, 300, force);
      g_assert_cmpfloat (pressed.distance_mm, <, before);
      before = pressed.distance_mm;
    }
  g_assert_cmpfloat (before, <, press_bladder (50, 300, 0).distance_mm - 12);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/pressed/fluid-keeps-its-volume", test_fluid_keeps_its_volume);
  g_test_add_func ("/pressed/a-slim-full-bladder-is-flattened-and-widened",
                   test_a_slim_full_bladder_is_flattened_and_widened);
  g_test_add_func ("/pressed/pressing-brings-a-deep-bladder-nearer",
                   test_pressing_brings_a_deep_bladder_nearer);
  return g_test_run ();
}
