/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * neighbours-test.c: what pushes the bladder dents it and takes none of its volume; what cannot
 * be is refused by name. */
#include "bodies.h"

/* A plain adult with 300 mL lies from -15 to 91 mm in height, from 19 to 79 mm behind the
 * origin and 46 mm to each side. */
static const struct
{
  const char *name;
  double volume_ml;
  TarnStructureKind kind;
  TarnVec3 centre, radii, turn;
} pushes[] = {
  { "lobe from below", 310, TARN_STRUCTURE_PROSTATE, { 0, 52, -14 }, { 19, 17.5, 18 }, { 0 } },
  { "lobe with its middle within",
    310,
    TARN_STRUCTURE_PROSTATE,
    { 2, 50, -9 },
    { 14, 13, 17 },
    { 0 } },
  { "fibroid behind and above",
    250,
    TARN_STRUCTURE_UTERUS,
    { 10, 98, 85 },
    { 45, 40, 40 },
    { 20, 0, 10 } },
  { "uterus at the dome", 300, TARN_STRUCTURE_UTERUS, { 0, 60, 108 }, { 30, 25, 25 }, { 0 } },
  { "haematoma beside", 140, TARN_STRUCTURE_HAEMATOMA, { -52, 52, 45 }, { 34, 30, 44 }, { 0 } },
  { "haematoma in front", 300, TARN_STRUCTURE_HAEMATOMA, { 0, 10, 50 }, { 30, 15, 20 }, { 0 } },
  { "cyst above", 90, TARN_STRUCTURE_CYST, { 5, 55, 85 }, { 42, 36, 42 }, { 0 } },
  { "a touch", 300, TARN_STRUCTURE_UTERUS, { 0, 49, 118 }, { 30, 25, 26 }, { 0 } },
  { "nearly empty", 5, TARN_STRUCTURE_UTERUS, { 0, 66, 0 }, { 25, 20, 20 }, { 0 } },
};

static TarnPatient
pushed_patient (gsize k)
{
  TarnPatient patient = plain_patient (pushes[k].volume_ml);
  add_structure (&patient, pushes[k].kind, pushes[k].centre, pushes[k].radii)->turn_deg
      = pushes[k].turn;
  return patient;
}

/* 34 weeks over 150 mL: the bladder is a crescent. */
static TarnPatient
crescent_patient (void)
{
  TarnPatient patient = plain_patient (150);
  say (&patient, TARN_GROUP_HABITUS, "torso-depth-mm", 280);
  say (&patient, TARN_GROUP_BLADDER, "length-mm", 70);
  say (&patient, TARN_GROUP_BLADDER, "width-mm", 95);
  say (&patient, TARN_GROUP_BLADDER, "height-mm", 45);
  add_structure (&patient, TARN_STRUCTURE_GRAVID_UTERUS, tarn_vec3 (0, 92, 138),
                 tarn_vec3 (95, 80, 125));
  return patient;
}

static TarnPatient
crowded_patient (void)
{
  TarnPatient patient = plain_patient (220);
  patient.bladder.irregular = 0.6;
  add_structure (&patient, TARN_STRUCTURE_UTERUS, tarn_vec3 (5, 95, 75),
                 tarn_vec3 (35, 32, 30));
  add_structure (&patient, TARN_STRUCTURE_HAEMATOMA, tarn_vec3 (62, 50, 40),
                 tarn_vec3 (26, 24, 30));
  add_structure (&patient, TARN_STRUCTURE_CYST, tarn_vec3 (-58, 55, 70),
                 tarn_vec3 (24, 24, 26));
  add_structure (&patient, TARN_STRUCTURE_BALLOON, tarn_vec3 (0, 45, -6),
                 tarn_vec3 (13, 13, 13));
  add_structure (&patient, TARN_STRUCTURE_BOWEL_GAS, tarn_vec3 (0, 30, 92),
                 tarn_vec3 (20, 10, 12));
  return patient;
}

static double
mesh_ml (const TarnBody *body)
{
  return tarn_mesh_volume_mm3 (tarn_body_lumen_mesh (body)) / TARN_MM3_PER_ML;
}

