/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One task at a time has the scene; the maker lives until it is both let go and done. */
#include "app/debrief_fates.h"

struct TarnFatesMaker
{
  TarnDebrief *debrief;
  GObject *keeps;
  TarnFatesDone done; /* NULL once it is let go */
  gpointer data;
  gboolean busy, wished;
  TarnFatesView wish;

  /* The task's while it is busy. */
  TarnFatesScene *scene;
  TarnFatesView view;
  double ml[TARN_FATES_PARTS];
};

static void
really_free (TarnFatesMaker *self)
{
  tarn_fates_scene_free (self->scene);
  tarn_debrief_unref (self->debrief);
  g_clear_object (&self->keeps);
  g_free (self);
}

static void
make (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  (void)source;
  (void)cancellable;
  TarnFatesMaker *self = data;
  TarnScenePicture *picture = NULL;
  if (self->scene != NULL && tarn_fates_scene_update (self->scene, &self->view) == TARN_OK)
    {
      TarnSceneMesh mesh = tarn_fates_scene_mesh (self->scene);
      picture = tarn_scene_picture_new (&mesh);
      tarn_fates_scene_volumes (self->scene, self->ml);
    }
  g_task_return_pointer (task, picture, (GDestroyNotify)tarn_scene_picture_unref);
}

static void start (TarnFatesMaker *self);

static void
on_made (GObject *source, GAsyncResult *result, gpointer data)
{
  (void)source;
  TarnFatesMaker *self = data;
  TarnScenePicture *picture = g_task_propagate_pointer (G_TASK (result), NULL);
  self->busy = FALSE;
  if (self->done != NULL && self->wished)
    start (self);
  if (self->done != NULL)
    self->done (picture, self->ml, self->data);
  g_clear_pointer (&picture, tarn_scene_picture_unref);
  if (self->done == NULL && !self->busy)
    really_free (self);
}

static void
start (TarnFatesMaker *self)
{
  self->busy = TRUE;
  self->wished = FALSE;
  self->view = self->wish;
  g_autoptr (GTask) task = g_task_new (NULL, NULL, on_made, self);
  g_task_set_task_data (task, self, NULL);
  g_task_run_in_thread (task, make);
}

TarnFatesMaker *
tarn_fates_maker_new (TarnDebrief *debrief, GObject *keeps, TarnFatesDone done, gpointer data)
{
  TarnFatesMaker *self = g_new0 (TarnFatesMaker, 1);
  self->debrief = tarn_debrief_ref (debrief);
  self->keeps = keeps != NULL ? g_object_ref (keeps) : NULL;
  self->done = done;
  self->data = data;
  self->scene = tarn_fates_scene_new ();
  return self;
}

void
tarn_fates_maker_free (TarnFatesMaker *self)
{
  if (self == NULL)
    return;
  self->done = NULL;
  if (!self->busy)
    really_free (self);
}

void
tarn_fates_maker_wish (TarnFatesMaker *self, unsigned hidden, gboolean skin, gboolean bones,
                       gboolean fan)
{
  self->wish = (TarnFatesView){ .body = self->debrief->body,
                                .view = self->debrief->view,
                                .hidden = hidden,
                                .skin = skin,
                                .bones = bones,
                                .fan = fan };
  self->wished = TRUE;
  if (!self->busy)
    start (self);
}
