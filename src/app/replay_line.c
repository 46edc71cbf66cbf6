/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The drawing is report/timeline.h's; here it gets its words, and pointers are followed. */
#include "app/replay_line.h"

#include "app/ledger_view.h"
#include "app/replay_words.h"
#include "report/timeline.h"

#include <glib/gi18n.h>

#define WIDTH_LEAST   320
#define WIDTH_NATURAL 900

struct _TarnReplayLine
{
  GtkWidget parent;
  TarnReplayKnown known;
  GPtrArray *words; /* of each mark; not owned */
  double from_s, to_s, now_s;
  gboolean compact;
};

G_DEFINE_FINAL_TYPE (TarnReplayLine, tarn_replay_line, GTK_TYPE_WIDGET)

static guint seek_signal;

#define SECONDS(tick) ((double)(tick) / TARN_TICKS_PER_SECOND)

/* The last mark at or before now; -1: none. */
static int
chosen_mark (const TarnReplayLine *self)
{
  int chosen = -1;
  for (guint k = 0; self->known.marks != NULL && k < self->known.marks->len; k++)
    if (SECONDS (g_array_index (self->known.marks, TarnReplayMark, k).tick)
        <= self->now_s + 1e-6)
      chosen = (int)k;
  return chosen;
}

static TarnTimelinePicture
picture_of (TarnReplayLine *self)
{
  const TarnReplayKnown *known = &self->known;
  gboolean any = known->marks != NULL;
  double last_s = SECONDS (known->last_tick);
  gboolean all = self->to_s <= self->from_s;
  return (TarnTimelinePicture){
    .from_s = all ? 0 : self->from_s,
    .to_s = all ? MAX (last_s, 1) : self->to_s,
    .last_s = last_s,
    .ready_s = known->complete ? last_s : SECONDS (known->ready_tick),
    .now_s = self->now_s,
    .marks = any ? (int)known->marks->len : 0,
    .mark = any ? (const TarnReplayMark *)(const void *)known->marks->data : NULL,
    .word = (const char *const *)self->words->pdata,
    .chosen = chosen_mark (self),
    .samples = any ? (int)known->samples->len : 0,
    .sample_s = SECONDS (known->sample_ticks),
    .sample = any ? (const TarnReplaySample *)(const void *)known->samples->data : NULL,
    .comfort_n = known->comfort_n,
    .compact = self->compact,
    .skin_name = _ ("On the skin"),
    .force_name = _ ("Force"),
    .gel_name = _ ("Gel near"),
    .still_name = _ ("Off its place"),
    .breath_name = _ ("Breath"),
    .sweep_word = _ ("sweep"),
    .frozen_word = _ ("frozen"),
    .comfort_word = _ ("comfort"),
    .waiting = _ ("getting ready…"),
  };
}

static void
tarn_replay_line_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TarnReplayLine *self = TARN_REPLAY_LINE (widget);
  double width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  graphene_rect_t bounds = GRAPHENE_RECT_INIT (0, 0, (float)width, (float)height);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  TarnPaper paper = tarn_paper_of_widget (widget);
  TarnTimelinePicture picture = picture_of (self);
  tarn_timeline_draw (cr, width, height, &picture, &paper);
  cairo_destroy (cr);
}

static void
tarn_replay_line_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                          int *minimum, int *natural, int *minimum_baseline,
                          int *natural_baseline)
{
  TarnReplayLine *self = TARN_REPLAY_LINE (widget);
  TarnPaper paper = tarn_paper_of_widget (widget);
  TarnTimelinePicture picture = picture_of (self);
  int height = (int)tarn_timeline_height (&picture, &paper) + 1;
  (void)for_size;
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH_LEAST : height;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH_NATURAL : height;
  *minimum_baseline = *natural_baseline = -1;
}

/* ---- Pointer ---- */

static void
seek_to (TarnReplayLine *self, double x)
{
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (self));
  TarnTimelinePicture picture = picture_of (self);
  g_signal_emit (
      self, seek_signal, 0,
      tarn_timeline_seconds (&picture, gtk_widget_get_width (GTK_WIDGET (self)), x, &paper));
}

