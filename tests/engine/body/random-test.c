/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * random-test.c: patients drawn over the whole ranges of the file build, or are refused with a
 * reason; what is built keeps its promises. */
#include "bodies.h"

#define SEED 20240611u

static void
draw_group (TarnPatient *patient, TarnFieldGroup group, uint64_t seed, double share)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (field->group != group || tarn_field_components (field) != 1)
        continue;
      /* A share of the fields leaves its default; a seventh of those goes to an end. */
      uint64_t at = (uint64_t)k * 4;
      if (tarn_uniform_at (seed, at) > share)
        continue;
      double t = tarn_uniform_at (seed, at + 1);
      if (tarn_uniform_at (seed, at + 2) < 0.14)
        t = t < 0.5 ? 0 : 1;
      double value = field->low + t * (field->high - field->low);
      if (field->kind != TARN_FIELD_REAL)
        value = floor (value);
      tarn_field_set (field, patient, 0, value);
      tarn_field_state (field, patient, NULL, true);
    }
}

static void
draw_structures (TarnPatient *patient, uint64_t seed)
{
  int count = (int)(tarn_uniform_at (seed, 900) * 4);
  for (int k = 0; k < count; k++)
    {
      uint64_t at = 1000 + 20 * (uint64_t)k;
      TarnStructureKind kind
          = (TarnStructureKind)(tarn_uniform_at (seed, at) * TARN_STRUCTURE_KINDS);
      TarnVec3 centre
          = draw_in (seed, at + 1, tarn_vec3 (-120, -20, -60), tarn_vec3 (120, 120, 200));
      TarnVec3 radii = draw_in (seed, at + 2, tarn_vec3 (1, 1, 1), tarn_vec3 (50, 40, 50));
      TarnStructure *structure = add_structure (patient, kind, centre, radii);
      structure->turn_deg
          = draw_in (seed, at + 3, tarn_vec3 (-180, -180, -180), tarn_vec3 (180, 180, 180));
      structure->counts = tarn_uniform_at (seed, at + 19) < 0.5;
    }
}

static TarnPatient
random_patient (uint64_t seed, double share)
{
  TarnPatient patient = tarn_patient_default ();
  patient.seed = seed;
  draw_group (&patient, TARN_GROUP_HABITUS, tarn_hash64 (seed), share);
  draw_group (&patient, TARN_GROUP_SYMPHYSIS, tarn_hash64 (seed + 1), share);
  draw_group (&patient, TARN_GROUP_BLADDER, tarn_hash64 (seed + 2), share);
  tarn_patient_fill_defaults (&patient);
  draw_structures (&patient, tarn_hash64 (seed + 3));
  return patient;
}

static void
check_promises (const TarnBody *body, const TarnPatient *patient, uint64_t seed)
{
  double volume = tarn_mesh_volume_mm3 (tarn_body_lumen_mesh (body)) / TARN_MM3_PER_ML;
  if (tarn_body_lumen_mesh (body)->triangles > 0)
    g_assert_cmpfloat_with_epsilon (volume, patient->bladder.volume_ml,
                                    1e-6 * patient->bladder.volume_ml);
  g_assert_cmpfloat (tarn_body_true_volume_ml (body), >=, -1e-9);
  for (int v = 0; v < tarn_body_lumen_mesh (body)->vertices; v++)
    {
      TarnVec3 p = tarn_body_lumen_mesh (body)->vertex_mm[v];
      g_assert_cmpfloat (fabs (tarn_body_lumen_distance_mm (body, p)), <, 0.3);
    }

  const TarnCells *cells = tarn_body_cells (body);
  gsize count = (gsize)cells->cells_x * cells->cells_y * cells->cells_z;
  TarnVec3 size = { cells->cells_x, cells->cells_y, cells->cells_z };
  TarnVec3 high = tarn_add_scaled (cells->corner_mm, size, TARN_CELL_MM);
  g_assert_cmpuint (count, <=, 2500000);

  int wrong = 0;
  for (uint64_t k = 0; k < 3000; k++)
    {
      TarnVec3 p = draw_in (seed, k, cells->corner_mm, high);
      TarnVec3 at = tarn_scale (tarn_sub (p, cells->corner_mm), 1 / TARN_CELL_MM);
      const TarnCell *cell
          = &cells->cell[((gsize)at.z * cells->cells_y + (gsize)at.y) * cells->cells_x
                         + (gsize)at.x];
      TarnTissue exact = tarn_body_tissue (body, p);
      wrong += exact
               != (cell->tissue != TARN_CELL_MIXED ? (TarnTissue)cell->tissue
                                                   : tarn_body_tissue_in_cell (body, cell, p));
      g_assert_cmpint (exact, <, TARN_TISSUES);
    }
  g_assert_cmpint (wrong, ==, 0);

  TarnVec3 point, inward;
  if (tarn_body_skin_at (body, 40, 10, &point, &inward))
    {
      g_assert_cmpfloat_with_epsilon (tarn_length (inward), 1, 1e-9);
      TarnColumn column;
      tarn_body_column (body, point, inward, 100, &column);
      g_assert_cmpfloat (column.skin_mm, >, 0);
      g_assert_false (isnan (column.bone_mm));
      double distance;
      TarnVec3 normal = tarn_body_normal (body, tarn_add_scaled (point, inward, 30), &distance);
      g_assert_cmpfloat_with_epsilon (tarn_length (normal), 1, 1e-9);
      g_assert_false (isnan (distance));
    }
}

