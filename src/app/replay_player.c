/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The replay's thread.  It alone touches the replay; what the window may know of it is copied
 * under the lock.  News are told through the main loop, one of a kind at a time. */
#include "app/replay_player.h"

#include "app/patient_list.h"
#include "app/run_painter.h"
#include "app/settings.h"
#include "store/attempt_patient.h"

#include <glib/gi18n.h>

#define SLICE_TICKS 90 /* played before new wishes are looked at */

struct _TarnReplayPlayer
{
  GObject parent;

  TarnRun *run;        /* whose attempt it is; NULL of a log */
  TarnAttemptLog *log; /* NULL of a run */
  char *path, *installed, *class_folder;
  GThread *thread;

  /* The thread's own. */
  TarnThreadPool *pool;
  TarnReplay *replay;
  TarnRunPainter *painter;
  gboolean has_truth, tried_truth;

  /* Under the lock. */
  GMutex lock;
  GCond wake, rested;
  gboolean stopping, busy;
  gint64 wanted; /* tick; -1: none */
  gboolean look; /* what is looked at has changed */
  TarnRunView view;
  TarnRunFrame *newest;
  gboolean tells_frame, tells_change; /* news under way */
  TarnReplayKnown known;
};

G_DEFINE_FINAL_TYPE (TarnReplayPlayer, tarn_replay_player, G_TYPE_OBJECT)

enum
{
  SIGNAL_FRAME,
  SIGNAL_CHANGED,
  SIGNALS
};
static guint signals[SIGNALS];

/* ---- News ---- */

static gboolean
tell_frame (gpointer data)
{
  TarnReplayPlayer *self = data;
  g_mutex_lock (&self->lock);
  self->tells_frame = FALSE;
  g_mutex_unlock (&self->lock);
  g_signal_emit (self, signals[SIGNAL_FRAME], 0);
  return G_SOURCE_REMOVE;
}

static gboolean
tell_change (gpointer data)
{
  TarnReplayPlayer *self = data;
  g_mutex_lock (&self->lock);
  self->tells_change = FALSE;
  g_mutex_unlock (&self->lock);
  g_signal_emit (self, signals[SIGNAL_CHANGED], 0);
  return G_SOURCE_REMOVE;
}

/* Under the lock.  Always through the main loop, which lets go of the last reference, too. */
static void
post (TarnReplayPlayer *self, gboolean *under_way, GSourceFunc tell)
{
  if (*under_way)
    return;
  *under_way = TRUE;
  g_idle_add_full (G_PRIORITY_DEFAULT, tell, g_object_ref (self), g_object_unref);
}

static void
say_problem (TarnReplayPlayer *self, const char *text)
{
  g_mutex_lock (&self->lock);
  if (self->known.problem == NULL)
    self->known.problem = g_strdup (text);
  self->known.complete = TRUE;
  post (self, &self->tells_change, tell_change);
  g_mutex_unlock (&self->lock);
}

/* ---- The thread ---- */

/* Of a log: the patient, then the replay. */
static gboolean
open_log (TarnReplayPlayer *self)
{
  const char *folders[] = { self->installed, self->class_folder, NULL };
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file
      = tarn_attempt_log_find_patient (self->log, self->path, NULL, folders, &error);
  if (file == NULL)
    {
      say_problem (self, error->message);
      return FALSE;
    }
  TarnAttemptSetup setup = tarn_attempt_log_setup (self->log);
  TarnProblem problem = { 0 };
  self->pool = tarn_thread_pool_new ((int)CLAMP (g_get_num_processors (), 1, TARN_THREADS_MAX));
  if (self->pool != NULL)
    setup.parallel = tarn_thread_pool_parallel (self->pool);
  const GArray *inputs = self->log->inputs;
  TarnStatus status
      = tarn_replay_new (&file->patient, &setup, (const TarnInput *)(const void *)inputs->data,
                         (int)inputs->len, &self->replay, &problem);
  if (status != TARN_OK)
    say_problem (self, problem.text[0] != '\0' ? problem.text : tarn_status_text (status));
  return status == TARN_OK;
}