static void
on_drag_begin (GtkGestureDrag *gesture, double x, double y, TarnReplayLine *self)
{
  TarnPaper paper = tarn_paper_of_widget (GTK_WIDGET (self));
  TarnTimelinePicture picture = picture_of (self);
  int mark = tarn_timeline_mark_at (&picture, gtk_widget_get_width (GTK_WIDGET (self)), x, y,
                                    &paper);
  (void)gesture;
  gtk_widget_grab_focus (GTK_WIDGET (self));
  if (mark >= 0)
    g_signal_emit (self, seek_signal, 0, SECONDS (picture.mark[mark].tick));
  else
    seek_to (self, x);
}

static void
on_drag_update (GtkGestureDrag *gesture, double dx, double dy, TarnReplayLine *self)
{
  double x = 0, y = 0;
  (void)dy;
  if (dx != 0 && gtk_gesture_drag_get_start_point (gesture, &x, &y))
    seek_to (self, x + dx);
}

/* ---- What it shows ---- */

void
tarn_replay_line_set_known (TarnReplayLine *self, const TarnReplayKnown *known)
{
  tarn_replay_known_clear (&self->known);
  g_ptr_array_set_size (self->words, 0);
  if (known != NULL)
    {
      self->known = *known;
      self->known.problem = NULL;
      self->known.marks = g_array_copy (known->marks);
      self->known.samples = g_array_copy (known->samples);
      self->known.readings = g_array_copy (known->readings);
      for (guint k = 0; k < known->marks->len; k++)
        g_ptr_array_add (self->words,
                         (gpointer)tarn_words_replay_short (
                             g_array_index (known->marks, TarnReplayMark, k).kind));
      gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_VALUE_MAX,
                                      SECONDS (known->last_tick), -1);
    }
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
tarn_replay_line_set_stretch (TarnReplayLine *self, double from_s, double to_s)
{
  self->from_s = from_s;
  self->to_s = to_s;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
tarn_replay_line_set_compact (TarnReplayLine *self, gboolean compact)
{
  self->compact = compact;
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

void
tarn_replay_line_set_now (TarnReplayLine *self, double seconds, const char *text)
{
  self->now_s = seconds;
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_VALUE_NOW,
                                  seconds, GTK_ACCESSIBLE_PROPERTY_VALUE_TEXT, text, -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* ---- The class ---- */

static void
tarn_replay_line_finalize (GObject *object)
{
  TarnReplayLine *self = TARN_REPLAY_LINE (object);
  tarn_replay_known_clear (&self->known);
  g_ptr_array_unref (self->words);
  G_OBJECT_CLASS (tarn_replay_line_parent_class)->finalize (object);
}

static void
tarn_replay_line_class_init (TarnReplayLineClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->finalize = tarn_replay_line_finalize;
  widget_class->snapshot = tarn_replay_line_snapshot;
  widget_class->measure = tarn_replay_line_measure;
  gtk_widget_class_set_css_name (widget_class, "replayline");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_SLIDER);
  seek_signal = g_signal_new ("seek", TARN_TYPE_REPLAY_LINE, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                              NULL, G_TYPE_NONE, 1, G_TYPE_DOUBLE);
}

static void
tarn_replay_line_init (TarnReplayLine *self)
{
  GtkGesture *drag = gtk_gesture_drag_new ();
  self->words = g_ptr_array_new ();
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  g_signal_connect_object (drag, "drag-begin", G_CALLBACK (on_drag_begin), self, 0);
  g_signal_connect_object (drag, "drag-update", G_CALLBACK (on_drag_update), self, 0);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Time line"), GTK_ACCESSIBLE_PROPERTY_VALUE_MIN, 0.0, -1);
}

GtkWidget *
tarn_replay_line_new (void)
{
  return g_object_new (TARN_TYPE_REPLAY_LINE, NULL);
}
