/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Patients from label maps: the lumen keeps its volume within half a percent and its shape
 * within the map's voxels, structures keep their place; a patient that names a map gets it, or
 * a sentence why not. */
#include "store/body_labels.h"
#include "store/label_shape.h"
#include "store/nrrd.h"

#include "base/units.h"
#include "engine/patient/fields.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#define PITCH_MM 1.5

static char *folder;

static char *
in_folder (const char *name)
{
  return g_build_filename (folder, name, NULL);
}

static TarnBody *
body_of (const TarnPatient *patient)
{
  TarnBody *body;
  TarnProblem problem;
  if (tarn_body_new (patient, 0, &body, &problem) != TARN_OK)
    g_error ("%s: %s", problem.key, problem.text);
  return body;
}

static void
write_map (const TarnBody *body, const char *path)
{
  GError *error = NULL;
  TarnLabelMap map;
  g_assert_true (tarn_body_labels (body, PITCH_MM, NULL, &map));
  g_assert_true (tarn_nrrd_save (&map, path, NULL, &error));
  tarn_label_map_clear (&map);
}

/* How far the surface of @b lies from that of @a, moved so that both have one middle. */
static double
mean_gap_mm (const TarnBody *a, const TarnBody *b, TarnVec3 a_middle, TarnVec3 b_middle)
{
  const TarnMesh *mesh = tarn_body_lumen_mesh (b);
  double sum = 0;
  for (int k = 0; k < mesh->vertices; k++)
    sum += fabs (tarn_body_lumen_distance_mm (
        a, tarn_add (tarn_sub (mesh->vertex_mm[k], b_middle), a_middle)));
  return sum / mesh->vertices;
}

/* Bladders of several forms through a map and back; the quick run takes the least regular. */
static void
test_there_and_back (void)
{
  static const struct
  {
    double volume_ml, pear, irregular;
  } forms[] = { { 300, 0.2, 0 }, { 60, 0, 0 }, { 420, 0.6, 0.7 } };
  g_autofree char *path = in_folder ("whole.nrrd"), *copy = in_folder ("mine.nrrd");
  gsize first = g_getenv ("TARN_TEST_QUICK") != NULL ? G_N_ELEMENTS (forms) - 1 : 0;
  for (gsize k = first; k < G_N_ELEMENTS (forms); k++)
    {
      TarnPatient patient = tarn_patient_default (), again = tarn_patient_default ();
      patient.bladder.volume_ml = forms[k].volume_ml;
      tarn_patient_fill_defaults (&patient);
      patient.bladder.pear = forms[k].pear;
      patient.bladder.irregular = forms[k].irregular;
      TarnBody *body = body_of (&patient);
      write_map (body, path);

      TarnLabelImport import
          = { .map_path = path, .map_copy = copy, .bladder = TARN_TISSUE_URINE };
      GError *error = NULL;
      double agreement;
      tarn_label_import (&import, &again, &agreement, NULL, &error);
      g_assert_no_error (error);
      TarnBody *second = body_of (&again);
      double truth_ml = tarn_body_true_volume_ml (body);
      g_assert_cmpfloat (agreement, >, 0.96);
      g_assert_cmpfloat_with_epsilon (tarn_body_true_volume_ml (second), truth_ml,
                                      0.005 * truth_ml);

      TarnLabelMap map;
      TarnLabelPart part;
      g_assert_true (tarn_nrrd_load (copy, &map, NULL, &error));
      g_assert_true (tarn_label_part (&map, TARN_TISSUE_URINE, &part));
      g_assert_cmpfloat (
          mean_gap_mm (body, second, part.centre_mm, tarn_body_lumen_centre_mm (second)), <,
          0.4 * PITCH_MM);
      g_assert_cmpint (map.labels, ==, 1);
      tarn_label_map_clear (&map);
      tarn_body_free (second);
      tarn_body_free (body);
      tarn_patient_clear (&again);
      tarn_patient_clear (&patient);
    }
}

/* ---- An ellipsoid by its moments ---- */

