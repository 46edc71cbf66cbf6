/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * waterfall.h: the way from the truth to a reading, one bar for each cause of error.
 *
 * Floor: report; the words come from outside, in the reader's language. */
#pragma once

#include "report/paper.h"

/* A bar, or a line below the drawing where the bar would be too small to see. */
typedef struct
{
  const char *label; /* "Shadow of bone" */
  const char *value; /* "−71 mL" */
  double ml;         /* what it adds; of the first and last row: what stands */
  TarnMark mark;
} TarnWaterfallRow;

/* The rows between add up to @last less @first. */
typedef struct
{
  TarnWaterfallRow first, last;
  int rows;
  const TarnWaterfallRow *row;
  const char *unit;      /* on the axis: "mL" */
  double per_ml;         /* axis units for 1 mL; 0: 1 */
  const char *small;     /* before the list of small ones: "Too small to draw:" */
  const char *reference; /* on the line at the first row's end: "truth" */
} TarnWaterfall;

/* Whether the row is drawn as a bar; it does not depend on the paper, so that a wider drawing
 * is never higher. */
bool tarn_waterfall_draws (const TarnWaterfall *waterfall, int row);
/* Where the row of a bar lies, from side to side; the row must be drawn. */
void tarn_waterfall_row_place (const TarnWaterfall *waterfall, const TarnPaper *paper, int row,
                               double *y, double *height);
/* The height that a drawing of @width needs. */
double tarn_waterfall_height (const TarnWaterfall *waterfall, const TarnPaper *paper,
                              double width);
/* The ground is left alone. */
void tarn_waterfall_draw (cairo_t *cr, double width, const TarnWaterfall *waterfall,
                          const TarnPaper *paper);
