/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * cells-test.c: the accelerators say what the surfaces say. */
#include "bodies.h"

static TarnPatient
crowded_patient (void)
{
  TarnPatient patient = plain_patient (300);
  patient.bladder.pear = 0.8;
  patient.bladder.irregular = 1;
  patient.habitus.pannus_mm = 40;
  add_structure (&patient, TARN_STRUCTURE_CYST, tarn_vec3 (-70, 60, 80), tarn_vec3 (20, 15, 25))
      ->turn_deg
      = tarn_vec3 (20, 30, 40);
  add_structure (&patient, TARN_STRUCTURE_ASCITES, tarn_vec3 (80, 40, 100),
                 tarn_vec3 (40, 60, 30));
  add_structure (&patient, TARN_STRUCTURE_BOWEL, tarn_vec3 (20, 60, 140),
                 tarn_vec3 (50, 30, 20));
  add_structure (&patient, TARN_STRUCTURE_BOWEL_GAS, tarn_vec3 (10, 20, 150),
                 tarn_vec3 (20, 8, 9));
  add_structure (&patient, TARN_STRUCTURE_DIVERTICULUM, tarn_vec3 (75, 70, 30),
                 tarn_vec3 (15, 18, 20));
  add_structure (&patient, TARN_STRUCTURE_CLOT, tarn_vec3 (0, 55, 30), tarn_vec3 (15, 10, 10));
  add_structure (&patient, TARN_STRUCTURE_BALLOON, tarn_vec3 (-15, 50, 45),
                 tarn_vec3 (9, 9, 9));
  add_structure (&patient, TARN_STRUCTURE_STONE, tarn_vec3 (20, 50, 30), tarn_vec3 (5, 4, 3));
  add_structure (&patient, TARN_STRUCTURE_HAEMATOMA, tarn_vec3 (60, 0, 70),
                 tarn_vec3 (20, 9, 25));
  add_structure (&patient, TARN_STRUCTURE_SCAR, tarn_vec3 (0, -20, 40), tarn_vec3 (40, 6, 3));
  add_structure (&patient, TARN_STRUCTURE_GRAVID_UTERUS, tarn_vec3 (0, 70, 190),
                 tarn_vec3 (60, 40, 50));
  return patient;
}

/* Neighbours on all sides, and a balloon at the wall. */
static TarnPatient
dented_patient (void)
{
  TarnPatient patient = plain_patient (240);
  patient.bladder.irregular = 0.5;
  add_structure (&patient, TARN_STRUCTURE_UTERUS, tarn_vec3 (10, 94, 85),
                 tarn_vec3 (40, 34, 30))
      ->turn_deg
      = tarn_vec3 (20, 10, 30);
  add_structure (&patient, TARN_STRUCTURE_HAEMATOMA, tarn_vec3 (64, 50, 40),
                 tarn_vec3 (26, 24, 30));
  add_structure (&patient, TARN_STRUCTURE_CYST, tarn_vec3 (-52, 50, 45), tarn_vec3 (9, 8, 9));
  add_structure (&patient, TARN_STRUCTURE_BALLOON, tarn_vec3 (0, 45, -6),
                 tarn_vec3 (13, 13, 13));
  return patient;
}

static const TarnCell *
cell_at (const TarnCells *cells, TarnVec3 p)
{
  TarnVec3 at = tarn_scale (tarn_sub (p, cells->corner_mm), 1 / TARN_CELL_MM);
  return &cells->cell[((gsize)at.z * cells->cells_y + (gsize)at.y) * cells->cells_x
                      + (gsize)at.x];
}

static TarnTissue
by_cells (const TarnBody *body, TarnVec3 p)
{
  const TarnCell *cell = cell_at (tarn_body_cells (body), p);
  if (cell->tissue != TARN_CELL_MIXED)
    return (TarnTissue)cell->tissue;
  return tarn_body_tissue_in_cell (body, cell, p);
}

static void
compare_with_exact (const TarnPatient *patient, uint64_t points)
{
  TarnBody *body = body_of (patient);
  const TarnCells *cells = tarn_body_cells (body);
  TarnVec3 high = tarn_add_scaled (cells->corner_mm,
                                   tarn_vec3 (cells->cells_x, cells->cells_y, cells->cells_z),
                                   TARN_CELL_MM);
  uint64_t wrong = 0;
  for (uint64_t k = 0; k < points; k++)
    {
      TarnVec3 p = draw_in (patient->seed, k, cells->corner_mm, high);
      wrong += by_cells (body, p) != tarn_body_tissue (body, p);
    }
  g_assert_cmpuint (wrong, ==, 0);
  tarn_body_free (body);
}

