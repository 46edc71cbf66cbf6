/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * guide.h: the guided first patient: one thing to do after the other, each ticked off by doing
 * it.  It watches and never acts; whoever does more at once, or in another order, is not held
 * up.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/run.h"

#include <gtk/gtk.h>

#define TARN_TYPE_GUIDE (tarn_guide_get_type ())
G_DECLARE_FINAL_TYPE (TarnGuide, tarn_guide, TARN, GUIDE, GtkWidget)

GtkWidget *tarn_guide_new (void);

/* From the first step on.  @bedside: as it is now, against which a slide or a tilt counts. */
void tarn_guide_start (TarnGuide *self, const TarnBedside *bedside);
/* Sent away without a word. */
void tarn_guide_stop (TarnGuide *self);
/* Looks whether the present step is done.  The signal "finished" comes after the last, or when
 * the guide is sent away. */
void tarn_guide_take (TarnGuide *self, const TarnBedside *bedside);
int tarn_guide_step (TarnGuide *self); /* 0 …; -1 before the start and after the end */
