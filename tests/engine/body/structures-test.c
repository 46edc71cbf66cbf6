/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * structures-test.c: every kind of structure, what it is made of, what it does to the truth,
 * and where it may not be. */
#include "bodies.h"

static double
ellipsoid_ml (TarnVec3 r)
{
  return 4 * TARN_PI / 3 * r.x * r.y * r.z / TARN_MM3_PER_ML;
}

/* Each kind in a place of its own in a plain adult with 300 mL, whose lumen reaches from -15 to
 * 91 mm in height and lies about 49 mm behind the origin. */
static const struct
{
  TarnStructureKind kind;
  TarnVec3 centre, radii;
  TarnTissue middle, shell; /* in the middle, and just within the outer surface */
} places[] = {
  { TARN_STRUCTURE_CYST, { 80, 50, 90 }, { 15, 15, 15 }, TARN_TISSUE_FLUID, TARN_TISSUE_WALL },
  { TARN_STRUCTURE_ASCITES,
    { 0, 50, 140 },
    { 60, 20, 25 },
    TARN_TISSUE_FLUID,
    TARN_TISSUE_FLUID },
  { TARN_STRUCTURE_UTERUS,
    { 0, 60, 125 },
    { 25, 15, 20 },
    TARN_TISSUE_ORGAN,
    TARN_TISSUE_ORGAN },
  { TARN_STRUCTURE_PROSTATE,
    { 0, 60, -36 },
    { 15, 10, 12 },
    TARN_TISSUE_ORGAN,
    TARN_TISSUE_ORGAN },
  { TARN_STRUCTURE_GRAVID_UTERUS,
    { 0, 60, 150 },
    { 50, 30, 40 },
    TARN_TISSUE_FLUID,
    TARN_TISSUE_ORGAN },
  { TARN_STRUCTURE_DIVERTICULUM,
    { 75, 55, 60 },
    { 20, 18, 22 },
    TARN_TISSUE_URINE,
    TARN_TISSUE_WALL },
  { TARN_STRUCTURE_BALLOON,
    { 0, 50, 20 },
    { 13, 13, 13 },
    TARN_TISSUE_BALLOON,
    TARN_TISSUE_BALLOON },
  { TARN_STRUCTURE_CLOT, { 0, 50, 20 }, { 20, 15, 12 }, TARN_TISSUE_CLOT, TARN_TISSUE_CLOT },
  { TARN_STRUCTURE_STONE, { 10, 50, 10 }, { 6, 5, 4 }, TARN_TISSUE_STONE, TARN_TISSUE_STONE },
  { TARN_STRUCTURE_HAEMATOMA,
    { 75, 40, 60 },
    { 20, 15, 25 },
    TARN_TISSUE_HAEMATOMA,
    TARN_TISSUE_HAEMATOMA },
  { TARN_STRUCTURE_BOWEL,
    { -75, 50, 90 },
    { 20, 20, 30 },
    TARN_TISSUE_BOWEL,
    TARN_TISSUE_BOWEL },
  { TARN_STRUCTURE_BOWEL_GAS,
    { -75, 40, 90 },
    { 20, 10, 10 },
    TARN_TISSUE_GAS,
    TARN_TISSUE_GAS },
  { TARN_STRUCTURE_SCAR, { 0, -16, 45 }, { 30, 5, 3 }, TARN_TISSUE_SCAR, TARN_TISSUE_SCAR },
};

static void
test_every_kind (void)
{
  g_assert_cmpint (G_N_ELEMENTS (places), ==, TARN_STRUCTURE_KINDS);
  for (gsize k = 0; k < G_N_ELEMENTS (places); k++)
    {
      TarnPatient patient = plain_patient (300);
      g_assert_cmpint (places[k].kind, ==, (int)k);
      add_structure (&patient, places[k].kind, places[k].centre, places[k].radii);
      TarnBody *body = body_of (&patient);
      g_assert_cmpint (tarn_body_tissue (body, places[k].centre), ==, places[k].middle);

      /* Just within and just outside of the outer surface, as its mesh shows it. */
      const char *name = NULL;
      TarnMesh mesh;
      int found = 0;
      for (int part = 0; part < tarn_body_parts (body); part++)
        {
          g_assert_cmpint (tarn_body_part (body, part, &name, &mesh), ==, TARN_OK);
          if (g_str_equal (name, tarn_structure_kind_name (places[k].kind)))
            {
              found++;
              for (int v = 0; v < mesh.vertices; v += 11)
                {
                  TarnVec3 out
                      = tarn_normalize (tarn_sub (mesh.vertex_mm[v], places[k].centre));
                  TarnVec3 in = tarn_add_scaled (mesh.vertex_mm[v], out, -0.3);
                  TarnTissue there = tarn_body_tissue (body, in);
                  if (there != TARN_TISSUE_URINE) /* in the neck */
                    g_assert_cmpint (there, ==, places[k].shell);
                }
            }
          tarn_mesh_clear (&mesh);
        }
      g_assert_cmpint (found, ==, 1);
      tarn_body_free (body);
    }
}