/* Readings as they are now, at the end. */
static void
copy_readings (TarnReplayPlayer *self)
{
  const TarnAttempt *attempt = tarn_replay_attempt (self->replay);
  g_array_set_size (self->known.readings, 0);
  for (int k = 0; k < tarn_attempt_readings (attempt); k++)
    g_array_append_vals (self->known.readings, &tarn_attempt_reading (attempt, k)->reading, 1);
}

/* What is ready by now, for the window. */
static void
share (TarnReplayPlayer *self, const TarnTruth *truth, gboolean complete)
{
  const TarnReplay *replay = self->replay;
  TarnReplayKnown *known = &self->known;
  g_mutex_lock (&self->lock);
  known->last_tick = tarn_replay_last_tick (replay);
  known->ready_tick = tarn_replay_ready_tick (replay);
  known->comfort_n = tarn_attempt_bedside (tarn_replay_attempt (replay))->comfort_n;
  for (int k = (int)known->marks->len; k < tarn_replay_marks (replay); k++)
    g_array_append_vals (known->marks, tarn_replay_mark (replay, k), 1);
  if (known->sample_ticks != tarn_replay_sample_ticks (replay))
    g_array_set_size (known->samples, 0);
  known->sample_ticks = tarn_replay_sample_ticks (replay);
  for (int k = (int)known->samples->len; k < tarn_replay_samples (replay); k++)
    g_array_append_vals (known->samples, tarn_replay_sample (replay, k), 1);
  if (truth != NULL)
    {
      known->has_truth = TRUE;
      known->truth = *truth;
    }
  if (complete)
    copy_readings (self);
  known->complete = complete;
  post (self, &self->tells_change, tell_change);
  g_mutex_unlock (&self->lock);
}

/* One bit more is made ready; in the end the truth is asked for. */
static void
get_ready (TarnReplayPlayer *self)
{
  TarnStatus status = tarn_replay_advance (self->replay, SLICE_TICKS);
  gboolean all = tarn_replay_ready_tick (self->replay) >= tarn_replay_last_tick (self->replay);
  TarnTruth truth;
  if (tarn_replay_refused (self->replay) >= 0)
    say_problem (self,
                 _ ("From a certain moment on the attempt cannot be played again: its log "
                    "does not fit the patient."));
  else if (status != TARN_OK)
    {
      say_problem (self, tarn_status_text (status));
      self->tried_truth = TRUE;
      return;
    }
  if (!all)
    {
      share (self, NULL, FALSE);
      return;
    }
  self->tried_truth = TRUE;
  self->has_truth = tarn_replay_truth (self->replay, &truth) == TARN_OK;
  share (self, self->has_truth ? &truth : NULL, TRUE);
}

/* Whether something is still to be made ready. */
static gboolean
is_unready (const TarnReplayPlayer *self)
{
  return !self->tried_truth && self->replay != NULL;
}

/* Goes where it is wanted, as soon as that is ready; in bits, so that another wish may come in
 * between.  Returns whether it is there. */
static gboolean
go (TarnReplayPlayer *self, uint32_t tick)
{
  uint32_t last = tarn_replay_last_tick (self->replay);
  if (MIN (tick, last) > tarn_replay_ready_tick (self->replay))
    return FALSE;
  return tarn_replay_seek (self->replay, tick) != TARN_NO_MEMORY;
}

static void
show (TarnReplayPlayer *self, const TarnRunView *view)
{
  TarnRunFrame *frame
      = tarn_run_painter_frame (self->painter, tarn_replay_attempt (self->replay), view);
  g_mutex_lock (&self->lock);
  TarnRunFrame *before = self->newest;
  self->newest = frame;
  post (self, &self->tells_frame, tell_frame);
  g_mutex_unlock (&self->lock);
  g_clear_pointer (&before, tarn_run_frame_unref);
}

