/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * debrief_bladder.h: the bladder in 3-D, its urine marked by what became of it, with a legend
 * that hides each part, and what lies around it as glass.
 *
 * Floor: app.  Main thread.  Keys on the picture: arrows turn it, + and - go nearer and away,
 * 1, 2 and 3 look from the bedside, from above and from the feet. */
#pragma once

#include "app/debrief.h"
#include "app/words.h"

#include <gtk/gtk.h>

#define TARN_TYPE_BLADDER_CARD (tarn_bladder_card_get_type ())
G_DECLARE_FINAL_TYPE (TarnBladderCard, tarn_bladder_card, TARN, BLADDER_CARD, GtkBox)

/* Nothing yet: the room is kept. */
void tarn_bladder_card_wait (TarnBladderCard *self);
/* @debrief: of a sweep.  @keeps: what it points into. */
void tarn_bladder_card_show (TarnBladderCard *self, TarnDebrief *debrief, GObject *keeps,
                             const TarnUnits *units);
/* Lets go of both. */
void tarn_bladder_card_clear (TarnBladderCard *self);
