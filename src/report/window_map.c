/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two maps side by side, the place above the bone up the page in both:
 *
 *   tilt 15°, 8 N                   22 mm to the left, 8 N
 *   120 ┌──────────────┐            ┌──────────┐
 *       │ ▨▨▨▇▇▇▇▨▨▨▨▨ │            │ ▨▇▇▇▇▨▨▨ │
 *     0 └──────────────┘            └──────────┘
 *       right   0   left            head 0  feet
 *   ▇ accurate  ▨ clipped
 *
 * Poses of one verdict are one shape, so that its pattern runs through. */
#include "report/window_map.h"

#include "base/units.h"
#include "report/rounding.h"

#include <math.h>
#include <stdio.h>

#define TITLE      17.0
#define TEXT       13.0
#define AXIS_TEXT  11.0
#define LINE       18.0
#define MARGIN     24.0
#define AXIS_ROOM  56.0 /* left of a map */
#define BETWEEN    34.0 /* the maps */
#define HEAD_ROOM  76.0
#define FOOT_ROOM  136.0
#define NO_FOOTER  36.0 /* less of it without one */
#define SWATCH     16.0
#define MARK       6.0
#define RING       9.5
#define DIAMOND    10.5
#define FIRST_WIDE 0.58 /* of the room, for the map by place */
#define TICK       5.0

/* One map: its box, and which axis runs across. */
typedef struct
{
  const TarnWindowMap *map;
  const TarnPaper *paper;
  double x, y, width, height;
  bool by_tilt;
} Chart;

static const TarnWindowAxis *
across (const Chart *chart)
{
  return chart->by_tilt ? &chart->map->window->tilt : &chart->map->window->left;
}

/* User units for a value on an axis whose cells fill @length. */
static double
along (const TarnWindowAxis *axis, double value, double length)
{
  return ((value - axis->first) / axis->step + 0.5) / axis->count * length;
}

static double
chart_x (const Chart *chart, double value)
{
  return chart->x + along (across (chart), value, chart->width);
}

static double
chart_y (const Chart *chart, double above_mm)
{
  return chart->y + chart->height - along (&chart->map->window->above, above_mm, chart->height);
}

/* Open: TARN_VERDICTS; else the verdict. */
static int
kind_at (const Chart *chart, int row, int column)
{
  const TarnAcousticWindow *window = chart->map->window;
  const TarnWindowLayer *layer = &window->layer[window->best_layer];
  int left = chart->by_tilt ? window->best_cell[1] : column;
  int tilt = chart->by_tilt ? column : window->best_cell[2];
  return layer->open[row][left][tilt] ? TARN_VERDICTS : layer->verdict[row][left][tilt];
}

static TarnMark
mark_for (int kind)
{
  switch (kind)
    {
    case TARN_VERDICTS:
    case TARN_VERDICT_ACCURATE:
      return TARN_MARK_MEASURED;
    case TARN_VERDICT_CLIPPED:
      return TARN_MARK_EDGE;
    case TARN_VERDICT_SHADOWED:
      return TARN_MARK_SHADOW;
    case TARN_VERDICT_POOR_CONTACT:
      return TARN_MARK_CONTACT;
    case TARN_VERDICT_MOVED:
      return TARN_MARK_MOTION;
    case TARN_VERDICT_WRONG_FLUID:
      return TARN_MARK_OTHER_FLUID;
    default:
      return TARN_MARK_REST;
    }
}

/* Adds the cells of a kind, those beside each other in a row as one. */
static bool
add_cells (cairo_t *cr, const Chart *chart, int kind)
{
  int rows = chart->map->window->above.count, columns = across (chart)->count;
  double wide = chart->width / columns, high = chart->height / rows;
  bool any = false;
  for (int row = 0; row < rows; row++)
    for (int column = 0; column < columns; column++)
      {
        int run = 0;
        while (column + run < columns && kind_at (chart, row, column + run) == kind)
          run++;
        if (run == 0)
          continue;
        cairo_rectangle (cr, chart->x + column * wide,
                         chart->y + chart->height - (row + 1) * high, run * wide, high);
        column += run;
        any = true;
      }
  return any;
}

