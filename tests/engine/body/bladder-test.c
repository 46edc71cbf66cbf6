/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bladder-test.c: the lumen's volume, shape and place. */
#include "bodies.h"

static const double volumes_ml[] = { 1, 5, 20, 50, 100, 200, 300, 500, 800, 1200, 2000 };

/* A closed mesh that holds what the file says, over all shapes. */
static void
test_volume (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (volumes_ml); k++)
    for (int shape = 0; shape < 3; shape++)
      {
        TarnPatient patient = plain_patient (volumes_ml[k]);
        patient.seed = 1000 + (uint64_t)shape;
        patient.bladder.pear = shape * 0.5;
        patient.bladder.irregular = shape < 2 ? 0 : 1;
        TarnBody *body = body_of (&patient);
        const TarnMesh *mesh = tarn_body_lumen_mesh (body);
        double volume = tarn_mesh_volume_mm3 (mesh) / TARN_MM3_PER_ML;
        g_assert_cmpfloat_with_epsilon (volume, volumes_ml[k], 1e-6 * volumes_ml[k]);
        g_assert_cmpfloat (tarn_body_true_volume_ml (body), ==, volumes_ml[k]);
        if (k % 4 == 0)
          g_assert_cmpint (tarn_mesh_is_closed (mesh), ==, 1);
        tarn_body_free (body);
      }
}

/* Brute force: what a fine lattice of points says is urine. */
static void
test_points_agree_with_volume (void)
{
  for (int shape = 0; shape < 4; shape++)
    {
      TarnPatient patient = plain_patient (shape == 0 ? 30 : 300);
      patient.bladder.pear = shape * 0.3;
      patient.bladder.irregular = shape == 3 ? 1 : 0;
      TarnBody *body = body_of (&patient);
      TarnVec3 low, high;
      tarn_mesh_bounds (tarn_body_lumen_mesh (body), &low, &high);
      double step = shape == 0 ? 0.5 : 1, urine = 0;
      for (double z = low.z - 1; z < high.z + 1; z += step)
        for (double y = low.y - 1; y < high.y + 1; y += step)
          for (double x = low.x - 1; x < high.x + 1; x += step)
            urine += tarn_body_tissue (body, tarn_vec3 (x, y, z)) == TARN_TISSUE_URINE;
      double volume = urine * step * step * step / TARN_MM3_PER_ML;
      g_assert_cmpfloat_with_epsilon (volume, patient.bladder.volume_ml,
                                      0.001 * patient.bladder.volume_ml);
      tarn_body_free (body);
    }
}

/* Sphere of 10 cm: 523.6 mL (derived, π/6 d³), both ways. */
static void
test_sphere (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.bladder.volume_ml = 523.6;
  patient.bladder.length_mm = patient.bladder.width_mm = patient.bladder.height_mm = 30;
  patient.bladder.pear = 0;
  TarnBody *body = body_of (&patient);
  double length, width, height;
  tarn_body_lumen_diameters_mm (body, &length, &width, &height);
  g_assert_cmpfloat_with_epsilon (length, 100, 0.05);
  g_assert_cmpfloat_with_epsilon (width, 100, 0.05);
  g_assert_cmpfloat_with_epsilon (height, 100, 0.05);

  /* And its distance is that of a sphere. */
  TarnVec3 centre = tarn_body_lumen_centre_mm (body);
  for (uint64_t k = 0; k < 200; k++)
    {
      TarnVec3 away = draw_in (7, k, tarn_vec3 (-60, -60, -60), tarn_vec3 (60, 60, 60));
      g_assert_cmpfloat_with_epsilon (
          tarn_body_lumen_distance_mm (body, tarn_add (centre, away)), tarn_length (away) - 50,
          0.02);
    }
  tarn_body_free (body);
}

/* The three lengths set the proportions. */
static void
test_proportions (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.bladder.pear = 0;
  patient.bladder.length_mm = 120;
  patient.bladder.width_mm = 90;
  patient.bladder.height_mm = 60;
  TarnBody *body = body_of (&patient);
  double length, width, height;
  tarn_body_lumen_diameters_mm (body, &length, &width, &height);
  g_assert_cmpfloat_with_epsilon (length / height, 2, 1e-3);
  g_assert_cmpfloat_with_epsilon (width / height, 1.5, 1e-3);
  tarn_body_free (body);
}

