/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Charts against what they claim: ink is counted where the numbers say that it must be. */
#include "report/face_picture.h"
#include "report/rounding.h"
#include "report/trace_picture.h"
#include "report/waterfall.h"

#include <glib.h>
#include <math.h>
#include <string.h>

static cairo_surface_t *
page_new (int width, int height, const TarnPaper *paper, cairo_t **cr)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  *cr = cairo_create (surface);
  tarn_paper_source (*cr, paper, TARN_INK_GROUND);
  cairo_paint (*cr);
  return surface;
}

static void
page_free (cairo_surface_t *page, cairo_t *cr)
{
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_destroy (page);
}

static unsigned
pixel (cairo_surface_t *page, int x, int y)
{
  uint32_t value;
  cairo_surface_flush (page);
  memcpy (&value,
          cairo_image_surface_get_data (page)
              + (size_t)y * (size_t)cairo_image_surface_get_stride (page) + 4 * x,
          sizeof value);
  return value & 0xffffff;
}

/* Pixels of just this colour in a row. */
static int
run_of (cairo_surface_t *page, int y, unsigned colour)
{
  int count = 0;
  for (int x = 0; x < cairo_image_surface_get_width (page); x++)
    count += pixel (page, x, y) == colour;
  return count;
}

/* Bars' lengths stand in the ratio of their volumes. */
static void
test_bars_are_as_long_as_their_volumes (void)
{
  const TarnPaper paper = { 0 };
  const TarnWaterfallRow cause
      = { .label = "Bone", .value = "-80 mL", .ml = -80, .mark = TARN_MARK_SHADOW };
  const TarnWaterfall waterfall = {
    .first = { .label = "Truth", .value = "320 mL", .ml = 320, .mark = TARN_MARK_TRUTH },
    .last = { .label = "Reading", .value = "240 mL", .ml = 240, .mark = TARN_MARK_MEASURED },
    .rows = 1,
    .row = &cause,
    .unit = "mL",
    .small = "Too small to draw:",
    .reference = "truth",
  };
  int height = (int)tarn_waterfall_height (&waterfall, &paper, 600);
  cairo_t *cr;
  cairo_surface_t *page = page_new (600, height, &paper, &cr);
  tarn_waterfall_draw (cr, 600, &waterfall, &paper);
  int truth = run_of (page, 15, 0xe69f00), reading = run_of (page, 75, 0x0072b2);
  g_assert_cmpint (truth, >, 200);
  g_assert_cmpint (abs (reading - truth * 240 / 320), <=, 2);
  page_free (page, cr);
}

/* A bar too short to see is a line of text below, and the drawing grows by it. */
static void
test_small_bars_are_listed (void)
{
  const TarnPaper paper = { .dark = true };
  TarnWaterfallRow cause[2] = {
    { .label = "Bone", .value = "-79 mL", .ml = -79, .mark = TARN_MARK_SHADOW },
    { .label = "Gas", .value = "-1 mL", .ml = -1, .mark = TARN_MARK_SHADOW },
  };
  TarnWaterfall waterfall = {
    .first = { .label = "Truth", .value = "320 mL", .ml = 320, .mark = TARN_MARK_TRUTH },
    .last = { .label = "Reading", .value = "240 mL", .ml = 240, .mark = TARN_MARK_MEASURED },
    .rows = 2,
    .row = cause,
    .unit = "mL",
    .small = "Too small to draw:",
  };
  g_assert_cmpint (tarn_waterfall_draws (&waterfall, 0), ==, true);
  g_assert_cmpint (tarn_waterfall_draws (&waterfall, 1), ==, false);
  double listed = tarn_waterfall_height (&waterfall, &paper, 600);
  waterfall.rows = 1;
  double alone = tarn_waterfall_height (&waterfall, &paper, 600);
  g_assert_cmpfloat (listed, >, alone);
  g_assert_cmpfloat (listed, <, alone + 40);
}

