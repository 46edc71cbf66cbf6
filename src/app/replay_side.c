/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/replay_side.h"

#include "app/body_view.h"
#include "app/chosen_units.h"
#include "app/plane_view.h"
#include "app/replay_words.h"

#include <glib/gi18n.h>

struct _TarnReplaySide
{
  GtkWidget parent;
  GtkWidget *box, *heading, *views, *facts;
  TarnBodyView *body;
  TarnPlaneView *plane;
  TarnReplayPlayer *player;
  TarnRunFrame *frame;
};

G_DEFINE_FINAL_TYPE (TarnReplaySide, tarn_replay_side, GTK_TYPE_WIDGET)

static guint changed_signal;

static void
on_frame (TarnReplayPlayer *player, TarnReplaySide *self)
{
  g_autoptr (TarnRunFrame) frame = tarn_replay_player_frame (player);
  g_autofree char *text = tarn_words_replay_moment (&frame->bedside);
  g_clear_pointer (&self->frame, tarn_run_frame_unref);
  self->frame = tarn_run_frame_ref (frame);
  tarn_plane_view_set_frame (self->plane, frame);
  tarn_body_view_set_scene (self->body, frame->scene);
  gtk_label_set_text (GTK_LABEL (self->facts), text);
}

static void
on_changed (TarnReplaySide *self)
{
  g_signal_emit (self, changed_signal, 0);
}

static void
on_paper_changed (TarnReplaySide *self)
{
  if (self->player == NULL)
    return;
  TarnRunPaper paper = tarn_plane_view_paper (self->plane);
  paper.millimetres = tarn_chosen_units ().millimetres;
  tarn_replay_player_set_paper (self->player, &paper);
}

static void
wish_for_scene (TarnReplaySide *self)
{
  gboolean wanted = gtk_widget_get_visible (GTK_WIDGET (self->body));
  if (self->player != NULL)
    tarn_replay_player_set_scene (
        self->player, wanted ? TARN_RUN_SCENE | TARN_RUN_UNCOVERED | TARN_RUN_SECTOR : 0);
}

static void
let_go (TarnReplaySide *self)
{
  if (self->player == NULL)
    return;
  g_signal_handlers_disconnect_by_data (self->player, self);
  tarn_replay_player_stop (self->player);
  g_clear_object (&self->player);
  g_clear_pointer (&self->frame, tarn_run_frame_unref);
}

void
tarn_replay_side_set_player (TarnReplaySide *self, TarnReplayPlayer *player)
{
  let_go (self);
  tarn_plane_view_set_frame (self->plane, NULL);
  tarn_body_view_set_scene (self->body, NULL);
  gtk_label_set_text (GTK_LABEL (self->facts), "");
  if (player == NULL)
    return;
  self->player = g_object_ref (player);
  g_signal_connect (player, "frame", G_CALLBACK (on_frame), self);
  g_signal_connect_swapped (player, "changed", G_CALLBACK (on_changed), self);
  on_paper_changed (self);
  wish_for_scene (self);
  tarn_replay_player_seek (player, 0);
}

TarnReplayPlayer *
tarn_replay_side_player (TarnReplaySide *self)
{
  return self->player;
}

void
tarn_replay_side_set_heading (TarnReplaySide *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->heading), text != NULL ? text : "");
  gtk_widget_set_visible (self->heading, text != NULL);
}

void
tarn_replay_side_show_parts (TarnReplaySide *self, gboolean patient, gboolean plane)
{
  gtk_widget_set_visible (GTK_WIDGET (self->body), patient || !plane);
  gtk_widget_set_visible (GTK_WIDGET (self->plane), plane);
  wish_for_scene (self);
}

const TarnBedside *
tarn_replay_side_bedside (TarnReplaySide *self)
{
  return self->frame != NULL ? &self->frame->bedside : NULL;
}

const char *
tarn_replay_side_text (TarnReplaySide *self)
{
  return gtk_label_get_text (GTK_LABEL (self->facts));
}

static void
tarn_replay_side_dispose (GObject *object)
{
  TarnReplaySide *self = TARN_REPLAY_SIDE (object);
  let_go (self);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (tarn_replay_side_parent_class)->dispose (object);
}

static void
tarn_replay_side_class_init (TarnReplaySideClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_replay_side_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  changed_signal = g_signal_new ("changed", TARN_TYPE_REPLAY_SIDE, G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 0);
}

static GtkWidget *
label_new (const char *css_class)
{
  GtkWidget *label = gtk_label_new ("");
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_add_css_class (label, css_class);
  return label;
}

static void
tarn_replay_side_init (TarnReplaySide *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  self->views = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  self->heading = label_new ("tarn-heading");
  self->facts = label_new ("tarn-quiet");
  self->body = TARN_BODY_VIEW (tarn_body_view_new ());
  self->plane = TARN_PLANE_VIEW (tarn_plane_view_new ());
  gtk_widget_set_visible (self->heading, FALSE);
  /* Two lines always, so that nothing below moves while time goes on. */
  gtk_label_set_lines (GTK_LABEL (self->facts), 2);
  gtk_label_set_ellipsize (GTK_LABEL (self->facts), PANGO_ELLIPSIZE_END);
  gtk_label_set_width_chars (GTK_LABEL (self->facts), 30);
  gtk_label_set_yalign (GTK_LABEL (self->facts), 0);
  gtk_widget_set_size_request (self->facts, -1, 40);
  gtk_box_set_homogeneous (GTK_BOX (self->views), TRUE);
  gtk_widget_set_vexpand (self->views, TRUE);
  gtk_widget_set_hexpand (self->views, TRUE);
  gtk_box_append (GTK_BOX (self->views), GTK_WIDGET (self->body));
  gtk_box_append (GTK_BOX (self->views), GTK_WIDGET (self->plane));
  gtk_box_append (GTK_BOX (self->box), self->heading);
  gtk_box_append (GTK_BOX (self->box), self->views);
  gtk_box_append (GTK_BOX (self->box), self->facts);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  g_signal_connect_swapped (self->plane, "paper-changed", G_CALLBACK (on_paper_changed), self);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("The attempt at this moment"), -1);
}

GtkWidget *
tarn_replay_side_new (void)
{
  return g_object_new (TARN_TYPE_REPLAY_SIDE, NULL);
}
