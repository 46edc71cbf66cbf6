/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From top to bottom: title, two rows for the words at the two uprights, the lines, an axis
 * with its unit, what its ends are.  The line of the whole section is broad and lies beneath
 * that of the part seen, so that both show where they are one. */
#include "report/aim_chart.h"

#include "base/vec.h"
#include "report/rounding.h"

#include <math.h>
#include <stdio.h>

#define TEXT       13.0
#define AXIS_TEXT  11.0
#define LEFT_ROOM  34.0
#define RIGHT_ROOM 16.0
#define HEAD_ROOM  52.0 /* title and two rows of words */
#define FOOT_ROOM  36.0
#define WORD_ROW   14.0
#define WHOLE_LINE 4.5
#define SEEN_LINE  1.8
#define MM2_CM2    100.0
#define SAMPLE     18.0  /* of a line before its word */
#define WAYS       18    /* to lay a word beside a point of a line */
#define SIDE_TICKS 2     /* beside the one at 0, each way */
#define AS_LARGE   0.985 /* of the largest: no hand tells these apart (own design value) */

typedef struct
{
  const TarnAimChart *chart;
  const TarnPaper *paper;
  double size;
  double left, right, top, bottom; /* of the lines' field */
  double reach;                    /* the greatest offset */
  double most_mm2;                 /* at the top */
  int largest;                     /* sample of the largest whole section */
} Frame;

static Frame
frame_of (double x, double y, double width, double height, const TarnAimChart *chart,
          const TarnPaper *paper)
{
  double size = tarn_paper_text_size (paper);
  Frame frame = { .chart = chart, .paper = paper, .size = size };
  frame.left = x + LEFT_ROOM * size;
  frame.right = fmax (x + width - RIGHT_ROOM * size, frame.left + 1);
  frame.top = y + HEAD_ROOM * size;
  frame.bottom = fmax (y + height - FOOT_ROOM * size, frame.top + 1);
  frame.reach = chart->sample[TARN_AIM_SAMPLES - 1].offset;
  for (int k = 0; k < TARN_AIM_SAMPLES; k++)
    if (chart->sample[k].whole_mm2 > chart->sample[frame.largest].whole_mm2)
      frame.largest = k;
  frame.most_mm2 = fmax (1.05 * chart->sample[frame.largest].whole_mm2, 2 * MM2_CM2);
  return frame;
}

static double
x_of (const Frame *frame, double offset)
{
  return frame->left
         + (frame->right - frame->left) * (offset + frame->reach) / (2 * frame->reach);
}

static double
y_of (const Frame *frame, double area_mm2)
{
  return frame->bottom - (frame->bottom - frame->top) * area_mm2 / frame->most_mm2;
}

void
tarn_aim_chart_place (double x, double y, double width, double height,
                      const TarnAimChart *chart, const TarnPaper *paper, double offset,
                      double area_mm2, double *at_x, double *at_y)
{
  Frame frame = frame_of (x, y, width, height, chart, paper);
  *at_x = x_of (&frame, offset);
  *at_y = y_of (&frame, area_mm2);
}

static void
draw_areas (cairo_t *cr, const Frame *frame)
{
  double most = frame->most_mm2 / MM2_CM2, step = tarn_tick_step (most, 3);
  int last = (int)(most / step);
  tarn_paper_font (cr, frame->paper, AXIS_TEXT, false);
  cairo_set_line_width (cr, 1);
  for (int k = 0; k <= last; k++)
    {
      char text[32];
      double y = floor (y_of (frame, k * step * MM2_CM2)) + 0.5;
      tarn_paper_source (cr, frame->paper, k == 0 ? TARN_INK_QUIET : TARN_INK_FAINT);
      cairo_move_to (cr, frame->left, y);
      cairo_line_to (cr, frame->right, y);
      cairo_stroke (cr);
      tarn_paper_source (cr, frame->paper, TARN_INK_QUIET);
      snprintf (text, sizeof text, "%g", k * step);
      tarn_paper_text (cr, frame->left - 6, y + 4 * frame->size, TARN_ALIGN_END, text);
      if (k == last)
        tarn_paper_text (cr, frame->left - 6, y - 9 * frame->size, TARN_ALIGN_END,
                         frame->chart->area_unit);
    }
}

static void
draw_offsets (cairo_t *cr, const Frame *frame)
{
  const TarnAimChart *chart = frame->chart;
  double most = frame->reach * chart->per_offset, step = tarn_tick_step (most, SIDE_TICKS);
  double base = frame->bottom + (5 + AXIS_TEXT) * frame->size;
  int each = (int)(most / step * (1 + 1e-9));
  tarn_paper_font (cr, frame->paper, AXIS_TEXT, false);
  tarn_paper_source (cr, frame->paper, TARN_INK_QUIET);
  cairo_set_line_width (cr, 1);
  for (int k = -each; k <= each; k++)
    {
      char text[48];
      double x = floor (x_of (frame, k * step / chart->per_offset)) + 0.5;
      cairo_move_to (cr, x, frame->bottom);
      cairo_line_to (cr, x, frame->bottom + 4);
      cairo_stroke (cr);
      /* A minus as long as a figure is wide. */
      snprintf (text, sizeof text, "%s%g%s%s", k < 0 ? "\u2212" : "", fabs (k * step),
                k == each && chart->unit[0] != '\xc2' ? " " : "", k == each ? chart->unit : "");
      tarn_paper_text (cr, x, base, TARN_ALIGN_MIDDLE, text);
    }
  tarn_paper_text (cr, frame->left, base + 14 * frame->size, TARN_ALIGN_START, chart->low);
  tarn_paper_text (cr, frame->right, base + 14 * frame->size, TARN_ALIGN_END, chart->high);
}

