/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is worked out on the attempt's thread once the attempt is over. */
#include "app/run_private.h"

#include <glib/gi18n.h>

static void
tell_truth (TarnRun *self, TarnAttempt *attempt, GTask *task)
{
  (void)self;
  TarnTruth *truth = g_new0 (TarnTruth, 1);
  TarnStatus status = tarn_attempt_truth (attempt, truth);
  if (status == TARN_OK)
    {
      g_task_return_pointer (task, truth, g_free);
      return;
    }
  g_free (truth);
  g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_FAILED, "%s",
                           tarn_status_text (status));
}

void
tarn_run_truth_async (TarnRun *self, GCancellable *cancellable, GAsyncReadyCallback callback,
                      gpointer data)
{
  GTask *task = g_task_new (self, cancellable, callback, data);
  if (tarn_run_work (self, task, tell_truth))
    return;
  g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_PENDING, "%s",
                           _ ("The truth is being worked out already."));
  g_object_unref (task);
}

const TarnTruth *
tarn_run_truth_finish (TarnRun *self, GAsyncResult *result, GError **error)
{
  g_autofree TarnTruth *truth = g_task_propagate_pointer (G_TASK (result), error);
  if (truth == NULL)
    return NULL;
  self->truth = *truth;
  return &self->truth;
}

static void
make_debrief (TarnRun *self, TarnAttempt *attempt, GTask *task)
{
  int index = GPOINTER_TO_INT (g_task_get_task_data (task));
  if (index >= tarn_attempt_readings (attempt))
    index = -1;
  const TarnGelFilm *film = index >= 0 && (guint)index < self->films->len
                                ? g_ptr_array_index (self->films, (guint)index)
                                : NULL;
  TarnDebrief *debrief = tarn_debrief_new (attempt, index, film, self->setup.parallel,
                                           g_task_get_cancellable (task));
  g_task_return_pointer (task, debrief, (GDestroyNotify)tarn_debrief_unref);
}

void
tarn_run_debrief_async (TarnRun *self, int index, GCancellable *cancellable,
                        GAsyncReadyCallback callback, gpointer data)
{
  GTask *task = g_task_new (self, cancellable, callback, data);
  g_task_set_task_data (task, GINT_TO_POINTER (index), NULL);
  if (tarn_run_work (self, task, make_debrief))
    return;
  g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_PENDING, "%s",
                           _ ("The truth is being worked out already."));
  g_object_unref (task);
}

TarnDebrief *
tarn_run_debrief_finish (TarnRun *self, GAsyncResult *result, GError **error)
{
  (void)self;
  return g_task_propagate_pointer (G_TASK (result), error);
}
