/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What must not change an outline, which region is taken, and what cannot be outlined. */
#include "base/random.h"
#include "base/units.h"
#include "trial.h"

#include <glib.h>
#include <math.h>
#include <string.h>

static uint8_t *
paint (const Painting *painting)
{
  uint8_t *grey
      = g_malloc ((gsize)painting->geometry.lines * (gsize)painting->geometry.samples);
  painter_paint (painting, grey);
  return grey;
}

static TarnOutline
outline_of (const TarnImageGeometry *geometry, const uint8_t *grey, int stride)
{
  TarnOutlineWork *work = tarn_outline_work_new ();
  TarnImage image = { *geometry, grey, stride };
  TarnOutline outline;

  g_assert_cmpint (tarn_outline_find (work, &image, NULL, &outline), ==, TARN_OK);
  tarn_outline_work_free (work);
  g_assert_cmpint (outline.found, ==, true);
  return outline;
}

/* A mirrored picture has the mirrored outline; rounding and ties may differ. */
static void
test_mirror (void)
{
  Painting painting = trial_ellipse (12, 85, 40, 24, 0.3);
  int lines = painting.geometry.lines, samples = painting.geometry.samples;
  uint8_t *grey = paint (&painting), *mirrored = g_malloc ((gsize)lines * (gsize)samples);

  for (int line = 0; line < lines; line++)
    memcpy (mirrored + line * samples, grey + (lines - 1 - line) * samples, (gsize)samples);
  TarnOutline one = outline_of (&painting.geometry, grey, samples);
  TarnOutline two = outline_of (&painting.geometry, mirrored, samples);
  g_assert_cmpfloat_with_epsilon (two.area_mm2 / one.area_mm2, 1, 0.01);
  g_assert_cmpfloat_with_epsilon (two.moment_mm3 / one.moment_mm3, 1, 0.01);
  g_assert_cmpfloat_with_epsilon (two.seed_u_mm, -one.seed_u_mm, 1);
  g_assert_cmpfloat_with_epsilon (two.seed_v_mm, one.seed_v_mm, 1);
  g_free (grey);
  g_free (mirrored);
}

static void
test_gain (void)
{
  Painting painting = trial_ellipse (12, 85, 40, 24, 0.3);
  double area = trial_outline (&painting, NULL).area_mm2;
  double level = painting.tissue_db;

  for (double gain = -6; gain <= 6; gain += 3)
    {
      painting.tissue_db = level + gain;
      g_assert_cmpfloat_with_epsilon (trial_outline (&painting, NULL).area_mm2 / area, 1, 0.01);
    }
}

/* The same picture gives the same bytes, whatever the scratch was used for before, and
 * however the lines are laid out in memory. */
static void
test_same_bytes (void)
{
  Painting painting = trial_ellipse (12, 85, 40, 24, 0.3);
  int lines = painting.geometry.lines, samples = painting.geometry.samples;
  uint8_t *grey = paint (&painting), *wider = g_malloc0 ((gsize)lines * (gsize)(samples + 37));
  TarnOutlineWork *work = tarn_outline_work_new ();
  TarnImage image = { painting.geometry, grey, samples };
  TarnOutline one, two;

  for (int line = 0; line < lines; line++)
    memcpy (wider + line * (samples + 37), grey + line * samples, (gsize)samples);
  g_assert_cmpint (tarn_outline_find (work, &image, NULL, &one), ==, TARN_OK);
  image.geometry.lines = 96;
  g_assert_cmpint (tarn_outline_find (work, &image, NULL, &two), ==, TARN_OK);
  image = (TarnImage){ painting.geometry, wider, samples + 37 };
  g_assert_cmpint (tarn_outline_find (work, &image, NULL, &two), ==, TARN_OK);
  g_assert_cmpmem (one.point, sizeof one.point, two.point, sizeof two.point);
  g_assert_cmpfloat (one.area_mm2, ==, two.area_mm2);
  g_assert_cmpfloat (one.contrast_db, ==, two.contrast_db);
  tarn_outline_work_free (work);
  g_free (grey);
  g_free (wider);
}

