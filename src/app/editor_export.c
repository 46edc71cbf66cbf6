/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/editor_export.h"

#include "app/editor_sheet.h"
#include "app/words_problem.h"
#include "store/body_labels.h"
#include "store/nrrd.h"
#include "store/stl.h"

#include <glib/gi18n.h>
#include <string.h>

#define PITCH_MM 1.5 /* of a label map's voxels */

typedef struct
{
  TarnEditorExport kind;
  TarnPatient patient;
  TarnUnits units;
  char *path;
} Work;

static const struct
{
  const char *name, *suffix, *title;
} kinds[TARN_EXPORTS] = {
  [TARN_EXPORT_BLADDER] = { "bladder", ".stl", N_ ("Bladder for printing (STL)…") },
  [TARN_EXPORT_BODIES] = { "bodies", ".stl", N_ ("All bodies for printing (STL)…") },
  [TARN_EXPORT_LABELS] = { "labels", ".nrrd", N_ ("Label map (NRRD)…") },
  [TARN_EXPORT_PAGE] = { "page", ".pdf", N_ ("Page with the answer, for who teaches (PDF)…") },
  [TARN_EXPORT_PICTURE] = { "picture", ".png", N_ ("The same page as a picture (PNG)…") },
  [TARN_EXPORT_HANDOUT] = { "handout", ".pdf", N_ ("Handout without the answer (PDF)…") },
};

const char *
tarn_editor_export_name (TarnEditorExport kind)
{
  return kinds[kind].name;
}

const char *
tarn_editor_export_suffix (TarnEditorExport kind)
{
  return kinds[kind].suffix;
}

const char *
tarn_editor_export_title (TarnEditorExport kind)
{
  return _ (kinds[kind].title);
}

/* ---- On the thread ---- */

static gboolean
refuse (GError **error, const char *text)
{
  g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_FAILED, text);
  return FALSE;
}

static gboolean
write_meshes (const Work *work, const TarnBody *body, GError **error)
{
  int parts = tarn_body_parts (body);
  g_autofree TarnStlBody *solid = g_new0 (TarnStlBody, (gsize)parts);
  g_autofree TarnMesh *mesh = g_new0 (TarnMesh, (gsize)parts);
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  TarnStatus status = TARN_OK;
  gsize count = 0;
  for (int k = 0; k < parts && status == TARN_OK; k++)
    {
      const char *name;
      status = tarn_body_part (body, k, &name, &mesh[k]);
      if (status != TARN_OK
          || (work->kind == TARN_EXPORT_BLADDER && strcmp (name, "lumen") != 0))
        continue;
      char *plain = g_strdelimit (g_strdup (name), " ", '-');
      g_ptr_array_add (names, plain);
      solid[count++] = (TarnStlBody){ .name = plain, .mesh = &mesh[k] };
    }
  gboolean saved = status == TARN_OK
                       ? tarn_stl_save (work->path, TARN_STL_TEXT, solid, count, error)
                       : refuse (error, tarn_status_text (status));
  for (int k = 0; k < parts; k++)
    tarn_mesh_clear (&mesh[k]);
  return saved;
}

static gboolean
write_labels (const Work *work, const TarnBody *body, GCancellable *cancellable, GError **error)
{
  TarnLabelMap map = { 0 };
  TarnThreadPool *pool
      = tarn_thread_pool_new ((int)CLAMP (g_get_num_processors (), 1, TARN_THREADS_MAX));
  gboolean sampled = tarn_body_labels (
      body, PITCH_MM, pool != NULL ? tarn_thread_pool_parallel (pool) : NULL, &map);
  tarn_thread_pool_free (pool);
  if (!sampled)
    return refuse (error, _ ("There is no memory for so many voxels."));
  g_autofree char *legend = tarn_body_labels_legend (&map);
  gboolean saved = !g_cancellable_set_error_if_cancelled (cancellable, error)
                   && tarn_nrrd_save (&map, work->path, legend, error);
  tarn_label_map_clear (&map);
  return saved;
}

static gboolean
write_body (const Work *work, GCancellable *cancellable, GError **error)
{
  TarnBody *body;
  TarnProblem problem = { 0 };
  if (tarn_body_new (&work->patient, 0, &body, &problem) != TARN_OK)
    {
      g_autofree char *said = tarn_words_problem (problem.text);
      g_autofree char *text = g_strdup_printf ("%s: %s", problem.key, said);
      return refuse (error, text);
    }
  gboolean written = !g_cancellable_set_error_if_cancelled (cancellable, error);
  if (written)
    written = work->kind == TARN_EXPORT_LABELS ? write_labels (work, body, cancellable, error)
                                               : write_meshes (work, body, error);
  tarn_body_free (body);
  return written;
}

static gboolean
write_page (const Work *work, GCancellable *cancellable, GError **error)
{
  gsize size;
  g_autoptr (GBytes) page = tarn_editor_sheet (
      &work->patient,
      work->kind == TARN_EXPORT_HANDOUT ? TARN_SHEET_HANDOUT : TARN_SHEET_WITH_ANSWER,
      g_get_language_names ()[0], &work->units, work->kind == TARN_EXPORT_PICTURE, cancellable,
      error);
  if (page == NULL)
    return FALSE;
  const char *bytes = g_bytes_get_data (page, &size);
  return g_file_set_contents (work->path, bytes, (gssize)size, error);
}

static void export(GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const Work *work = data;
  GError *error = NULL;
  (void)source;
  gboolean paper = work->kind == TARN_EXPORT_PAGE || work->kind == TARN_EXPORT_PICTURE
                   || work->kind == TARN_EXPORT_HANDOUT;
  if (paper ? write_page (work, cancellable, &error) : write_body (work, cancellable, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

/* ---- For the main thread ---- */

static void
work_free (gpointer data)
{
  Work *work = data;
  tarn_patient_clear (&work->patient);
  g_free (work->path);
  g_free (work);
}

void
tarn_editor_export (TarnEditorExport kind, const TarnPatient *patient, const TarnUnits *units,
                    const char *path, GCancellable *cancellable, GAsyncReadyCallback done,
                    gpointer data)
{
  Work *work = g_new0 (Work, 1);
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, done, data);
  work->kind = kind;
  work->units = *units;
  work->path = g_strdup (path);
  if (tarn_patient_copy (patient, &work->patient) != TARN_OK)
    g_error ("there is no memory for a patient");
  g_task_set_task_data (task, work, work_free);
  /* What was written before it was cancelled is there, and is said to be. */
  g_task_set_check_cancellable (task, FALSE);
  g_task_run_in_thread (task, export);
}

gboolean
tarn_editor_export_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_boolean (G_TASK (result), error);
}
