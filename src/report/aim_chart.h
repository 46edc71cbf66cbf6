/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * aim_chart.h: a section's area as the probe is tilted, or slid, around the pose that was
 * chosen: was it the largest?
 *
 * Floor: report; the words come from outside, in the reader's language. */
#pragma once

#include "engine/coach/aim.h"
#include "report/paper.h"

typedef struct
{
  const TarnAimSample *sample; /* TARN_AIM_SAMPLES of them, the middle one chosen */
  double best_offset;          /* where the largest is, as the profile has it */
  double per_offset;           /* units shown for one of the offset's: 180/π, or 1 */
  const char *title;           /* "Tilted in place" */
  const char *unit;            /* of the axis: "°", "mm" */
  const char *low, *high;      /* what its ends are: "to the feet", "to the head" */
  const char *area_unit;       /* "cm²" */
  const char *whole, *seen;    /* on the lines: "in the body", "seen" */
  const char *here;            /* at the chosen pose: "here" */
  const char *largest;         /* at the largest: "largest" */
  const char *here_largest;    /* instead of both where they are one: "here, the largest" */
} TarnAimChart;

#define TARN_AIM_CHART_HEIGHT 210.0 /* that looks well, times the text size */

/* The ground is left alone. */
void tarn_aim_chart_draw (cairo_t *cr, double x, double y, double width, double height,
                          const TarnAimChart *chart, const TarnPaper *paper);
/* Where an offset and an area lie on such a drawing, for who points at it. */
void tarn_aim_chart_place (double x, double y, double width, double height,
                           const TarnAimChart *chart, const TarnPaper *paper, double offset,
                           double area_mm2, double *at_x, double *at_y);
