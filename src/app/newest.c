/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whoever replaces a wish or a result lets go of the one before it, outside the lock. */
#include "app/newest.h"

#include "app/graphics.h"

struct TarnNewest
{
  const TarnNewestWork *work;
  GThread *thread;
  GSourceFunc done;
  gpointer data;

  GMutex lock;
  GCond wake;
  gboolean stopping;
  gpointer wish;  /* NULL: none waits */
  gint64 calm_us; /* when the wish may be begun */
  gpointer newest;
  guint idle_id; /* of the news on its way to the main thread */

  gint overtaken; /* atomic */
};

/* ---- The thread's side ---- */

gboolean
tarn_newest_overtaken (TarnNewest *self)
{
  return g_atomic_int_get (&self->overtaken);
}

static gboolean
on_news (gpointer data)
{
  TarnNewest *self = data;
  g_mutex_lock (&self->lock);
  self->idle_id = 0;
  g_mutex_unlock (&self->lock);
  self->done (self->data);
  return G_SOURCE_REMOVE;
}

void
tarn_newest_tell (TarnNewest *self, gpointer result)
{
  gpointer dropped = result;
  g_mutex_lock (&self->lock);
  if (!self->stopping && !(self->work->only_fresh && tarn_newest_overtaken (self)))
    {
      dropped = self->newest;
      self->newest = result;
      if (self->idle_id == 0)
        self->idle_id = g_idle_add_full (G_PRIORITY_DEFAULT, on_news, self, NULL);
    }
  g_mutex_unlock (&self->lock);
  if (dropped != NULL)
    self->work->result_unref (dropped);
}

/* The wish that is to be worked on now; NULL at the end. */
static gpointer
next_wish (TarnNewest *self)
{
  g_mutex_lock (&self->lock);
  while (!self->stopping)
    if (self->wish == NULL)
      g_cond_wait (&self->wake, &self->lock);
    else if (g_get_monotonic_time () < self->calm_us)
      g_cond_wait_until (&self->wake, &self->lock, self->calm_us);
    else
      break;
  gpointer wish = self->stopping ? NULL : g_steal_pointer (&self->wish);
  if (wish != NULL)
    g_atomic_int_set (&self->overtaken, FALSE);
  g_mutex_unlock (&self->lock);
  return wish;
}

static gpointer
live (gpointer data)
{
  TarnNewest *self = data;
  const TarnNewestWork *work = self->work;
  if (work->steps_back)
    tarn_graphics_step_back ();
  gpointer bench = work->bench_new != NULL ? work->bench_new () : NULL;
  for (gpointer wish; (wish = next_wish (self)) != NULL; work->wish_free (wish))
    work->work (self, bench, wish);
  if (work->bench_free != NULL)
    work->bench_free (bench);
  return NULL;
}

/* ---- The main thread's side ---- */

TarnNewest *
tarn_newest_new (const TarnNewestWork *work, GSourceFunc done, gpointer data)
{
  TarnNewest *self = g_new0 (TarnNewest, 1);
  self->work = work;
  self->done = done;
  self->data = data;
  g_mutex_init (&self->lock);
  g_cond_init (&self->wake);
  self->thread = g_thread_new (work->name, live, self);
  return self;
}

void
tarn_newest_free (TarnNewest *self)
{
  if (self == NULL)
    return;
  g_mutex_lock (&self->lock);
  self->stopping = TRUE;
  g_atomic_int_set (&self->overtaken, TRUE);
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
  g_thread_join (self->thread);
  g_clear_handle_id (&self->idle_id, g_source_remove);
  g_clear_pointer (&self->wish, self->work->wish_free);
  g_clear_pointer (&self->newest, self->work->result_unref);
  g_mutex_clear (&self->lock);
  g_cond_clear (&self->wake);
  g_free (self);
}

static void
replace_wish (TarnNewest *self, gpointer wish, gint64 calm_us)
{
  g_mutex_lock (&self->lock);
  gpointer before = self->wish;
  self->wish = wish;
  self->calm_us = g_get_monotonic_time () + calm_us;
  g_atomic_int_set (&self->overtaken, TRUE);
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
  if (before != NULL)
    self->work->wish_free (before);
}

void
tarn_newest_wish (TarnNewest *self, gpointer wish, gint64 calm_us)
{
  g_return_if_fail (wish != NULL);
  replace_wish (self, wish, calm_us);
}

void
tarn_newest_rest (TarnNewest *self)
{
  replace_wish (self, NULL, 0);
}

gpointer
tarn_newest_result (TarnNewest *self)
{
  g_mutex_lock (&self->lock);
  gpointer result = self->newest != NULL ? self->work->result_ref (self->newest) : NULL;
  g_mutex_unlock (&self->lock);
  return result;
}
