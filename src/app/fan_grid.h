/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fan_grid.h: the planes of a sweep, all at once or one enlarged, with outline and evidence.
 *
 * Floor: app.  Main thread.  Arrows, Home and End move; Enter enlarges, Escape goes back; a
 * click chooses, a second one on the same plane enlarges. */
#pragma once

#include "app/debrief.h"
#include "app/words.h"

#include <gtk/gtk.h>

/* A sweep's planes.  What it points to must stay while it is shown; the bytes are kept. */
typedef struct
{
  int planes;
  double turn_rad; /* of the pose */
  TarnImageGeometry geometry;
  GBytes *grey; /* planes x lines x samples */
  const TarnSweepPlane *plane;
} TarnFan;

/* Properties: "enlarged" (boolean); "text" (string, read only): the chosen plane and its
 * evidence in words; "true-border" (boolean): drawn where a debrief tells it. */
#define TARN_TYPE_FAN_GRID (tarn_fan_grid_get_type ())
G_DECLARE_FINAL_TYPE (TarnFanGrid, tarn_fan_grid, TARN, FAN_GRID, GtkWidget)

GtkWidget *tarn_fan_grid_new (void);

/* @fan: NULL for none.  The middle plane is chosen. */
void tarn_fan_grid_set_fan (TarnFanGrid *self, const TarnFan *fan, const TarnUnits *units);

int tarn_fan_grid_chosen (TarnFanGrid *self); /* -1: there is none */
void tarn_fan_grid_choose (TarnFanGrid *self, int plane);
gboolean tarn_fan_grid_enlarged (TarnFanGrid *self);
void tarn_fan_grid_set_enlarged (TarnFanGrid *self, gboolean enlarged);
const char *tarn_fan_grid_text (TarnFanGrid *self);

/* Adds the truth to the planes; NULL takes it away.  All planes are shown. */
void tarn_fan_grid_set_debrief (TarnFanGrid *self, TarnDebrief *debrief);
/* Shows the planes alone in which @cause acts, and chooses the worst; -1, or where there is
 * none: all. */
void tarn_fan_grid_set_cause (TarnFanGrid *self, int cause);
int tarn_fan_grid_shown (TarnFanGrid *self); /* how many */

/* What the kinds of line mean, in a row. */
GtkWidget *tarn_fan_legend_new (void);
/* The same of the true border, which it shows or hides. */
GtkWidget *tarn_fan_border_toggle_new (TarnFanGrid *grid);
