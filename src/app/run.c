/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The attempt's thread.
 *
 * 1. The main thread leaves inputs and the ticks that have passed under the lock and wakes the
 *    thread.  It never waits for it, but when the run ends and in tests.
 * 2. The thread takes all that has come, feeds the attempt, shoots the plane that the probe now
 *    shows, makes the triangles of the 3-D view, and publishes both as one frame.
 * 3. What changes nothing costs nothing: a frozen plane, or a probe in the air, is shot once;
 *    the 3-D view is made anew only when something in it has moved visibly.
 * 4. A frame, once published, never changes.  Events go to the main context and become signals
 *    there. */
#include "app/run_private.h"

#include <glib/gi18n.h>
#include <string.h>

#define CATCH_UP_TICKS 20 /* after a stall, the rest of the time is let go */

G_DEFINE_FINAL_TYPE (TarnRun, tarn_run, G_TYPE_OBJECT)

enum
{
  SIGNAL_READING,
  SIGNAL_REFUSED,
  SIGNAL_VOICE,
  SIGNAL_ANSWER,
  SIGNALS
};
static guint signals[SIGNALS];

/* ---- Events: from the thread to signals on the main thread ---- */

typedef struct
{
  TarnRun *run;
  guint signal;
  int first, second;
} Event;

static gboolean
event_emit (gpointer data)
{
  Event *event = data;
  if (event->signal == SIGNAL_READING || event->signal == SIGNAL_VOICE)
    g_signal_emit (event->run, signals[event->signal], 0, event->first);
  else
    g_signal_emit (event->run, signals[event->signal], 0, event->first, event->second);
  return G_SOURCE_REMOVE;
}

static void
event_free (gpointer data)
{
  Event *event = data;
  g_object_unref (event->run);
  g_free (event);
}

/* Always through the main loop: were nobody running it, an invoked call would come at once, on
 * this thread, and could be the last to hold the run. */
static void
post (TarnRun *self, guint signal, int first, int second)
{
  Event *event = g_new (Event, 1);
  *event = (Event){ g_object_ref (self), signal, first, second };
  g_idle_add_full (G_PRIORITY_DEFAULT, event_emit, event, event_free);
}

static gboolean
done_with (gpointer object)
{
  (void)object;
  return G_SOURCE_REMOVE;
}

/* Lets go of a reference, on the main thread. */
static void
release_later (gpointer object)
{
  g_idle_add_full (G_PRIORITY_DEFAULT, done_with, object, g_object_unref);
}

/* ---- The thread ---- */

/* What the main thread has left. */
typedef struct
{
  GArray *inputs;
  int ticks;
  GQueue works; /* of Work */
  TarnRunView view;
} Batch;

static void
feed (TarnRun *self, const Batch *batch)
{
  for (guint k = 0; k < batch->inputs->len; k++)
    {
      const TarnInput *input = &g_array_index (batch->inputs, TarnInput, k);
      TarnStatus status = tarn_attempt_input (self->attempt, input);
      if (status != TARN_OK)
        post (self, SIGNAL_REFUSED, input->kind, (int)status);
      else if (input->kind == TARN_INPUT_DEED)
        post (self, SIGNAL_ANSWER, input->code,
              (int)tarn_attempt_bedside (self->attempt)->answer[input->code]);
    }
  for (int k = 0; k < batch->ticks; k++)
    if (tarn_attempt_tick (self->attempt) != TARN_OK)
      post (self, SIGNAL_REFUSED, TARN_INPUT_SWEEP, TARN_NO_MEMORY);
}

static TarnRunReading
reading_at (const TarnRun *self, int index)
{
  const TarnAttemptReading *from = tarn_attempt_reading (self->attempt, index);
  TarnRunReading reading = { .index = index,
                             .source = from->source,
                             .reading = from->reading,
                             .judgement = from->judgement,
                             .tick = from->tick,
                             .pose = from->pose,
                             .diameters = from->diameters,
                             .coefficient = from->coefficient };
  if (from->scan != NULL)
    {
      const TarnSweep *sweep = &from->scan->sweep;
      reading.planes = sweep->planes;
      reading.step_rad = sweep->step_rad;
      reading.geometry = sweep->geometry;
      reading.plane = sweep->plane;
    }
  return reading;
}

/* The planes of a sweep as bytes; they lie in the attempt, which the run keeps. */
static GBytes *
planes_of (const TarnRun *self, int index)
{
  const TarnAttemptReading *reading = tarn_attempt_reading (self->attempt, index);
  if (reading->scan == NULL || reading->scan->sweep.grey == NULL)
    return NULL;
  const TarnSweep *sweep = &reading->scan->sweep;
  return g_bytes_new_static (sweep->grey, (gsize)sweep->planes * (gsize)sweep->geometry.lines
                                              * (gsize)sweep->geometry.samples);
}