static void
extent_of (const TarnBody *body, const char *part, TarnVec3 *low, TarnVec3 *high)
{
  for (int k = 0; k < tarn_body_parts (body); k++)
    {
      const char *name;
      TarnMesh mesh;
      g_assert_cmpint (tarn_body_part (body, k, &name, &mesh), ==, TARN_OK);
      if (g_str_equal (name, part))
        tarn_mesh_bounds (&mesh, low, high);
      tarn_mesh_clear (&mesh);
    }
}

/* Between wall and bone with the bladder moved; @capsules: how many of the bones' capsules, of
 * which the first two are the rami. */
static double
bone_clearance_mm (const TarnBody *body, double back_mm, int capsules)
{
  TarnBones bones = *tarn_body_bones (body);
  bones.capsules = capsules;
  double least = INFINITY;
  for (int k = 0; k < tarn_body_parts (body); k++)
    {
      const char *name;
      TarnMesh mesh;
      g_assert_cmpint (tarn_body_part (body, k, &name, &mesh), ==, TARN_OK);
      if (g_str_equal (name, "wall"))
        for (int v = 0; v < mesh.vertices; v++)
          {
            TarnVec3 p = tarn_add (mesh.vertex_mm[v], tarn_vec3 (0, back_mm, 0));
            least = fmin (least, tarn_bones_distance_mm (&bones, p, NULL));
          }
      tarn_mesh_clear (&mesh);
    }
  return least;
}

/* Lowest point at rise-mm, middle at left-mm; 4 mm between wall and bone, and no more than it
 * takes: either the wall touches the gap in front or it is exactly 4 mm from bone. */
static void
test_place (void)
{
  for (int k = 0; k < 24; k++)
    {
      TarnPatient patient = plain_patient (volumes_ml[k % G_N_ELEMENTS (volumes_ml)]);
      patient.bladder.rise_mm = k % 3 == 0 ? -15 : k % 3 == 1 ? -30 : 10;
      patient.bladder.left_mm = k % 2 == 0 ? 0 : 12;
      patient.bladder.pear = k % 5 * 0.25;
      TarnBody *body = body_of (&patient);
      TarnVec3 low, high, wall_low, wall_high;
      extent_of (body, "lumen", &low, &high);
      extent_of (body, "wall", &wall_low, &wall_high);
      g_assert_cmpfloat_with_epsilon (low.z, patient.bladder.rise_mm, 0.05);
      g_assert_cmpfloat_with_epsilon (0.5 * (low.x + high.x), patient.bladder.left_mm, 0.01);
      g_assert_cmpfloat_with_epsilon (low.y - wall_low.y, patient.bladder.wall_mm, 0.1);

      int all = tarn_body_bones (body)->capsules;
      g_assert_cmpfloat (bone_clearance_mm (body, 0, all), >, 3.99);
      double clearance = bone_clearance_mm (body, 0, 2);
      double gap = -4 + patient.habitus.muscle_mm + patient.habitus.prevesical_mm;
      double moved = wall_low.y - gap;
      g_assert_cmpfloat (moved, >, -0.02);
      if (moved > 0.3)
        {
          g_assert_cmpfloat (clearance, <, 4.1);
          /* A little less would have been too near. */
          g_assert_cmpfloat (bone_clearance_mm (body, -0.3, 2), <, 4);
        }
      tarn_body_free (body);
    }
}

/* The dome of a plain adult stands at rise + length. */
static void
test_dome (void)
{
  TarnPatient patient = plain_patient (300);
  TarnBody *body = body_of (&patient);
  TarnVec3 low, high;
  extent_of (body, "lumen", &low, &high);
  double length, width, height;
  tarn_body_lumen_diameters_mm (body, &length, &width, &height);
  g_assert_cmpfloat_with_epsilon (high.z, patient.bladder.rise_mm + length, 0.05);
  /* An ellipsoid of the lengths of the table holds an eighth less, so they grow by 5 %; the
   * neck costs another 2. */
  g_assert_cmpfloat_with_epsilon (length, 1.06 * patient.bladder.length_mm, 2);
  tarn_body_free (body);
}

