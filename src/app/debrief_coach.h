/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * debrief_coach.h: the one move that would have gained most, as who knows the body says it, and
 * as the picture alone tells it.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/debrief.h"
#include "app/words.h"

#include <gtk/gtk.h>

#define TARN_TYPE_COACH_CARD (tarn_coach_card_get_type ())
G_DECLARE_FINAL_TYPE (TarnCoachCard, tarn_coach_card, TARN, COACH_CARD, GtkBox)

/* Nothing yet: the room is kept. */
void tarn_coach_card_wait (TarnCoachCard *self);
void tarn_coach_card_show (TarnCoachCard *self, const TarnDebrief *debrief,
                           const TarnUnits *units);