/* Readings and log as they are now; called under the lock. */
static void
copy_records (TarnRun *self)
{
  for (int k = 0; k < tarn_attempt_readings (self->attempt); k++)
    {
      TarnRunReading reading = reading_at (self, k);
      if (k < (int)self->readings->len)
        {
          reading.grey = g_array_index (self->readings, TarnRunReading, k).grey;
          g_array_index (self->readings, TarnRunReading, k) = reading;
          continue;
        }
      reading.grey = planes_of (self, k);
      g_ptr_array_add (self->films,
                       g_memdup2 (tarn_attempt_film (self->attempt), sizeof (TarnGelFilm)));
      g_array_append_val (self->readings, reading);
    }
  for (int k = (int)self->log->len; k < tarn_attempt_inputs (self->attempt); k++)
    g_array_append_vals (self->log, tarn_attempt_logged (self->attempt, k), 1);
}

/* Advice for the frame, where the window wants it. */
static void
advise (TarnRun *self, const TarnRunView *view, TarnRunFrame *frame)
{
  if ((view->scene & TARN_RUN_ADVICE) == 0)
    return;
  if (self->coach == NULL)
    self->coach = tarn_run_coach_new ();
  tarn_run_coach_take (self->coach, self->attempt);
  frame->has_advice
      = tarn_run_coach_advice (self->coach, &frame->advice, &frame->advice_turn_rad);
}

static void
publish (TarnRun *self, const TarnRunView *view, TarnRunFrame *frame)
{
  advise (self, view, frame);
  const TarnBedside *now = &frame->bedside;
  int readings = self->last.readings;
  bool spoke = now->voice != TARN_VOICE_NONE && now->voice_tick != self->last.voice_tick;
  self->last = *now;

  g_mutex_lock (&self->lock);
  copy_records (self);
  TarnRunFrame *before = self->newest;
  self->newest = frame;
  g_mutex_unlock (&self->lock);
  g_clear_pointer (&before, tarn_run_frame_unref);

  for (; readings < now->readings; readings++)
    post (self, SIGNAL_READING, readings, 0);
  if (spoke)
    post (self, SIGNAL_VOICE, (int)now->voice, 0);
}

/* While nobody looks at moving planes, ledgers that the truth will want. */
static void
work_ahead (TarnRun *self)
{
  for (int k = 0; k < tarn_attempt_readings (self->attempt); k++)
    {
      const TarnAttemptReading *reading = tarn_attempt_reading (self->attempt, k);
      if (reading->judgement.kind != TARN_JUDGEMENT_NONE)
        (void)tarn_attempt_ledger (self->attempt, k);
    }
}

/* What is to be done on this thread beside. */
typedef struct
{
  GTask *task;
  TarnRunWork work;
} Work;

/* @closed: the run ends, so nothing is done any more. */
static void
do_works (TarnRun *self, GQueue *works, gboolean closed)
{
  Work *next;
  while ((next = g_queue_pop_head (works)) != NULL)
    {
      if (closed)
        g_task_return_new_error (next->task, G_IO_ERROR, G_IO_ERROR_CANCELLED, "%s",
                                 _ ("The attempt was closed."));
      else
        next->work (self, self->attempt, next->task);
      release_later (next->task);
      g_free (next);
    }
}

static bool
anything_waits (const TarnRun *self)
{
  return self->inputs->len > 0 || self->ticks > 0 || self->look || self->works.length > 0;
}

static void
relive (TarnRun *self)
{
  for (guint k = 0; k < self->past->len; k++)
    (void)tarn_attempt_replay (self->attempt, &g_array_index (self->past, TarnInput, k));
  publish (self, &self->view,
           tarn_run_painter_frame (self->painter, self->attempt, &self->view));
}

static gpointer
live (gpointer data)
{
  TarnRun *self = data;
  if (self->past != NULL)
    relive (self);
  Batch batch = { .inputs = g_array_new (FALSE, FALSE, sizeof (TarnInput)) };

  for (;;)
    {
      g_mutex_lock (&self->lock);
      self->busy = FALSE;
      g_cond_broadcast (&self->rested);
      while (!self->stopping && !anything_waits (self))
        g_cond_wait (&self->wake, &self->lock);
      bool stopping = self->stopping;
      GArray *empty = batch.inputs;
      batch = (Batch){ self->inputs, self->ticks, self->works, self->view };
      self->inputs = empty;
      self->ticks = 0;
      self->look = FALSE;
      g_queue_init (&self->works);
      self->busy = TRUE;
      g_mutex_unlock (&self->lock);
      if (stopping)
        break;

      feed (self, &batch);
      publish (self, &batch.view,
               tarn_run_painter_frame (self->painter, self->attempt, &batch.view));
      if (batch.ticks == 0 && batch.inputs->len > 0)
        work_ahead (self);
      do_works (self, &batch.works, FALSE);
      g_array_set_size (batch.inputs, 0);
    }
  do_works (self, &batch.works, TRUE);
  g_array_unref (batch.inputs);
  return NULL;
}