static void
draw_line (cairo_t *cr, const Frame *frame, bool seen)
{
  cairo_new_path (cr);
  for (int k = 0; k < TARN_AIM_SAMPLES; k++)
    {
      const TarnAimSample *sample = &frame->chart->sample[k];
      cairo_line_to (cr, x_of (frame, sample->offset),
                     y_of (frame, seen ? sample->seen_mm2 : sample->whole_mm2));
    }
  tarn_paper_source (cr, frame->paper, seen ? TARN_INK_MEASURED : TARN_INK_TRUTH);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_width (cr, seen ? SEEN_LINE * frame->size : WHOLE_LINE * frame->size);
  cairo_stroke (cr);
}

/* Words about the lines. */

typedef struct
{
  double x0, y0, x1, y1;
} Box;

static Box
word_box (cairo_t *cr, const Frame *frame, double x, double y, TarnAlign align,
          const char *word)
{
  double width = tarn_paper_text_width (cr, word) + SAMPLE * frame->size;
  double start = x
                 - (align == TARN_ALIGN_END      ? width
                    : align == TARN_ALIGN_MIDDLE ? width / 2
                                                 : 0);
  return (Box){ start, y - 9 * frame->size, start + width, y + 3 * frame->size };
}

static double
line_y (const Frame *frame, double x, bool seen)
{
  double share = (x - frame->left) / (frame->right - frame->left);
  double at = tarn_clamp (share * (TARN_AIM_SAMPLES - 1), 0, TARN_AIM_SAMPLES - 1.001);
  const TarnAimSample *a = &frame->chart->sample[(int)at], *b = a + 1;
  double t = at - (int)at, from = seen ? a->seen_mm2 : a->whole_mm2;
  double to = seen ? b->seen_mm2 : b->whole_mm2;
  return y_of (frame, from + (to - from) * t);
}

/* Whether a word there is within the field and clear of lines, uprights and the other word. */
static bool
is_clear (const Frame *frame, Box box, const Box *other)
{
  const double gap = 2 * frame->size;
  double here = x_of (frame, 0), best = x_of (frame, frame->chart->best_offset);
  if (box.x0 < frame->left + 1 || box.x1 > frame->right || box.y0 < frame->top
      || box.y1 > frame->bottom - 2)
    return false;
  if (other != NULL && box.x0 < other->x1 + gap && box.x1 > other->x0 - gap
      && box.y0 < other->y1 + gap && box.y1 > other->y0 - gap)
    return false;
  if ((here > box.x0 - gap && here < box.x1 + gap)
      || (best > box.x0 - gap && best < box.x1 + gap))
    return false;
  for (int seen = 0; seen <= 1; seen++)
    {
      double before = line_y (frame, box.x0 - gap, seen);
      for (double x = box.x0 - gap; x <= box.x1 + gap; x += 1)
        {
          double y = line_y (frame, x, seen);
          if (fmax (y, before) > box.y0 - gap && fmin (y, before) < box.y1 + gap)
            return false;
          before = y;
        }
    }
  return true;
}

/* At the left on top, or at the right of the upright that stands there. */
static Box
corner_box (cairo_t *cr, const Frame *frame, const char *word)
{
  double room = 6 * frame->size, y = frame->top + 10 * frame->size;
  double x[] = { frame->left + 4, x_of (frame, frame->chart->best_offset) + room,
                 x_of (frame, 0) + room };
  Box box = { 0 };
  for (size_t k = 0; k < sizeof x / sizeof *x; k++)
    {
      box = word_box (cr, frame, x[k], y, TARN_ALIGN_START, word);
      if (is_clear (frame, box, NULL))
        return box;
    }
  return word_box (cr, frame, x[0], y, TARN_ALIGN_START, word);
}

/* Beside the line, the nearer to half its height the better, the whole one's where the other is
 * not; where there is no room, in the field's upper corner. */
