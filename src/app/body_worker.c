/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The thread behind the plain 3-D view.  The painter's own picture is copied for each frame:
 * what has been handed over may still be on its way to the screen. */
#include "app/body_worker.h"

#include "app/body_painter.h"
#include "app/graphics.h"

#include <string.h>

struct TarnBodyWorker
{
  GThread *thread;
  GSourceFunc done;
  gpointer data;

  GMutex lock;
  GCond wake;
  gboolean stopping, wished;
  TarnBodyWish wish;
  cairo_surface_t *newest;
  guint idle_id; /* of the news on its way to the main thread */
};

static cairo_surface_t *
copy_of (cairo_surface_t *from)
{
  int width = cairo_image_surface_get_width (from),
      height = cairo_image_surface_get_height (from);
  cairo_surface_t *copy = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  if (cairo_surface_status (copy) != CAIRO_STATUS_SUCCESS)
    return copy;
  cairo_surface_flush (from);
  memcpy (cairo_image_surface_get_data (copy), cairo_image_surface_get_data (from),
          (size_t)height * (size_t)cairo_image_surface_get_stride (copy));
  cairo_surface_mark_dirty (copy);
  return copy;
}

static gboolean
tell (gpointer data)
{
  TarnBodyWorker *worker = data;
  g_mutex_lock (&worker->lock);
  worker->idle_id = 0;
  g_mutex_unlock (&worker->lock);
  worker->done (worker->data);
  return G_SOURCE_REMOVE;
}

static void
publish (TarnBodyWorker *worker, cairo_surface_t *picture)
{
  g_mutex_lock (&worker->lock);
  cairo_surface_t *before = worker->newest;
  worker->newest = picture;
  if (worker->idle_id == 0 && !worker->stopping)
    worker->idle_id = g_idle_add_full (G_PRIORITY_DEFAULT, tell, worker, NULL);
  g_mutex_unlock (&worker->lock);
  g_clear_pointer (&before, cairo_surface_destroy);
}

static gpointer
paint (gpointer data)
{
  TarnBodyWorker *worker = data;
  TarnBodyPainter *painter = tarn_body_painter_new ();
  tarn_graphics_step_back ();

  for (;;)
    {
      g_mutex_lock (&worker->lock);
      while (!worker->wished && !worker->stopping)
        g_cond_wait (&worker->wake, &worker->lock);
      gboolean stopping = worker->stopping;
      TarnBodyWish wish = worker->wish;
      worker->wish.picture = NULL;
      worker->wished = FALSE;
      g_mutex_unlock (&worker->lock);

      const TarnSceneMesh *mesh
          = wish.picture != NULL ? tarn_scene_picture_mesh (wish.picture) : NULL;
      cairo_surface_t *picture
          = stopping ? NULL
                     : tarn_body_painter_paint (painter, mesh, wish.matrix, wish.eye_mm,
                                                wish.width, wish.height);
      if (picture != NULL)
        publish (worker, copy_of (picture));
      g_clear_pointer (&wish.picture, tarn_scene_picture_unref);
      if (stopping)
        break;
    }
  tarn_body_painter_free (painter);
  return NULL;
}

TarnBodyWorker *
tarn_body_worker_new (GSourceFunc done, gpointer data)
{
  TarnBodyWorker *worker = g_new0 (TarnBodyWorker, 1);
  worker->done = done;
  worker->data = data;
  g_mutex_init (&worker->lock);
  g_cond_init (&worker->wake);
  worker->thread = g_thread_new ("patient", paint, worker);
  return worker;
}

void
tarn_body_worker_free (TarnBodyWorker *worker)
{
  if (worker == NULL)
    return;
  g_mutex_lock (&worker->lock);
  worker->stopping = TRUE;
  g_cond_signal (&worker->wake);
  g_mutex_unlock (&worker->lock);
  g_thread_join (worker->thread);
  g_clear_handle_id (&worker->idle_id, g_source_remove);
  g_clear_pointer (&worker->wish.picture, tarn_scene_picture_unref);
  g_clear_pointer (&worker->newest, cairo_surface_destroy);
  g_mutex_clear (&worker->lock);
  g_cond_clear (&worker->wake);
  g_free (worker);
}

void
tarn_body_worker_wish (TarnBodyWorker *worker, const TarnBodyWish *wish)
{
  if (wish->picture != NULL)
    tarn_scene_picture_ref (wish->picture);
  g_mutex_lock (&worker->lock);
  TarnScenePicture *before = worker->wish.picture;
  worker->wish = *wish;
  worker->wished = TRUE;
  g_cond_signal (&worker->wake);
  g_mutex_unlock (&worker->lock);
  g_clear_pointer (&before, tarn_scene_picture_unref);
}

cairo_surface_t *
tarn_body_worker_picture (TarnBodyWorker *worker)
{
  g_mutex_lock (&worker->lock);
  cairo_surface_t *picture
      = worker->newest != NULL ? cairo_surface_reference (worker->newest) : NULL;
  g_mutex_unlock (&worker->lock);
  return picture;
}