/* ---- The main thread's side ---- */

static void
reading_clear (gpointer data)
{
  g_clear_pointer (&((TarnRunReading *)data)->grey, g_bytes_unref);
}

static void
tarn_run_init (TarnRun *self)
{
  g_mutex_init (&self->lock);
  g_cond_init (&self->wake);
  g_cond_init (&self->rested);
  self->inputs = g_array_new (FALSE, FALSE, sizeof (TarnInput));
  self->log = g_array_new (FALSE, FALSE, sizeof (TarnInput));
  self->readings = g_array_new (FALSE, FALSE, sizeof (TarnRunReading));
  g_array_set_clear_func (self->readings, reading_clear);
  self->films = g_ptr_array_new_with_free_func (g_free);
}

TarnRun *
tarn_run_new (const TarnPatient *patient, const TarnAttemptSetup *setup, GError **error)
{
  return tarn_run_new_again (patient, setup, NULL, error);
}

TarnRun *
tarn_run_new_again (const TarnPatient *patient, const TarnAttemptSetup *setup, GArray *inputs,
                    GError **error)
{
  g_autoptr (TarnRun) self = g_object_new (TARN_TYPE_RUN, NULL);
  TarnProblem problem = { .text = "" };

  self->setup = *setup;
  if (setup->parallel == NULL)
    {
      self->pool
          = tarn_thread_pool_new ((int)CLAMP (g_get_num_processors (), 1, TARN_THREADS_MAX));
      if (self->pool != NULL)
        self->setup.parallel = tarn_thread_pool_parallel (self->pool);
    }
  TarnStatus status = tarn_attempt_new (patient, &self->setup, &self->attempt, &problem);
  if (status == TARN_OK)
    self->painter = tarn_run_painter_new (setup->plain);
  if (status == TARN_OK && self->painter == NULL)
    status = TARN_NO_MEMORY;
  if (status != TARN_OK)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "%s",
                   problem.text[0] != '\0' ? problem.text : tarn_status_text (status));
      return NULL;
    }
  self->patient = tarn_attempt_patient (self->attempt);
  self->last = *tarn_attempt_bedside (self->attempt);
  self->newest = tarn_run_painter_frame (self->painter, self->attempt, &self->view);
  self->past = inputs != NULL ? g_array_ref (inputs) : NULL;
  self->busy = TRUE;
  self->thread = g_thread_new ("attempt", live, self);
  return g_steal_pointer (&self);
}

void
tarn_run_stop (TarnRun *self)
{
  if (self->thread == NULL)
    return;
  g_mutex_lock (&self->lock);
  self->stopping = TRUE;
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
  g_thread_join (g_steal_pointer (&self->thread));
}

static void
tarn_run_dispose (GObject *object)
{
  tarn_run_stop (TARN_RUN (object));
  G_OBJECT_CLASS (tarn_run_parent_class)->dispose (object);
}

static void
tarn_run_finalize (GObject *object)
{
  TarnRun *self = TARN_RUN (object);
  g_clear_pointer (&self->newest, tarn_run_frame_unref);
  tarn_run_coach_free (self->coach);
  tarn_run_painter_free (self->painter);
  g_clear_pointer (&self->past, g_array_unref);
  g_array_unref (self->inputs);
  g_array_unref (self->log);
  g_array_unref (self->readings);
  g_ptr_array_unref (self->films);
  tarn_attempt_free (self->attempt);
  tarn_thread_pool_free (self->pool);
  g_mutex_clear (&self->lock);
  g_cond_clear (&self->wake);
  g_cond_clear (&self->rested);
  G_OBJECT_CLASS (tarn_run_parent_class)->finalize (object);
}

static void
tarn_run_class_init (TarnRunClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  object_class->dispose = tarn_run_dispose;
  object_class->finalize = tarn_run_finalize;

  signals[SIGNAL_READING] = g_signal_new ("reading", TARN_TYPE_RUN, G_SIGNAL_RUN_LAST, 0, NULL,
                                          NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT);
  signals[SIGNAL_REFUSED] = g_signal_new ("refused", TARN_TYPE_RUN, G_SIGNAL_RUN_LAST, 0, NULL,
                                          NULL, NULL, G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_INT);
  signals[SIGNAL_VOICE] = g_signal_new ("voice", TARN_TYPE_RUN, G_SIGNAL_RUN_LAST, 0, NULL,
                                        NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT);
  signals[SIGNAL_ANSWER] = g_signal_new ("answer", TARN_TYPE_RUN, G_SIGNAL_RUN_LAST, 0, NULL,
                                         NULL, NULL, G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_INT);
}

