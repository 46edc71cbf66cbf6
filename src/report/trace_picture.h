/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * trace_picture.h: how steady the hand is, and small bars for what presses, how much gel is
 * left, and the breath.
 *
 * Floor: report; the words come from outside, in the reader's language. */
#pragma once

#include "report/paper.h"

/* Within this the trace lies in the band named "steady", mm (own design value). */
#define TARN_STEADY_MM 1.5

/* Wander of the face off its place, oldest first, at equal steps up to now. */
typedef struct
{
  int samples;
  const float *wander_mm;
  double seconds;     /* that a full trace spans */
  int full;           /* samples of a full trace; a shorter one stands at the right */
  const char *steady; /* on the band: "steady" */
  const char *unit;   /* "mm" */
  const char *seconds_ago, *now; /* at the ends of the time axis: "4 s ago", "now" */
} TarnTracePicture;

void tarn_trace_picture_draw (cairo_t *cr, double x, double y, double width, double height,
                              const TarnTracePicture *trace, const TarnPaper *paper);

/* A level against a limit: label and value above a bar, the limit as a named notch. */
typedef struct
{
  const char *label, *value; /* "Force", "12 N" */
  const char *limit_name;    /* "comfort"; NULL: no limit */
  double share, limit;       /* 0..1 of the bar */
} TarnGauge;

#define TARN_GAUGE_HEIGHT 48.0 /* times the text size */
void tarn_gauge_draw (cairo_t *cr, double x, double y, double width, const TarnGauge *gauge,
                      const TarnPaper *paper);

/* The breath as a dot on a line. @breath: -1 out … 1 in. */
void tarn_breath_draw (cairo_t *cr, double x, double y, double width, double breath,
                       const char *out, const char *in, const TarnPaper *paper);