static gboolean
is_fluid_of_lumen (TarnTissue tissue)
{
  return tissue == TARN_TISSUE_URINE || tissue == TARN_TISSUE_BALLOON;
}

/* By a fine lattice of points, as if nobody had made a mesh. */
static double
lattice_ml (const TarnBody *body, double step)
{
  TarnVec3 low, high;
  tarn_mesh_bounds (tarn_body_lumen_mesh (body), &low, &high);
  double urine = 0;
  for (double z = low.z - 2; z < high.z + 2; z += step)
    for (double y = low.y - 2; y < high.y + 2; y += step)
      for (double x = low.x - 2; x < high.x + 2; x += step)
        urine += is_fluid_of_lumen (tarn_body_tissue (body, tarn_vec3 (x, y, z)));
  return urine * step * step * step / TARN_MM3_PER_ML;
}

/* The mesh holds the file's volume, closed, on the surface that the points know, and the points
 * hold it too: within 0.1 %, the promise of the header. */
static void
check_volume (const TarnPatient *patient)
{
  TarnBody *body = body_of (patient);
  const TarnMesh *mesh = tarn_body_lumen_mesh (body);
  double wanted = patient->bladder.volume_ml;
  g_assert_cmpfloat_with_epsilon (mesh_ml (body), wanted, 1e-6 * wanted);
  g_assert_cmpint (tarn_mesh_is_closed (mesh), ==, 1);
  double worst = 0;
  for (int v = 0; v < mesh->vertices; v++)
    worst = fmax (worst, fabs (tarn_body_lumen_distance_mm (body, mesh->vertex_mm[v])));
  double counted = lattice_ml (body, wanted < 50 ? 0.3 : 0.8);
  g_test_message ("%.1f mL: points %.3f, mesh off by %.3f mm", wanted, counted, worst);
  g_assert_cmpfloat (worst, <, 0.06);
  g_assert_cmpfloat_with_epsilon (counted, wanted, 0.001 * wanted);
  tarn_body_free (body);
}

static void
test_volume (void)
{
  gsize step = g_getenv ("TARN_TEST_QUICK") != NULL ? 3 : 1;
  for (gsize k = 0; k < G_N_ELEMENTS (pushes); k += step)
    {
      TarnPatient patient = pushed_patient (k);
      g_test_message ("%s", pushes[k].name);
      check_volume (&patient);
    }
  if (step > 1)
    return;
  TarnPatient crescent = crescent_patient (), crowded = crowded_patient ();
  check_volume (&crescent);
  check_volume (&crowded);
}

/* No point of a neighbour is bladder or wall; between the two there is a wall and no more where
 * they touch; and the bladder alone would have been there. */
static void
test_dents (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (pushes); k++)
    {
      TarnPatient patient = pushed_patient (k), alone = patient;
      alone.structures = 0;
      TarnBody *body = body_of (&patient), *free_body = body_of (&alone);
      TarnMesh mesh = { 0 };
      const char *name = "";
      for (int part = 0; part < tarn_body_parts (body); part++)
        {
          tarn_mesh_clear (&mesh);
          g_assert_cmpint (tarn_body_part (body, part, &name, &mesh), ==, TARN_OK);
          if (g_str_equal (name, tarn_structure_kind_name (pushes[k].kind)))
            break;
        }
      double wall = patient.bladder.wall_mm, nearest = INFINITY, deepest = INFINITY;
      for (int v = 0; v < mesh.vertices; v++)
        {
          double distance = tarn_body_lumen_distance_mm (body, mesh.vertex_mm[v]);
          nearest = fmin (nearest, distance);
          deepest = fmin (deepest, tarn_body_lumen_distance_mm (free_body, mesh.vertex_mm[v]));
          TarnTissue tissue = tarn_body_tissue (body, mesh.vertex_mm[v]);
          g_assert_cmpint (tissue, !=, TARN_TISSUE_URINE);
        }
      tarn_mesh_clear (&mesh);
      g_test_message ("%s: %.2f mm apart, alone %.2f", pushes[k].name, nearest, deepest);
      g_assert_cmpfloat (deepest, <, wall - 0.05);
      g_assert_cmpfloat (nearest, >, wall - 0.05);
      /* The edge's rounding may keep a shallow dent a little further away. */
      g_assert_cmpfloat (nearest, <, wall + 1);
      tarn_body_free (body);
      tarn_body_free (free_body);
    }
}

