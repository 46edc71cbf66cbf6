/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fan_grid_private.h: the grid of planes, shared by its own files alone: fan_grid.c (the widget
 * and what is chosen), fan_grid_draw.c (layout and drawing).
 *
 * Floor: app. */
#pragma once

#include "app/fan_grid.h"

#define TARN_FAN_GAP 6 /* between cells, px */

/* What a cached surface was drawn for. */
typedef struct
{
  int width, height, scale;
  int plane; /* -1: all */
  double text_size;
} TarnFanKey;

struct _TarnFanGrid
{
  GtkWidget parent;
  TarnFan fan; /* planes 0: none */
  TarnUnits units;
  TarnDebrief *debrief; /* NULL: nothing more is known */
  gboolean true_border; /* drawn, where it is known */
  int cause;            /* only planes in which it acts; -1: all */
  int shown[TARN_PLANES_MAX], shown_count;
  int chosen; /* of the fan */
  gboolean enlarged;
  char *text;
  cairo_surface_t *drawn; /* NULL: to be drawn */
  TarnFanKey key;
};

/* Cells in as many columns as make the planes largest. */
typedef struct
{
  int columns, rows;
  int width, height; /* of a cell, gap apart from the next */
  int label;         /* of the height, above the plane */
} TarnFanCells;

TarnFanCells tarn_fan_grid_cells (TarnFanGrid *self, int width, int height, double text_size);
void tarn_fan_grid_draw (TarnFanGrid *self, GtkSnapshot *snapshot);
/* The cached surface no longer holds. */
void tarn_fan_grid_forget (TarnFanGrid *self);
/* What is known of a plane beyond its outline; NULL: nothing. */
const TarnDebriefPlane *tarn_fan_grid_truth (TarnFanGrid *self, int plane);
