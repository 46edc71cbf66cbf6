/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The time line, from top to bottom: marks with their words; the band that says on skin,
 * sweeping and frozen, each by its fill as well as its word; force with the line of comfort;
 * gel; stillness and breath; seconds. */
#include "report/timeline.h"

#include "report/trace_picture.h"

#include "base/vec.h"

#include <math.h>
#include <stdio.h>

#define NAME_ROOM     92.0 /* all times the text size */
#define RIGHT_ROOM    36.0
#define TEXT          12.0
#define MARK_ROOM     34.0
#define GLYPH         13.0
#define ASIDE         45.0 /* how far a mark may be moved so as not to hide another */
#define BAND          16.0
#define FORCE         46.0
#define FORCE_COMPACT 28.0
#define LANE_COMPACT  16.0
#define LANE          26.0
#define GAP_COMPACT   4.0
#define GAP           6.0
#define AXIS_ROOM     18.0
#define FORCE_LEAST_N 10.0
#define GEL_LEAST_G   20.0
#define STILL_MM      6.0

/* Where the lanes lie. */
typedef struct
{
  double left, wide, size;
  double band, force, gel, still, breath, axis; /* their tops */
  double force_high, lane_high;
} Lanes;

static Lanes
lanes_of (const TarnTimelinePicture *picture, double width, const TarnPaper *paper)
{
  double size = tarn_paper_text_size (paper);
  Lanes lanes = { .left = NAME_ROOM * size, .size = size };
  lanes.wide = fmax (width - lanes.left - RIGHT_ROOM * size, 1);
  double gap = (picture->compact ? GAP_COMPACT : GAP) * size;
  lanes.force_high = (picture->compact ? FORCE_COMPACT : FORCE) * size;
  lanes.lane_high = (picture->compact ? LANE_COMPACT : LANE) * size;
  lanes.band = MARK_ROOM * size;
  lanes.force = lanes.band + BAND * size + gap;
  lanes.gel = lanes.force + lanes.force_high + gap;
  lanes.still = lanes.gel + lanes.lane_high + gap;
  lanes.breath = lanes.still + lanes.lane_high + gap;
  lanes.axis = picture->compact ? lanes.still : lanes.breath + lanes.lane_high + gap;
  return lanes;
}

double
tarn_timeline_height (const TarnTimelinePicture *picture, const TarnPaper *paper)
{
  return lanes_of (picture, 0, paper).axis + AXIS_ROOM * tarn_paper_text_size (paper);
}

static double
x_of (const Lanes *lanes, const TarnTimelinePicture *picture, double seconds)
{
  double span_s = fmax (picture->to_s - picture->from_s, 1e-3);
  return lanes->left + (seconds - picture->from_s) / span_s * lanes->wide;
}

double
tarn_timeline_x (const TarnTimelinePicture *picture, double width, double seconds,
                 const TarnPaper *paper)
{
  Lanes lanes = lanes_of (picture, width, paper);
  return x_of (&lanes, picture, seconds);
}

double
tarn_timeline_seconds (const TarnTimelinePicture *picture, double width, double x,
                       const TarnPaper *paper)
{
  Lanes lanes = lanes_of (picture, width, paper);
  return picture->from_s + (x - lanes.left) / lanes.wide * (picture->to_s - picture->from_s);
}

static double
mark_s (const TarnReplayMark *mark)
{
  return (double)mark->tick / TARN_TICKS_PER_SECOND;
}

/* Where mark @index is drawn, after the one before at @before: at its time, or a little later
 * so that both are seen. */
static double
mark_x (const Lanes *lanes, const TarnTimelinePicture *picture, int index, double before)
{
  double x = x_of (lanes, picture, mark_s (&picture->mark[index]));
  double beside = before + GLYPH * lanes->size;
  return x < beside && beside - x < ASIDE * lanes->size ? beside : x;
}

int
tarn_timeline_mark_at (const TarnTimelinePicture *picture, double width, double x, double y,
                       const TarnPaper *paper)
{
  Lanes lanes = lanes_of (picture, width, paper);
  int found = -1;
  double best = 10 * lanes.size, at = -1e9;
  if (y > lanes.band)
    return -1;
  for (int k = 0; k < picture->marks; k++)
    {
      at = mark_x (&lanes, picture, k, at);
      if (fabs (at - x) < best)
        {
          best = fabs (at - x);
          found = k;
        }
    }
  return found;
}

/* ---- Lanes ---- */

