/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * mesh-test.c: the bodies' meshes as STL files, read and measured by VTK. */
#include "engine/body/body.h"
#include "store/stl.h"

#include <glib/gstdio.h>

#define MAX_FILES 64

typedef struct
{
  char *folder;
  int files;
  char *path[MAX_FILES];
  double volume_mm3[MAX_FILES];
} Batch;

static void
save (Batch *batch, const char *name, TarnStlFormat format, const TarnMesh *mesh)
{
  g_assert_cmpint (batch->files, <, MAX_FILES);
  g_autoptr (GError) error = NULL;
  g_autofree char *file = g_strdup_printf ("%02d-%s.stl", batch->files, name);
  char *path = g_build_filename (batch->folder, file, NULL);
  TarnStlBody body = { name, mesh };
  tarn_stl_save (path, format, &body, 1, &error);
  g_assert_no_error (error);
  batch->volume_mm3[batch->files] = tarn_mesh_volume_mm3 (mesh);
  batch->path[batch->files++] = path;
}

/* Runs VTK over the batch; each mesh must be closed and as large as we say, within 0.2 %. */
static void
compare_with_vtk (Batch *batch)
{
  g_autofree char *script
      = g_test_build_filename (G_TEST_DIST, "oracle", "mesh-volume.py", NULL);
  g_autoptr (GPtrArray) argv = g_ptr_array_new ();
  g_ptr_array_add (argv, (char *)"/usr/bin/python3");
  g_ptr_array_add (argv, script);
  for (int k = 0; k < batch->files; k++)
    g_ptr_array_add (argv, batch->path[k]);
  g_ptr_array_add (argv, NULL);

  g_autoptr (GError) error = NULL;
  g_autofree char *output = NULL, *problems = NULL;
  int status = 0;
  g_spawn_sync (NULL, (char **)argv->pdata, NULL, G_SPAWN_DEFAULT, NULL, NULL, &output,
                &problems, &status, &error);
  g_assert_no_error (error);
  if (status != 0)
    g_test_message ("%s", problems);
  g_assert_cmpint (status, ==, 0);

  g_auto (GStrv) line = g_strsplit (g_strstrip (output), "\n", -1);
  g_assert_cmpint ((int)g_strv_length (line), ==, batch->files);
  for (int k = 0; k < batch->files; k++)
    {
      char *rest = NULL;
      double volume = g_ascii_strtod (line[k], &rest);
      g_test_message ("%s: %.1f mm³ by VTK, %.1f by us", batch->path[k], volume,
                      batch->volume_mm3[k]);
      g_assert_cmpfloat_with_epsilon (volume, batch->volume_mm3[k],
                                      0.002 * batch->volume_mm3[k]);
      g_assert_cmpint ((int)g_ascii_strtoll (rest, NULL, 10), ==, 0);
    }
}

static void
clear (Batch *batch)
{
  for (int k = 0; k < batch->files; k++)
    {
      g_remove (batch->path[k]);
      g_free (batch->path[k]);
    }
  g_rmdir (batch->folder);
  g_free (batch->folder);
}

static TarnBody *
body_of (double volume_ml, double pear, double irregular)
{
  TarnPatient patient = tarn_patient_default ();
  patient.bladder.volume_ml = volume_ml;
  patient.bladder.pear = pear;
  patient.bladder.irregular = irregular;
  patient.habitus.pannus_mm = 30;
  TarnBody *body;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  return body;
}

static void
test_every_part (void)
{
  Batch batch = { .folder = g_dir_make_tmp ("tarn-mesh-XXXXXX", NULL) };
  TarnBody *body = body_of (300, 0.5, 0.5);
  for (int k = 0; k < tarn_body_parts (body); k++)
    {
      const char *name;
      TarnMesh mesh;
      g_assert_cmpint (tarn_body_part (body, k, &name, &mesh), ==, TARN_OK);
      save (&batch, name, k % 2 == 0 ? TARN_STL_TEXT : TARN_STL_BINARY, &mesh);
      tarn_mesh_clear (&mesh);
    }
  tarn_body_free (body);
  compare_with_vtk (&batch);
  clear (&batch);
}

/* volume-ml, as VTK measures the lumen's mesh. */
static void
test_lumens (void)
{
  static const double volume_ml[] = { 1, 20, 300, 1000, 2000 };
  Batch batch = { .folder = g_dir_make_tmp ("tarn-mesh-XXXXXX", NULL) };
  for (gsize k = 0; k < G_N_ELEMENTS (volume_ml); k++)
    for (int shape = 0; shape < 3; shape++)
      {
        TarnBody *body = body_of (volume_ml[k], shape * 0.5, shape == 2);
        save (&batch, "lumen", TARN_STL_BINARY, tarn_body_lumen_mesh (body));
        batch.volume_mm3[batch.files - 1] = volume_ml[k] * 1000;
        tarn_body_free (body);
      }
  compare_with_vtk (&batch);
  clear (&batch);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/mesh-by-vtk/every-part", test_every_part);
  g_test_add_func ("/mesh-by-vtk/lumens", test_lumens);
  return g_test_run ();
}
