/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The marks' shapes.  Each can be told from the others without colour. */
#include "base/units.h"
#include "report/timeline.h"

/* All within a square from -1 to 1. */

static void
polygon (cairo_t *cr, int points, const double (*at)[2])
{
  for (int k = 0; k < points; k++)
    cairo_line_to (cr, at[k][0], at[k][1]);
  cairo_close_path (cr);
}

static void
drop (cairo_t *cr)
{
  cairo_move_to (cr, 0, -1);
  cairo_curve_to (cr, 0.15, -0.5, 0.7, -0.1, 0.7, 0.35);
  cairo_curve_to (cr, 0.7, 0.8, 0.35, 1, 0, 1);
  cairo_curve_to (cr, -0.35, 1, -0.7, 0.8, -0.7, 0.35);
  cairo_curve_to (cr, -0.7, -0.1, -0.15, -0.5, 0, -1);
  cairo_close_path (cr);
}

static void
fan (cairo_t *cr)
{
  cairo_move_to (cr, 0, -1);
  cairo_arc (cr, 0, -1, 2, TARN_PI / 2 - 0.6, TARN_PI / 2 + 0.6);
  cairo_close_path (cr);
}

static void
bubble (cairo_t *cr)
{
  static const double at[][2] = { { -1, -0.8 }, { 1, -0.8 },    { 1, 0.35 }, { 0, 0.35 },
                                  { -0.55, 1 }, { -0.5, 0.35 }, { -1, 0.35 } };
  polygon (cr, 7, at);
}

static void
beam (cairo_t *cr)
{
  cairo_move_to (cr, -1, -0.6);
  cairo_line_to (cr, -1, 0.6);
  cairo_move_to (cr, 1, -0.6);
  cairo_line_to (cr, 1, 0.6);
  cairo_move_to (cr, -1, 0);
  cairo_line_to (cr, 1, 0);
}

static void
page (cairo_t *cr)
{
  cairo_rectangle (cr, -0.7, -1, 1.4, 2);
  for (int k = 0; k < 3; k++)
    {
      cairo_move_to (cr, -0.35, -0.45 + 0.45 * k);
      cairo_line_to (cr, 0.35, -0.45 + 0.45 * k);
    }
}

static void
flag (cairo_t *cr)
{
  static const double cloth[][2] = { { -0.7, -1 }, { 0.8, -0.55 }, { -0.7, -0.1 } };
  polygon (cr, 3, cloth);
  cairo_move_to (cr, -0.7, -1);
  cairo_line_to (cr, -0.7, 1);
}

static void
bars (cairo_t *cr)
{
  cairo_rectangle (cr, -0.75, -0.8, 0.45, 1.6);
  cairo_rectangle (cr, 0.3, -0.8, 0.45, 1.6);
}

static void
cross (cairo_t *cr)
{
  cairo_move_to (cr, -0.8, -0.8);
  cairo_line_to (cr, 0.8, 0.8);
  cairo_move_to (cr, 0.8, -0.8);
  cairo_line_to (cr, -0.8, 0.8);
}

static void
tick (cairo_t *cr)
{
  cairo_move_to (cr, -0.8, 0.1);
  cairo_line_to (cr, -0.2, 0.7);
  cairo_line_to (cr, 0.85, -0.7);
}

/* The path; returns whether it is filled as well. */
static bool
shape (cairo_t *cr, TarnReplayKind kind)
{
  static const double up[][2] = { { 0, -0.9 }, { 0.9, 0.8 }, { -0.9, 0.8 } };
  static const double diamond[][2] = { { 0, -1 }, { 0.9, 0 }, { 0, 1 }, { -0.9, 0 } };
  switch (kind)
    {
    case TARN_REPLAY_DEED:
      cairo_arc (cr, 0, 0, 0.75, 0, 2 * TARN_PI);
      return false;
    case TARN_REPLAY_GEL:
      drop (cr);
      return true;
    case TARN_REPLAY_WIPE:
      drop (cr);
      return false;
    case TARN_REPLAY_LIFT:
      polygon (cr, 3, up);
      return false;
    case TARN_REPLAY_PALPATE:
      cairo_arc (cr, 0, 0, 0.9, 0, 2 * TARN_PI);
      cairo_new_sub_path (cr);
      cairo_arc (cr, 0, 0, 0.25, 0, 2 * TARN_PI);
      return false;
    case TARN_REPLAY_SWEEP:
      fan (cr);
      return false;
    case TARN_REPLAY_SWEPT:
      fan (cr);
      return true;
    case TARN_REPLAY_ABANDON:
      cross (cr);
      return false;
    case TARN_REPLAY_FREEZE:
      bars (cr);
      return true;
    case TARN_REPLAY_CALIPER:
      beam (cr);
      return false;
    case TARN_REPLAY_READING:
      polygon (cr, 4, diamond);
      return true;
    case TARN_REPLAY_JUDGE:
      tick (cr);
      return false;
    case TARN_REPLAY_RECORD:
      page (cr);
      return false;
    case TARN_REPLAY_VOICE:
      bubble (cr);
      return false;
    case TARN_REPLAY_FINISH:
    case TARN_REPLAY_KINDS:
      break;
    }
  flag (cr);
  return true;
}

void
tarn_timeline_glyph (cairo_t *cr, double x, double y, double size, TarnReplayKind kind,
                     const TarnPaper *paper)
{
  cairo_save (cr);
  cairo_translate (cr, x, y);
  cairo_scale (cr, size / 2, size / 2);
  cairo_new_path (cr);
  bool filled = shape (cr, kind);
  cairo_restore (cr);
  tarn_paper_source (cr, paper,
                     kind == TARN_REPLAY_READING ? TARN_INK_MEASURED : TARN_INK_TEXT);
  if (filled)
    cairo_fill_preserve (cr);
  cairo_set_line_width (cr, 1.5);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_stroke (cr);
}
