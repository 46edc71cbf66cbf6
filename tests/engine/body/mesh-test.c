/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * mesh-test.c: meshes of known volume. */
#include "base/mesh.h"
#include "base/units.h"

#include <glib.h>

/* An icosphere's volume over that of its sphere, 642 and 2562 vertices: 0.99139, 0.99784
 * (derived). */
static void
test_icosphere (void)
{
  static const struct
  {
    int level, vertices;
    double share;
  } known[] = { { 3, 642, 0.99139 }, { 4, 2562, 0.99784 } };
  for (gsize k = 0; k < G_N_ELEMENTS (known); k++)
    {
      TarnMesh mesh;
      g_assert_cmpint (tarn_mesh_init_sphere (&mesh, known[k].level), ==, 1);
      g_assert_cmpint (mesh.vertices, ==, known[k].vertices);
      g_assert_cmpfloat_with_epsilon (tarn_mesh_volume_mm3 (&mesh) / (4 * TARN_PI / 3),
                                      known[k].share, 1e-5);
      tarn_mesh_clear (&mesh);
    }
}

static void
test_levels_are_nested (void)
{
  TarnMesh coarse, fine;
  g_assert_cmpint (tarn_mesh_init_sphere (&coarse, 4), ==, 1);
  g_assert_cmpint (tarn_mesh_init_sphere (&fine, 5), ==, 1);
  for (int k = 0; k < coarse.vertices; k++)
    g_assert_cmpfloat (tarn_distance (coarse.vertex_mm[k], fine.vertex_mm[k]), ==, 0);
  tarn_mesh_clear (&coarse);
  tarn_mesh_clear (&fine);
}

/* An ellipsoid, or what is left of it above a plane across z: what lies below is flattened onto
 * the plane, where triangles that fold over cancel. */
static double
ellipsoid_ml (TarnVec3 half, double above_z)
{
  TarnMesh mesh;
  g_assert_cmpint (tarn_mesh_init_sphere (&mesh, 6), ==, 1);
  for (int k = 0; k < mesh.vertices; k++)
    {
      TarnVec3 m = mesh.vertex_mm[k];
      mesh.vertex_mm[k] = tarn_vec3 (half.x * m.x, half.y * m.y, fmax (half.z * m.z, above_z));
    }
  double volume = tarn_mesh_volume_mm3 (&mesh) / TARN_MM3_PER_ML;
  tarn_mesh_clear (&mesh);
  return volume;
}

/* Cap of a sphere R 50, h 30: 113.10 mL; ellipsoid 100 × 80 × 70: 293.22; its cap at 0.6 of the
 * half-axis: 63.33 (derived: π h² (3R − h) / 3, π/6 abc, 0.216 of it). */
static void
test_caps (void)
{
  g_assert_cmpfloat_with_epsilon (ellipsoid_ml (tarn_vec3 (50, 50, 50), 20), 113.10,
                                  0.005 * 113.10);
  g_assert_cmpfloat_with_epsilon (ellipsoid_ml (tarn_vec3 (40, 35, 50), -50), 293.22,
                                  0.005 * 293.22);
  g_assert_cmpfloat_with_epsilon (ellipsoid_ml (tarn_vec3 (40, 35, 50), 20), 63.33,
                                  0.005 * 63.33);
}

static void
test_volume_is_free_of_place_and_turn (void)
{
  TarnMesh mesh;
  g_assert_cmpint (tarn_mesh_init_sphere (&mesh, 3), ==, 1);
  double before = tarn_mesh_volume_mm3 (&mesh);
  TarnVec3 axis = tarn_normalize (tarn_vec3 (1, -2, 0.5)), far = { 300, -200, 100 };
  for (int k = 0; k < mesh.vertices; k++)
    mesh.vertex_mm[k] = tarn_add (tarn_rotate (mesh.vertex_mm[k], axis, 1.1), far);
  g_assert_cmpfloat_with_epsilon (tarn_mesh_volume_mm3 (&mesh), before, 1e-6);
  g_assert_cmpfloat (tarn_distance (tarn_mesh_centroid_mm (&mesh), far), <, 1e-9);

  TarnVec3 low, high;
  tarn_mesh_bounds (&mesh, &low, &high);
  g_assert_cmpfloat_with_epsilon (high.x - low.x, 2, 0.02);
  tarn_mesh_clear (&mesh);
}

static void
test_closed_means_closed (void)
{
  TarnMesh mesh;
  g_assert_cmpint (tarn_mesh_init_sphere (&mesh, 2), ==, 1);
  g_assert_cmpint (tarn_mesh_is_closed (&mesh), ==, 1);

  /* A face turned over, a face missing. */
  int *corner = mesh.corner[7], kept = corner[0];
  corner[0] = corner[1];
  corner[1] = kept;
  g_assert_cmpint (tarn_mesh_is_closed (&mesh), ==, 0);
  corner[1] = corner[0];
  corner[0] = kept;
  g_assert_cmpint (tarn_mesh_is_closed (&mesh), ==, 1);
  mesh.triangles--;
  g_assert_cmpint (tarn_mesh_is_closed (&mesh), ==, 0);
  tarn_mesh_clear (&mesh);
}

static void
test_levels_have_limits (void)
{
  TarnMesh mesh;
  g_assert_cmpint (tarn_mesh_init_sphere (&mesh, -1), ==, 0);
  g_assert_cmpint (tarn_mesh_init_sphere (&mesh, 7), ==, 0);
  g_assert_null (mesh.vertex_mm);
  tarn_mesh_clear (&mesh);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/mesh/icosphere", test_icosphere);
  g_test_add_func ("/mesh/levels-are-nested", test_levels_are_nested);
  g_test_add_func ("/mesh/caps", test_caps);
  g_test_add_func ("/mesh/volume-is-free-of-place-and-turn",
                   test_volume_is_free_of_place_and_turn);
  g_test_add_func ("/mesh/closed-means-closed", test_closed_means_closed);
  g_test_add_func ("/mesh/levels-have-limits", test_levels_have_limits);
  return g_test_run ();
}