/* What lies inside displaces urine, a diverticulum adds its own and its neck's. */
static void
test_true_volume (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (places); k++)
    {
      TarnPatient patient = plain_patient (300);
      add_structure (&patient, places[k].kind, places[k].centre, places[k].radii);
      TarnBody *body = body_of (&patient);
      double size_ml = ellipsoid_ml (places[k].radii), volume = tarn_body_true_volume_ml (body);
      if (tarn_structure_is_inside (places[k].kind))
        g_assert_cmpfloat_with_epsilon (volume, 300 - size_ml, 1e-6);
      else if (places[k].kind == TARN_STRUCTURE_DIVERTICULUM)
        {
          g_assert_cmpfloat (volume, >, 300 + size_ml);
          g_assert_cmpfloat (volume, <, 300 + size_ml + 1);
        }
      else
        g_assert_cmpfloat (volume, ==, 300);
      tarn_body_free (body);

      /* As written otherwise. */
      patient.structure[0].counts = !patient.structure[0].counts;
      body = body_of (&patient);
      volume = tarn_body_true_volume_ml (body);
      if (tarn_structure_is_inside (places[k].kind)
          || places[k].kind == TARN_STRUCTURE_DIVERTICULUM)
        g_assert_cmpfloat (volume, ==, 300);
      else if (places[k].kind != TARN_STRUCTURE_GRAVID_UTERUS)
        g_assert_cmpfloat_with_epsilon (volume, 300 + size_ml, 1e-6 + 1e-3 * size_ml);
      tarn_body_free (body);
    }
}

static double
lattice_ml (const TarnBody *body, TarnTissue tissue, TarnVec3 low, TarnVec3 high, double step)
{
  double found = 0;
  for (double z = low.z + step / 2; z < high.z; z += step)
    for (double y = low.y + step / 2; y < high.y; y += step)
      for (double x = low.x + step / 2; x < high.x; x += step)
        found += tarn_body_tissue (body, tarn_vec3 (x, y, z)) == tissue;
  return found * step * step * step / TARN_MM3_PER_ML;
}

/* Brute force over all urine, with things that overlap one another and the lumen. */
static void
test_true_volume_by_points (void)
{
  TarnPatient patient = plain_patient (250);
  add_structure (&patient, TARN_STRUCTURE_CLOT, tarn_vec3 (0, 48, 20), tarn_vec3 (20, 15, 12));
  add_structure (&patient, TARN_STRUCTURE_BALLOON, tarn_vec3 (12, 48, 25),
                 tarn_vec3 (13, 13, 13));
  add_structure (&patient, TARN_STRUCTURE_DIVERTICULUM, tarn_vec3 (52, 50, 35),
                 tarn_vec3 (18, 20, 16)); /* pushed into the lumen */
  add_structure (&patient, TARN_STRUCTURE_DIVERTICULUM, tarn_vec3 (-75, 55, 60),
                 tarn_vec3 (20, 15, 16))
      ->turn_deg
      = tarn_vec3 (10, 50, -30);
  TarnBody *body = body_of (&patient);
  double counted = lattice_ml (body, TARN_TISSUE_URINE, tarn_vec3 (-110, 0, -30),
                               tarn_vec3 (90, 100, 110), 0.8);
  double volume = tarn_body_true_volume_ml (body);
  g_assert_cmpfloat_with_epsilon (counted, volume, 0.0015 * volume);
  tarn_body_free (body);
}

/* One can go from the diverticulum into the lumen without leaving urine. */
static void
test_neck_joins (void)
{
  TarnPatient patient = plain_patient (200);
  TarnVec3 centre = { 70, 60, 60 };
  add_structure (&patient, TARN_STRUCTURE_DIVERTICULUM, centre, tarn_vec3 (15, 15, 20));
  TarnBody *body = body_of (&patient);
  TarnVec3 lumen = tarn_body_lumen_centre_mm (body);
  /* The neck runs to the middle of the shape, which is within millimetres of that of mass. */
  int steps = 200, urine = 0;
  for (int k = 0; k <= steps; k++)
    {
      TarnVec3 p = tarn_add_scaled (centre, tarn_sub (lumen, centre), k / (double)steps);
      urine += tarn_body_tissue (body, p) == TARN_TISSUE_URINE;
    }
  g_assert_cmpint (urine, ==, steps + 1);
  tarn_body_free (body);
}

