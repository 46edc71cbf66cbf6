/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where scene and engine must agree: the dent under the face, the gel's amount, places under
 * the pointer; and that the drapes cover what they must. */
#include "scenes.h"

/* ---- Places under the pointer ---- */

static TarnVec3
shown (const Rig *rig, TarnVec3 p)
{
  return rig->view.contact != NULL ? tarn_deform_forward (rig->view.deform, p) : p;
}

/* A ray at a place of the skin, from straight above it: the place that is picked must lie
 * within 1 mm of the ray. */
static int
pick_places (Rig *rig, double low, double high, double middle, double aside)
{
  int seen = 0;
  for (double above = low; above <= high; above += 7.3)
    for (double left = middle - aside; left <= middle + aside; left += 9.1)
      {
        TarnVec3 p, inward, got, unused;
        if (!tarn_body_skin_at (rig->body, above, left, &p, &inward))
          continue;
        p = shown (rig, p);
        double got_above = 0, got_left = 0;
        g_assert_true (tarn_scene_pick (rig->scene, tarn_add_scaled (p, inward, -400), inward,
                                        &got_above, &got_left));
        g_assert_true (tarn_body_skin_at (rig->body, got_above, got_left, &got, &unused));
        double miss = tarn_length (tarn_cross (tarn_sub (shown (rig, got), p), inward));
        if (miss > 1)
          g_test_message ("above %.1f left %.1f: %.2f %.2f", above, left, got_above, got_left);
        g_assert_cmpfloat (miss, <, 1);
        seen++;
      }
  return seen;
}

static void
pick_at_rest (gconstpointer data)
{
  const Person *person = data;
  Rig *rig = rig_new (person);
  (void)rig_mesh (rig);
  g_assert_cmpint (pick_places (rig, 0, 0.32 * person->width_mm, 0, 0.40 * person->width_mm), >,
                   60);
  rig_free (rig);
}

static void
pick_dented (gconstpointer data)
{
  Rig *rig = rig_new (data);
  for (double above = 30; above <= 75; above += 22)
    {
      TarnPose pose = { .above_mm = above, .left_mm = above - 50, .force_n = 12 };
      rig_press (rig, &pose);
      (void)rig_mesh (rig);
      g_assert_cmpint (pick_places (rig, above - 30, above + 30, pose.left_mm, 32), >, 30);
    }
  rig_free (rig);
}

static void
pick_misses (void)
{
  Rig *rig = rig_new (&people[0]);
  (void)rig_mesh (rig);
  double above, left;
  g_assert_false (tarn_scene_pick (rig->scene, tarn_vec3 (0, -500, 60), tarn_vec3 (0, -1, 0),
                                   &above, &left));
  g_assert_false (tarn_scene_pick (rig->scene, tarn_vec3 (900, -500, 60), tarn_vec3 (0, 1, 0),
                                   &above, &left));
  rig_free (rig);
}

/* ---- The dent ---- */

static void
dent (gconstpointer data)
{
  Rig *rig = rig_new (data);
  TarnPose pose = { .above_mm = 50, .left_mm = 4, .tilt_rad = 0.05, .force_n = 12 };
  rig_press (rig, &pose);
  TarnSceneMesh mesh = rig_mesh (rig);
  const TarnContact *contact = &rig->contact;
  double radius = tarn_distance (contact->face_mm, contact->centre_mm), nearest = INFINITY;
  g_assert_cmpfloat (contact->indentation_mm, >, 4);
  for (int k = 0; k < mesh.skin_vertices; k++)
    {
      TarnVec3 p = place_of (&mesh.vertex[k]);
      nearest = fmin (nearest, tarn_distance (p, contact->face_mm));
      /* No skin inside the face's cap. */
      TarnVec3 off = tarn_sub (p, contact->centre_mm);
      if (tarn_dot (off, contact->axis) > radius * cos (TARN_FACE_HALF_RAD))
        g_assert_cmpfloat (tarn_length (off), >, radius - 2.5);
    }
  g_assert_cmpfloat (nearest, <, 3.5); /* less than the grid's lines are apart */
  rig_free (rig);
}

/* ---- Gel ---- */

/* The mound's volume over the skin at rest against the film's mass; not on a fold, where
 * distances from the skin are known only nearly. */
