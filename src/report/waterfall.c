/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Rows from top to bottom: the truth, each cause, the reading.  Labels stand at the left, in
 * lines where they are long, the value stands beside its bar, an axis at the foot:
 *
 *   Truth            ▇▇▇▇▇▇▇▇▇▇▇▇▇▇▇▇▇▇▇▇▇ 320 mL
 *   Shadow of bone                  ▒▒▒▒▒▒│ −71 mL
 *   Reading          ▇▇▇▇▇▇▇▇▇▇▇▇▇▇▇       249 mL
 *                    0     100     200     300  mL
 *   Too small to draw: dry contact −1 mL */
#include "report/waterfall.h"

#include "report/rounding.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ROW         30.0 /* from bar to bar */
#define BAR         18.0
#define LABEL_SHARE 0.34 /* of the width, at most */
#define LABEL_WIDE  210.0
#define VALUE_ROOM  78.0
#define AXIS        24.0
#define TEXT        13.0
#define AXIS_TEXT   11.0
#define TEXT_LINE   16.0
#define GAP         12.0
#define SMALLEST    0.006 /* of the axis; a shorter bar is not drawn, however wide the paper */
#define TICKS       4     /* beside the one at 0 */

typedef struct
{
  double left, right; /* of the axis */
  double per_ml;      /* user units */
  double size;
} Frame;

static double
most_ml (const TarnWaterfall *waterfall)
{
  double at = waterfall->first.ml, most = fmax (at, waterfall->last.ml);
  for (int k = 0; k < waterfall->rows; k++)
    most = fmax (most, at += waterfall->row[k].ml);
  return fmax (most, 1);
}

static Frame
frame_of (const TarnWaterfall *waterfall, const TarnPaper *paper, double width)
{
  double size = tarn_paper_text_size (paper);
  Frame frame = { .size = size };
  frame.left = fmin (LABEL_WIDE * size, LABEL_SHARE * width) + GAP;
  frame.right = fmax (width - VALUE_ROOM * size, frame.left + 40);
  frame.per_ml = (frame.right - frame.left) / most_ml (waterfall);
  return frame;
}

bool
tarn_waterfall_draws (const TarnWaterfall *waterfall, int row)
{
  return fabs (waterfall->row[row].ml) >= SMALLEST * most_ml (waterfall);
}

/* "Too small to draw: dry contact −1 mL; movement +1 mL"; empty when there is none. */
static void
small_ones (const TarnWaterfall *waterfall, char *text, size_t size)
{
  size_t used = 0;
  text[0] = '\0';
  for (int k = 0; k < waterfall->rows; k++)
    if (!tarn_waterfall_draws (waterfall, k) && used < size)
      used += (size_t)snprintf (text + used, size - used, "%s %s %s",
                                used == 0 ? waterfall->small : ";", waterfall->row[k].label,
                                waterfall->row[k].value);
}

static cairo_t *
measuring_context (void)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_A8, 1, 1);
  cairo_t *cr = cairo_create (surface);
  cairo_surface_destroy (surface);
  return cr;
}

static int
drawn_rows (const TarnWaterfall *waterfall)
{
  int drawn = 0;
  for (int k = 0; k < waterfall->rows; k++)
    drawn += tarn_waterfall_draws (waterfall, k);
  return drawn;
}

double
tarn_waterfall_height (const TarnWaterfall *waterfall, const TarnPaper *paper, double width)
{
  char text[1024];
  double size = tarn_paper_text_size (paper);
  small_ones (waterfall, text, sizeof text);
  cairo_t *cr = measuring_context ();
  tarn_paper_font (cr, paper, TEXT, false);
  int lines = tarn_paper_wrapped (cr, 0, 0, width, 0, text, false);
  cairo_destroy (cr);
  int rows = drawn_rows (waterfall) + 2;
  return ceil ((rows * ROW + AXIS + lines * TEXT_LINE + (lines > 0 ? GAP / 2 : 0)) * size);
}

