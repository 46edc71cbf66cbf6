/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/replay_page.h"

struct _TarnReplayPage
{
  GtkWidget parent;
  TarnRun *run;
};

G_DEFINE_FINAL_TYPE (TarnReplayPage, tarn_replay_page, GTK_TYPE_WIDGET)

void
tarn_replay_page_show (TarnReplayPage *self, TarnRun *run)
{
  g_set_object (&self->run, run);
}

void
tarn_replay_page_clear (TarnReplayPage *self)
{
  g_clear_object (&self->run);
}

void
tarn_replay_page_forget (TarnReplayPage *self)
{
  tarn_replay_page_clear (self);
}

void
tarn_replay_page_seek (TarnReplayPage *self, uint32_t tick)
{
  (void)self;
  (void)tick;
}

void
tarn_replay_page_compare_file (TarnReplayPage *self, GFile *file)
{
  (void)self;
  (void)file;
}

static void
tarn_replay_page_dispose (GObject *object)
{
  tarn_replay_page_clear (TARN_REPLAY_PAGE (object));
  G_OBJECT_CLASS (tarn_replay_page_parent_class)->dispose (object);
}

static void
tarn_replay_page_class_init (TarnReplayPageClass *class)
{
  G_OBJECT_CLASS (class)->dispose = tarn_replay_page_dispose;
}

static void
tarn_replay_page_init (TarnReplayPage *self)
{
  (void)self;
}

GtkWidget *
tarn_replay_page_new (void)
{
  return g_object_new (TARN_TYPE_REPLAY_PAGE, NULL);
}