/* Every mark differs from every other in grey alone: as someone sees it who sees no colour,
 * the shares of dark pixels or their places differ. */
static void
test_marks_differ_without_colour (void)
{
  enum
  {
    SIDE = 40
  };
  static unsigned char grey[TARN_MARKS][SIDE * SIDE];
  for (int dark = 0; dark < 2; dark++)
    {
      const TarnPaper paper = { .dark = dark };
      for (int mark = TARN_MARK_EDGE; mark < TARN_MARKS; mark++)
        {
          cairo_t *cr;
          cairo_surface_t *page = page_new (SIDE, SIDE, &paper, &cr);
          cairo_rectangle (cr, 0, 0, SIDE, SIDE);
          tarn_paper_fill_mark (cr, &paper, (TarnMark)mark);
          for (int k = 0; k < SIDE * SIDE; k++)
            {
              unsigned c = pixel (page, k % SIDE, k / SIDE);
              grey[mark][k] = (unsigned char)(0.30 * (c >> 16) + 0.59 * (c >> 8 & 255)
                                              + 0.11 * (c & 255));
            }
          page_free (page, cr);
        }
      for (int a = TARN_MARK_EDGE; a < TARN_MARKS; a++)
        for (int b = a + 1; b < TARN_MARKS; b++)
          {
            int differ = 0;
            for (int k = 0; k < SIDE * SIDE; k++)
              differ += abs (grey[a][k] - grey[b][k]) > 20;
            g_assert_cmpint (differ, >, SIDE * SIDE / 12);
          }
    }
}

/* No green and no yellow: wherever green leads clearly, blue follows it closely, and what is
 * bright in red and green alone is the orange of the truth. */
static void
test_no_mark_is_green_or_yellow (void)
{
  const TarnPaper paper = { 0 };
  for (int mark = 0; mark < TARN_MARKS; mark++)
    {
      cairo_t *cr;
      cairo_surface_t *page = page_new (30, 30, &paper, &cr);
      cairo_rectangle (cr, 0, 0, 30, 30);
      tarn_paper_fill_mark (cr, &paper, (TarnMark)mark);
      for (int k = 0; k < 900; k++)
        {
          int c = (int)pixel (page, k % 30, k / 30);
          int red = c >> 16, green = c >> 8 & 255, blue = c & 255;
          g_assert_cmpint (green, <=, (red > blue ? red : blue) + 8);
          g_assert_cmpint (MIN (red, green) - blue, <, 170);
        }
      page_free (page, cr);
    }
}

/* 1, 2 or 5 times a power of ten; never more than asked for, nor so few that a finer step
 * would do. */
static void
test_ticks (void)
{
  static const struct
  {
    double most, step;
  } cases[] = { { 320, 100 }, { 470, 100 },  { 510, 200 }, { 4.2, 1 },
                { 40, 10 },   { 1700, 500 }, { 0.9, 0.2 } };
  for (guint k = 0; k < G_N_ELEMENTS (cases); k++)
    g_assert_cmpfloat_with_epsilon (tarn_tick_step (cases[k].most, 4), cases[k].step, 1e-12);
  g_assert_cmpfloat (tarn_tick_step (0, 4), ==, 1);
  g_assert_cmpfloat (tarn_tick_step (NAN, 4), ==, 1);
}

/* The blue of the wet half lies on the side of its columns: column 0 is the image's left, the
 * side of the index mark; row 0 is at the foot. */
