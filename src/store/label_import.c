/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From a label map to a patient, and back to the map that a patient names.
 *
 * 1. The map is cut down to the voxels that matter and written beside the patient.
 * 2. The lumen's shape, proportions and volume are taken from its label.
 * 3. The body says where the lumen comes to lie; each structure keeps its place against it. */
#include "store/label_shape.h"

#include "engine/body/body.h"
#include "engine/patient/fields.h"
#include "store/nrrd.h"

#include <math.h>
#include <string.h>

#define MARGIN_VOXELS 2
/* A label less like one closed body than this is no bladder. */
#define AGREEMENT_MIN 0.7
#define NOTE          "a label map cut down to what is used; for training only"

G_GNUC_PRINTF (2, 3)
static gboolean
refuse (GError **error, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *what = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error_literal (error, TARN_NRRD_ERROR, TARN_NRRD_ERROR_INVALID, what);
  return FALSE;
}

/* ---- 1. The part of the map that matters ---- */

static gboolean
is_used (const TarnLabelImport *import, uint16_t label)
{
  for (int k = 0; k < import->structures; k++)
    if (import->structure[k] == label)
      return TRUE;
  return label == import->bladder;
}

typedef struct
{
  int low[3], high[3]; /* voxels, both within */
} VoxelBox;

static VoxelBox
used_box (const TarnLabelMap *map, const gboolean used[TARN_LABELS_MAX + 1])
{
  VoxelBox box = { { G_MAXINT, G_MAXINT, G_MAXINT }, { -1, -1, -1 } };
  gsize n = 0;
  int at[3];
  for (at[2] = 0; at[2] < map->size[2]; at[2]++)
    for (at[1] = 0; at[1] < map->size[1]; at[1]++)
      for (at[0] = 0; at[0] < map->size[0]; at[0]++)
        if (used[map->code[n++]])
          for (int k = 0; k < 3; k++)
            {
              box.low[k] = MIN (box.low[k], at[k]);
              box.high[k] = MAX (box.high[k], at[k]);
            }
  for (int k = 0; k < 3; k++)
    {
      box.low[k] = MAX (box.low[k] - MARGIN_VOXELS, 0);
      box.high[k] = MIN (box.high[k] + MARGIN_VOXELS, map->size[k] - 1);
    }
  return box;
}

/* @map becomes its part that holds the used labels, and only those. */
static void
cut_down (TarnLabelMap *map, const TarnLabelImport *import)
{
  gboolean used[TARN_LABELS_MAX + 1] = { FALSE };
  for (int code = 1; code <= map->labels; code++)
    used[code] = is_used (import, map->value[code]);
  VoxelBox box = used_box (map, used);

  gsize to = 0;
  for (int k = box.low[2]; k <= box.high[2]; k++)
    for (int j = box.low[1]; j <= box.high[1]; j++)
      {
        const uint8_t *from
            = map->code + ((gsize)k * (gsize)map->size[1] + (gsize)j) * (gsize)map->size[0];
        for (int i = box.low[0]; i <= box.high[0]; i++)
          map->code[to++] = used[from[i]] ? from[i] : 0;
      }
  map->origin_mm = tarn_label_map_point (map, box.low[0], box.low[1], box.low[2]);
  for (int k = 0; k < 3; k++)
    map->size[k] = box.high[k] - box.low[k] + 1;
}

static gboolean
check_labels (const TarnLabelMap *map, const TarnLabelImport *import, GError **error)
{
  TarnLabelPart part;
  for (int k = -1; k < import->structures; k++)
    {
      uint16_t label = k < 0 ? import->bladder : import->structure[k];
      if (!tarn_label_part (map, label, &part))
        return refuse (error, "%s: there is no label %u", import->map_path, label);
      if (k >= 0 && label == import->bladder)
        return refuse (error, "label %u cannot be the bladder and a structure", label);
    }
  return TRUE;
}

/* ---- 2. The lumen ---- */

static void
set (TarnPatient *patient, TarnStructure *structure, TarnFieldGroup group, const char *key,
     const double *value)
{
  const TarnField *field = tarn_field_find (group, key);
  void *owner = structure != NULL ? (void *)structure : patient;
  for (int k = 0; k < tarn_field_components (field); k++)
    tarn_field_set (field, owner, k, CLAMP (value[k], field->low, field->high));
  tarn_field_state (field, patient, structure, true);
}

static void
set_lumen (TarnPatient *patient, const TarnLabelPart *part)
{
  TarnVec3 size = tarn_sub (part->high_mm, part->low_mm);
  const double none = 0, label = part->label;
  set (patient, NULL, TARN_GROUP_BLADDER, "volume-ml", &part->volume_ml);
  set (patient, NULL, TARN_GROUP_BLADDER, "length-mm", &size.z);
  set (patient, NULL, TARN_GROUP_BLADDER, "width-mm", &size.x);
  set (patient, NULL, TARN_GROUP_BLADDER, "height-mm", &size.y);
  set (patient, NULL, TARN_GROUP_BLADDER, "pear", &none);
  set (patient, NULL, TARN_GROUP_BLADDER, "irregular", &none);
  set (patient, NULL, TARN_GROUP_BLADDER, "map-label", &label);
}

static char *
sha256_of (const char *path, GError **error)
{
  g_autofree char *bytes = NULL;
  gsize length = 0;
  if (!g_file_get_contents (path, &bytes, &length, error))
    return NULL;
  return g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *)bytes, length);
}