/* Structures of the belly end at the muscle, scars at the fat's inner face. */
static void
test_structures_keep_to_their_layers (void)
{
  TarnPatient patient = plain_patient (100);
  add_structure (&patient, TARN_STRUCTURE_ASCITES, tarn_vec3 (0, 60, 130),
                 tarn_vec3 (120, 90, 50));
  add_structure (&patient, TARN_STRUCTURE_SCAR, tarn_vec3 (0, -10, 60), tarn_vec3 (20, 40, 6));
  TarnBody *body = body_of (&patient);
  patient.structures = 0;
  TarnBody *without = body_of (&patient);
  int fluid = 0, scar = 0;
  for (uint64_t k = 0; k < 60000; k++)
    {
      TarnVec3 p = draw_in (4, k, tarn_vec3 (-140, -40, 0), tarn_vec3 (140, 140, 200));
      TarnTissue now = tarn_body_tissue (body, p), before = tarn_body_tissue (without, p);
      if (now == TARN_TISSUE_FLUID)
        {
          fluid++;
          g_assert_true (before == TARN_TISSUE_SOFT || (before == TARN_TISSUE_FAT && p.y > -4)
                         || (before == TARN_TISSUE_MUSCLE && p.y > 60) /* the back's */);
        }
      if (now == TARN_TISSUE_SCAR)
        {
          scar++;
          g_assert_true (before == TARN_TISSUE_SKIN || before == TARN_TISSUE_FAT);
          g_assert_cmpfloat (p.y, <, 0);
        }
      if (before == TARN_TISSUE_BONE || before == TARN_TISSUE_URINE
          || before == TARN_TISSUE_AIR)
        g_assert_cmpint (now, ==, before);
    }
  g_assert_cmpint (fluid, >, 1000);
  g_assert_cmpint (scar, >, 20);
  tarn_body_free (body);
  tarn_body_free (without);
}

static void
test_impossible (void)
{
  static const struct
  {
    TarnStructureKind kind;
    TarnVec3 centre, radii;
  } wrong[] = {
    { TARN_STRUCTURE_CYST, { 40, 50, 40 }, { 15, 15, 15 } },        /* across the wall */
    { TARN_STRUCTURE_UTERUS, { 0, 50, 40 }, { 5, 5, 5 } },          /* within the lumen */
    { TARN_STRUCTURE_ASCITES, { 0, 50, 40 }, { 90, 90, 120 } },     /* around it */
    { TARN_STRUCTURE_BOWEL_GAS, { 0, 49, 50 }, { 10, 10, 12 } },    /* too deep to float off */
    { TARN_STRUCTURE_CLOT, { 30, 50, 40 }, { 25, 10, 10 } },        /* sticks out */
    { TARN_STRUCTURE_BALLOON, { 0, 50, 150 }, { 10, 10, 10 } },     /* outside */
    { TARN_STRUCTURE_STONE, { 0, 50, 40 }, { 5, 5, 70 } },          /* longer than the lumen */
    { TARN_STRUCTURE_HAEMATOMA, { 0, 20, 40 }, { 15, 15, 15 } },    /* into the front wall */
    { TARN_STRUCTURE_DIVERTICULUM, { 5, 50, 40 }, { 12, 12, 12 } }, /* within the lumen */
    { TARN_STRUCTURE_CYST, { 0, -300, 40 }, { 15, 15, 15 } },       /* in the air */
  };
  for (gsize k = 0; k < G_N_ELEMENTS (wrong); k++)
    {
      TarnPatient patient = plain_patient (300);
      add_structure (&patient, TARN_STRUCTURE_STONE, tarn_vec3 (0, 50, 40),
                     tarn_vec3 (3, 3, 3));
      add_structure (&patient, wrong[k].kind, wrong[k].centre, wrong[k].radii);
      TarnBody *body = (TarnBody *)&patient;
      TarnProblem problem = { "", "" };
      g_assert_cmpint (tarn_body_new (&patient, 0, &body, &problem), ==, TARN_IMPOSSIBLE);
      g_assert_null (body);
      g_assert_cmpstr (problem.key, ==, "[Structure 2] centre-mm");
      g_assert_nonnull (strstr (problem.text, tarn_structure_kind_name (wrong[k].kind)));
      g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_IMPOSSIBLE);
    }
}