/* How much urine a line from front to back meets. */
static double
along_mm (const TarnBody *body, double x, double z)
{
  double urine = 0;
  for (double y = 0; y < 150; y += 0.25)
    urine += 0.25 * (tarn_body_tissue (body, tarn_vec3 (x, y, z)) == TARN_TISSUE_URINE);
  return urine;
}

/* Somewhere under the gravid uterus the bladder is thinner in the middle than beside it; an
 * ellipse would be 1.4 times as thick as at 0.36 of its width (derived, 1 / sqrt (1 - 0.72²)).
 */
static void
test_crescent (void)
{
  TarnPatient patient = crescent_patient ();
  TarnBody *body = body_of (&patient);
  double length, width, height, least = INFINITY;
  tarn_body_lumen_diameters_mm (body, &length, &width, &height);
  TarnVec3 centre = tarn_body_lumen_centre_mm (body);
  for (double z = centre.z; z < centre.z + length / 2; z += 2)
    {
      double middle = along_mm (body, 0, z), beside = along_mm (body, 0.36 * width, z);
      if (middle > 5)
        least = fmin (least, middle / beside);
    }
  g_test_message ("%.2f as thick in the middle as beside", least);
  g_assert_cmpfloat (least, <, 0.9);
  tarn_body_free (body);
}

/* A balloon too near the wall is draped by it, and the lumen still holds what it should. */
static void
test_balloon_bulges (void)
{
  TarnPatient patient = plain_patient (30);
  TarnBody *alone = body_of (&patient);
  TarnVec3 centre = tarn_body_lumen_centre_mm (alone);
  tarn_body_free (alone);
  add_structure (&patient, TARN_STRUCTURE_BALLOON, tarn_add (centre, tarn_vec3 (10, 0, -4)),
                 tarn_vec3 (15, 15, 15));
  check_volume (&patient);
  TarnBody *body = body_of (&patient);
  g_assert_cmpfloat_with_epsilon (tarn_body_displaced_ml (body), 14.137, 1e-3); /* 4/3 π r³ */
  g_assert_cmpfloat_with_epsilon (tarn_body_true_volume_ml (body), 30 - 14.137, 1e-3);
  tarn_body_free (body);
}

/* Bowel floats off, and not down; free fluid flows around. */
static void
test_bowel_floats (void)
{
  TarnPatient patient = plain_patient (300);
  TarnVec3 at = { 0, 49, 95 };
  add_structure (&patient, TARN_STRUCTURE_BOWEL_GAS, at, tarn_vec3 (10, 10, 12));
  add_structure (&patient, TARN_STRUCTURE_ASCITES, tarn_vec3 (0, 50, 120),
                 tarn_vec3 (80, 60, 60));
  TarnBody *body = body_of (&patient);
  g_assert_cmpfloat (mesh_ml (body), <, 300.001);
  int gas = 0;
  double low = INFINITY;
  for (double z = 60; z < 160; z++)
    for (double y = 20; y < 90; y++)
      for (double x = -40; x < 40; x++)
        if (tarn_body_tissue (body, tarn_vec3 (x, y, z)) == TARN_TISSUE_GAS)
          {
            gas++;
            low = fmin (low, z);
          }
  /* All of it, 5027 mm³: nothing was cut off by the bladder.  It began below the dome. */
  g_assert_cmpint (ABS (gas - 5027), <, 60);
  g_assert_cmpfloat (low, >, at.z - 12);
  tarn_body_free (body);
}

/* A diverticulum still has its neck when its neighbour holds the middle of the bladder. */
static void
test_neck_finds_the_lumen (void)
{
  TarnPatient patient = crescent_patient ();
  add_structure (&patient, TARN_STRUCTURE_DIVERTICULUM, tarn_vec3 (85, 50, 25),
                 tarn_vec3 (15, 15, 15));
  TarnBody *body = body_of (&patient);
  double truth = tarn_body_true_volume_ml (body);
  g_assert_cmpfloat (truth, >, 150 + 14.1);
  g_assert_cmpfloat (truth, <, 150 + 14.1 + 2.5);
  tarn_body_free (body);
}