const TarnPatient *
tarn_run_patient (TarnRun *self)
{
  return self->patient;
}

TarnMode
tarn_run_mode (TarnRun *self)
{
  return self->setup.mode;
}

uint64_t
tarn_run_seed (TarnRun *self)
{
  return self->setup.seed;
}

void
tarn_run_input (TarnRun *self, const TarnInput *input)
{
  g_mutex_lock (&self->lock);
  TarnInput *last = self->inputs->len > 0
                        ? &g_array_index (self->inputs, TarnInput, self->inputs->len - 1)
                        : NULL;
  if (last != NULL && input->kind == TARN_INPUT_HAND && last->kind == TARN_INPUT_HAND)
    *last = *input;
  else
    g_array_append_vals (self->inputs, input, 1);
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
}

void
tarn_run_advance (TarnRun *self, gint64 time_us)
{
  double ticks = self->carry;
  if (self->time_us != 0)
    ticks += (double)(time_us - self->time_us) * TARN_TICKS_PER_SECOND / G_USEC_PER_SEC;
  self->time_us = time_us;
  int whole = (int)CLAMP (ticks + 0.05, 0, CATCH_UP_TICKS);
  self->carry = CLAMP (ticks - whole, -1, 1);

  g_mutex_lock (&self->lock);
  self->ticks = MIN (self->ticks + whole, CATCH_UP_TICKS);
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
}

void
tarn_run_pause (TarnRun *self)
{
  self->time_us = 0;
  self->carry = 0;
}

void
tarn_run_advance_ticks (TarnRun *self, int ticks)
{
  g_mutex_lock (&self->lock);
  self->ticks += ticks;
  self->look = TRUE;
  self->busy = TRUE;
  g_cond_signal (&self->wake);
  while (self->busy || anything_waits (self))
    g_cond_wait (&self->rested, &self->lock);
  g_mutex_unlock (&self->lock);
}

gboolean
tarn_run_is_rested (TarnRun *self)
{
  g_mutex_lock (&self->lock);
  gboolean rested = !self->busy && !anything_waits (self);
  g_mutex_unlock (&self->lock);
  return rested;
}

TarnRunFrame *
tarn_run_frame (TarnRun *self)
{
  g_mutex_lock (&self->lock);
  TarnRunFrame *frame = tarn_run_frame_ref (self->newest);
  g_mutex_unlock (&self->lock);
  return frame;
}

void
tarn_run_set_paper (TarnRun *self, const TarnRunPaper *paper)
{
  g_mutex_lock (&self->lock);
  self->view.paper = *paper;
  self->look = TRUE;
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
}

void
tarn_run_set_scene (TarnRun *self, unsigned wanted)
{
  g_mutex_lock (&self->lock);
  self->view.scene = wanted;
  self->look = TRUE;
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
}

int
tarn_run_readings (TarnRun *self)
{
  g_mutex_lock (&self->lock);
  int readings = (int)self->readings->len;
  g_mutex_unlock (&self->lock);
  return readings;
}

void
tarn_run_reading (TarnRun *self, int index, TarnRunReading *reading)
{
  g_mutex_lock (&self->lock);
  g_assert (index >= 0 && index < (int)self->readings->len);
  *reading = g_array_index (self->readings, TarnRunReading, index);
  g_mutex_unlock (&self->lock);
}

gboolean
tarn_run_work (TarnRun *self, GTask *task, TarnRunWork work)
{
  gboolean already = FALSE;
  g_mutex_lock (&self->lock);
  for (GList *link = self->works.head; link != NULL; link = link->next)
    already = already || ((Work *)link->data)->work == work;
  if (!already)
    {
      Work *added = g_new (Work, 1);
      *added = (Work){ task, work };
      g_queue_push_tail (&self->works, added);
      g_cond_signal (&self->wake);
    }
  g_mutex_unlock (&self->lock);
  return !already;
}

GArray *
tarn_run_log (TarnRun *self)
{
  g_mutex_lock (&self->lock);
  GArray *log = g_array_copy (self->log);
  g_mutex_unlock (&self->lock);
  return log;
}

uint64_t
tarn_run_digest (TarnRun *self)
{
  tarn_run_advance_ticks (self, 0);
  return tarn_attempt_digest (self->attempt);
}