static gpointer
live (gpointer data)
{
  TarnReplayPlayer *self = data;
  gint64 at = 0; /* where it is wanted */
  gboolean there = FALSE;
  self->painter = tarn_run_painter_new (false);
  if (self->painter == NULL || (self->replay == NULL && !open_log (self)))
    there = TRUE;
  else
    share (self, NULL, FALSE);

  for (;;)
    {
      g_mutex_lock (&self->lock);
      self->busy = is_unready (self) || !there || self->wanted >= 0 || self->look;
      if (!self->busy)
        g_cond_broadcast (&self->rested);
      while (!self->stopping && !is_unready (self) && there && self->wanted < 0 && !self->look)
        g_cond_wait (&self->wake, &self->lock);
      gboolean stopping = self->stopping, look = self->look;
      TarnRunView view = self->view;
      if (self->wanted >= 0)
        {
          at = self->wanted;
          there = FALSE;
        }
      self->wanted = -1;
      self->look = FALSE;
      g_mutex_unlock (&self->lock);
      if (stopping)
        break;
      if (self->replay == NULL)
        {
          there = TRUE;
          continue;
        }
      /* Getting ready has gone elsewhere: back to where the eyes are, before a frame. */
      if ((!there || look) && go (self, (uint32_t)at))
        {
          there = TRUE;
          show (self, &view);
        }
      if (is_unready (self))
        get_ready (self);
      else
        there = TRUE;
    }
  return NULL;
}

/* ---- The main thread's side ---- */

static void
start (TarnReplayPlayer *self)
{
  self->busy = TRUE;
  self->thread = g_thread_new ("replay", live, self);
}

static void
on_replay (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (TarnReplayPlayer) self = data;
  g_autoptr (GError) error = NULL;
  TarnReplay *replay = tarn_run_replay_finish (TARN_RUN (source), result, &error);
  if (self->stopping)
    {
      tarn_replay_free (replay);
      return;
    }
  self->replay = replay;
  if (replay == NULL)
    say_problem (self, error->message);
  else
    start (self);
}

TarnReplayPlayer *
tarn_replay_player_new_of_run (TarnRun *run)
{
  TarnReplayPlayer *self = g_object_new (TARN_TYPE_REPLAY_PLAYER, NULL);
  self->run = g_object_ref (run);
  tarn_run_replay_async (run, on_replay, g_object_ref (self));
  return self;
}

TarnReplayPlayer *
tarn_replay_player_new_of_log (TarnAttemptLog *log, const char *path)
{
  TarnReplayPlayer *self = g_object_new (TARN_TYPE_REPLAY_PLAYER, NULL);
  self->log = log;
  self->path = g_strdup (path);
  self->installed = tarn_patient_list_installed_folder ();
  self->class_folder = g_strdup (tarn_settings_class_folder (tarn_settings ()));
  self->known.last_tick = tarn_attempt_log_last_tick (log);
  start (self);
  return self;
}

void
tarn_replay_player_stop (TarnReplayPlayer *self)
{
  g_mutex_lock (&self->lock);
  self->stopping = TRUE;
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
  if (self->thread != NULL)
    g_thread_join (g_steal_pointer (&self->thread));
}

void
tarn_replay_player_seek (TarnReplayPlayer *self, uint32_t tick)
{
  g_mutex_lock (&self->lock);
  self->wanted = tick;
  self->busy = TRUE;
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
}

void
tarn_replay_player_set_paper (TarnReplayPlayer *self, const TarnRunPaper *paper)
{
  g_mutex_lock (&self->lock);
  self->view.paper = *paper;
  self->look = TRUE;
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
}

void
tarn_replay_player_set_scene (TarnReplayPlayer *self, unsigned wanted)
{
  g_mutex_lock (&self->lock);
  self->view.scene = wanted | TARN_RUN_EXACT;
  self->look = TRUE;
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
}

