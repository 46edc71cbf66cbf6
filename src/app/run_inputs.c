/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Short ways to hand an input to a run; where its patient comes from; its replay. */
#include "app/run_private.h"

#include <math.h>

/* Finer than a hand can want anything, and short in the log (own design values). */
#define PER_MM  100.0
#define PER_RAD 100000.0
#define PER_N   100.0

static double
rounded (double value, double steps)
{
  return round (value * steps) / steps;
}

void
tarn_run_hand (TarnRun *self, const TarnPose *wanted)
{
  TarnInput input
      = { .kind = TARN_INPUT_HAND,
          .value = { rounded (wanted->above_mm, PER_MM), rounded (wanted->left_mm, PER_MM),
                     rounded (wanted->tilt_rad, PER_RAD), rounded (wanted->lean_rad, PER_RAD),
                     rounded (wanted->turn_rad, PER_RAD), rounded (wanted->force_n, PER_N) } };
  tarn_run_input (self, &input);
}

void
tarn_run_do (TarnRun *self, TarnInputKind kind, int code, double value)
{
  TarnInput input
      = { .kind = (uint8_t)kind, .code = (uint8_t)code, .reading = -1, .value = { value } };
  tarn_run_input (self, &input);
}

void
tarn_run_set_origin (TarnRun *self, const char *patient_path, const char *sha256)
{
  g_object_set_data_full (G_OBJECT (self), "patient-path", g_strdup (patient_path), g_free);
  g_object_set_data_full (G_OBJECT (self), "patient-sha256", g_strdup (sha256), g_free);
}

const char *
tarn_run_patient_path (TarnRun *self)
{
  return g_object_get_data (G_OBJECT (self), "patient-path");
}

const char *
tarn_run_patient_sha256 (TarnRun *self)
{
  return g_object_get_data (G_OBJECT (self), "patient-sha256");
}

static void
make_replay (TarnRun *self, TarnAttempt *attempt, GTask *task)
{
  TarnReplay *replay = NULL;
  TarnStatus status = tarn_replay_of (attempt, NULL, &replay);
  (void)self;
  if (status == TARN_OK)
    g_task_return_pointer (task, replay, (GDestroyNotify)tarn_replay_free);
  else
    g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_FAILED, "%s",
                             tarn_status_text (status));
}

void
tarn_run_replay_async (TarnRun *self, GAsyncReadyCallback callback, gpointer data)
{
  GTask *task = g_task_new (self, NULL, callback, data);
  if (tarn_run_work (self, task, make_replay))
    return;
  g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_PENDING, "%s",
                           tarn_status_text (TARN_IMPOSSIBLE));
  g_object_unref (task);
}

TarnReplay *
tarn_run_replay_finish (TarnRun *self, GAsyncResult *result, GError **error)
{
  (void)self;
  return g_task_propagate_pointer (G_TASK (result), error);
}