static void
gel_amount (gconstpointer data)
{
  const Person *person = data;
  Rig *rig = rig_new (person);
  rig_gel (rig, person->pannus_mm > 0 && person->lift < 1 ? 225 : 60, 30, 20);
  TarnSceneMesh mesh = rig_mesh (rig);
  double sum = 0;
  for (int k = 0; k < mesh.parts; k++)
    for (int i = 0; mesh.part[k].material == TARN_MATERIAL_GEL && i < mesh.part[k].count;
         i += 3)
      {
        const uint32_t *index = &mesh.index[mesh.part[k].first + i];
        TarnVec3 p[3];
        double thick = 0;
        for (int j = 0; j < 3; j++)
          {
            p[j] = place_of (&mesh.vertex[index[j]]);
            double d = tarn_body_skin_distance_mm (rig->body, p[j]);
            p[j] = tarn_add_scaled (p[j], tarn_body_normal (rig->body, p[j], NULL), -d);
            thick += d / 3;
          }
        TarnVec3 cross = tarn_cross (tarn_sub (p[1], p[0]), tarn_sub (p[2], p[0]));
        sum += thick * tarn_length (cross) / 2;
      }
  double film_ml = tarn_gel_mass_g (&rig->film) / TARN_GEL_G_PER_MM3 * 1e-3;
  g_assert_cmpfloat_with_epsilon (sum * 1e-3 / film_ml, 1, 0.06);
  rig_free (rig);
}

static void
no_gel_no_triangles (void)
{
  Rig *rig = rig_new (&people[0]);
  rig->view.film = &rig->film;
  TarnSceneMesh mesh = rig_mesh (rig);
  g_assert_cmpint (triangles_of (&mesh, TARN_MATERIAL_GEL), ==, 0);
  rig_free (rig);
}

/* ---- Drapes ---- */

/* Where a vertical ray meets a material from above: the least y, INFINITY where it does not. */
static double
top_of (const TarnSceneMesh *mesh, TarnMaterial material, double x, double z)
{
  double least = INFINITY;
  for (int k = 0; k < mesh->parts; k++)
    for (int i = 0; mesh->part[k].material == material && i < mesh->part[k].count; i += 3)
      {
        TarnVec3 p[3];
        for (int j = 0; j < 3; j++)
          p[j] = place_of (&mesh->vertex[mesh->index[mesh->part[k].first + i + j]]);
        double bx = p[1].x - p[0].x, bz = p[1].z - p[0].z;
        double cx = p[2].x - p[0].x, cz = p[2].z - p[0].z;
        double det = bx * cz - bz * cx, dx = x - p[0].x, dz = z - p[0].z;
        double u = (dx * cz - dz * cx) / det, v = (bx * dz - bz * dx) / det;
        if (u >= 0 && v >= 0 && u + v <= 1)
          least = fmin (least, p[0].y + u * (p[1].y - p[0].y) + v * (p[2].y - p[0].y));
      }
  return least;
}

/* Below the hairline, and on the chest, no skin shows, pressed or not; before uncovering none
 * at all. */
static void
drapes_cover (gconstpointer data)
{
  const Person *person = data;
  Rig *rig = rig_new (person);
  TarnPose pose = { .above_mm = 18, .tilt_rad = 0.3, .force_n = 12 };
  for (int k = 0; k < 4; k++)
    {
      rig->view.uncovered = (k & 1) != 0;
      rig_press (rig, (k & 2) != 0 ? &pose : NULL);
      TarnSceneMesh mesh = rig_mesh (rig);
      double low = -0.5 * person->width_mm, high = 1.2 * person->width_mm;
      for (double z = low; z < high; z += 5.3)
        for (double x = -0.46 * person->width_mm; x < 0.46 * person->width_mm; x += 13.7)
          {
            double skin = top_of (&mesh, TARN_MATERIAL_SKIN, x, z);
            bool bare = rig->view.uncovered && z > -22 && z < 0.9 * person->width_mm;
            if (bare || skin == INFINITY)
              continue;
            double drape = top_of (&mesh, TARN_MATERIAL_DRAPE, x, z);
            if (!(drape < skin))
              g_test_message ("%d: x %.1f z %.1f drape %.1f skin %.1f", k, x, z, drape, skin);
            g_assert_cmpfloat (drape, <, skin);
          }
    }
  rig_free (rig);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/touch/pick-misses", pick_misses);
  g_test_add_func ("/touch/no-gel", no_gel_no_triangles);
  static const struct
  {
    const char *name;
    GTestDataFunc function;
  } tests[] = { { "pick-at-rest", pick_at_rest },
                { "pick-dented", pick_dented },
                { "dent", dent },
                { "gel-amount", gel_amount },
                { "drapes-cover", drapes_cover } };
  for (size_t j = 0; j < G_N_ELEMENTS (tests); j++)
    for (size_t k = 0; k < G_N_ELEMENTS (people); k++)
      {
        char path[128];
        g_snprintf (path, sizeof path, "/touch/%s/%s", tests[j].name, people[k].who);
        g_test_add_data_func (path, &people[k], tests[j].function);
      }
  return g_test_run ();
}