/* Neighbours that mostly reach for an ordinary bladder. */
static TarnPatient
pushed_patient (uint64_t seed)
{
  static const TarnStructureKind kind[]
      = { TARN_STRUCTURE_UTERUS,    TARN_STRUCTURE_GRAVID_UTERUS, TARN_STRUCTURE_PROSTATE,
          TARN_STRUCTURE_HAEMATOMA, TARN_STRUCTURE_CYST,          TARN_STRUCTURE_BALLOON,
          TARN_STRUCTURE_BOWEL,     TARN_STRUCTURE_BOWEL_GAS };
  TarnPatient patient = random_patient (seed, 0.1);
  patient.structures = 0;
  int count = 1 + (int)(tarn_uniform_at (seed, 901) * 3);
  for (int k = 0; k < count; k++)
    {
      uint64_t at = 3000 + 20 * (uint64_t)k;
      TarnVec3 way = tarn_normalize (
          draw_in (seed, at, tarn_vec3 (-1, -0.2, -0.6), tarn_vec3 (1, 1, 1)));
      TarnVec3 radii = draw_in (seed, at + 1, tarn_vec3 (5, 5, 5), tarn_vec3 (50, 40, 50));
      double away = draw (seed, 3 * (at + 2), 30, 90);
      TarnStructure *structure = add_structure (
          &patient, kind[(int)(tarn_uniform_at (seed, 3 * (at + 3)) * G_N_ELEMENTS (kind))],
          tarn_add_scaled (tarn_vec3 (0, 49, 35), way, away), radii);
      structure->turn_deg
          = draw_in (seed, at + 4, tarn_vec3 (-180, -180, -180), tarn_vec3 (180, 180, 180));
    }
  return patient;
}

/* @share: of the fields that leave their default; negative for pushed patients. */
static int
build_many (double share, int count)
{
  int built = 0;
  for (int k = 0; k < count; k++)
    {
      uint64_t seed = SEED + 1000 * (uint64_t)k;
      TarnPatient patient = share < 0 ? pushed_patient (seed) : random_patient (seed, share);
      TarnBody *body = NULL;
      TarnProblem problem = { "", "" };
      double lift = tarn_uniform_at (seed, 77);
      TarnStatus status = tarn_body_new (&patient, lift, &body, &problem);
      if (status != TARN_OK)
        {
          g_assert_true (status == TARN_IMPOSSIBLE || status == TARN_OUT_OF_RANGE);
          g_assert_null (body);
          g_assert_cmpstr (problem.key, !=, "");
          g_assert_cmpstr (problem.text, !=, "");
          continue;
        }
      built++;
      check_promises (body, &patient, seed);
      tarn_body_free (body);
    }
  return built;
}

/* A third of them under the sanitizers. */
static int
how_many (void)
{
  return g_getenv ("TARN_TEST_QUICK") != NULL ? 20 : 60;
}

static void
test_anything (void)
{
  int built = build_many (0.8, how_many ());
  g_test_message ("%d of %d built", built, how_many ());
  g_assert_cmpint (built, >, 0);
}

static void
test_pushed (void)
{
  int built = build_many (-1, how_many ());
  g_test_message ("%d of %d built", built, how_many ());
  g_assert_cmpint (built * 3, >, how_many ());
}

static void
test_mostly_ordinary (void)
{
  int built = build_many (0.15, how_many ());
  g_test_message ("%d of %d built", built, how_many ());
  g_assert_cmpint (built * 5, >, how_many ());
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/random/anything", test_anything);
  g_test_add_func ("/random/mostly-ordinary", test_mostly_ordinary);
  g_test_add_func ("/random/pushed", test_pushed);
  return g_test_run ();
}
