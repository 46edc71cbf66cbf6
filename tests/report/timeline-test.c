/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The time line: places and moments are each other's inverse, marks are found where they are
 * drawn, no two kinds look alike, and what is not known yet is not drawn. */
#include "report/timeline.h"

#include <glib.h>
#include <string.h>

#define WIDTH  900
#define HEIGHT 260

static const TarnPaper paper = { 0 };

static TarnReplayMark marks[] = {
  { 0, TARN_REPLAY_DEED, 0 },
  { 600, TARN_REPLAY_SWEEP, 0 },
  { 780, TARN_REPLAY_SWEPT, 0 },
  { 780, TARN_REPLAY_READING, 0 },
};
static TarnReplaySample samples[201];

static TarnTimelinePicture
picture (void)
{
  for (int k = 0; k <= 200; k++)
    samples[k] = (TarnReplaySample){
      .force_n = k > 50 ? 8 : 0, .gel_g = 10, .on_skin = k > 50, .sweeping = k >= 100 && k < 130
    };
  return (TarnTimelinePicture){ .to_s = 20,
                                .last_s = 20,
                                .ready_s = 20,
                                .marks = G_N_ELEMENTS (marks),
                                .mark = marks,
                                .chosen = -1,
                                .samples = 201,
                                .sample_s = 0.1,
                                .sample = samples,
                                .comfort_n = 20,
                                .skin_name = "skin",
                                .force_name = "force",
                                .gel_name = "gel",
                                .still_name = "still",
                                .breath_name = "breath",
                                .sweep_word = "sweep",
                                .frozen_word = "frozen",
                                .comfort_word = "comfort",
                                .waiting = "wait" };
}

static void
test_places_and_moments (void)
{
  TarnTimelinePicture of = picture ();
  of.from_s = -3;
  for (double at = -3; at <= 20; at += 0.37)
    {
      double x = tarn_timeline_x (&of, WIDTH, at, &paper);
      g_assert_cmpfloat_with_epsilon (tarn_timeline_seconds (&of, WIDTH, x, &paper), at, 1e-9);
      g_assert_cmpfloat (x, >, 0);
      g_assert_cmpfloat (x, <, WIDTH);
    }
}

static void
test_marks_are_found (void)
{
  TarnTimelinePicture of = picture ();
  for (int k = 0; k < 3; k++)
    {
      double x = tarn_timeline_x (&of, WIDTH, marks[k].tick / 60.0, &paper);
      g_assert_cmpint (tarn_timeline_mark_at (&of, WIDTH, x, 20, &paper), ==, k);
    }
  /* The reading comes at the sweep's end and stands beside it. */
  double end_x = tarn_timeline_x (&of, WIDTH, 13, &paper);
  g_assert_cmpint (tarn_timeline_mark_at (&of, WIDTH, end_x + 14, 20, &paper), ==, 3);
  g_assert_cmpint (tarn_timeline_mark_at (&of, WIDTH, end_x, 120, &paper), ==, -1);
  g_assert_cmpint (tarn_timeline_mark_at (&of, WIDTH, end_x + 100, 20, &paper), ==, -1);
}

/* @draw: on a white sheet.  The bytes are the caller's. */
static GBytes *
glyph (TarnReplayKind kind)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_A8, 32, 32);
  cairo_t *cr = cairo_create (surface);
  tarn_timeline_glyph (cr, 16, 16, 24, kind, &paper);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  GBytes *bytes = g_bytes_new (cairo_image_surface_get_data (surface),
                               (gsize)cairo_image_surface_get_stride (surface) * 32);
  cairo_surface_destroy (surface);
  return bytes;
}

/* By the alpha alone, so without colour: a twentieth of the sheet at least. */
static void
test_no_two_kinds_look_alike (void)
{
  GBytes *drawn[TARN_REPLAY_KINDS];
  for (int k = 0; k < TARN_REPLAY_KINDS; k++)
    drawn[k] = glyph ((TarnReplayKind)k);
  for (int a = 0; a < TARN_REPLAY_KINDS; a++)
    for (int b = 0; b < a; b++)
      {
        gsize size;
        const guint8 *of_a = g_bytes_get_data (drawn[a], &size),
                     *of_b = g_bytes_get_data (drawn[b], NULL);
        int differing = 0;
        for (gsize k = 0; k < size; k++)
          differing += ABS (of_a[k] - of_b[k]) > 96;
        if (differing < 32 * 32 / 20)
          g_error ("%s and %s differ in %d pixels", tarn_replay_kind_name ((TarnReplayKind)a),
                   tarn_replay_kind_name ((TarnReplayKind)b), differing);
      }
  for (int k = 0; k < TARN_REPLAY_KINDS; k++)
    g_bytes_unref (drawn[k]);
}

static guint
sum_of (const TarnTimelinePicture *of)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_A8, WIDTH, HEIGHT);
  cairo_t *cr = cairo_create (surface);
  guint sum = 0;
  tarn_timeline_draw (cr, WIDTH, HEIGHT, of, &paper);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  const guint8 *data = cairo_image_surface_get_data (surface);
  for (int k = 0; k < cairo_image_surface_get_stride (surface) * HEIGHT; k++)
    sum += data[k];
  cairo_surface_destroy (surface);
  return sum;
}

/* With nothing known, with all, compact: each draws, and the more is known the more. */
static void
test_draws_what_is_known (void)
{
  TarnTimelinePicture all = picture (), none = picture (), compact = picture ();
  none.marks = none.samples = 0;
  none.ready_s = 0;
  compact.compact = true;
  g_assert_cmpuint (sum_of (&all), >, sum_of (&none));
  g_assert_cmpfloat (tarn_timeline_height (&compact, &paper), <,
                     tarn_timeline_height (&all, &paper));
  g_assert_cmpfloat (tarn_timeline_height (&all, &paper), <, HEIGHT);
  none.to_s = none.last_s = 0;
  g_assert_cmpuint (sum_of (&none), >, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/timeline/places", test_places_and_moments);
  g_test_add_func ("/timeline/marks", test_marks_are_found);
  g_test_add_func ("/timeline/shapes", test_no_two_kinds_look_alike);
  g_test_add_func ("/timeline/known", test_draws_what_is_known);
  return g_test_run ();
}
