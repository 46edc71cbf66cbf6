/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A body as a label map: the urine in it is what the body holds, each voxel is the tissue at
 * its middle, threads change nothing. */
#include "store/body_labels.h"
#include "store/nrrd.h"
#include "store/patient_file.h"

#include <glib/gstdio.h>
#include <string.h>

static TarnBody *
shipped_body (const char *name)
{
  GError *error = NULL;
  TarnBody *body;
  g_autofree char *path = g_build_filename (g_getenv ("TARN_ANATOMIES"), name, NULL);
  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (path, &error);
  g_assert_no_error (error);
  g_assert_cmpint (tarn_body_new (&file->patient, 0, &body, NULL), ==, TARN_OK);
  return body;
}

static int
code_of (const TarnLabelMap *map, TarnTissue tissue)
{
  for (int code = 1; code <= map->labels; code++)
    if (map->value[code] == tissue)
      return code;
  return 0;
}

static void
test_volume (void)
{
  static const char *const names[]
      = { "01-plain-adult.anatomy", "12-tube-that-does-not-drain.anatomy" };
  for (gsize k = 0; k < G_N_ELEMENTS (names); k++)
    {
      TarnBody *body = shipped_body (names[k]);
      TarnLabelMap map;
      double truth_ml = tarn_body_true_volume_ml (body);
      g_assert_true (tarn_body_labels (body, 2, NULL, &map));
      int urine = code_of (&map, TARN_TISSUE_URINE);
      g_assert_cmpint (urine, >, 0);
      double ml = (double)map.voxels[urine] * tarn_label_map_voxel_mm3 (&map) / 1000;
      g_assert_cmpfloat_with_epsilon (ml, truth_ml, 0.005 * truth_ml);
      g_assert_cmpint (code_of (&map, TARN_TISSUE_BONE), >, 0);
      g_assert_cmpint (code_of (&map, TARN_TISSUE_BALLOON) > 0, ==, k == 1);
      tarn_label_map_clear (&map);
      tarn_body_free (body);
    }
}

static void
test_voxels_are_tissues (void)
{
  TarnBody *body = shipped_body ("22-scar-and-gas.anatomy");
  TarnThreadPool *pool = tarn_thread_pool_new (3);
  TarnLabelMap map, alone;
  g_assert_true (tarn_body_labels (body, 5, tarn_thread_pool_parallel (pool), &map));
  g_assert_true (tarn_body_labels (body, 5, NULL, &alone));
  gsize voxels = (gsize)map.size[0] * (gsize)map.size[1] * (gsize)map.size[2];
  g_assert_cmpmem (map.code, voxels, alone.code, voxels);
  for (int n = 0; n < 5000; n++)
    {
      int i = g_test_rand_int_range (0, map.size[0]),
          j = g_test_rand_int_range (0, map.size[1]);
      int k = g_test_rand_int_range (0, map.size[2]);
      gsize at = ((gsize)k * (gsize)map.size[1] + (gsize)j) * (gsize)map.size[0] + (gsize)i;
      g_assert_cmpint (map.value[map.code[at]], ==,
                       tarn_body_tissue (body, tarn_label_map_point (&map, i, j, k)));
    }
  g_autofree char *legend = tarn_body_labels_legend (&map);
  g_assert_nonnull (strstr (legend, "\n# 6 urine"));

  /* The file says what its labels are, where it was told to. */
  g_autofree char *folder = g_dir_make_tmp ("tarn-labels-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "body.nrrd", NULL);
  g_assert_true (tarn_nrrd_save (&map, path, legend, NULL));
  g_assert_true (tarn_body_labels_are_tissues (path));
  g_assert_true (tarn_nrrd_save (&map, path, "somebody's labels", NULL));
  g_assert_false (tarn_body_labels_are_tissues (path));
  g_unlink (path);
  g_assert_false (tarn_body_labels_are_tissues (path));
  g_rmdir (folder);
  tarn_label_map_clear (&map);
  tarn_label_map_clear (&alone);
  tarn_thread_pool_free (pool);
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/body-labels/volume", test_volume);
  g_test_add_func ("/body-labels/voxels", test_voxels_are_tissues);
  return g_test_run ();
}