static void
draw_name (cairo_t *cr, const Lanes *lanes, double top, double high, const char *name,
           const TarnPaper *paper)
{
  tarn_paper_font (cr, paper, TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  tarn_paper_text (cr, lanes->left - 8 * lanes->size, top + high / 2 + 4 * lanes->size,
                   TARN_ALIGN_END, name);
}

static void
draw_ground (cairo_t *cr, const Lanes *lanes, const TarnTimelinePicture *picture, double top,
             double high, const TarnPaper *paper)
{
  double from = fmax (x_of (lanes, picture, 0), lanes->left);
  double to = fmin (x_of (lanes, picture, picture->last_s), lanes->left + lanes->wide);
  tarn_paper_source (cr, paper, TARN_INK_FAINT);
  cairo_rectangle (cr, from, top, fmax (to - from, 1), high);
  cairo_fill (cr);
}

typedef enum
{
  STATE_OFF,
  STATE_ON_SKIN,
  STATE_SWEEPING,
  STATE_FROZEN,
} State;

static State
state_of (const TarnReplaySample *sample)
{
  return sample->sweeping  ? STATE_SWEEPING
         : sample->frozen  ? STATE_FROZEN
         : sample->on_skin ? STATE_ON_SKIN
                           : STATE_OFF;
}

/* On the skin: half as high; sweeping: filled; frozen: hatched. */
static void
draw_stretch (cairo_t *cr, const Lanes *lanes, double from, double to, State state,
              const TarnTimelinePicture *picture, const TarnPaper *paper)
{
  double high = BAND * lanes->size, wide = fmax (to - from, 1);
  const char *word = state == STATE_SWEEPING ? picture->sweep_word
                     : state == STATE_FROZEN ? picture->frozen_word
                                             : NULL;
  double room = word != NULL ? 0 : 1e9;
  tarn_paper_source (cr, paper, state == STATE_FROZEN ? TARN_INK_QUIET : TARN_INK_MEASURED);
  if (state == STATE_ON_SKIN)
    {
      cairo_rectangle (cr, from, lanes->band + high * 0.3, wide, high * 0.4);
      cairo_fill (cr);
    }
  else if (state == STATE_SWEEPING)
    {
      cairo_rectangle (cr, from, lanes->band, wide, high);
      cairo_fill (cr);
    }
  else
    {
      cairo_save (cr);
      cairo_rectangle (cr, from, lanes->band, wide, high);
      cairo_clip (cr);
      cairo_set_line_width (cr, 1);
      for (double x = from - high; x < to; x += 6)
        {
          cairo_move_to (cr, x, lanes->band + high);
          cairo_line_to (cr, x + high, lanes->band);
        }
      cairo_stroke (cr);
      cairo_restore (cr);
      cairo_rectangle (cr, from + 0.5, lanes->band + 0.5, fmax (wide - 1, 1), high - 1);
      cairo_stroke (cr);
    }
  if (word == NULL)
    return;
  tarn_paper_font (cr, paper, TEXT - 1, false);
  room = tarn_paper_text_width (cr, word) + 10 * lanes->size;
  if (room > wide)
    return;
  /* On a plate of the ground's own, so that no fill lies behind letters. */
  tarn_paper_source (cr, paper, TARN_INK_GROUND);
  cairo_rectangle (cr, from + (wide - room) / 2, lanes->band + 2, room, high - 4);
  cairo_fill (cr);
  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  tarn_paper_text (cr, from + wide / 2, lanes->band + high / 2 + 4 * lanes->size,
                   TARN_ALIGN_MIDDLE, word);
}

static void
draw_band (cairo_t *cr, const Lanes *lanes, const TarnTimelinePicture *picture,
           const TarnPaper *paper)
{
  draw_ground (cr, lanes, picture, lanes->band, BAND * lanes->size, paper);
  draw_name (cr, lanes, lanes->band, BAND * lanes->size, picture->skin_name, paper);
  int begin = 0;
  for (int k = 1; k <= picture->samples; k++)
    {
      State state = state_of (&picture->sample[begin]);
      if (k < picture->samples && state_of (&picture->sample[k]) == state)
        continue;
      if (state != STATE_OFF)
        draw_stretch (cr, lanes, x_of (lanes, picture, begin * picture->sample_s),
                      x_of (lanes, picture, fmin (k * picture->sample_s, picture->last_s)),
                      state, picture, paper);
      begin = k;
    }
}

typedef enum
{
  CURVE_FORCE,
  CURVE_GEL,
  CURVE_STILL,
  CURVE_BREATH,
} Curve;

static double
value_of (const TarnReplaySample *sample, Curve curve)
{
  switch (curve)
    {
    case CURVE_FORCE:
      return sample->force_n;
    case CURVE_GEL:
      return sample->gel_g;
    case CURVE_STILL:
      return sample->on_skin ? sample->unsteady_mm : 0;
    case CURVE_BREATH:
      break;
    }
  return (sample->breath + 1) / 2;
}

/* Of what lies within one pixel, the least and the most are drawn. */
static void
draw_curve (cairo_t *cr, const Lanes *lanes, const TarnTimelinePicture *picture, Curve curve,
            double top, double high, double full, const TarnPaper *paper)
{
  double low = INFINITY, most = -INFINITY, pixel = -1;
  bool any = false;
  cairo_new_path (cr);
  for (int k = 0; k < picture->samples; k++)
    {
      double value = tarn_clamp (value_of (&picture->sample[k], curve) / full, 0, 1);
      double x = floor (x_of (lanes, picture, k * picture->sample_s));
      if (any && x > pixel)
        {
          cairo_line_to (cr, pixel + 0.5, top + high * (1 - low));
          if (most > low)
            cairo_line_to (cr, pixel + 0.5, top + high * (1 - most));
          low = INFINITY;
          most = -INFINITY;
        }
      pixel = x;
      any = true;
      low = fmin (low, value);
      most = fmax (most, value);
    }
  if (any)
    cairo_line_to (cr, pixel + 0.5, top + high * (1 - most));
  tarn_paper_source (cr, paper, TARN_INK_MEASURED);
  cairo_set_line_width (cr, 1.5);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_stroke (cr);
}

static double
most_of (const TarnTimelinePicture *picture, Curve curve, double least)
{
  double most = least;
  for (int k = 0; k < picture->samples; k++)
    most = fmax (most, value_of (&picture->sample[k], curve));
  return most;
}

/* A level that a curve should stay under, with its name. */
static void
draw_level (cairo_t *cr, const Lanes *lanes, const TarnTimelinePicture *picture, double y,
            const char *name, const TarnPaper *paper)
{
  static const double dashes[] = { 5, 4 };
  double from = fmax (x_of (lanes, picture, 0), lanes->left);
  double to = fmin (x_of (lanes, picture, picture->last_s), lanes->left + lanes->wide);
  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  cairo_save (cr);
  cairo_set_dash (cr, dashes, 2, 0);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, from, floor (y) + 0.5);
  cairo_line_to (cr, to, floor (y) + 0.5);
  cairo_stroke (cr);
  cairo_restore (cr);
  tarn_paper_font (cr, paper, TEXT - 1, false);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  tarn_paper_text (cr, to - 2, y - 3 * lanes->size, TARN_ALIGN_END, name);
}