/* Near the surface the distance is one: it agrees with the nearest of many surface points. */
static void
test_distance_near_the_surface (void)
{
  for (int shape = 0; shape < 3; shape++)
    {
      TarnPatient patient = plain_patient (shape == 0 ? 50 : 300);
      patient.bladder.pear = shape == 0 ? 0 : 1;
      patient.bladder.irregular = shape == 2 ? 1 : 0;
      TarnBody *body = body_of (&patient);
      const TarnMesh *mesh = tarn_body_lumen_mesh (body);
      TarnVec3 low, high, margin = { 6, 6, 6 };
      tarn_mesh_bounds (mesh, &low, &high);
      for (uint64_t k = 0; k < 900; k++)
        {
          TarnVec3 p = draw_in (11, k, tarn_sub (low, margin), tarn_add (high, margin));
          double said = tarn_body_lumen_distance_mm (body, p);
          if (fabs (said) > 6)
            continue;
          double nearest = INFINITY;
          for (int v = 0; v < mesh->vertices; v++)
            nearest = fmin (nearest, tarn_distance (p, mesh->vertex_mm[v]));
          /* No point of the surface is further than 1.6 mm from one of the mesh; the rest is
           * what the distance may be off, a seventh at worst. */
          double off = 0.15 * fabs (said) + 0.02;
          g_assert_cmpfloat (nearest, >=, fabs (said) - off);
          g_assert_cmpfloat (nearest, <=, hypot (said, 1.6) + off);
          g_assert_cmpint (said < 0, ==, tarn_body_tissue (body, p) == TARN_TISSUE_URINE);
        }
      tarn_body_free (body);
    }
}

/* No distance changes faster than one goes, near the surface. */
static void
test_distance_is_smooth (void)
{
  TarnPatient patient = plain_patient (200);
  patient.bladder.pear = 0.6;
  patient.bladder.irregular = 0.8;
  TarnBody *body = body_of (&patient);
  TarnVec3 low, high;
  tarn_mesh_bounds (tarn_body_lumen_mesh (body), &low, &high);
  for (uint64_t k = 0; k < 20000; k++)
    {
      TarnVec3 p = draw_in (5, k, low, high);
      TarnVec3 q = tarn_add (p, draw_in (6, k, tarn_vec3 (-1, -1, -1), tarn_vec3 (1, 1, 1)));
      double a = tarn_body_lumen_distance_mm (body, p),
             b = tarn_body_lumen_distance_mm (body, q);
      if (fabs (a) < 6 && fabs (b) < 6)
        g_assert_cmpfloat (fabs (a - b), <=, 1.35 * tarn_distance (p, q));
    }
  tarn_body_free (body);
}

static void
test_empty (void)
{
  TarnPatient patient = plain_patient (0);
  TarnBody *body = body_of (&patient);
  g_assert_cmpfloat (tarn_body_true_volume_ml (body), ==, 0);
  g_assert_cmpint (tarn_body_lumen_mesh (body)->triangles, ==, 0);
  TarnVec3 centre = tarn_body_lumen_centre_mm (body);
  g_assert_cmpfloat (tarn_body_lumen_distance_mm (body, centre), >, 0);
  g_assert_cmpint (tarn_body_tissue (body, centre), ==, TARN_TISSUE_WALL);
  tarn_body_free (body);
}

/* Same patient, same bytes; another seed, another lump. */
static void
test_same_patient_same_body (void)
{
  TarnPatient patient = plain_patient (250);
  patient.bladder.irregular = 1;
  TarnBody *one = body_of (&patient), *two = body_of (&patient);
  patient.seed++;
  TarnBody *three = body_of (&patient);
  const TarnMesh *a = tarn_body_lumen_mesh (one), *b = tarn_body_lumen_mesh (two),
                 *c = tarn_body_lumen_mesh (three);
  gsize size = (gsize)a->vertices * sizeof *a->vertex_mm;
  g_assert_cmpmem (a->vertex_mm, size, b->vertex_mm, size);
  g_assert_cmpfloat (tarn_distance (a->vertex_mm[0], c->vertex_mm[0]), >, 0);

  const TarnCells *x = tarn_body_cells (one), *y = tarn_body_cells (two);
  gsize count = (gsize)x->cells_x * x->cells_y * x->cells_z;
  for (gsize k = 0; k < count; k++)
    g_assert_cmpuint (x->cell[k].candidates, ==, y->cell[k].candidates);
  tarn_body_free (one);
  tarn_body_free (two);
  tarn_body_free (three);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/bladder/volume", test_volume);
  g_test_add_func ("/bladder/points-agree-with-volume", test_points_agree_with_volume);
  g_test_add_func ("/bladder/sphere", test_sphere);
  g_test_add_func ("/bladder/proportions", test_proportions);
  g_test_add_func ("/bladder/place", test_place);
  g_test_add_func ("/bladder/dome", test_dome);
  g_test_add_func ("/bladder/distance-near-the-surface", test_distance_near_the_surface);
  g_test_add_func ("/bladder/distance-is-smooth", test_distance_is_smooth);
  g_test_add_func ("/bladder/empty", test_empty);
  g_test_add_func ("/bladder/same-patient-same-body", test_same_patient_same_body);
  return g_test_run ();
}