/* Twice the same; and a neighbour out of reach changes nothing. */
static void
test_same_again (void)
{
  TarnPatient patient = crowded_patient ();
  TarnBody *one = body_of (&patient), *two = body_of (&patient);
  const TarnMesh *a = tarn_body_lumen_mesh (one), *b = tarn_body_lumen_mesh (two);
  g_assert_cmpmem (a->vertex_mm, (gsize)a->vertices * sizeof (TarnVec3), b->vertex_mm,
                   (gsize)b->vertices * sizeof (TarnVec3));
  tarn_body_free (one);
  tarn_body_free (two);

  TarnPatient plain = plain_patient (300), with = plain;
  add_structure (&with, TARN_STRUCTURE_UTERUS, tarn_vec3 (0, 60, 125), tarn_vec3 (25, 15, 20));
  one = body_of (&plain);
  two = body_of (&with);
  a = tarn_body_lumen_mesh (one);
  b = tarn_body_lumen_mesh (two);
  g_assert_cmpmem (a->vertex_mm, (gsize)a->vertices * sizeof (TarnVec3), b->vertex_mm,
                   (gsize)b->vertices * sizeof (TarnVec3));
  tarn_body_free (one);
  tarn_body_free (two);
}

static void
test_refused (void)
{
  static const struct
  {
    TarnStructureKind kind;
    TarnVec3 centre, radii;
    const char *why;
  } wrong[] = {
    { TARN_STRUCTURE_UTERUS, { 0, 85, 40 }, { 80, 50, 90 }, "half" },
    { TARN_STRUCTURE_CYST, { 0, 50, 40 }, { 12, 12, 12 }, "within" },
    { TARN_STRUCTURE_PROSTATE, { 0, 50, 20 }, { 12, 12, 12 }, "within" },
    { TARN_STRUCTURE_UTERUS, { 0, 90, 40 }, { 3, 90, 90 }, "room" }, /* a knife */
    { TARN_STRUCTURE_PROSTATE, { 0, 12, -12 }, { 20, 20, 20 }, "bone" },
    { TARN_STRUCTURE_UTERUS, { 0, -80, 40 }, { 20, 20, 20 }, "outside" },
    { TARN_STRUCTURE_BOWEL, { 0, 50, 40 }, { 30, 20, 20 }, "float" },
    { TARN_STRUCTURE_ASCITES, { 0, 50, 40 }, { 120, 90, 120 }, "within" },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (wrong); k++)
    {
      TarnPatient patient = plain_patient (300);
      add_structure (&patient, TARN_STRUCTURE_STONE, tarn_vec3 (0, 50, 40),
                     tarn_vec3 (3, 3, 3));
      add_structure (&patient, wrong[k].kind, wrong[k].centre, wrong[k].radii);
      TarnBody *body = NULL;
      TarnProblem problem = { "", "" };
      TarnStatus status = tarn_body_new (&patient, 0, &body, &problem);
      g_test_message ("%d: %s %s", status, problem.key, problem.text);
      g_assert_cmpint (status, ==, TARN_IMPOSSIBLE);
      g_assert_null (body);
      g_assert_cmpstr (problem.key, ==, "[Structure 2] centre-mm");
      g_assert_nonnull (strstr (problem.text, tarn_structure_kind_name (wrong[k].kind)));
      g_assert_nonnull (strstr (problem.text, wrong[k].why));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/neighbours/volume", test_volume);
  g_test_add_func ("/neighbours/dents", test_dents);
  g_test_add_func ("/neighbours/crescent", test_crescent);
  g_test_add_func ("/neighbours/balloon-bulges", test_balloon_bulges);
  g_test_add_func ("/neighbours/bowel-floats", test_bowel_floats);
  g_test_add_func ("/neighbours/neck-finds-the-lumen", test_neck_finds_the_lumen);
  g_test_add_func ("/neighbours/same-again", test_same_again);
  g_test_add_func ("/neighbours/refused", test_refused);
  return g_test_run ();
}