/* The plain kernels and the AVX2 ones, on line counts that fill eights and that do not. */
static void
test_kernels_agree (void)
{
  const int lines[] = { 192, 187, 96 };
  TarnOutlineWork *fast = tarn_outline_work_new (), *plain = tarn_outline_work_new_plain ();

  for (size_t k = 0; k < G_N_ELEMENTS (lines); k++)
    {
      Painting painting = trial_ellipse (12, 85, 40, 24, 0.3);
      painting.geometry.lines = lines[k];
      painting.obstacles = 1;
      painting.obstacle[0] = (PainterObstacle){ PAINTER_BONE, 0.25, 0.4, 25 };
      uint8_t *grey = paint (&painting);
      TarnImage image = { painting.geometry, grey, painting.geometry.samples };
      TarnOutline one, two;
      g_assert_cmpint (tarn_outline_find (fast, &image, NULL, &one), ==, TARN_OK);
      g_assert_cmpint (tarn_outline_find (plain, &image, NULL, &two), ==, TARN_OK);
      g_assert_cmpint (one.found, ==, true);
      g_assert_cmpmem (one.point, sizeof one.point, two.point, sizeof two.point);
      g_assert_cmpfloat (one.moment_mm3, ==, two.moment_mm3);
      g_free (grey);
    }
  tarn_outline_work_free (fast);
  tarn_outline_work_free (plain);
}

/* Another field, another sampling: the same region within what speckle allows. */
static void
test_other_geometries (void)
{
  Painting painting = trial_ellipse (5, 70, 30, 20, 0.2);
  double area, moment;

  painter_truth (&painting, &area, &moment);
  const struct
  {
    int lines, samples;
    double half_deg, depth_mm;
  } field[] = { { 128, 512, 40, 150 }, { 360, 925, 75, 260 }, { 96, 300, 35, 100 } };
  for (size_t k = 0; k < G_N_ELEMENTS (field); k++)
    {
      TarnImageGeometry *g = &painting.geometry;
      g->lines = field[k].lines;
      g->samples = field[k].samples;
      g->first_angle_rad = -tarn_rad_from_deg (field[k].half_deg);
      g->line_pitch_rad = -2 * g->first_angle_rad / (g->lines - 1);
      g->sample_pitch_mm = field[k].depth_mm / g->samples;
      TarnOutline outline = trial_outline (&painting, NULL);
      g_assert_cmpint (outline.found, ==, true);
      g_assert_cmpfloat_with_epsilon (outline.area_mm2 / area, 1, 0.05);
    }
}

/* Of two regions the one nearest the picture's middle is taken. */
static void
test_nearest_to_the_middle (void)
{
  Painting painting = trial_ellipse (50, 120, 18, 18, 0);

  painting.regions = 2;
  painting.region[1]
      = (PainterRegion){ .u_mm = -8, .v_mm = 90, .half_x_mm = 20, .half_y_mm = 15 };
  TarnOutline outline = trial_outline (&painting, NULL);
  g_assert_cmpfloat_with_epsilon (outline.seed_u_mm, -8, 4);
  g_assert_cmpfloat_with_epsilon (outline.seed_v_mm, 90, 4);
}

/* With a neighbour, the one over it; and when that has ended, none. */
static void
test_neighbour_decides (void)
{
  Painting both = trial_ellipse (50, 120, 18, 18, 0), far = both;
  Painting near = trial_ellipse (-8, 90, 20, 15, 0);

  both.regions = 2;
  both.region[1] = near.region[0];
  TarnOutline over_far = trial_outline (&far, NULL), over_near = trial_outline (&near, NULL);
  TarnOutlineHints hints = { .neighbour = &over_far, .fan_step_rad = 0.03 };
  g_assert_cmpfloat_with_epsilon (trial_outline (&both, &hints).seed_u_mm, 50, 4);
  hints.neighbour = &over_near;
  g_assert_cmpfloat_with_epsilon (trial_outline (&both, &hints).seed_u_mm, -8, 4);
  g_assert_cmpint (trial_outline (&far, &hints).found, ==, false);
}

/* Patterns that no body makes: noise, black, white, bands, chequers. */
static uint8_t
pattern (int kind, int line, int sample, uint64_t seed)
{
  uint8_t noise = (uint8_t)(tarn_hash_at (seed, (uint64_t)(line * 4096 + sample)) & 0xff);

  switch (kind)
    {
    case 0:
      return noise;
    case 1:
      return 0;
    case 2:
      return 255;
    case 3:
      return sample / 40 % 2 ? 200 : noise / 8;
    default:
      return (line / 9 + sample / 23) % 2 ? 150 + noise / 4 : noise / 12;
    }
}