void
tarn_waterfall_row_place (const TarnWaterfall *waterfall, const TarnPaper *paper, int row,
                          double *y, double *height)
{
  int before = 1;
  for (int k = 0; k < row; k++)
    before += tarn_waterfall_draws (waterfall, k);
  *height = ROW * tarn_paper_text_size (paper);
  *y = before * *height;
}

/* Up to two lines, about the bar's middle. */
static void
draw_label (cairo_t *cr, const Frame *frame, const TarnPaper *paper, double y,
            const char *label, bool ends)
{
  double width = frame->left - GAP, line = 14 * frame->size, middle = y + ROW * frame->size / 2;
  tarn_paper_font (cr, paper, TEXT, ends);
  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  int lines = tarn_paper_wrapped (cr, 0, 0, width, line, label, false);
  if (lines > 2)
    tarn_paper_font (cr, paper, AXIS_TEXT, ends);
  lines = tarn_paper_wrapped (cr, 0, 0, width, line, label, false);
  tarn_paper_wrapped (cr, 0, middle + (4.5 - 7.0 * (lines - 1)) * frame->size, width, line,
                      label, true);
}

/* On a piece of bare ground, so that the reference line does not run through it. */
static void
draw_value (cairo_t *cr, const Frame *frame, const TarnPaper *paper, double x, double y,
            const char *value)
{
  tarn_paper_font (cr, paper, TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_GROUND);
  cairo_rectangle (cr, x - 2, y + 7 * frame->size, tarn_paper_text_width (cr, value) + 4,
                   (ROW - 14) * frame->size);
  cairo_fill (cr);
  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  tarn_paper_text (cr, x, y + (ROW / 2 + 4.5) * frame->size, TARN_ALIGN_START, value);
}

/* A bar from one volume to another, its value at its right end. */
static void
draw_bar (cairo_t *cr, const Frame *frame, const TarnPaper *paper, double y,
          const TarnWaterfallRow *row, double from_ml, double to_ml)
{
  double x0 = frame->left + fmin (from_ml, to_ml) * frame->per_ml;
  double x1 = frame->left + fmax (from_ml, to_ml) * frame->per_ml;
  double high = BAR * frame->size, top = floor (y + (ROW - BAR) / 2 * frame->size) + 0.5;
  x0 = floor (x0) + 0.5;
  x1 = floor (x1) + 0.5;
  if (x1 > x0)
    {
      cairo_rectangle (cr, x0, top, x1 - x0, floor (high));
      tarn_paper_fill_mark (cr, paper, row->mark);
    }
  draw_value (cr, frame, paper, x1 + 6 * frame->size, y, row->value);
}

/* From the end of one bar to the start of the next. */
static void
draw_joint (cairo_t *cr, const Frame *frame, const TarnPaper *paper, double y, double at_ml)
{
  double x = floor (frame->left + at_ml * frame->per_ml) + 0.5;
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, x, y - (ROW - BAR) / 2 * frame->size);
  cairo_line_to (cr, x, y + (ROW - BAR) / 2 * frame->size);
  cairo_stroke (cr);
}

static void
draw_axis (cairo_t *cr, const Frame *frame, const TarnPaper *paper, double y,
           const TarnWaterfall *waterfall)
{
  double per = waterfall->per_ml > 0 ? waterfall->per_ml : 1;
  double most = most_ml (waterfall) * per, step = tarn_tick_step (most, TICKS);
  double line = floor (y) + 0.5, base = line + (5 + AXIS_TEXT) * frame->size;
  double end = frame->left;

  tarn_paper_font (cr, paper, AXIS_TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, frame->left, line);
  cairo_line_to (cr, frame->right, line);
  cairo_stroke (cr);
  for (int k = 0; k * step <= most * (1 + 1e-9); k++)
    {
      char text[32];
      double x = floor (frame->left + k * step / per * frame->per_ml) + 0.5;
      cairo_move_to (cr, x, line);
      cairo_line_to (cr, x, line + 4);
      cairo_stroke (cr);
      snprintf (text, sizeof text, "%g", k * step);
      end = x + tarn_paper_text (cr, x, base, TARN_ALIGN_MIDDLE, text) / 2;
    }
  tarn_paper_text (cr, fmax (frame->right, end) + 8 * frame->size, base, TARN_ALIGN_START,
                   waterfall->unit);
}

