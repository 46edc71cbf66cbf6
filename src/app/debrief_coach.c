/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/debrief_coach.h"

#include "app/debrief_pair.h"
#include "app/words_advice.h"

#include <glib/gi18n.h>

struct _TarnCoachCard
{
  GtkBox parent;
  GtkLabel *knowing, *seeing, *agreement;
};

G_DEFINE_FINAL_TYPE (TarnCoachCard, tarn_coach_card, GTK_TYPE_BOX)

void
tarn_coach_card_wait (TarnCoachCard *self)
{
  g_return_if_fail (TARN_IS_COACH_CARD (self));
  gtk_label_set_text (self->knowing, _ ("Being worked out…"));
  gtk_label_set_text (self->seeing, "");
  gtk_label_set_text (self->agreement, " ");
}

/* Whether the planes alone would have led the same way. */
static const char *
agreement (const TarnDebrief *debrief)
{
  const TarnAdvice *knowing = &debrief->advice, *seeing = &debrief->by_image;
  if (!debrief->has_advice)
    return " ";
  if (knowing->move.kind == seeing->move.kind)
    return _ ("Both are the same move: the planes showed it.");
  if (knowing->cue == seeing->cue)
    return _ ("Both start from the same sign in the planes.");
  return _ ("The two differ: the planes do not show all that lay inside.");
}

/* Where other fluid was outlined, whoever sees the picture alone follows that fluid. */
static gboolean
misleads (const TarnDebrief *debrief)
{
  return debrief->has_advice && debrief->advice.cue == TARN_CUE_OTHER_DARK
         && debrief->by_image.cue != TARN_CUE_OTHER_DARK;
}

void
tarn_coach_card_show (TarnCoachCard *self, const TarnDebrief *debrief, const TarnUnits *units)
{
  g_return_if_fail (TARN_IS_COACH_CARD (self));
  double turn_rad = debrief->turn_rad;
  g_autofree char *knowing = tarn_words_advice (&debrief->advice, turn_rad, units);
  g_autofree char *seeing = tarn_words_advice (&debrief->by_image, turn_rad, units);
  gtk_label_set_text (self->knowing,
                      debrief->has_advice ? knowing : _ ("No move can be worked out here."));
  gtk_label_set_text (self->seeing,
                      misleads (debrief)
                          ? _ ("Nothing in one picture tells this dark area from the bladder. "
                               "Prove it before you measure: follow it to its ends in two "
                               "directions, and look for a second one with a wall of its own.")
                          : seeing);
  gtk_label_set_text (self->agreement, agreement (debrief));
}

static void
tarn_coach_card_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), TARN_TYPE_COACH_CARD);
  G_OBJECT_CLASS (tarn_coach_card_parent_class)->dispose (object);
}

static void
tarn_coach_card_class_init (TarnCoachCardClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = tarn_coach_card_dispose;
  g_type_ensure (TARN_TYPE_PAIR);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/tarn/Tarn/debrief-coach.ui");
  gtk_widget_class_bind_template_child (widget_class, TarnCoachCard, knowing);
  gtk_widget_class_bind_template_child (widget_class, TarnCoachCard, seeing);
  gtk_widget_class_bind_template_child (widget_class, TarnCoachCard, agreement);
}

static void
tarn_coach_card_init (TarnCoachCard *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