/* Whatever the picture and the geometry, numbers stay finite and points inside the field. */
static void
test_any_picture (void)
{
  TarnOutlineWork *work = tarn_outline_work_new ();
  TarnOutline outline = { 0 }, neighbour = { 0 };

  for (uint64_t seed = 0; seed < 300; seed++)
    {
      int lines = 8 + (int)(tarn_hash_at (seed, 1) % 120);
      int samples = 32 + (int)(tarn_hash_at (seed, 2) % 300);
      double half_rad = 0.05 + 1.5 * tarn_uniform_at (seed, 3);
      TarnImageGeometry geometry = { lines,
                                     samples,
                                     -half_rad,
                                     2 * half_rad / (lines - 1),
                                     0.05 + tarn_uniform_at (seed, 4),
                                     seed % 3 ? 15 : 100 * tarn_uniform_at (seed, 5) };
      uint8_t *grey = g_malloc ((gsize)lines * (gsize)samples);
      for (int line = 0; line < lines; line++)
        for (int k = 0; k < samples; k++)
          grey[line * samples + k] = pattern ((int)(seed % 5), line, k, seed);
      TarnImage image = { geometry, grey, samples };
      TarnOutlineHints hints = { .neighbour = &neighbour, .fan_step_rad = 0.03 };
      g_assert_cmpint (tarn_outline_find (work, &image, seed % 2 ? &hints : NULL, &outline), ==,
                       TARN_OK);
      g_free (grey);
      if (!outline.found)
        continue;
      neighbour = outline;
      g_assert_cmpfloat (outline.area_mm2, >, 0);
      g_assert_cmpint (isfinite (outline.moment_mm3) != 0, ==, true);
      double far = geometry.face_radius_mm + tarn_image_depth_limit_mm (&geometry);
      for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
        g_assert_cmpfloat (hypot (outline.point[k].u_mm, outline.point[k].v_mm), <, far + 0.1);
    }
  tarn_outline_work_free (work);
}

static void
test_impossible_geometries (void)
{
  uint8_t grey[64 * 64] = { 0 };
  TarnOutlineWork *work = tarn_outline_work_new ();
  const TarnImageGeometry sound = { 64, 64, -0.5, 1.0 / 63, 1, 15 };
  TarnImageGeometry broken[8];
  TarnOutline outline;

  for (size_t k = 0; k < G_N_ELEMENTS (broken); k++)
    broken[k] = sound;
  broken[0].lines = 1;
  broken[1].lines = TARN_LINES_MAX + 1;
  broken[2].samples = TARN_SAMPLES_MAX + 1;
  broken[3].line_pitch_rad = 0;
  broken[4].sample_pitch_mm = (double)NAN;
  broken[5].face_radius_mm = -1;
  broken[6].first_angle_rad = (double)NAN;
  broken[7].first_angle_rad = 1;
  for (size_t k = 0; k < G_N_ELEMENTS (broken); k++)
    {
      TarnImage image = { broken[k], grey, 64 };
      g_assert_cmpint (tarn_outline_find (work, &image, NULL, &outline), ==, TARN_OUT_OF_RANGE);
    }
  TarnImage image = { sound, grey, 63 }; /* lines would overlap */
  g_assert_cmpint (tarn_outline_find (work, &image, NULL, &outline), ==, TARN_OUT_OF_RANGE);
  image.stride = 64;
  g_assert_cmpint (tarn_outline_find (work, &image, NULL, &outline), ==, TARN_OK);
  g_assert_cmpint (outline.found, ==, false);
  tarn_outline_work_free (work);
  tarn_outline_work_free (NULL);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/invariance/mirror", test_mirror);
  g_test_add_func ("/invariance/gain", test_gain);
  g_test_add_func ("/invariance/same-bytes", test_same_bytes);
  g_test_add_func ("/invariance/kernels-agree", test_kernels_agree);
  g_test_add_func ("/invariance/other-geometries", test_other_geometries);
  g_test_add_func ("/invariance/nearest-to-the-middle", test_nearest_to_the_middle);
  g_test_add_func ("/invariance/neighbour-decides", test_neighbour_decides);
  g_test_add_func ("/invariance/any-picture", test_any_picture);
  g_test_add_func ("/invariance/impossible-geometries", test_impossible_geometries);
  return g_test_run ();
}
