/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The store stops reading when it is told to; what comes after takes too short to be stopped,
 * and is thrown away instead. */
#include "app/editor_labels.h"

#include "base/units.h"
#include "store/body_labels.h"
#include "store/nrrd.h"

#include <glib/gstdio.h>

/* ---- What there is ---- */

static int
by_label (const void *a, const void *b)
{
  const uint16_t *left = a, *right = b; /* the first of each */
  return (*left > *right) - (*left < *right);
}

static TarnEditorLabels *
labels_of (const TarnLabelMap *map)
{
  TarnEditorLabels *labels = g_new0 (TarnEditorLabels, 1);
  double voxel_ml = tarn_label_map_voxel_mm3 (map) / TARN_MM3_PER_ML;
  for (int code = 1; code <= map->labels; code++)
    if (map->voxels[code] > 0)
      {
        labels->of[labels->count].label = map->value[code];
        labels->of[labels->count++].volume_ml = (double)map->voxels[code] * voxel_ml;
      }
  qsort (labels->of, (size_t)labels->count, sizeof labels->of[0], by_label);
  return labels;
}

static void
read_map (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GError *error = NULL;
  TarnLabelMap map;
  (void)source;
  if (!tarn_nrrd_load (data, &map, cancellable, &error))
    {
      g_task_return_error (task, error);
      return;
    }
  TarnEditorLabels *labels = labels_of (&map);
  labels->tissues = tarn_body_labels_are_tissues (data);
  tarn_label_map_clear (&map);
  g_task_return_pointer (task, labels, g_free);
}

void
tarn_editor_labels_read (const char *path, GCancellable *cancellable, GAsyncReadyCallback done,
                         gpointer data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, done, data);
  g_task_set_task_data (task, g_strdup (path), g_free);
  g_task_run_in_thread (task, read_map);
}

TarnEditorLabels *
tarn_editor_labels_read_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_pointer (G_TASK (result), error);
}

/* ---- Importing ---- */

typedef struct
{
  TarnLabelImport import;
  char *map_path, *map_copy;
  TarnPatient patient;
  double agreement;
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;
  tarn_patient_clear (&work->patient);
  g_free (work->map_path);
  g_free (work->map_copy);
  g_free (work);
}

static void
import_map (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  GError *error = NULL;
  (void)source;
  if (!tarn_label_import (&work->import, &work->patient, &work->agreement, cancellable, &error))
    g_task_return_error (task, error);
  else
    g_task_return_boolean (task, TRUE);
}

void
tarn_editor_labels_import (const TarnLabelImport *import, const TarnPatient *patient,
                           GCancellable *cancellable, GAsyncReadyCallback done, gpointer data)
{
  Work *work = g_new0 (Work, 1);
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, done, data);
  work->import = *import;
  work->import.map_path = work->map_path = g_strdup (import->map_path);
  work->import.map_copy = work->map_copy = g_strdup (import->map_copy);
  if (tarn_patient_copy (patient, &work->patient) != TARN_OK)
    g_error ("there is no memory for a patient");
  g_task_set_task_data (task, work, work_free);
  g_task_run_in_thread (task, import_map);
}

gboolean
tarn_editor_labels_import_finish (GAsyncResult *result, TarnPatient *patient, double *agreement,
                                  GError **error)
{
  Work *work = g_task_get_task_data (G_TASK (result));
  if (!g_task_propagate_boolean (G_TASK (result), error))
    {
      /* The copy has a name that nobody else uses. */
      g_unlink (work->map_copy);
      return FALSE;
    }
  *patient = work->patient;
  *agreement = work->agreement;
  work->patient = (TarnPatient){ 0 };
  return TRUE;
}