static void
test_cells_are_exact (void)
{
  TarnPatient plain = plain_patient (300), crowded = crowded_patient (),
              dented = dented_patient ();
  TarnPatient tiny = plain_patient (3), huge = plain_patient (1700);
  compare_with_exact (&plain, 200000);
  compare_with_exact (&crowded, 200000);
  compare_with_exact (&dented, 200000);
  compare_with_exact (&tiny, 50000);
  compare_with_exact (&huge, 50000);
}

static void
compare_at_surfaces (const TarnPatient *patient)
{
  TarnBody *body = body_of (patient);
  for (int k = 0; k < tarn_body_parts (body); k++)
    {
      const char *name;
      TarnMesh mesh;
      g_assert_cmpint (tarn_body_part (body, k, &name, &mesh), ==, TARN_OK);
      if (!g_str_equal (name, "skin"))
        for (int v = 0; v < mesh.vertices; v++)
          {
            TarnVec3 near
                = draw_in (8, (uint64_t)v, tarn_vec3 (-3, -3, -3), tarn_vec3 (3, 3, 3));
            TarnVec3 p = tarn_add (mesh.vertex_mm[v], near);
            if (p.z > -85 && p.z < 295 && p.y > -80 && p.y < 125 && fabs (p.x) < 148)
              g_assert_cmpint (by_cells (body, p), ==, tarn_body_tissue (body, p));
          }
      tarn_mesh_clear (&mesh);
    }
  tarn_body_free (body);
}

/* Where it is hardest: all around the lumen's and the structures' surfaces. */
static void
test_cells_are_exact_at_surfaces (void)
{
  TarnPatient patients[2] = { crowded_patient (), dented_patient () };
  for (int n = 0; n < 2; n++)
    compare_at_surfaces (&patients[n]);
}

static TarnTissue
by_facets (const TarnCells *cells, const TarnCell *cell, TarnVec3 p)
{
  TarnVec3 at = tarn_scale (tarn_sub (p, cells->corner_mm), 1 / TARN_CELL_MM);
  TarnVec3 q = { (at.x - floor (at.x) - 0.5) * TARN_CELL_MM,
                 (at.y - floor (at.y) - 0.5) * TARN_CELL_MM,
                 (at.z - floor (at.z) - 0.5) * TARN_CELL_MM };
  for (int k = 0; k < cell->facets; k++)
    {
      const TarnFacet *facet = &cells->facet[cell->first_facet + (guint)k];
      TarnVec3 normal = { facet->normal[0], facet->normal[1], facet->normal[2] };
      if (tarn_dot (normal, q) + facet->offset_mm < 0)
        return (TarnTissue)facet->tissue;
    }
  return (TarnTissue)cell->background;
}

/* Whether the tissue is to be found within @reach_mm, in 26 directions. */
static bool
is_near (const TarnBody *body, TarnTissue tissue, TarnVec3 p, double reach_mm)
{
  for (int k = 0; k < 27; k++)
    {
      TarnVec3 way = { k % 3 - 1, k / 3 % 3 - 1, k / 9 - 1 };
      if (tarn_body_tissue (body, tarn_add_scaled (p, tarn_normalize (way), reach_mm))
          == tissue)
        return true;
    }
  return false;
}

/* Flat pieces are wrong in few places, and there by a hair; at most one in ten thousand lies
 * where a layer runs out and has no thickness left. */
static void
test_facets_are_near (void)
{
  TarnPatient patients[3] = { plain_patient (300), crowded_patient (), dented_patient () };
  for (int n = 0; n < 3; n++)
    {
      TarnBody *body = body_of (&patients[n]);
      const TarnCells *cells = tarn_body_cells (body);
      TarnVec3 size = { cells->cells_x, cells->cells_y, cells->cells_z };
      TarnVec3 high = tarn_add_scaled (cells->corner_mm, size, TARN_CELL_MM);
      int asked = 0, wrong = 0, far = 0;
      for (uint64_t k = 0; k < 400000; k++)
        {
          TarnVec3 p = draw_in (17, k, cells->corner_mm, high);
          const TarnCell *cell = cell_at (cells, p);
          if (cell->tissue != TARN_CELL_MIXED || cell->facets == 0)
            continue;
          asked++;
          TarnTissue said = by_facets (cells, cell, p);
          if (said == tarn_body_tissue (body, p))
            continue;
          wrong++;
          far += !is_near (body, said, p, 0.3) && !is_near (body, said, p, 0.6);
        }
      g_test_message ("%d wrong, %d of them far, of %d", wrong, far, asked);
      g_assert_cmpint (asked, >, 40000);
      g_assert_cmpint (wrong * 100, <, asked);
      g_assert_cmpint (far * 10000, <, asked);
      tarn_body_free (body);
    }
}