static void
draw_curves (cairo_t *cr, const Lanes *lanes, const TarnTimelinePicture *picture,
             const TarnPaper *paper)
{
  double force_n
      = 1.1 * most_of (picture, CURVE_FORCE, fmax (FORCE_LEAST_N, 1.25 * picture->comfort_n));
  double high = lanes->force_high, lane = lanes->lane_high;
  draw_ground (cr, lanes, picture, lanes->force, high, paper);
  draw_name (cr, lanes, lanes->force, high, picture->force_name, paper);
  if (picture->comfort_n > 0)
    draw_level (cr, lanes, picture, lanes->force + high * (1 - picture->comfort_n / force_n),
                picture->comfort_word, paper);
  draw_curve (cr, lanes, picture, CURVE_FORCE, lanes->force, high, force_n, paper);

  draw_ground (cr, lanes, picture, lanes->gel, lane, paper);
  draw_name (cr, lanes, lanes->gel, lane, picture->gel_name, paper);
  draw_curve (cr, lanes, picture, CURVE_GEL, lanes->gel, lane,
              most_of (picture, CURVE_GEL, GEL_LEAST_G), paper);
  if (picture->compact)
    return;
  draw_ground (cr, lanes, picture, lanes->still, lane, paper);
  draw_name (cr, lanes, lanes->still, lane, picture->still_name, paper);
  draw_level (cr, lanes, picture, lanes->still + lane * (1 - TARN_STEADY_MM / STILL_MM), "",
              paper);
  draw_curve (cr, lanes, picture, CURVE_STILL, lanes->still, lane, STILL_MM, paper);
  draw_ground (cr, lanes, picture, lanes->breath, lane, paper);
  draw_name (cr, lanes, lanes->breath, lane, picture->breath_name, paper);
  draw_curve (cr, lanes, picture, CURVE_BREATH, lanes->breath, lane, 1, paper);
}

/* ---- Marks, seconds, now ---- */

