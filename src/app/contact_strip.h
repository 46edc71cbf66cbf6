/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * contact_strip.h: how the probe's face touches and how still the hand is; on request force
 * against comfort, breath and gel.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/run.h"

#include <gtk/gtk.h>

#define TARN_TYPE_CONTACT_STRIP (tarn_contact_strip_get_type ())
G_DECLARE_FINAL_TYPE (TarnContactStrip, tarn_contact_strip, TARN, CONTACT_STRIP, GtkWidget)

GtkWidget *tarn_contact_strip_new (void);

/* Takes in one moment; draws at most some times a second. */
void tarn_contact_strip_take (TarnContactStrip *self, const TarnBedside *bedside);
/* Starts anew, for another attempt. */
void tarn_contact_strip_clear (TarnContactStrip *self);
/* Force against comfort, gel left and breath beside the first two. */
void tarn_contact_strip_set_more (TarnContactStrip *self, gboolean more);
