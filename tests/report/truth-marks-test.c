/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The true border and the aim chart against their numbers: ink is looked for where these say
 * that it must be, and where it must not. */
#include "report/aim_chart.h"
#include "report/outline_stroke.h"

#include "base/units.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#define WIDE 480
#define HIGH 320

typedef struct
{
  cairo_surface_t *surface;
  cairo_t *cr;
} Page;

static Page
page_new (double grey)
{
  Page page = { cairo_image_surface_create (CAIRO_FORMAT_RGB24, WIDE, HIGH), NULL };
  page.cr = cairo_create (page.surface);
  cairo_set_source_rgb (page.cr, grey, grey, grey);
  cairo_paint (page.cr);
  return page;
}

static void
page_free (Page *page)
{
  g_assert_cmpint (cairo_status (page->cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (page->cr);
  cairo_surface_destroy (page->surface);
}

static unsigned
pixel (const Page *page, int x, int y)
{
  uint32_t value;
  g_assert_true (x >= 0 && y >= 0 && x < WIDE && y < HIGH);
  cairo_surface_flush (page->surface);
  memcpy (&value,
          cairo_image_surface_get_data (page->surface)
              + (size_t)y * (size_t)cairo_image_surface_get_stride (page->surface) + 4 * x,
          sizeof value);
  return value & 0xffffff;
}

/* Whether a pixel of nearly this colour lies within @reach of the place. */
static bool
is_near (const Page *page, double x, double y, int reach, unsigned colour)
{
  for (int j = -reach; j <= reach; j++)
    for (int i = -reach; i <= reach; i++)
      {
        int px = (int)floor (x) + i, py = (int)floor (y) + j, off = 0;
        if (px < 0 || py < 0 || px >= WIDE || py >= HIGH)
          continue;
        unsigned there = pixel (page, px, py);
        for (int shift = 0; shift < 24; shift += 8)
          off += abs ((int)(there >> shift & 255) - (int)(colour >> shift & 255));
        if (off < 100)
          return true;
      }
  return false;
}

static int
count_of (const Page *page, unsigned colour)
{
  int count = 0;
  for (int y = 0; y < HIGH; y++)
    for (int x = 0; x < WIDE; x++)
      count += pixel (page, x, y) == colour;
  return count;
}

/* Pixels with no colour above so much. */
static int
count_below (const Page *page, unsigned most)
{
  int count = 0;
  for (int y = 0; y < HIGH; y++)
    for (int x = 0; x < WIDE; x++)
      {
        unsigned there = pixel (page, x, y);
        count
            += (there >> 16 & 255) < most && (there >> 8 & 255) < most && (there & 255) < most;
      }
  return count;
}

#define TRUTH 0xe69f00

/* Two loops, one a circle, one a small square. */
static TarnBorder
two_loops (void)
{
  TarnBorder border = { .loops = 2, .first = { 0, 60, 64 } };
  for (int k = 0; k < 60; k++)
    {
      border.u_mm[k] = (float)(-20 + 30 * cos (2 * TARN_PI * k / 60));
      border.v_mm[k] = (float)(60 + 30 * sin (2 * TARN_PI * k / 60));
    }
  static const float u[4] = { 40, 52, 52, 40 }, v[4] = { 40, 40, 52, 52 };
  for (int k = 0; k < 4; k++)
    {
      border.u_mm[60 + k] = u[k];
      border.v_mm[60 + k] = v[k];
    }
  return border;
}

static void
test_border_runs_where_it_lies (void)
{
  static const double greys[] = { 0, 0.5, 1 };
  const TarnSectorPlace place = { .x0 = 200, .y0 = 20, .scale = 2.5 };
  TarnBorder border = two_loops ();
  for (gsize g = 0; g < G_N_ELEMENTS (greys); g++)
    {
      Page page = page_new (greys[g]);
      tarn_border_stroke (page.cr, &border, &place, 3);
      for (int k = 0; k < border.first[border.loops]; k++)
        {
          double x = place.x0 + (double)border.u_mm[k] * place.scale;
          double y = place.y0 + (double)border.v_mm[k] * place.scale;
          g_assert_true (is_near (&page, x, y, 1, TRUTH));
        }
      /* The closing side of the square, and nothing from one loop to the other. */
      g_assert_true (is_near (&page, 200 + 40 * 2.5, 20 + 46 * 2.5, 1, TRUTH));
      g_assert_false (is_near (&page, 200 + 28 * 2.5, 20 + 50 * 2.5, 3, TRUTH));
      g_assert_false (is_near (&page, 200 - 20 * 2.5, 20 + 60 * 2.5, 30, TRUTH));
      /* A dark halo, on bright ground too. */
      if (greys[g] > 0)
        g_assert_cmpint (count_below (&page, 100), >, 200);
      page_free (&page);
    }
}

/* Diamonds make the line known from the measured one, which has none: across it the ink is
 * broad in some places and thin in most. */
static void
test_border_has_diamonds (void)
{
  Page page = page_new (0.3);
  tarn_border_sample_stroke (page.cr, 40, 100, 300, 3);
  int broad = 0, thin = 0, runs = 0;
  bool was = false;
  for (int x = 44; x < 336; x++)
    {
      int ink = 0;
      for (int y = 80; y < 120; y++)
        ink += pixel (&page, x, y) == TRUTH;
      broad += ink >= 7;
      thin += ink <= 3;
      runs += ink >= 7 && !was;
      was = ink >= 7;
    }
  g_test_message ("%d broad, %d thin, %d diamonds", broad, thin, runs);
  g_assert_cmpint (runs, >=, 5);
  g_assert_cmpint (thin, >, 4 * broad);
  page_free (&page);

  page = page_new (0.3);
  TarnBorder none = { .loops = 0 };
  const TarnSectorPlace place = { .x0 = 200, .y0 = 20, .scale = 2.5 };
  tarn_border_stroke (page.cr, &none, &place, 3);
  g_assert_cmpint (count_of (&page, TRUTH), ==, 0);
  page_free (&page);
}

/* A hill with its top at @best, of which what lies right of @cut is not seen. */
static void
fill_hill (TarnAimSample sample[TARN_AIM_SAMPLES], double best, double cut)
{
  for (int k = 0; k < TARN_AIM_SAMPLES; k++)
    {
      double offset = 60 * (2.0 * k / (TARN_AIM_SAMPLES - 1) - 1);
      double from = (offset - best) / 50;
      sample[k].offset = offset;
      sample[k].whole_mm2 = fmax (0, 4200 * (1 - from * from));
      sample[k].seen_mm2 = offset > cut ? 0.4 * sample[k].whole_mm2 : sample[k].whole_mm2;
    }
}

static TarnAimChart
chart_of (const TarnAimSample *sample, double best)
{
  return (TarnAimChart){ .sample = sample,
                         .best_offset = best,
                         .per_offset = 1,
                         .title = "Slid",
                         .unit = "mm",
                         .low = "feet",
                         .high = "head",
                         .area_unit = "cm2",
                         .whole = "in the body",
                         .seen = "seen",
                         .here = "here",
                         .largest = "largest",
                         .here_largest = "here, the largest" };
}

static void
test_lines_stand_at_their_areas (void)
{
  static const double bests[] = { -32, 0, 21 };
  for (int dark = 0; dark <= 1; dark++)
    for (gsize b = 0; b < G_N_ELEMENTS (bests); b++)
      {
        const TarnPaper paper = { .dark = dark != 0, .text_size = b == 2 ? 1.5 : 1 };
        const unsigned blue = dark ? 0x56b4e9 : 0x0072b2;
        TarnAimSample sample[TARN_AIM_SAMPLES];
        fill_hill (sample, bests[b], 25);
        TarnAimChart chart = chart_of (sample, bests[b]);
        Page page = page_new (1);
        tarn_paper_source (page.cr, &paper, TARN_INK_GROUND);
        cairo_paint (page.cr);
        tarn_aim_chart_draw (page.cr, 10, 10, WIDE - 20, HIGH - 20, &chart, &paper);
        for (int k = 1; k + 1 < TARN_AIM_SAMPLES; k++)
          {
            double x, y;
            /* Not under the two dots and uprights. */
            if (fabs (sample[k].offset) < 4 || fabs (sample[k].offset - bests[b]) < 4)
              continue;
            tarn_aim_chart_place (10, 10, WIDE - 20, HIGH - 20, &chart, &paper,
                                  sample[k].offset, sample[k].seen_mm2, &x, &y);
            g_assert_true (is_near (&page, x, y, 2, blue));
            tarn_aim_chart_place (10, 10, WIDE - 20, HIGH - 20, &chart, &paper,
                                  sample[k].offset, sample[k].whole_mm2, &x, &y);
            g_assert_true (is_near (&page, x, y, 3, TRUTH));
          }
        page_free (&page);
      }
}

/* Places: to the right with the offset, upwards with the area, and evenly. */
static void
test_places (void)
{
  const TarnPaper paper = { 0 };
  TarnAimSample sample[TARN_AIM_SAMPLES];
  fill_hill (sample, 10, 99);
  TarnAimChart chart = chart_of (sample, 10);
  double x[3], y[3];
  for (int k = 0; k < 3; k++)
    tarn_aim_chart_place (0, 0, WIDE, HIGH, &chart, &paper, 20.0 * (k - 1), 2000.0 * k, &x[k],
                          &y[k]);
  g_assert_cmpfloat (x[0], <, x[1]);
  g_assert_cmpfloat (y[0], >, y[1]);
  g_assert_cmpfloat_with_epsilon (x[2] - x[1], x[1] - x[0], 1e-9);
  g_assert_cmpfloat_with_epsilon (y[2] - y[1], y[1] - y[0], 1e-9);
  g_assert_cmpfloat (y[2], >, 0);
}

/* Nothing to show is a chart all the same, however small the paper. */
static void
test_flat_and_small (void)
{
  const TarnPaper paper = { 0 };
  TarnAimSample sample[TARN_AIM_SAMPLES];
  fill_hill (sample, 0, 99);
  for (int k = 0; k < TARN_AIM_SAMPLES; k++)
    sample[k].whole_mm2 = sample[k].seen_mm2 = 0;
  TarnAimChart chart = chart_of (sample, 0);
  Page page = page_new (1);
  tarn_aim_chart_draw (page.cr, 0, 0, WIDE, HIGH, &chart, &paper);
  g_assert_cmpint (count_of (&page, TRUTH), >, 0);
  tarn_aim_chart_draw (page.cr, 0, 0, 60, 40, &chart, &paper);
  page_free (&page);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/truth-marks/border", test_border_runs_where_it_lies);
  g_test_add_func ("/truth-marks/diamonds", test_border_has_diamonds);
  g_test_add_func ("/truth-marks/lines", test_lines_stand_at_their_areas);
  g_test_add_func ("/truth-marks/places", test_places);
  g_test_add_func ("/truth-marks/flat", test_flat_and_small);
  return g_test_run ();
}
