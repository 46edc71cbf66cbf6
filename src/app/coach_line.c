/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/coach_line.h"

#include "app/words_advice.h"

#define STAYS_US (G_USEC_PER_SEC)
#define HOLDS_US                                                                               \
  (G_USEC_PER_SEC / 4) /* so long it must hold before it takes another's place                 \
                        */

struct _TarnCoachLine
{
  GtkWidget parent;
  GtkLabel *label;

  gboolean says;
  TarnAdvice said, next;
  gint64 said_us, next_us; /* since when */
};

G_DEFINE_FINAL_TYPE (TarnCoachLine, tarn_coach_line, GTK_TYPE_WIDGET)

static gboolean
same (const TarnAdvice *a, const TarnAdvice *b)
{
  return a->move.kind == b->move.kind && a->cue == b->cue;
}

/* Whether to do @said would now lead away from what is to be done. */
static gboolean
is_wrong (TarnMoveKind said, TarnMoveKind now)
{
  static const TarnMoveKind opposite[][2] = {
    { TARN_MOVE_SLIDE_HEAD, TARN_MOVE_SLIDE_FEET },
    { TARN_MOVE_SLIDE_LEFT, TARN_MOVE_SLIDE_RIGHT },
    { TARN_MOVE_TILT_FEET, TARN_MOVE_TILT_HEAD },
    { TARN_MOVE_LEAN_LEFT, TARN_MOVE_LEAN_RIGHT },
    { TARN_MOVE_PRESS, TARN_MOVE_EASE },
    { TARN_MOVE_DEEPER, TARN_MOVE_SHALLOWER },
  };
  if (now == TARN_MOVE_STAY || now == TARN_MOVE_EASE)
    return said != now;
  for (gsize k = 0; k < G_N_ELEMENTS (opposite); k++)
    if ((said == opposite[k][0] && now == opposite[k][1])
        || (said == opposite[k][1] && now == opposite[k][0]))
      return TRUE;
  return FALSE;
}

static void
show (TarnCoachLine *self, const char *text)
{
  if (g_str_equal (gtk_label_get_text (self->label), text))
    return;
  gtk_label_set_text (self->label, text);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->label), text);
}

void
tarn_coach_line_clear (TarnCoachLine *self)
{
  g_return_if_fail (TARN_IS_COACH_LINE (self));
  self->says = FALSE;
  self->next_us = 0;
  show (self, "");
}

static void
say (TarnCoachLine *self, const TarnAdvice *advice, double turn_rad, gint64 time_us)
{
  g_autofree char *text = tarn_words_advice_now (advice, turn_rad);
  self->says = TRUE;
  self->said = *advice;
  self->said_us = time_us;
  show (self, text);
}

void
tarn_coach_line_take (TarnCoachLine *self, const TarnRunFrame *frame, gint64 time_us)
{
  g_return_if_fail (TARN_IS_COACH_LINE (self));
  const TarnAdvice *advice = &frame->advice;
  if (!frame->has_advice)
    {
      /* While it thinks about a new body, what it said stands. */
      if (!frame->bedside.on_skin || frame->bedside.frozen || frame->bedside.sweeping)
        tarn_coach_line_clear (self);
      return;
    }
  if (self->says && same (advice, &self->said))
    {
      self->next_us = 0;
      return;
    }
  if (self->next_us == 0 || !same (advice, &self->next))
    {
      self->next = *advice;
      self->next_us = time_us;
    }
  gboolean may = !self->says || time_us - self->said_us >= STAYS_US
                 || is_wrong (self->said.move.kind, advice->move.kind);
  if (may && (time_us - self->next_us >= HOLDS_US || !self->says))
    say (self, advice, frame->advice_turn_rad, time_us);
}

const char *
tarn_coach_line_text (TarnCoachLine *self)
{
  g_return_val_if_fail (TARN_IS_COACH_LINE (self), "");
  return gtk_label_get_text (self->label);
}

static void
tarn_coach_line_dispose (GObject *object)
{
  TarnCoachLine *self = TARN_COACH_LINE (object);
  if (self->label != NULL)
    gtk_widget_unparent (GTK_WIDGET (self->label));
  self->label = NULL;
  G_OBJECT_CLASS (tarn_coach_line_parent_class)->dispose (object);
}

static void
tarn_coach_line_class_init (TarnCoachLineClass *class)
{
  G_OBJECT_CLASS (class)->dispose = tarn_coach_line_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (class), GTK_TYPE_BIN_LAYOUT);
}

static void
tarn_coach_line_init (TarnCoachLine *self)
{
  GtkWidget *label = gtk_label_new ("");
  self->label = GTK_LABEL (label);
  gtk_label_set_xalign (self->label, 0);
  gtk_label_set_ellipsize (self->label, PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_set_parent (label, GTK_WIDGET (self));
}

GtkWidget *
tarn_coach_line_new (void)
{
  return g_object_new (TARN_TYPE_COACH_LINE, NULL);
}