/* A dotted line at the truth, through every row. */
static void
draw_reference (cairo_t *cr, const Frame *frame, const TarnPaper *paper, double bottom,
                const TarnWaterfall *waterfall)
{
  const double dash[2] = { 1, 3 };
  double x = floor (frame->left + waterfall->first.ml * frame->per_ml) + 0.5;
  cairo_save (cr);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  cairo_set_line_width (cr, 1);
  cairo_set_dash (cr, dash, 2, 0);
  cairo_move_to (cr, x, ROW * frame->size);
  cairo_line_to (cr, x, bottom);
  cairo_stroke (cr);
  cairo_restore (cr);
}

/* The line's name at its left, where there is room: in the last row when that bar ends well
 * before, else in the first cause's row when that bar lies beyond.  Elsewhere the first row,
 * from which the line hangs, must do. */
static void
name_reference (cairo_t *cr, const Frame *frame, const TarnPaper *paper, double bottom,
                const TarnWaterfall *waterfall)
{
  double x = floor (frame->left + waterfall->first.ml * frame->per_ml) - 4;
  double last = frame->left + (waterfall->last.ml * frame->per_ml) + VALUE_ROOM * frame->size;
  tarn_paper_font (cr, paper, AXIS_TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  double start = x - tarn_paper_text_width (cr, waterfall->reference);
  if (start > last)
    tarn_paper_text (cr, start, bottom - ROW / 2 * frame->size + 4 * frame->size,
                     TARN_ALIGN_START, waterfall->reference);
  else if (start > frame->left && waterfall->rows > 0 && waterfall->row[0].ml > 0)
    tarn_paper_text (cr, start, (1.5 * ROW + 4) * frame->size, TARN_ALIGN_START,
                     waterfall->reference);
}

void
tarn_waterfall_draw (cairo_t *cr, double width, const TarnWaterfall *waterfall,
                     const TarnPaper *paper)
{
  Frame frame = frame_of (waterfall, paper, width);
  double row = ROW * frame.size, y = 0, at = waterfall->first.ml;
  int drawn = drawn_rows (waterfall);
  char text[1024];

  if (waterfall->reference != NULL)
    {
      draw_reference (cr, &frame, paper, (drawn + 2) * row, waterfall);
      name_reference (cr, &frame, paper, (drawn + 2) * row, waterfall);
    }
  draw_label (cr, &frame, paper, y, waterfall->first.label, true);
  draw_bar (cr, &frame, paper, y, &waterfall->first, 0, at);
  for (int k = 0; k < waterfall->rows; k++)
    {
      const TarnWaterfallRow *now = &waterfall->row[k];
      if (tarn_waterfall_draws (waterfall, k))
        {
          y += row;
          draw_joint (cr, &frame, paper, y, at);
          draw_label (cr, &frame, paper, y, now->label, false);
          draw_bar (cr, &frame, paper, y, now, at, at + now->ml);
        }
      at += now->ml;
    }
  y += row;
  draw_joint (cr, &frame, paper, y, at);
  draw_label (cr, &frame, paper, y, waterfall->last.label, true);
  draw_bar (cr, &frame, paper, y, &waterfall->last, 0, waterfall->last.ml);
  y += row;
  draw_axis (cr, &frame, paper, y, waterfall);

  small_ones (waterfall, text, sizeof text);
  tarn_paper_font (cr, paper, TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  tarn_paper_wrapped (cr, 0, y + (AXIS + GAP) * frame.size, width, TEXT_LINE * frame.size, text,
                      true);
}