static void
test_nothing_lies_in_an_empty_bladder (void)
{
  TarnPatient patient = plain_patient (0);
  add_structure (&patient, TARN_STRUCTURE_STONE, tarn_vec3 (0, 40, -12), tarn_vec3 (1, 1, 1));
  TarnBody *body;
  TarnProblem problem;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, &problem), ==, TARN_IMPOSSIBLE);
}

static void
test_out_of_range (void)
{
  static const double wrong[] = { NAN, INFINITY, -1, 1e9 };
  for (gsize k = 0; k < G_N_ELEMENTS (wrong); k++)
    for (int field = 0; field < 4; field++)
      {
        TarnPatient patient = plain_patient (300);
        add_structure (&patient, TARN_STRUCTURE_CYST, tarn_vec3 (80, 50, 90),
                       tarn_vec3 (9, 9, 9));
        if (field == 0)
          patient.bladder.volume_ml = wrong[k];
        else if (field == 1)
          patient.habitus.torso_depth_mm = wrong[k];
        else if (field == 2)
          patient.structure[0].radii_mm.y = wrong[k];
        TarnBody *body = (TarnBody *)&patient;
        TarnProblem problem = { "", "" };
        double lift = field == 3 ? wrong[k] : 0;
        g_assert_cmpint (tarn_body_new (&patient, lift, &body, &problem), ==,
                         TARN_OUT_OF_RANGE);
        g_assert_null (body);
        g_assert_cmpstr (problem.key, !=, "");
        g_assert_cmpstr (problem.text, !=, "");
      }
}

/* Every part is a closed mesh that faces outwards; its volume is the shape's (derived: box with
 * rounded edges, capsule). */
static void
test_parts_are_closed (void)
{
  TarnPatient patient = plain_patient (300);
  patient.habitus.pannus_mm = 30;
  for (gsize k = 0; k < G_N_ELEMENTS (places); k++)
    if (places[k].kind != TARN_STRUCTURE_BALLOON && places[k].kind != TARN_STRUCTURE_CLOT)
      add_structure (&patient, places[k].kind, places[k].centre, places[k].radii);
  TarnBody *body = body_of (&patient);
  const TarnBones *bones = tarn_body_bones (body);
  for (int k = 0; k < tarn_body_parts (body); k++)
    {
      const char *name;
      TarnMesh mesh;
      g_assert_cmpint (tarn_body_part (body, k, &name, &mesh), ==, TARN_OK);
      g_assert_cmpint (tarn_mesh_is_closed (&mesh), ==, 1);
      double volume = tarn_mesh_volume_mm3 (&mesh), expected = volume;
      g_assert_cmpfloat (volume, >, 0);
      if (g_str_equal (name, "symphysis"))
        {
          const TarnBoneBox *box = &bones->symphysis;
          double r = box->round_mm, a = 2 * (box->half_side_mm - r),
                 b = 2 * (box->half_along_mm - r), c = 2 * (box->half_across_mm - r);
          expected = a * b * c + 2 * r * (a * b + b * c + c * a) + TARN_PI * r * r * (a + b + c)
                     + 4 * TARN_PI / 3 * r * r * r;
        }
      if (g_str_equal (name, "ramus-left"))
        {
          const TarnCapsule *ramus = &bones->capsule[0];
          double r = ramus->radius_mm, length = tarn_distance (ramus->a_mm, ramus->b_mm);
          expected = TARN_PI * r * r * (length + 4 * r / 3);
        }
      g_assert_cmpfloat_with_epsilon (volume, expected, 0.01 * expected);
      tarn_mesh_clear (&mesh);
    }

  const char *name;
  TarnMesh mesh;
  g_assert_cmpint (tarn_body_part (body, -1, &name, &mesh), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpint (tarn_body_part (body, tarn_body_parts (body), &name, &mesh), ==,
                   TARN_OUT_OF_RANGE);
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/structures/every-kind", test_every_kind);
  g_test_add_func ("/structures/true-volume", test_true_volume);
  g_test_add_func ("/structures/true-volume-by-points", test_true_volume_by_points);
  g_test_add_func ("/structures/neck-joins", test_neck_joins);
  g_test_add_func ("/structures/keep-to-their-layers", test_structures_keep_to_their_layers);
  g_test_add_func ("/structures/impossible", test_impossible);
  g_test_add_func ("/structures/nothing-lies-in-an-empty-bladder",
                   test_nothing_lies_in_an_empty_bladder);
  g_test_add_func ("/structures/out-of-range", test_out_of_range);
  g_test_add_func ("/structures/parts-are-closed", test_parts_are_closed);
  return g_test_run ();
}
