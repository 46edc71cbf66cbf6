/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/replay_history.h"

#include <glib/gi18n.h>
#include <string.h>

#define ATTEMPTS_MAX 64 /* the oldest are let go */

typedef struct
{
  TarnAttemptLog *log;
  char *name;
} Entry;

struct TarnReplayHistory
{
  GPtrArray *entries; /* of Entry */
};

static void
entry_free (gpointer data)
{
  Entry *entry = data;
  tarn_attempt_log_free (entry->log);
  g_free (entry->name);
  g_free (entry);
}

TarnReplayHistory *
tarn_replay_history_new (void)
{
  TarnReplayHistory *history = g_new0 (TarnReplayHistory, 1);
  history->entries = g_ptr_array_new_with_free_func (entry_free);
  return history;
}

void
tarn_replay_history_free (TarnReplayHistory *history)
{
  g_ptr_array_unref (history->entries);
  g_free (history);
}

TarnAttemptLog *
tarn_replay_log_of_run (TarnRun *run)
{
  const char *path = tarn_run_patient_path (run), *sha256 = tarn_run_patient_sha256 (run);
  if (path == NULL || sha256 == NULL)
    return NULL;
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  setup.mode = tarn_run_mode (run);
  setup.seed = tarn_run_seed (run);
  TarnAttemptLog *log = tarn_attempt_log_new (path, sha256, &setup);
  g_autoptr (GArray) inputs = tarn_run_log (run);
  g_array_append_vals (log->inputs, inputs->data, inputs->len);
  return log;
}

static gboolean
same_attempt (const TarnAttemptLog *a, const TarnAttemptLog *b)
{
  return strcmp (a->sha256, b->sha256) == 0 && a->seed == b->seed && a->mode == b->mode
         && a->inputs->len == b->inputs->len
         && memcmp (a->inputs->data, b->inputs->data, a->inputs->len * sizeof (TarnInput)) == 0;
}

/* NULL: not there. */
static Entry *
entry_of (TarnReplayHistory *history, TarnRun *run)
{
  g_autoptr (TarnAttemptLog) log = tarn_replay_log_of_run (run);
  for (guint k = 0; log != NULL && k < history->entries->len; k++)
    {
      Entry *entry = g_ptr_array_index (history->entries, k);
      if (same_attempt (entry->log, log))
        return entry;
    }
  return NULL;
}

gboolean
tarn_replay_history_add (TarnReplayHistory *history, TarnRun *run)
{
  if (entry_of (history, run) != NULL)
    return TRUE;
  TarnAttemptLog *log = tarn_replay_log_of_run (run);
  if (log == NULL)
    return FALSE;
  if (history->entries->len >= ATTEMPTS_MAX)
    g_ptr_array_remove_index (history->entries, 0);
  Entry *entry = g_new0 (Entry, 1);
  entry->log = log;
  g_ptr_array_add (history->entries, entry);
  return TRUE;
}

void
tarn_replay_history_tell (TarnReplayHistory *history, TarnRun *run, const char *result)
{
  Entry *entry = entry_of (history, run);
  if (entry == NULL)
    return;
  g_free (entry->name);
  entry->name = g_strdup (result);
}

/* The @index'th other attempt with that patient; NULL beyond the last. */
static Entry *
other (TarnReplayHistory *history, TarnRun *run, int index)
{
  const char *sha256 = tarn_run_patient_sha256 (run);
  const Entry *own = entry_of (history, run);
  for (guint k = 0; sha256 != NULL && k < history->entries->len; k++)
    {
      Entry *entry = g_ptr_array_index (history->entries, k);
      if (entry != own && strcmp (entry->log->sha256, sha256) == 0 && index-- == 0)
        return entry;
    }
  return NULL;
}

int
tarn_replay_history_others (TarnReplayHistory *history, TarnRun *run)
{
  int count = 0;
  while (other (history, run, count) != NULL)
    count++;
  return count;
}

TarnAttemptLog *
tarn_replay_history_other (TarnReplayHistory *history, TarnRun *run, int index,
                           const char **name)
{
  const Entry *entry = other (history, run, index);
  g_return_val_if_fail (entry != NULL, NULL);
  TarnAttemptSetup setup = tarn_attempt_log_setup (entry->log);
  TarnAttemptLog *log
      = tarn_attempt_log_new (entry->log->patient_path, entry->log->sha256, &setup);
  g_array_append_vals (log->inputs, entry->log->inputs->data, entry->log->inputs->len);
  if (name != NULL)
    *name = entry->name != NULL ? entry->name : "";
  return log;
}

void
tarn_replay_history_forget (TarnReplayHistory *history)
{
  g_ptr_array_set_size (history->entries, 0);
}
