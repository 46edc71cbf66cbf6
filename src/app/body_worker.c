/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The thread behind the plain 3-D view.  The painter's own picture is copied for each frame:
 * what has been handed over may still be on its way to the screen. */
#include "app/body_worker.h"

#include "app/body_painter.h"

#include <string.h>

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

static void
paint (TarnNewest *newest, gpointer painter, gconstpointer data)
{
  const TarnBodyWish *wish = data;
  const TarnSceneMesh *mesh
      = wish->picture != NULL ? tarn_scene_picture_mesh (wish->picture) : NULL;
  cairo_surface_t *picture = tarn_body_painter_paint (painter, mesh, wish->matrix, wish->eye_mm,
                                                      wish->width, wish->height);
  if (picture != NULL)
    tarn_newest_tell (newest, copy_of (picture));
}

static gpointer
painter_new (void)
{
  return tarn_body_painter_new ();
}

static void
painter_free (gpointer painter)
{
  tarn_body_painter_free (painter);
}

static void
wish_free (gpointer data)
{
  TarnBodyWish *wish = data;
  g_clear_pointer (&wish->picture, tarn_scene_picture_unref);
  g_free (wish);
}

static gpointer
picture_ref (gpointer picture)
{
  return cairo_surface_reference (picture);
}

static void
picture_unref (gpointer picture)
{
  cairo_surface_destroy (picture);
}

static const TarnNewestWork painting = { .name = "patient",
                                         .steps_back = TRUE,
                                         .bench_new = painter_new,
                                         .bench_free = painter_free,
                                         .work = paint,
                                         .wish_free = wish_free,
                                         .result_ref = picture_ref,
                                         .result_unref = picture_unref };

TarnBodyWorker *
tarn_body_worker_new (GSourceFunc done, gpointer data)
{
  return tarn_newest_new (&painting, done, data);
}

void
tarn_body_worker_free (TarnBodyWorker *worker)
{
  tarn_newest_free (worker);
}

void
tarn_body_worker_wish (TarnBodyWorker *worker, const TarnBodyWish *wish)
{
  if (wish->picture != NULL)
    tarn_scene_picture_ref (wish->picture);
  tarn_newest_wish (worker, g_memdup2 (wish, sizeof *wish), 0);
}

cairo_surface_t *
tarn_body_worker_picture (TarnBodyWorker *worker)
{
  return tarn_newest_result (worker);
}