static void
draw_cells (cairo_t *cr, const Chart *chart)
{
  int rows = chart->map->window->above.count, columns = across (chart)->count;
  for (int kind = 0; kind <= TARN_VERDICTS; kind++)
    {
      cairo_new_path (cr);
      if (kind != TARN_VERDICT_NOT_ACCURATE && add_cells (cr, chart, kind))
        tarn_paper_fill_mark (cr, chart->paper, mark_for (kind));
    }
  /* The poses that were tried, as cells. */
  cairo_new_path (cr);
  tarn_paper_source (cr, chart->paper, TARN_INK_GROUND);
  cairo_set_line_width (cr, 1);
  for (int row = 0; row <= rows; row++)
    {
      double y = floor (chart->y + row * chart->height / rows) + 0.5;
      cairo_move_to (cr, chart->x, y);
      cairo_line_to (cr, chart->x + chart->width, y);
    }
  for (int column = 0; column <= columns; column++)
    {
      double x = floor (chart->x + column * chart->width / columns) + 0.5;
      cairo_move_to (cr, x, chart->y);
      cairo_line_to (cr, x, chart->y + chart->height);
    }
  cairo_stroke (cr);
  tarn_paper_source (cr, chart->paper, TARN_INK_QUIET);
  cairo_rectangle (cr, floor (chart->x) + 0.5, floor (chart->y) + 0.5, floor (chart->width),
                   floor (chart->height));
  cairo_stroke (cr);
}

/* Multiples of @step on the axis across, in @unit of the axis. */
static void
draw_ticks_across (cairo_t *cr, const Chart *chart, double unit, double step)
{
  const TarnWindowAxis *axis = across (chart);
  double size = tarn_paper_text_size (chart->paper), foot = chart->y + chart->height;
  double last = axis->first + (axis->count - 1) * axis->step;
  for (double at = ceil (axis->first / unit / step) * step; at * unit <= last + 1e-9;
       at += step)
    {
      char text[32];
      double x = floor (chart_x (chart, at * unit)) + 0.5;
      snprintf (text, sizeof text, "%g", fabs (at));
      cairo_move_to (cr, x, foot);
      cairo_line_to (cr, x, foot + TICK);
      cairo_stroke (cr);
      tarn_paper_text (cr, x, foot + TICK + 12 * size, TARN_ALIGN_MIDDLE, text);
    }
}

static void
draw_ticks_up (cairo_t *cr, const Chart *chart, double step_mm)
{
  const TarnWindowAxis *axis = &chart->map->window->above;
  double size = tarn_paper_text_size (chart->paper);
  double last = axis->first + (axis->count - 0.5) * axis->step;
  for (double at = ceil ((axis->first - axis->step / 2) / step_mm) * step_mm; at <= last;
       at += step_mm)
    {
      char text[32];
      double y = floor (chart_y (chart, at)) + 0.5;
      snprintf (text, sizeof text, "%g", at + 0.0); /* no minus before zero */
      cairo_move_to (cr, chart->x - TICK, y);
      cairo_line_to (cr, chart->x, y);
      cairo_stroke (cr);
      tarn_paper_text (cr, chart->x - TICK - 4, y + 4 * size, TARN_ALIGN_END, text);
    }
}

static void
draw_axes (cairo_t *cr, const Chart *chart)
{
  const TarnWindowMap *map = chart->map;
  const char *name = chart->by_tilt ? map->tilt : map->left;
  double size = tarn_paper_text_size (chart->paper), foot = chart->y + chart->height;
  tarn_paper_font (cr, chart->paper, AXIS_TEXT, false);
  tarn_paper_source (cr, chart->paper, TARN_INK_QUIET);
  cairo_set_line_width (cr, 1);
  draw_ticks_across (cr, chart, chart->by_tilt ? TARN_PI / 180 : 1, 20);
  draw_ticks_up (cr, chart, 20);

  double line = foot + TICK + 30 * size;
  tarn_paper_text (cr, chart->x, line, TARN_ALIGN_START,
                   chart->by_tilt ? map->head_end : map->right_end);
  tarn_paper_text (cr, chart->x + chart->width, line, TARN_ALIGN_END,
                   chart->by_tilt ? map->feet_end : map->left_end);
  tarn_paper_text (cr, chart->x + chart->width / 2, line, TARN_ALIGN_MIDDLE, name);
  if (chart->by_tilt)
    return;
  cairo_save (cr);
  cairo_translate (cr, chart->x - AXIS_ROOM * size + 14 * size, chart->y + chart->height / 2);
  cairo_rotate (cr, -TARN_PI / 2);
  tarn_paper_text (cr, 0, 0, TARN_ALIGN_MIDDLE, map->above);
  cairo_restore (cr);
}

