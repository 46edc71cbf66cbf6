/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/trace_picture.h"

#include "base/units.h"
#include "base/vec.h"

#include <math.h>
#include <stdio.h>

#define AXIS_TEXT  11.0
#define TEXT       13.0
#define LEFT_ROOM  30.0
#define FOOT_ROOM  16.0
#define SCALE_MM   4.0 /* the least that the axis spans */
#define SCALE_MOST 16.0
#define BAR        8.0

/* Doubles until everything fits; what is above the most is cut. */
static double
span_mm (const TarnTracePicture *trace)
{
  double most = 0, span = SCALE_MM;
  for (int k = 0; k < trace->samples; k++)
    most = fmax (most, trace->wander_mm[k]);
  while (span < most && span < SCALE_MOST)
    span *= 2;
  return span;
}

/* Three ticks: 0, half and all of the span. */
static void
draw_scale (cairo_t *cr, double x, double y, double high, double span,
            const TarnTracePicture *trace, const TarnPaper *paper)
{
  double size = tarn_paper_text_size (paper);
  tarn_paper_font (cr, paper, AXIS_TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  for (int k = 0; k <= 2; k++)
    {
      char text[32];
      snprintf (text, sizeof text, k < 2 ? "%g" : "%g %s", span * k / 2, trace->unit);
      tarn_paper_text (cr, x - 4,
                       y + high * (1 - k / 2.0)
                           + (k == 2   ? 8
                              : k == 1 ? 4
                                       : 0)
                                 * size,
                       TARN_ALIGN_END, text);
    }
}

static void
draw_line (cairo_t *cr, double x, double y, double wide, double high, double span,
           const TarnTracePicture *trace, const TarnPaper *paper)
{
  double step = wide / fmax (trace->full - 1, 1);
  cairo_new_path (cr);
  for (int k = 0; k < trace->samples; k++)
    {
      double at = x + wide - (trace->samples - 1 - k) * step;
      double up = tarn_clamp (trace->wander_mm[k] / span, 0, 1) * high;
      if (at >= x)
        cairo_line_to (cr, at, y + high - up);
    }
  tarn_paper_source (cr, paper, TARN_INK_MEASURED);
  cairo_set_line_width (cr, 1.5);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_stroke (cr);
}

void
tarn_trace_picture_draw (cairo_t *cr, double x, double y, double width, double height,
                         const TarnTracePicture *trace, const TarnPaper *paper)
{
  double size = tarn_paper_text_size (paper), span = span_mm (trace);
  double left = x + LEFT_ROOM * size, wide = fmax (width - LEFT_ROOM * size, 1);
  double high = fmax (height - FOOT_ROOM * size, 1), band = high * TARN_STEADY_MM / span;

  cairo_save (cr);
  cairo_new_path (cr);
  tarn_paper_source (cr, paper, TARN_INK_FAINT);
  cairo_rectangle (cr, left, y + high - band, wide, band);
  cairo_fill (cr);
  draw_scale (cr, left, y, high, span, trace, paper);

  tarn_paper_text (cr, left, y + height - 3 * size, TARN_ALIGN_START, trace->seconds_ago);
  tarn_paper_text (cr, left + wide, y + height - 3 * size, TARN_ALIGN_END, trace->now);
  /* The band's name stands above its line, where the trace seldom is when it is steady. */
  tarn_paper_text (cr, left + 4, y + high - band - 4 * size, TARN_ALIGN_START, trace->steady);
  draw_line (cr, left, y, wide, high, span, trace, paper);
  cairo_restore (cr);
}

void
tarn_gauge_draw (cairo_t *cr, double x, double y, double width, const TarnGauge *gauge,
                 const TarnPaper *paper)
{
  double size = tarn_paper_text_size (paper), top = floor (y + 18 * size), high = BAR * size;
  cairo_save (cr);
  cairo_new_path (cr);
  tarn_paper_font (cr, paper, TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  tarn_paper_text (cr, x, y + 12 * size, TARN_ALIGN_START, gauge->label);
  tarn_paper_text (cr, x + width, y + 12 * size, TARN_ALIGN_END, gauge->value);

  tarn_paper_source (cr, paper, TARN_INK_FAINT);
  cairo_rectangle (cr, x, top, width, high);
  cairo_fill (cr);
  tarn_paper_source (cr, paper, TARN_INK_MEASURED);
  cairo_rectangle (cr, x, top, width * tarn_clamp (gauge->share, 0, 1), high);
  cairo_fill (cr);
  if (gauge->limit_name != NULL)
    {
      double at = floor (x + width * tarn_clamp (gauge->limit, 0, 1)) + 0.5;
      tarn_paper_source (cr, paper, TARN_INK_TEXT);
      cairo_set_line_width (cr, 2);
      cairo_move_to (cr, at, top - 2);
      cairo_line_to (cr, at, top + high + 3);
      cairo_stroke (cr);
      tarn_paper_font (cr, paper, AXIS_TEXT, false);
      tarn_paper_source (cr, paper, TARN_INK_QUIET);
      tarn_paper_text (cr, at, top + high + 13 * size,
                       gauge->limit > 0.5 ? TARN_ALIGN_END : TARN_ALIGN_START,
                       gauge->limit_name);
    }
  cairo_restore (cr);
}

void
tarn_breath_draw (cairo_t *cr, double x, double y, double width, double breath, const char *out,
                  const char *in, const TarnPaper *paper)
{
  double size = tarn_paper_text_size (paper), middle = floor (y + 10 * size) + 0.5;
  double radius = 5 * size, share = (tarn_clamp (breath, -1, 1) + 1) / 2;
  cairo_save (cr);
  cairo_new_path (cr);
  tarn_paper_font (cr, paper, AXIS_TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  double left = x + tarn_paper_text (cr, x, middle + 4 * size, TARN_ALIGN_START, out) + 8;
  double right
      = x + width - tarn_paper_text (cr, x + width, middle + 4 * size, TARN_ALIGN_END, in) - 8;
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, left, middle);
  cairo_line_to (cr, right, middle);
  cairo_stroke (cr);
  tarn_paper_source (cr, paper, TARN_INK_MEASURED);
  cairo_arc (cr, left + radius + share * fmax (right - left - 2 * radius, 0), middle, radius, 0,
             2 * TARN_PI);
  cairo_fill (cr);
  cairo_restore (cr);
}
