/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * cautions.h: what must be said before anything else: training only, synthetic anatomy.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/settings.h"

#include <gtk/gtk.h>

/* A page of the window, shown until "cautions-accepted" is set, which accepting does.
 * Signal: "accepted" (gboolean tour), TRUE when a guided first patient is wanted.
 * Actions: cautions.accept, cautions.tour. */
#define TARN_TYPE_CAUTIONS_PAGE (tarn_cautions_page_get_type ())
G_DECLARE_FINAL_TYPE (TarnCautionsPage, tarn_cautions_page, TARN, CAUTIONS_PAGE, GtkWidget)

GtkWidget *tarn_cautions_page_new (TarnSettings *settings);

/* The cautions in two sentences, translated: for About and each sheet of paper. */
const char *tarn_cautions_text (void);