/* Where the word stands, so that all three can mark one place. */
typedef enum
{
  MARK_DOT,     /* at its right */
  MARK_RING,    /* at its left */
  MARK_DIAMOND, /* under it */
} MarkShape;

static void
trace_mark (cairo_t *cr, MarkShape shape, double x, double y, double radius)
{
  cairo_new_path (cr);
  if (shape != MARK_DIAMOND)
    {
      cairo_arc (cr, x, y, radius, 0, 2 * TARN_PI);
      return;
    }
  cairo_move_to (cr, x - radius, y);
  cairo_line_to (cr, x, y - radius);
  cairo_line_to (cr, x + radius, y);
  cairo_line_to (cr, x, y + radius);
  cairo_close_path (cr);
}

/* The word's left end and base line; turned over where the chart ends. */
static void
place_word (const Chart *chart, MarkShape shape, double x, double y, double radius, double wide,
            double *word_x, double *word_y)
{
  double size = tarn_paper_text_size (chart->paper), room = radius + wide + 12 * size;
  bool right = shape == MARK_DOT ? x + room < chart->x + chart->width : x - room < chart->x;
  *word_x = right ? x + radius + 5 * size : x - radius - 5 * size - wide;
  *word_y = y + 5 * size;
  if (shape != MARK_DIAMOND)
    return;
  bool under = y + radius + 26 * size < chart->y + chart->height;
  *word_x = tarn_clamp (x - wide / 2, chart->x + 6 * size,
                        fmax (chart->x + chart->width - wide - 6 * size, chart->x));
  *word_y = under ? y + radius + 18 * size : y - radius - 9 * size;
}

/* A mark with a halo, and its word on a plate. */
static void
draw_mark (cairo_t *cr, const Chart *chart, double x, double y, MarkShape shape,
           const char *word)
{
  double size = tarn_paper_text_size (chart->paper), word_x, word_y;
  double radius = (shape == MARK_RING ? RING : shape == MARK_DOT ? MARK : DIAMOND) * size;
  tarn_paper_font (cr, chart->paper, TEXT, true);
  double wide = tarn_paper_text_width (cr, word);
  place_word (chart, shape, x, y, radius, wide, &word_x, &word_y);

  tarn_paper_source (cr, chart->paper, TARN_INK_GROUND);
  cairo_rectangle (cr, word_x - 4 * size, word_y - 15 * size, wide + 8 * size, 20 * size);
  cairo_fill (cr);
  trace_mark (cr, shape, x, y, radius + 2.5 * size);
  cairo_fill (cr);
  tarn_paper_source (cr, chart->paper, TARN_INK_TEXT);
  trace_mark (cr, shape, x, y, radius - (shape == MARK_DOT ? 0 : size));
  cairo_set_line_width (cr, 2 * size);
  if (shape == MARK_DOT)
    cairo_fill (cr);
  else
    cairo_stroke (cr);
  tarn_paper_text (cr, word_x, word_y, TARN_ALIGN_START, word);
}

/* On the chart's border where it lies beyond. */
static void
draw_mark_at (cairo_t *cr, const Chart *chart, const TarnPose *pose, MarkShape shape,
              const char *word)
{
  double x = chart_x (chart, chart->by_tilt ? pose->tilt_rad : pose->left_mm);
  double y = chart_y (chart, pose->above_mm);
  draw_mark (cr, chart, tarn_clamp (x, chart->x, chart->x + chart->width),
             tarn_clamp (y, chart->y, chart->y + chart->height), shape, word);
}

static void
draw_marks (cairo_t *cr, const Chart *chart)
{
  const TarnWindowMap *map = chart->map;
  TarnPose start = { .above_mm = map->start_above_mm, .left_mm = map->start_left_mm };
  if (map->start != NULL && !chart->by_tilt)
    draw_mark_at (cr, chart, &start, MARK_RING, map->start);
  if (map->best != NULL)
    draw_mark_at (cr, chart, &map->window->best, MARK_DOT, map->best);
  if (map->here != NULL)
    draw_mark_at (cr, chart, &map->here_pose, MARK_DIAMOND, map->here);
}

static void
draw_chart (cairo_t *cr, const Chart *chart)
{
  double size = tarn_paper_text_size (chart->paper);
  tarn_paper_font (cr, chart->paper, TEXT, false);
  tarn_paper_source (cr, chart->paper, TARN_INK_TEXT);
  tarn_paper_text (cr, chart->x, chart->y - 10 * size, TARN_ALIGN_START,
                   chart->by_tilt ? chart->map->by_tilt : chart->map->by_place);
  draw_cells (cr, chart);
  draw_axes (cr, chart);
  draw_marks (cr, chart);
}