static Box
draw_name (cairo_t *cr, const Frame *frame, bool seen, const char *word, const Box *other)
{
  double most = frame->chart->sample[frame->largest].whole_mm2, best = INFINITY;
  Box found = seen ? word_box (cr, frame, frame->right, frame->top + 10 * frame->size,
                               TARN_ALIGN_END, word)
                   : corner_box (cr, frame, word);
  for (int k = 0; k < TARN_AIM_SAMPLES; k++)
    for (int way = 0; way < WAYS; way++)
      {
        const TarnAimSample *at = &frame->chart->sample[k];
        double area = seen ? at->seen_mm2 : at->whole_mm2;
        bool right = way & 1, alone = at->whole_mm2 - at->seen_mm2 > 0.1 * most;
        double off = (8 + 6 * (way / 6)) * frame->size, down = (way / 2 % 3 - 1) * 9.0;
        double price = fabs (area / fmax (most, 1) - 0.55) + (right != seen ? 0.2 : 0)
                       + (!seen && !alone ? 0.2 : 0) + 0.02 * off / frame->size
                       + 0.01 * fabs (down);
        if (area < 0.04 * most || price >= best)
          continue;
        Box box = word_box (cr, frame, x_of (frame, at->offset) + (right ? off : -off),
                            y_of (frame, area) + (3 + down) * frame->size,
                            right ? TARN_ALIGN_START : TARN_ALIGN_END, word);
        if (!is_clear (frame, box, other))
          continue;
        best = price;
        found = box;
      }
  /* A piece of its line, as the two may be one. */
  double y = found.y1 - 7 * frame->size, sample = SAMPLE * frame->size;
  tarn_paper_source (cr, frame->paper, seen ? TARN_INK_MEASURED : TARN_INK_TRUTH);
  cairo_set_line_width (cr, (seen ? SEEN_LINE : WHOLE_LINE) * frame->size);
  cairo_move_to (cr, found.x0, y);
  cairo_line_to (cr, found.x0 + sample - 4 * frame->size, y);
  cairo_stroke (cr);
  tarn_paper_source (cr, frame->paper, TARN_INK_TEXT);
  tarn_paper_text (cr, found.x0 + sample, found.y1 - 3 * frame->size, TARN_ALIGN_START, word);
  return found;
}

static void
draw_names (cairo_t *cr, const Frame *frame)
{
  tarn_paper_font (cr, frame->paper, AXIS_TEXT, false);
  Box whole = draw_name (cr, frame, false, frame->chart->whole, NULL);
  draw_name (cr, frame, true, frame->chart->seen, &whole);
}

/* An upright from the axis to a word in a row above the field, and a dot on the line. */
static void
draw_upright (cairo_t *cr, const Frame *frame, double offset, double area_mm2, int row,
              const char *word, bool full)
{
  double x = x_of (frame, offset), y = y_of (frame, area_mm2);
  double word_y = frame->top - (row * WORD_ROW + 5) * frame->size;
  double radius = 4 * frame->size;
  tarn_paper_source (cr, frame->paper, TARN_INK_TEXT);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, floor (x) + 0.5, frame->bottom);
  cairo_line_to (cr, floor (x) + 0.5, word_y + 3);
  cairo_stroke (cr);
  cairo_arc (cr, x, y, radius, 0, 6.2832);
  tarn_paper_source (cr, frame->paper, full ? TARN_INK_TEXT : TARN_INK_GROUND);
  cairo_fill_preserve (cr);
  tarn_paper_source (cr, frame->paper, TARN_INK_TEXT);
  cairo_set_line_width (cr, 1.5);
  cairo_stroke (cr);
  tarn_paper_font (cr, frame->paper, AXIS_TEXT, full);
  double width = tarn_paper_text_width (cr, word);
  x = tarn_clamp (x - width / 2, frame->left, fmax (frame->right - width, frame->left));
  tarn_paper_source (cr, frame->paper, TARN_INK_GROUND);
  cairo_rectangle (cr, x - 2, word_y - 10 * frame->size, width + 4, 13 * frame->size);
  cairo_fill (cr);
  tarn_paper_source (cr, frame->paper, TARN_INK_TEXT);
  tarn_paper_text (cr, x, word_y, TARN_ALIGN_START, word);
}

static void
draw_uprights (cairo_t *cr, const Frame *frame)
{
  const TarnAimChart *chart = frame->chart;
  const TarnAimSample *here = &chart->sample[TARN_AIM_SAMPLES / 2];
  double most = chart->sample[frame->largest].whole_mm2;
  bool one = most > 0 && here->whole_mm2 >= AS_LARGE * most;
  if (most > 0 && !one)
    draw_upright (cr, frame, chart->best_offset, most, 1, chart->largest, false);
  draw_upright (cr, frame, here->offset, here->whole_mm2, 0,
                one ? chart->here_largest : chart->here, true);
}

void
tarn_aim_chart_draw (cairo_t *cr, double x, double y, double width, double height,
                     const TarnAimChart *chart, const TarnPaper *paper)
{
  Frame frame = frame_of (x, y, width, height, chart, paper);
  cairo_save (cr);
  cairo_new_path (cr);
  tarn_paper_font (cr, paper, TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  tarn_paper_text (cr, x, y + TEXT * frame.size, TARN_ALIGN_START, chart->title);
  draw_areas (cr, &frame);
  draw_offsets (cr, &frame);
  draw_line (cr, &frame, false);
  draw_line (cr, &frame, true);
  draw_names (cr, &frame);
  draw_uprights (cr, &frame);
  cairo_restore (cr);
}
