/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The journal.  A log is saved whole when it begins, then appended to; a torn last line is left
 * out when it is read. */
#include "app/journal.h"

#include <errno.h>
#include <glib/gi18n.h>
#include <glib/gstdio.h>

#define EVERY_S 2

struct TarnJournal
{
  TarnRun *run;
  char *path;
  guint written; /* inputs of the run's log */
  uint32_t tick; /* of the last line written */
  guint timeout_id;
  TarnJournalProblem problem;
  gpointer problem_data;
};

static char *
journal_path (void)
{
  return g_build_filename (g_get_user_state_dir (), "tarn", "attempt.log", NULL);
}

/* The hand where it is wanted already: changes nothing, and says how far time has come. */
static void
append_beat (GArray *inputs, const TarnBedside *now, uint32_t last_tick)
{
  TarnInput beat = { .tick = MAX (now->tick, last_tick),
                     .kind = TARN_INPUT_HAND,
                     .value = { now->hand.above_mm, now->hand.left_mm, now->hand.tilt_rad,
                                now->hand.lean_rad, now->hand.turn_rad, now->hand.force_n } };
  if (!now->finished)
    g_array_append_val (inputs, beat);
}

static void
write_new (TarnJournal *journal)
{
  g_autoptr (TarnRunFrame) frame = tarn_run_frame (journal->run);
  g_autoptr (GArray) log = tarn_run_log (journal->run);
  g_autoptr (GArray) fresh = g_array_new (FALSE, FALSE, sizeof (TarnInput));
  g_autoptr (GError) error = NULL;
  bool any = log->len > journal->written;
  if (any)
    {
      g_array_append_vals (fresh, &g_array_index (log, TarnInput, journal->written),
                           log->len - journal->written);
      journal->tick = g_array_index (log, TarnInput, log->len - 1).tick;
    }
  /* A hand that was sent on the way would be taken back by the beat of an older frame. */
  if (!any && frame->bedside.tick > journal->tick)
    {
      append_beat (fresh, &frame->bedside, journal->tick);
      journal->tick = frame->bedside.tick;
    }
  if (fresh->len == 0)
    return;
  if (tarn_attempt_log_append (journal->path, (const TarnInput *)(void *)fresh->data,
                               fresh->len, FALSE, &error))
    journal->written = log->len;
  else if (journal->problem != NULL)
    {
      g_autofree char *text = g_strdup_printf (
          _ ("This attempt cannot be kept in case of a crash. %s"), error->message);
      journal->problem (text, journal->problem_data);
      journal->problem = NULL;
    }
}

static gboolean
on_timeout (gpointer data)
{
  write_new (data);
  return G_SOURCE_CONTINUE;
}

TarnJournal *
tarn_journal_open (TarnRun *run, const char *patient_path, const char *sha256,
                   TarnJournalProblem problem, gpointer data, GError **error)
{
  g_autofree char *path = journal_path (), *folder = g_path_get_dirname (path);
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  tarn_run_set_origin (run, patient_path, sha256);
  setup.mode = tarn_run_mode (run);
  setup.seed = tarn_run_seed (run);
  if (g_mkdir_with_parents (folder, 0700) != 0)
    {
      int code = errno;
      g_set_error (error, G_FILE_ERROR, g_file_error_from_errno (code), "%s: %s", folder,
                   g_strerror (code));
      return NULL;
    }
  g_autoptr (TarnAttemptLog) log = tarn_attempt_log_new (patient_path, sha256, &setup);
  g_autoptr (GArray) inputs = tarn_run_log (run);
  g_array_append_vals (log->inputs, inputs->data, inputs->len);
  if (!tarn_attempt_log_save (log, path, error))
    return NULL;

  TarnJournal *journal = g_new0 (TarnJournal, 1);
  journal->run = g_object_ref (run);
  journal->path = g_steal_pointer (&path);
  journal->written = inputs->len;
  journal->problem = problem;
  journal->problem_data = data;
  journal->timeout_id = g_timeout_add_seconds (EVERY_S, on_timeout, journal);
  return journal;
}

static void
journal_free (TarnJournal *journal)
{
  g_source_remove (journal->timeout_id);
  g_object_unref (journal->run);
  g_free (journal->path);
  g_free (journal);
}

void
tarn_journal_close (TarnJournal *journal)
{
  journal_free (journal);
  tarn_journal_forget ();
}

void
tarn_journal_suspend (TarnJournal *journal)
{
  /* What is new, then how far time has come. */
  write_new (journal);
  write_new (journal);
  journal_free (journal);
}

TarnAttemptLog *
tarn_journal_left (void)
{
  g_autofree char *path = journal_path ();
  return tarn_attempt_log_load (path, NULL);
}

void
tarn_journal_forget (void)
{
  g_autofree char *path = journal_path ();
  (void)g_unlink (path);
}