/* A word stands where the one before has left room for it. */
static void
draw_marks (cairo_t *cr, const Lanes *lanes, const TarnTimelinePicture *picture,
            const TarnPaper *paper)
{
  double size = lanes->size, free_from = 0, right = lanes->left + lanes->wide + 8 * size;
  double x = -1e9;
  for (int k = 0; k < picture->marks; k++)
    {
      x = mark_x (lanes, picture, k, x);
      double y = lanes->band - (GLYPH / 2 + 3) * size;
      if (k == picture->chosen)
        {
          tarn_paper_source (cr, paper, TARN_INK_FAINT);
          cairo_arc (cr, x, y, (GLYPH / 2 + 3) * size, 0, 7);
          cairo_fill (cr);
        }
      tarn_timeline_glyph (cr, x, y, GLYPH * size * 0.85, picture->mark[k].kind, paper);
      if (picture->word == NULL || picture->word[k] == NULL)
        continue;
      tarn_paper_font (cr, paper, TEXT - 1, k == picture->chosen);
      double half = tarn_paper_text_width (cr, picture->word[k]) / 2;
      double at = tarn_clamp (x, half, fmax (right - half, half));
      if (at - half < free_from)
        continue;
      tarn_paper_source (cr, paper, k == picture->chosen ? TARN_INK_TEXT : TARN_INK_QUIET);
      tarn_paper_text (cr, at, 11 * size, TARN_ALIGN_MIDDLE, picture->word[k]);
      free_from = at + half + 8 * size;
    }
}

/* Steps of a clock that leave room for their numbers. */
static double
axis_step_s (const TarnTimelinePicture *picture, double wide, double size)
{
  static const double steps[] = { 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1800, 3600, 7200 };
  double least = 56 * size * (picture->to_s - picture->from_s) / wide;
  for (size_t k = 0; k < sizeof steps / sizeof steps[0]; k++)
    if (steps[k] >= least)
      return steps[k];
  return 14400;
}

static void
draw_axis (cairo_t *cr, const Lanes *lanes, const TarnTimelinePicture *picture,
           const TarnPaper *paper)
{
  double step = axis_step_s (picture, lanes->wide, lanes->size);
  tarn_paper_font (cr, paper, TEXT - 1, false);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  for (double at = fmax (0, ceil (picture->from_s / step) * step);
       at <= fmin (picture->to_s, picture->last_s); at += step)
    {
      char text[32];
      double x = floor (x_of (lanes, picture, at)) + 0.5;
      snprintf (text, sizeof text, "%d:%02d", (int)at / 60, (int)at % 60);
      cairo_set_line_width (cr, 1);
      cairo_move_to (cr, x, lanes->axis - 4 * lanes->size);
      cairo_line_to (cr, x, lanes->axis);
      cairo_stroke (cr);
      tarn_paper_text (cr, x, lanes->axis + 12 * lanes->size, TARN_ALIGN_MIDDLE, text);
    }
}

static void
draw_waiting (cairo_t *cr, const Lanes *lanes, const TarnTimelinePicture *picture,
              const TarnPaper *paper)
{
  if (picture->ready_s >= picture->last_s || picture->waiting == NULL)
    return;
  double from = x_of (lanes, picture, picture->ready_s),
         to = x_of (lanes, picture, picture->last_s);
  tarn_paper_font (cr, paper, TEXT, false);
  tarn_paper_source (cr, paper, TARN_INK_QUIET);
  if (to - from > tarn_paper_text_width (cr, picture->waiting) + 8)
    tarn_paper_text (cr, (from + to) / 2, lanes->force + lanes->force_high / 2,
                     TARN_ALIGN_MIDDLE, picture->waiting);
}

static void
draw_now (cairo_t *cr, const Lanes *lanes, const TarnTimelinePicture *picture,
          const TarnPaper *paper)
{
  double x = floor (x_of (lanes, picture, picture->now_s)) + 0.5, size = lanes->size;
  x = tarn_clamp (x, lanes->left, lanes->left + lanes->wide);
  tarn_paper_source (cr, paper, TARN_INK_TEXT);
  cairo_set_line_width (cr, 2);
  cairo_move_to (cr, x, lanes->band - 2 * size);
  cairo_line_to (cr, x, lanes->axis);
  cairo_stroke (cr);
  cairo_move_to (cr, x, lanes->axis - 6 * size);
  cairo_line_to (cr, x + 6 * size, lanes->axis + 2 * size);
  cairo_line_to (cr, x - 6 * size, lanes->axis + 2 * size);
  cairo_close_path (cr);
  cairo_fill (cr);
}

void
tarn_timeline_draw (cairo_t *cr, double width, double height,
                    const TarnTimelinePicture *picture, const TarnPaper *paper)
{
  Lanes lanes = lanes_of (picture, width, paper);
  cairo_save (cr);
  cairo_rectangle (cr, 0, 0, width, height);
  cairo_clip (cr);
  cairo_new_path (cr);
  draw_band (cr, &lanes, picture, paper);
  draw_curves (cr, &lanes, picture, paper);
  draw_waiting (cr, &lanes, picture, paper);
  draw_marks (cr, &lanes, picture, paper);
  draw_axis (cr, &lanes, picture, paper);
  draw_now (cr, &lanes, picture, paper);
  cairo_restore (cr);
}