/* One swatch and its word; returns where the next may stand. */
static double
draw_key (cairo_t *cr, const TarnPaper *paper, double x, double y, int kind, const char *word)
{
  double size = tarn_paper_text_size (paper);
  cairo_new_path (cr);
  cairo_rectangle (cr, x, y - 13 * size, 1.6 * SWATCH * size, SWATCH * size);
  tarn_paper_fill_mark (cr, paper, mark_for (kind));
  x += (1.6 * SWATCH + 7) * size;
  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  return x + tarn_paper_text (cr, x, y, TARN_ALIGN_START, word) + 22 * size;
}

static void
draw_keys (cairo_t *cr, double y, double width, const TarnWindowMap *map,
           const TarnPaper *paper)
{
  double size = tarn_paper_text_size (paper), x = MARGIN * size;
  tarn_paper_font (cr, paper, TEXT, false);
  if (map->open != NULL)
    x = draw_key (cr, paper, x, y, TARN_VERDICTS, map->open);
  for (int kind = TARN_VERDICT_ACCURATE + 1; kind < TARN_VERDICTS; kind++)
    if (map->verdict[kind] != NULL && kind != TARN_VERDICT_NOT_ACCURATE)
      {
        double room
            = (1.6 * SWATCH + 7) * size + tarn_paper_text_width (cr, map->verdict[kind]);
        if (x + room > width - MARGIN * size)
          {
            x = MARGIN * size;
            y += 1.4 * LINE * size;
          }
        x = draw_key (cr, paper, x, y, kind, map->verdict[kind]);
      }
}

static void
lay_out (double width, double height, const TarnWindowMap *map, const TarnPaper *paper,
         Chart *place, Chart *tilt)
{
  double size = tarn_paper_text_size (paper), margin = MARGIN * size;
  double left = margin + AXIS_ROOM * size, gap = (BETWEEN + AXIS_ROOM / 2) * size;
  double room = fmax (width - left - margin - gap, 80), first = room * FIRST_WIDE;
  double top = HEAD_ROOM * size, foot = map->footer != NULL ? FOOT_ROOM : FOOT_ROOM - NO_FOOTER;
  double high = fmax (height - (HEAD_ROOM + foot) * size, 60);
  *place = (Chart){ map, paper, left, top, first, high, false };
  *tilt = (Chart){ map, paper, left + first + gap, top, room - first, high, true };
}

/* Which cell of an axis lies at a share of its length. */
static double
value_at (const TarnWindowAxis *axis, double share)
{
  return axis->first + axis->step * floor (share * axis->count);
}

bool
tarn_window_map_pose_at (double width, double height, const TarnWindowMap *map,
                         const TarnPaper *paper, double x, double y, TarnPose *pose)
{
  Chart chart[2];
  lay_out (width, height, map, paper, &chart[0], &chart[1]);
  for (int k = 0; k < 2; k++)
    {
      double over = (x - chart[k].x) / chart[k].width;
      double up = (chart[k].y + chart[k].height - y) / chart[k].height;
      if (!(over >= 0 && over < 1 && up >= 0 && up < 1))
        continue;
      *pose = map->window->best;
      pose->above_mm = value_at (&map->window->above, up);
      *(chart[k].by_tilt ? &pose->tilt_rad : &pose->left_mm)
          = value_at (across (&chart[k]), over);
      return true;
    }
  return false;
}

void
tarn_window_map_draw (cairo_t *cr, double width, double height, const TarnWindowMap *map,
                      const TarnPaper *paper)
{
  double size = tarn_paper_text_size (paper), margin = MARGIN * size;
  Chart place, tilt;
  lay_out (width, height, map, paper, &place, &tilt);

  cairo_save (cr);
  cairo_new_path (cr);
  tarn_paper_font (cr, paper, TITLE, true);
  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  tarn_paper_text (cr, margin, 34 * size, TARN_ALIGN_START, map->title);
  draw_chart (cr, &place);
  draw_chart (cr, &tilt);
  draw_keys (cr, place.y + place.height + 70 * size, width, map, paper);
  if (map->footer != NULL)
    {
      tarn_paper_font (cr, paper, AXIS_TEXT, false);
      tarn_paper_source (cr, paper, TARN_INK_QUIET);
      tarn_paper_text (cr, width - margin, height - 12 * size, TARN_ALIGN_END, map->footer);
    }
  cairo_restore (cr);
}
