/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bedside_page.h: plane and patient side by side, and below them what the hands can do.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/run.h"

#include <gtk/gtk.h>

#define TARN_TYPE_BEDSIDE_PAGE (tarn_bedside_page_get_type ())
G_DECLARE_FINAL_TYPE (TarnBedsidePage, tarn_bedside_page, TARN, BEDSIDE_PAGE, GtkWidget)

GtkWidget *tarn_bedside_page_new (void);

/* The attempt that is shown and driven; NULL: none.  Its time goes on while the page is on the
 * screen.  The signal "judge" asks for readings and judgement. */
void tarn_bedside_page_set_run (TarnBedsidePage *self, TarnRun *run);

/* A sentence in the patient's line, as from the guide of the first patient. */
void tarn_bedside_page_say (TarnBedsidePage *self, const char *text);

/* Out of the calipers, or of feeling.  Returns whether there was anything to leave. */
gboolean tarn_bedside_page_step_back (TarnBedsidePage *self);

/* Begins the guide of the first patient, or ends it. */
void tarn_bedside_page_guide (TarnBedsidePage *self, gboolean guided);

/* What a benchmark wants to know of the frames that the page has shown; NULL stops it. */
typedef void (*TarnFrameWatch) (const TarnRunFrame *frame, gint64 frame_time_us, gpointer data);
void tarn_bedside_page_watch (TarnBedsidePage *self, TarnFrameWatch watch, gpointer data);
