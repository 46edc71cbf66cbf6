/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * debrief_aim.h: whether the chosen section was the largest, and how much room the field left
 * on each side.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/debrief.h"
#include "app/words.h"

#include <gtk/gtk.h>

#define TARN_TYPE_AIM_CARD (tarn_aim_card_get_type ())
G_DECLARE_FINAL_TYPE (TarnAimCard, tarn_aim_card, TARN, AIM_CARD, GtkBox)

/* Nothing yet: the room is kept. */
void tarn_aim_card_wait (TarnAimCard *self);
void tarn_aim_card_show (TarnAimCard *self, const TarnDebrief *debrief, const TarnUnits *units);