static gboolean
name_map (TarnPatient *patient, const char *path, GError **error)
{
  g_autofree char *name = g_path_get_basename (path), *sha256 = sha256_of (path, error);
  if (sha256 == NULL)
    return FALSE;
  if (tarn_patient_set_prose (patient, "map", "", name) != TARN_OK
      || tarn_patient_set_prose (patient, "map-sha256", "", sha256) != TARN_OK)
    return refuse (error, "the patient has no room for another text");
  return TRUE;
}

/* ---- 3. Structures ---- */

static void
add_structure (TarnPatient *patient, TarnStructureKind kind, const TarnLabelPart *part,
               TarnVec3 shift_mm)
{
  TarnStructure *structure = &patient->structure[patient->structures++];
  TarnVec3 centre_mm = tarn_add (part->centre_mm, shift_mm);
  const double kind_value = (double)kind;
  *structure = (TarnStructure){ 0 };
  set (patient, structure, TARN_GROUP_STRUCTURE, "kind", &kind_value);
  set (patient, structure, TARN_GROUP_STRUCTURE, "centre-mm", &centre_mm.x);
  set (patient, structure, TARN_GROUP_STRUCTURE, "radii-mm", &part->radii_mm.x);
  set (patient, structure, TARN_GROUP_STRUCTURE, "turn-deg", &part->turn_deg.x);
}

static gboolean
add_structures (const TarnLabelMap *map, const TarnLabelImport *import,
                const TarnLabelPart *bladder, TarnPatient *patient, GError **error)
{
  TarnBody *body;
  TarnProblem problem;
  patient->structures = 0;
  tarn_patient_fill_defaults (patient);
  if (tarn_body_new (patient, 0, &body, &problem) != TARN_OK)
    return refuse (error, "%s: %s", problem.key, problem.text);
  TarnVec3 shift_mm = tarn_sub (tarn_body_lumen_centre_mm (body), bladder->centre_mm);
  tarn_body_free (body);
  for (int k = 0; k < import->structures; k++)
    {
      TarnLabelPart part;
      tarn_label_part (map, import->structure[k], &part);
      add_structure (patient, import->kind[k], &part, shift_mm);
    }
  tarn_patient_fill_defaults (patient);
  return TRUE;
}

/* ---- The whole ---- */

static gboolean
import_map (TarnLabelMap *map, const TarnLabelImport *import, TarnPatient *patient,
            double *agreement, GError **error)
{
  TarnLabelPart bladder;
  if (!check_labels (map, import, error))
    return FALSE;
  cut_down (map, import);
  tarn_label_part (map, import->bladder, &bladder);
  double agrees;
  tarn_label_shape (map, &bladder, &patient->shape, &agrees);
  if (agreement != NULL)
    *agreement = agrees;
  if (agrees < AGREEMENT_MIN)
    return refuse (error,
                   "%s: label %u is no closed body that a bladder could be: a shape seen from "
                   "its middle holds only %.0f %% of it",
                   import->map_path, import->bladder, 100 * agrees);
  set_lumen (patient, &bladder);
  return tarn_nrrd_save (map, import->map_copy, NOTE, error)
         && name_map (patient, import->map_copy, error)
         && add_structures (map, import, &bladder, patient, error);
}

gboolean
tarn_label_import (const TarnLabelImport *import, TarnPatient *patient, double *agreement,
                   GCancellable *cancellable, GError **error)
{
  TarnLabelMap map;
  TarnPatient changed;
  g_return_val_if_fail (import->structures >= 0 && import->structures <= TARN_STRUCTURES_MAX,
                        FALSE);
  if (tarn_patient_copy (patient, &changed) != TARN_OK)
    return refuse (error, "there is no memory for another patient");
  gboolean imported = tarn_nrrd_load (import->map_path, &map, cancellable, error);
  if (imported)
    {
      imported = import_map (&map, import, &changed, agreement, error);
      tarn_label_map_clear (&map);
    }
  TarnPatient *loser = imported ? patient : &changed;
  tarn_patient_clear (loser);
  if (imported)
    *patient = changed;
  return imported;
}

/* ---- The map that a patient names ---- */

static gboolean
say (TarnProblem *problem, const char *key, const char *text)
{
  tarn_problem_set (problem, TARN_IMPOSSIBLE, key, "%s", text);
  return FALSE;
}

gboolean
tarn_label_shape_attach (TarnPatient *patient, const char *folder, TarnProblem *problem)
{
  const char *name = tarn_patient_prose (patient, "map", "");
  const char *wanted = tarn_patient_prose (patient, "map-sha256", "");
  patient->shape.any = false;
  if (name == NULL)
    return wanted == NULL || say (problem, "[Bladder] map-sha256", "of no map");
  g_autofree char *base = g_path_get_basename (name);
  if (!g_str_equal (base, name))
    return say (problem, "[Bladder] map", "must be the name of a file in the same folder");
  if (wanted == NULL)
    return say (problem, "[Bladder] map", "needs map-sha256 beside it");

  g_autoptr (GError) error = NULL;
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autofree char *sha256 = sha256_of (path, &error);
  if (sha256 == NULL)
    return say (problem, "[Bladder] map", error->message);
  if (!g_str_equal (sha256, wanted))
    return say (problem, "[Bladder] map-sha256",
                "is not that of the map: another version of it?");
  TarnLabelMap map;
  TarnLabelPart part;
  if (!tarn_nrrd_load (path, &map, NULL, &error))
    return say (problem, "[Bladder] map", error->message);
  gboolean there = tarn_label_part (&map, (uint16_t)patient->bladder.map_label, &part);
  if (there)
    tarn_label_shape (&map, &part, &patient->shape, NULL);
  tarn_label_map_clear (&map);
  return there || say (problem, "[Bladder] map-label", "is not in the map");
}