static void
test_face_is_wet_where_it_is_wet (void)
{
  const TarnPaper paper = { .dark = true };
  float wet[TARN_FACE_ELEMENTS][TARN_FACE_ELEMENTS];
  for (int upright = 0; upright < 2; upright++)
    {
      int ink[2][2] = { { 0 } };
      for (int row = 0; row < TARN_FACE_ELEMENTS; row++)
        for (int column = 0; column < TARN_FACE_ELEMENTS; column++)
          wet[row][column] = (upright ? row : column) < TARN_FACE_ELEMENTS / 2;
      cairo_t *cr;
      cairo_surface_t *page = page_new (96, 96, &paper, &cr);
      tarn_face_picture_draw (cr, 0, 0, 96, (const float (*)[TARN_FACE_ELEMENTS])wet, &paper);
      for (int y = 0; y < 96; y++)
        for (int x = 12; x < 96; x++)
          ink[y >= 48][x >= 54] += pixel (page, x, y) == 0x56b4e9;
      if (upright)
        g_assert_cmpint (ink[1][0] + ink[1][1], >, 20 * (ink[0][0] + ink[0][1]));
      else
        g_assert_cmpint (ink[0][0] + ink[1][0], >, 20 * (ink[0][1] + ink[1][1]));
      page_free (page, cr);
    }
}

/* Lowest and highest row with ink of the trace in a column. */
static int
trace_row (double wander_mm)
{
  const TarnPaper paper = { 0 };
  float wander[100];
  for (int k = 0; k < 100; k++)
    wander[k] = (float)wander_mm;
  const TarnTracePicture trace = { .samples = 100,
                                   .wander_mm = wander,
                                   .seconds = 4,
                                   .full = 100,
                                   .steady = "",
                                   .unit = "mm",
                                   .seconds_ago = "",
                                   .now = "" };
  cairo_t *cr;
  cairo_surface_t *page = page_new (200, 96, &paper, &cr);
  tarn_trace_picture_draw (cr, 0, 0, 200, 96, &trace, &paper);
  int found = -1;
  for (int y = 0; y < 96; y++)
    if ((int)(pixel (page, 120, y) & 255) - (int)(pixel (page, 120, y) >> 16) > 90)
      found = y;
  page_free (page, cr);
  return found;
}

/* The axis spans 4 mm over 80 rows, so a millimetre is 20; what is above is cut at the top
 * of a doubled scale. */
static void
test_trace_stands_at_its_height (void)
{
  g_assert_cmpint (abs (trace_row (1) - 60), <=, 1);
  g_assert_cmpint (abs (trace_row (3) - 20), <=, 1);
  g_assert_cmpint (abs (trace_row (6) - 20), <=, 1);
  g_assert_cmpint (trace_row (50), <=, 1);
}

static void
test_gauge_is_as_long_as_its_share (void)
{
  const TarnPaper paper = { 0 };
  const TarnGauge gauge = {
    .label = "Force", .value = "6 N", .limit_name = "comfort", .share = 0.25, .limit = 0.75
  };
  cairo_t *cr;
  cairo_surface_t *page = page_new (200, 60, &paper, &cr);
  tarn_gauge_draw (cr, 0, 0, 200, &gauge, &paper);
  g_assert_cmpint (run_of (page, 22, 0x0072b2), ==, 50);
  g_assert_cmphex (pixel (page, 150, 22), ==, 0x24262a);
  page_free (page, cr);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/chart/bars-are-as-long-as-their-volumes",
                   test_bars_are_as_long_as_their_volumes);
  g_test_add_func ("/chart/small-bars-are-listed", test_small_bars_are_listed);
  g_test_add_func ("/chart/marks-differ-without-colour", test_marks_differ_without_colour);
  g_test_add_func ("/chart/no-mark-is-green-or-yellow", test_no_mark_is_green_or_yellow);
  g_test_add_func ("/chart/ticks", test_ticks);
  g_test_add_func ("/chart/face-is-wet-where-it-is-wet", test_face_is_wet_where_it_is_wet);
  g_test_add_func ("/chart/trace-stands-at-its-height", test_trace_stands_at_its_height);
  g_test_add_func ("/chart/gauge-is-as-long-as-its-share", test_gauge_is_as_long_as_its_share);
  return g_test_run ();
}
