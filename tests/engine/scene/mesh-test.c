/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whether a scene's triangles can be drawn: numbers, order, count, which way they face. */
#include "scenes.h"

#include <string.h>

#define TRIANGLES_MOST 12000

static void
check_numbers (const TarnSceneMesh *mesh)
{
  g_assert_cmpint (mesh->indices % 3, ==, 0);
  g_assert_cmpint (mesh->indices / 3, <=, TRIANGLES_MOST);
  for (int k = 0; k < mesh->vertices; k++)
    {
      const TarnSceneVertex *vertex = &mesh->vertex[k];
      double length = 0;
      for (int j = 0; j < 3; j++)
        {
          g_assert_cmpfloat (fabs ((double)vertex->position_mm[j]), <, 2000);
          length += (double)vertex->normal[j] * (double)vertex->normal[j];
        }
      g_assert_cmpfloat_with_epsilon (sqrt (length), 1, 1e-3);
    }
  for (int k = 0; k < mesh->indices; k++)
    g_assert_cmpuint (mesh->index[k], <, (guint)mesh->vertices);

  /* Parts are all there is, once each, in the order of drawing. */
  int sum = 0;
  for (int k = 0; k < mesh->parts; k++)
    {
      g_assert_cmpint (mesh->part[k].count, >, 0);
      g_assert_cmpint (mesh->part[k].first + mesh->part[k].count, <=, mesh->indices);
      sum += mesh->part[k].count;
      for (int j = 0; j < k; j++)
        g_assert_true (mesh->part[j].first + mesh->part[j].count <= mesh->part[k].first
                       || mesh->part[k].first + mesh->part[k].count <= mesh->part[j].first);
    }
  g_assert_cmpint (sum, ==, mesh->indices);
  g_assert_cmpint (mesh->part[mesh->parts - 1].material, !=, TARN_MATERIAL_SKIN);
}

static void
everything (gconstpointer data)
{
  Rig *rig = rig_new (data);
  TarnPose pose = { .above_mm = 45, .left_mm = 6, .tilt_rad = 0.1, .force_n = 12 };
  rig_gel (rig, 45, 0, 40);
  rig->view.finger = true;
  rig->view.finger_above_mm = 20;
  rig->view.finger_left_mm = -30;
  rig->view.breath = 0.7;
  rig->view.body_mm = tarn_vec3 (0.3, -1, 0.8);
  for (int k = 0; k < 16; k++)
    {
      rig->view.uncovered = (k & 1) != 0;
      rig->view.show_inside = (k & 2) != 0;
      rig->view.show_sector = (k & 4) != 0;
      rig_press (rig, (k & 8) != 0 ? &pose : NULL);
      TarnSceneMesh mesh = rig_mesh (rig);
      check_numbers (&mesh);
      g_assert_cmpint (triangles_of (&mesh, TARN_MATERIAL_SECTOR) > 0, ==,
                       (k & 4) != 0 && (k & 8) != 0);
      g_assert_cmpint (triangles_of (&mesh, TARN_MATERIAL_BLADDER) > 0, ==, (k & 2) != 0);
      g_assert_cmpint (triangles_of (&mesh, TARN_MATERIAL_PROBE) > 0, ==, (k & 8) != 0);
    }
  rig_free (rig);
}

/* A step along a face's normal leads away from the body; at rest, as the skin that is known is
 * at rest. */
static void
skin_faces_out (gconstpointer data)
{
  Rig *rig = rig_new (data);
  TarnSceneMesh mesh = rig_mesh (rig);
  int seen = 0;
  for (int k = 0; k < mesh.parts; k++)
    for (int i = 0; mesh.part[k].material == TARN_MATERIAL_SKIN && i < mesh.part[k].count;
         i += 3)
      {
        const uint32_t *index = &mesh.index[mesh.part[k].first + i];
        TarnVec3 a = place_of (&mesh.vertex[index[0]]), b = place_of (&mesh.vertex[index[1]]);
        TarnVec3 c = place_of (&mesh.vertex[index[2]]);
        TarnVec3 n = tarn_normalize (tarn_cross (tarn_sub (b, a), tarn_sub (c, a)));
        TarnVec3 middle = tarn_scale (tarn_add (a, tarn_add (b, c)), 1 / 3.0);
        double here = tarn_body_skin_distance_mm (rig->body, middle);
        double off = tarn_body_skin_distance_mm (rig->body, tarn_add_scaled (middle, n, 1));
        g_assert_cmpfloat (off - here, >, 0.2);
        g_assert_cmpfloat (fabs (here), <, 12); /* the relief's most, navel and waist */
        seen++;
      }
  g_assert_cmpint (seen, >, 2000);
  rig_free (rig);
}

/* What is closed has a volume that faces outwards: the probe's about that of a rounded bar of
 * its size, the bladder's that of the patient, pressed or not. */
static void
volumes (gconstpointer data)
{
  const Person *person = data;
  Rig *rig = rig_new (person);
  rig->view.show_inside = true;
  for (double force = 0; force <= 15; force += 15)
    {
      TarnPose pose = { .above_mm = 50, .tilt_rad = 0.1, .force_n = force };
      rig_press (rig, &pose);
      TarnSceneMesh mesh = rig_mesh (rig);
      double probe = enclosed_ml (&mesh, TARN_MATERIAL_PROBE);
      g_assert_cmpfloat (probe, >, 70);
      g_assert_cmpfloat (probe, <, 125);
      double bladder = enclosed_ml (&mesh, TARN_MATERIAL_BLADDER);
      /* Flat triangles between points of a rounded surface lose a few percent. */
      g_assert_cmpfloat (bladder / person->volume_ml, >, 0.94);
      g_assert_cmpfloat (bladder / person->volume_ml, <, 1.001);
      g_assert_cmpfloat (enclosed_ml (&mesh, TARN_MATERIAL_BONE), >, 20);
    }
  rig_free (rig);
}

static void
repeats (void)
{
  Rig *rig = rig_new (&people[0]);
  TarnPose pose = { .above_mm = 45, .tilt_rad = 0.1, .force_n = 12 };
  rig_gel (rig, 45, 0, 20);
  rig_press (rig, &pose);
  TarnSceneMesh mesh = rig_mesh (rig);
  size_t size = (size_t)mesh.vertices * sizeof *mesh.vertex;
  TarnSceneVertex *before = g_memdup2 (mesh.vertex, size);

  /* Another look in between, and the same again. */
  rig->view.show_inside = true;
  rig->view.uncovered = false;
  (void)rig_mesh (rig);
  rig->view.show_inside = false;
  rig->view.uncovered = true;
  TarnSceneMesh again = rig_mesh (rig);
  g_assert_cmpint (again.vertices, ==, mesh.vertices);
  g_assert_cmpmem (again.vertex, size, before, size);
  g_free (before);
  rig_free (rig);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/scene/repeats", repeats);
  for (size_t k = 0; k < G_N_ELEMENTS (people); k++)
    {
      char path[128];
      g_snprintf (path, sizeof path, "/scene/everything/%s", people[k].who);
      g_test_add_data_func (path, &people[k], everything);
      g_snprintf (path, sizeof path, "/scene/skin-faces-out/%s", people[k].who);
      g_test_add_data_func (path, &people[k], skin_faces_out);
      g_snprintf (path, sizeof path, "/scene/volumes/%s", people[k].who);
      g_test_add_data_func (path, &people[k], volumes);
    }
  return g_test_run ();
}