static TarnLabelMap
ellipsoid_map (TarnVec3 radii_mm, TarnVec3 turn_deg)
{
  TarnLabelMap map = { .size = { 64, 64, 64 }, .labels = 2, .value = { 0, 3, 700 } };
  for (int k = 0; k < 3; k++)
    map.step_mm[k] = tarn_vec3 (k == 0, k == 1, k == 2);
  map.origin_mm = tarn_vec3 (-31.3, -31.8, -32.1);
  map.code = g_malloc0 (64 * 64 * 64);
  TarnVec3 axis[3] = { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } };
  static const TarnVec3 about[3] = { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } };
  const double deg[3] = { turn_deg.x, turn_deg.y, turn_deg.z };
  for (int turn = 0; turn < 3; turn++)
    for (int k = 0; k < 3; k++)
      axis[k] = tarn_rotate (axis[k], about[turn], tarn_rad_from_deg (deg[turn]));
  gsize at = 0;
  for (int k = 0; k < 64; k++)
    for (int j = 0; j < 64; j++)
      for (int i = 0; i < 64; i++, at++)
        {
          TarnVec3 p = tarn_label_map_point (&map, i, j, k);
          double a = tarn_dot (p, axis[0]) / radii_mm.x, b = tarn_dot (p, axis[1]) / radii_mm.y,
                 c = tarn_dot (p, axis[2]) / radii_mm.z;
          map.code[at] = a * a + b * b + c * c < 1 ? 2 : 0;
          map.voxels[map.code[at]]++;
        }
  return map;
}

static void
test_ellipsoid (void)
{
  static const TarnVec3 turns[]
      = { { 0, 0, 0 }, { 20, 0, 0 }, { 0, -25, 0 }, { 0, 0, 30 }, { 15, -20, 25 } };
  TarnVec3 radii_mm = { 28, 20, 14 };
  for (gsize k = 0; k < G_N_ELEMENTS (turns); k++)
    {
      TarnLabelMap map = ellipsoid_map (radii_mm, turns[k]);
      TarnLabelPart part;
      g_assert_false (tarn_label_part (&map, 1, &part));
      g_assert_true (tarn_label_part (&map, 700, &part));
      double ml = 4.0 / 3 * TARN_PI * 28 * 20 * 14 / 1000;
      g_assert_cmpfloat_with_epsilon (part.volume_ml, ml, 0.005 * ml);
      g_assert_cmpfloat (tarn_length (part.centre_mm), <, 0.05);
      g_assert_cmpfloat (tarn_distance (part.radii_mm, radii_mm), <, 0.15);
      g_assert_cmpfloat (tarn_distance (part.turn_deg, turns[k]), <, 0.5);
      tarn_label_map_clear (&map);
    }
}

/* A structure keeps its place against the lumen. */
static void
test_structures (void)
{
  TarnPatient patient = tarn_patient_default (), again = tarn_patient_default ();
  TarnVec3 centre_mm = { 70, 60, 30 };
  patient.structures = 1;
  patient.structure[0] = (TarnStructure){ .kind = TARN_STRUCTURE_CYST,
                                          .centre_mm = centre_mm,
                                          .radii_mm = { 20, 15, 25 },
                                          .turn_deg = { 0, 0, 20 } };
  TarnBody *body = body_of (&patient);
  g_autofree char *path = in_folder ("whole.nrrd"), *copy = in_folder ("mine.nrrd");
  write_map (body, path);
  TarnLabelImport import = { .map_path = path,
                             .map_copy = copy,
                             .bladder = TARN_TISSUE_URINE,
                             .structures = 1,
                             .structure = { TARN_TISSUE_FLUID },
                             .kind = { TARN_STRUCTURE_CYST } };
  GError *error = NULL;
  tarn_label_import (&import, &again, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpint (again.structures, ==, 1);
  const TarnStructure *cyst = &again.structure[0];
  TarnBody *second = body_of (&again);
  TarnVec3 moved_mm
      = tarn_sub (tarn_body_lumen_centre_mm (second), tarn_body_lumen_centre_mm (body));
  g_assert_cmpfloat (tarn_distance (tarn_sub (cyst->centre_mm, moved_mm), centre_mm), <, 2);
  g_assert_cmpfloat (tarn_distance (cyst->radii_mm, tarn_vec3 (20, 15, 25)), <, 1);
  g_assert_cmpfloat (fabs (cyst->turn_deg.z - 20), <, 3);
  g_assert_cmpint (tarn_body_tissue (second, cyst->centre_mm), ==, TARN_TISSUE_FLUID);
  tarn_body_free (second);
  tarn_body_free (body);
  tarn_patient_clear (&again);
  tarn_patient_clear (&patient);
}

/* ---- Files ---- */

static void
load_fails (const char *path, const char *wanted)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (path, &error);
  g_assert_null (file);
  g_assert_true (
      g_error_matches (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_INVALID));
  if (strstr (error->message, wanted) == NULL)
    g_error ("“%s” does not say “%s”", error->message, wanted);
}