/* The table must spare work, and stay small. */
static void
test_most_cells_are_uniform (void)
{
  TarnPatient patient = plain_patient (300);
  TarnBody *body = body_of (&patient);
  const TarnCells *cells = tarn_body_cells (body);
  gsize count = (gsize)cells->cells_x * cells->cells_y * cells->cells_z, mixed = 0;
  g_assert_cmpint (cells->cells_x % 2, ==, 0);
  g_assert_cmpint (cells->cells_y % 2, ==, 0);
  g_assert_cmpint (cells->cells_z % 2, ==, 0);
  for (gsize k = 0; k < count; k++)
    {
      mixed += cells->cell[k].tissue == TARN_CELL_MIXED;
      if (cells->cell[k].tissue != TARN_CELL_MIXED)
        g_assert_cmpuint (cells->cell[k].candidates, ==, 0);
    }
  g_assert_cmpuint (mixed * 4, <, count);
  g_assert_cmpuint (count * sizeof *cells->cell, <=, 16u << 20);
  tarn_body_free (body);
}

/* A normal belongs to a border: stepping along it from the point named changes the tissue, and
 * no other border is nearer by more than the distances' own error. */
static void
test_normals (void)
{
  TarnPatient patient = crowded_patient ();
  TarnBody *body = body_of (&patient);
  int borders = 0;
  for (uint64_t k = 0; k < 4000; k++)
    {
      TarnVec3 p = draw_in (21, k, tarn_vec3 (-100, -20, -60), tarn_vec3 (100, 110, 200));
      double distance;
      TarnVec3 normal = tarn_body_normal (body, p, &distance);
      g_assert_cmpfloat_with_epsilon (tarn_length (normal), 1, 1e-9);
      if (fabs (distance) > 2)
        continue;
      borders++;
      TarnVec3 foot = tarn_add_scaled (p, normal, -distance);
      g_assert_cmpint (tarn_body_tissue (body, tarn_add_scaled (foot, normal, 0.25)), !=,
                       tarn_body_tissue (body, tarn_add_scaled (foot, normal, -0.25)));
    }
  g_assert_cmpint (borders, >, 500);
  tarn_body_free (body);
}

/* On the lumen's surface the normal is the lumen's, outward. */
static void
test_normal_of_the_lumen (void)
{
  TarnPatient patient = plain_patient (300);
  TarnBody *body = body_of (&patient);
  const TarnMesh *mesh = tarn_body_lumen_mesh (body);
  for (int v = 0; v < mesh->vertices; v += 7)
    {
      TarnVec3 p = mesh->vertex_mm[v];
      double distance, step = 1e-3;
      TarnVec3 normal = tarn_body_normal (body, p, &distance);
      g_assert_cmpfloat_with_epsilon (distance, 0, 0.02);
      g_assert_cmpfloat (tarn_body_lumen_distance_mm (body, tarn_add_scaled (p, normal, step))
                             - tarn_body_lumen_distance_mm (body, p),
                         >, 0.99 * step);
    }
  tarn_body_free (body);
}

/* A column's parts add up to the way marched. */
static void
test_columns_add_up (void)
{
  TarnPatient patient = crowded_patient ();
  TarnBody *body = body_of (&patient);
  for (uint64_t k = 0; k < 400; k++)
    {
      TarnVec3 point, inward;
      g_assert_true (tarn_body_skin_at (body, draw (31, k, -20, 150), draw (32, k, -90, 90),
                                        &point, &inward));
      TarnColumn column;
      tarn_body_column (body, point, inward, 80, &column);
      double sum = column.skin_mm + column.fat_mm + column.muscle_mm + column.soft_mm;
      g_assert_cmpfloat_with_epsilon (sum, fmin (80, column.bone_mm), 0.45);
      g_assert_cmpfloat (column.fluid_mm, <=, column.soft_mm);
    }
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cells/are-exact", test_cells_are_exact);
  g_test_add_func ("/cells/are-exact-at-surfaces", test_cells_are_exact_at_surfaces);
  g_test_add_func ("/cells/facets-are-near", test_facets_are_near);
  g_test_add_func ("/cells/most-are-uniform", test_most_cells_are_uniform);
  g_test_add_func ("/cells/normals", test_normals);
  g_test_add_func ("/cells/normal-of-the-lumen", test_normal_of_the_lumen);
  g_test_add_func ("/cells/columns-add-up", test_columns_add_up);
  return g_test_run ();
}
