/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * plane_view.h: the plane as the probe shows it; on a frozen one, outline and calipers.
 *
 * Floor: app.  Main thread.  While aiming nothing lies over the picture. */
#pragma once

#include "app/run.h"

#include <gtk/gtk.h>

#define TARN_TYPE_PLANE_VIEW (tarn_plane_view_get_type ())
G_DECLARE_FINAL_TYPE (TarnPlaneView, tarn_plane_view, TARN, PLANE_VIEW, GtkWidget)

GtkWidget *tarn_plane_view_new (void);

/* NULL: nothing to show. */
void tarn_plane_view_set_frame (TarnPlaneView *self, TarnRunFrame *frame);
/* The paper that fits the view now; "paper" is notified by the signal "paper-changed". */
TarnRunPaper tarn_plane_view_paper (TarnPlaneView *self);

/* The outline of a frozen plane, by its evidence.  Without effect while aiming.
 * Returns whether there is one to be seen. */
gboolean tarn_plane_view_show_outline (TarnPlaneView *self, gboolean shown);

/* Which diameter the hand may set on the frozen plane: TARN_CALIPER_…, -1 for none.  One that
 * is not set yet on this plane is laid across its middle.  The signal "caliper" (int which,
 * double u0, v0, u1, v1 in mm) tells each change. */
void tarn_plane_view_set_caliper (TarnPlaneView *self, int which);

/* Moves the chosen end of the caliper, mm in the plane; and chooses the other end. */
void tarn_plane_view_nudge (TarnPlaneView *self, double right_mm, double down_mm);
void tarn_plane_view_other_end (TarnPlaneView *self);