static void
rewrite (const char *path, const char *text, const char *from, const char *to)
{
  g_auto (GStrv) parts = g_strsplit (text, from, 2);
  g_assert_nonnull (parts[1]);
  g_autofree char *changed = g_strjoinv (to, parts);
  g_assert_true (g_file_set_contents (path, changed, -1, NULL));
}

static void
test_files (void)
{
  TarnPatient patient = tarn_patient_default (), imported = tarn_patient_default ();
  patient.bladder.pear = 0.5;
  TarnBody *body = body_of (&patient);
  g_autofree char *path = in_folder ("whole.nrrd"), *copy = in_folder ("mine.nrrd");
  g_autofree char *anatomy = in_folder ("mine.anatomy");
  write_map (body, path);
  tarn_body_free (body);
  TarnLabelImport import = { .map_path = path, .map_copy = copy, .bladder = TARN_TISSUE_URINE };
  GError *error = NULL;
  g_assert_cmpint (tarn_patient_set_prose (&imported, "title", "", "From a map"), ==, TARN_OK);
  tarn_label_import (&import, &imported, NULL, NULL, &error);
  g_assert_no_error (error);
  tarn_patient_file_save (&imported, anatomy, &error);
  g_assert_no_error (error);

  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (anatomy, &error);
  g_assert_no_error (error);
  g_assert_true (file->patient.shape.any);
  g_assert_cmpmem (&file->patient.shape, sizeof (TarnShape), &imported.shape,
                   sizeof (TarnShape));
  gsize length;
  g_autofree char *text = tarn_patient_file_format (&imported, NULL);
  g_autofree char *same = tarn_patient_file_format (&file->patient, &length);
  g_assert_cmpstr (text, ==, same);

  rewrite (anatomy, text, "map=mine.nrrd", "map=other.nrrd");
  load_fails (anatomy, "[Bladder] map: ");
  rewrite (anatomy, text, "map=mine.nrrd", "map=../mine.nrrd");
  load_fails (anatomy, "in the same folder");
  rewrite (anatomy, text, "map-label=6", "map-label=7");
  load_fails (anatomy, "map-label: is not in the map");
  rewrite (anatomy, text, "map-sha256=", "#");
  load_fails (anatomy, "needs map-sha256");
  const char *hash = strstr (text, "map-sha256=") + strlen ("map-sha256=");
  g_autofree char *first = g_strndup (hash, 2);
  g_autofree char *from = g_strconcat ("map-sha256=", first, NULL);
  rewrite (anatomy, text, from, first[0] == 'a' ? "map-sha256=bb" : "map-sha256=aa");
  load_fails (anatomy, "is not that of the map");

  import.bladder = 9999;
  g_assert_false (tarn_label_import (&import, &imported, NULL, NULL, &error));
  g_assert_nonnull (strstr (error->message, "there is no label 9999"));
  g_clear_error (&error);
  g_assert_true (imported.shape.any);
  tarn_patient_clear (&imported);
  tarn_patient_clear (&patient);
}

static void
remove_folder (void)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;
  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = in_folder (name);
      g_unlink (path);
    }
  g_rmdir (folder);
  g_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  folder = g_dir_make_tmp ("tarn-map-XXXXXX", NULL);
  g_test_add_func ("/label-shape/there-and-back", test_there_and_back);
  g_test_add_func ("/label-shape/ellipsoid", test_ellipsoid);
  g_test_add_func ("/label-shape/structures", test_structures);
  g_test_add_func ("/label-shape/files", test_files);
  int result = g_test_run ();
  remove_folder ();
  return result;
}