TarnRunFrame *
tarn_replay_player_frame (TarnReplayPlayer *self)
{
  g_mutex_lock (&self->lock);
  TarnRunFrame *frame = self->newest != NULL ? tarn_run_frame_ref (self->newest) : NULL;
  g_mutex_unlock (&self->lock);
  return frame;
}

void
tarn_replay_player_known (TarnReplayPlayer *self, TarnReplayKnown *known)
{
  g_mutex_lock (&self->lock);
  *known = self->known;
  known->problem = g_strdup (self->known.problem);
  known->marks = g_array_copy (self->known.marks);
  known->samples = g_array_copy (self->known.samples);
  known->readings = g_array_copy (self->known.readings);
  g_mutex_unlock (&self->lock);
}

void
tarn_replay_known_clear (TarnReplayKnown *known)
{
  g_free (known->problem);
  g_clear_pointer (&known->marks, g_array_unref);
  g_clear_pointer (&known->samples, g_array_unref);
  g_clear_pointer (&known->readings, g_array_unref);
  *known = (TarnReplayKnown){ 0 };
}

void
tarn_replay_player_wait (TarnReplayPlayer *self, uint32_t tick)
{
  while (self->thread == NULL && self->known.problem == NULL)
    g_main_context_iteration (NULL, TRUE);
  tarn_replay_player_seek (self, tick);
  g_mutex_lock (&self->lock);
  while (self->busy)
    g_cond_wait (&self->rested, &self->lock);
  g_mutex_unlock (&self->lock);
}

uint64_t
tarn_replay_player_digest (TarnReplayPlayer *self)
{
  return tarn_attempt_digest (tarn_replay_attempt (self->replay));
}

static void
tarn_replay_player_dispose (GObject *object)
{
  tarn_replay_player_stop (TARN_REPLAY_PLAYER (object));
  G_OBJECT_CLASS (tarn_replay_player_parent_class)->dispose (object);
}

static void
tarn_replay_player_finalize (GObject *object)
{
  TarnReplayPlayer *self = TARN_REPLAY_PLAYER (object);
  g_clear_pointer (&self->newest, tarn_run_frame_unref);
  tarn_run_painter_free (self->painter);
  tarn_replay_free (self->replay);
  tarn_thread_pool_free (self->pool);
  tarn_replay_known_clear (&self->known);
  tarn_attempt_log_free (self->log);
  g_clear_object (&self->run);
  g_free (self->path);
  g_free (self->installed);
  g_free (self->class_folder);
  g_mutex_clear (&self->lock);
  g_cond_clear (&self->wake);
  g_cond_clear (&self->rested);
  G_OBJECT_CLASS (tarn_replay_player_parent_class)->finalize (object);
}

static void
tarn_replay_player_class_init (TarnReplayPlayerClass *class)
{
  G_OBJECT_CLASS (class)->dispose = tarn_replay_player_dispose;
  G_OBJECT_CLASS (class)->finalize = tarn_replay_player_finalize;
  signals[SIGNAL_FRAME] = g_signal_new ("frame", TARN_TYPE_REPLAY_PLAYER, G_SIGNAL_RUN_LAST, 0,
                                        NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_CHANGED] = g_signal_new ("changed", TARN_TYPE_REPLAY_PLAYER, G_SIGNAL_RUN_LAST,
                                          0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
tarn_replay_player_init (TarnReplayPlayer *self)
{
  g_mutex_init (&self->lock);
  g_cond_init (&self->wake);
  g_cond_init (&self->rested);
  self->wanted = -1;
  self->known.marks = g_array_new (FALSE, FALSE, sizeof (TarnReplayMark));
  self->known.samples = g_array_new (FALSE, FALSE, sizeof (TarnReplaySample));
  self->known.readings = g_array_new (FALSE, FALSE, sizeof (TarnReading));
}
