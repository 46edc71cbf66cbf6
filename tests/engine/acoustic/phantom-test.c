/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plane simulator on phantoms, against closed forms.  Unless named otherwise the expected
 * values are derived from the equations that the acoustics headers cite. */
#include "engine/acoustic/beam.h"
#include "engine/acoustic/formulas.h"
#include "rig.h"

#include <glib.h>

static void
shells (TarnPhantom *phantom, int count, const double *to_mm, const TarnTissue *tissue)
{
  phantom->shells = count;
  for (int k = 0; k < count; k++)
    {
      phantom->to_mm[k] = to_mm[k];
      phantom->tissue[k] = tissue[k];
    }
}

static void
test_flat_after_depth_gain (void)
{
  Rig rig;
  TarnPhantom phantom;
  rig_init (&rig, &phantom, false);
  double sum_d = 0, sum_l = 0, sum_dd = 0, sum_dl = 0, n = 0;
  for (int plane = 0; plane < 12; plane++)
    {
      rig_shoot (&rig, tarn_vec3 (0, 0, 34 * plane));
      for (double d = 20; d < 165; d += 5)
        {
          double level = rig_mean_db (&rig, 0, rig.setup.geometry.lines - 1, d, d + 5);
          sum_d += d;
          sum_l += level;
          sum_dd += d * d;
          sum_dl += d * level;
          n++;
        }
    }
  double slope_db_cm = 10 * (n * sum_dl - sum_d * sum_l) / (n * sum_dd - sum_d * sum_d);
  g_test_message ("slope %.3f dB/cm, mean %.2f dB", slope_db_cm, sum_l / n);
  g_assert_cmpfloat_with_epsilon (slope_db_cm, 0, 0.1);
  /* And its level is the reference that all levels are told in. */
  g_assert_cmpfloat_with_epsilon (sum_l / n, 0, 1);
  rig_clear (&rig);
}

static void
test_enhancement_behind_urine (void)
{
  Rig rig;
  TarnPhantom phantom;
  rig_init (&rig, &phantom, false);
  double behind = 0, plain = 0;
  for (int plane = 0; plane < 12; plane++)
    {
      TarnVec3 at = tarn_vec3 (0, 0, 34 * plane);
      shells (&phantom, 1, (double[]){ 1000 }, (TarnTissue[]){ TARN_TISSUE_SOFT });
      rig_shoot (&rig, at);
      plain += rig_mean_db (&rig, 0, rig.setup.geometry.lines - 1, 115, 140) / 12;
      shells (&phantom, 3, (double[]){ 25, 105, 1000 },
              (TarnTissue[]){ TARN_TISSUE_SOFT, TARN_TISSUE_URINE, TARN_TISSUE_SOFT });
      rig_shoot (&rig, at);
      behind += rig_mean_db (&rig, 0, rig.setup.geometry.lines - 1, 115, 140) / 12;
    }
  g_test_message ("enhancement %.2f dB", behind - plain);
  /* 2 · 8 cm · (0.5 · 3 − 0.0022 · 3²) dB/cm */
  g_assert_cmpfloat_with_epsilon (behind - plain, 23.7, 1);
  rig_clear (&rig);
}

/* The brightest sample on the middle line, with its neighbours' parabola: depth mm, level dB.
 */
static double
peak_depth_mm (const Rig *rig, double *level_db)
{
  int line = rig->setup.geometry.lines / 2, best = 2;
  for (int s = 2; s < rig->setup.geometry.samples - 2; s++)
    if (rig_echo_db (rig, line, s) > rig_echo_db (rig, line, best))
      best = s;
  double a = (double)rig_echo_db (rig, line, best - 1),
         b = (double)rig_echo_db (rig, line, best),
         c = (double)rig_echo_db (rig, line, best + 1);
  double off = (a - c) / (2 * (a - 2 * b + c));
  *level_db = b - (a - c) * off / 4;
  return (best + 0.5 + off) * rig->setup.geometry.sample_pitch_mm;
}

static void
one_point (TarnPhantom *phantom, double depth_mm, double across_mm)
{
  phantom->speckle = false;
  phantom->points = 1;
  /* On a line: half a line beside the axis, as the lines are even in number. */
  phantom->point_mm[0] = tarn_vec3 (0.003, depth_mm, across_mm);
}

static void
test_attenuation_as_rendered (void)
{
  Rig rig;
  TarnPhantom phantom;
  double in_tissue_db, in_urine_db;
  rig_init (&rig, &phantom, false);
  one_point (&phantom, 100, 0);
  rig_shoot (&rig, tarn_vec3 (0, 0, 0));
  double in_tissue_mm = peak_depth_mm (&rig, &in_tissue_db);
  phantom.tissue[0] = TARN_TISSUE_URINE;
  rig_shoot (&rig, tarn_vec3 (0, 0, 0));
  double in_urine_mm = peak_depth_mm (&rig, &in_urine_db);

  /* Both are raised by 3 dB for each cm at which they are shown. */
  double tissue_db
      = in_urine_db - in_tissue_db + 2 * 10 * 0.0022 * 9 - 0.3 * (in_urine_mm - in_tissue_mm);
  g_test_message ("loss over 10 cm: %.2f dB", tissue_db);
  g_assert_cmpfloat_with_epsilon (tissue_db, 30.0, 0.5);
  rig_clear (&rig);
}

/* A 1540 m/s instrument: gel, fat and urine move what lies behind them. */
static void
test_depth_error (void)
{
  static const struct
  {
    TarnTissue tissue;
    double thickness_mm, speed_m_s;
  } layer[] = { { TARN_TISSUE_AIR, 3, 1500 }, /* the simulator reads the gap as gel */
                { TARN_TISSUE_FAT, 40, 1450 },
                { TARN_TISSUE_URINE, 80, 1535 } };
  Rig rig;
  TarnPhantom phantom;
  double level_db;
  rig_init (&rig, &phantom, false);
  for (size_t k = 0; k < G_N_ELEMENTS (layer); k++)
    {
      double beyond_mm = 30;
      one_point (&phantom, layer[k].thickness_mm + beyond_mm, 0);
      shells (&phantom, 2, (double[]){ layer[k].thickness_mm, 1000 },
              (TarnTissue[]){ layer[k].tissue, TARN_TISSUE_SOFT });
      rig_shoot (&rig, tarn_vec3 (0, 0, 0));
      double expected
          = layer[k].thickness_mm * 1540 / layer[k].speed_m_s + beyond_mm * 1540 / 1570;
      double found = peak_depth_mm (&rig, &level_db);
      g_test_message ("shown at %.3f mm, expected %.3f mm", found, expected);
      g_assert_cmpfloat_with_epsilon (found, expected, 0.05);
    }
  rig_clear (&rig);
}

/* Full width at half amplitude across lines at the point's depth. */
static double
lateral_width_mm (const Rig *rig, double depth_mm)
{
  int s = rig_sample_at (rig, depth_mm), middle = rig->setup.geometry.lines / 2;
  float best = -200;
  for (int k = -4; k <= 4; k++)
    if (rig_echo_db (rig, middle, s + k) > best)
      best = rig_echo_db (rig, middle, s + k);
  while (rig_echo_db (rig, middle, s) < best)
    s += rig_echo_db (rig, middle, s + 1) > rig_echo_db (rig, middle, s) ? 1 : -1;
  double half = (double)best - 6.0206, width = 0;
  for (int side = -1; side <= 1; side += 2)
    for (int k = 1; k < 40; k++)
      {
        double here = (double)rig_echo_db (rig, middle + side * k, s),
               before = (double)rig_echo_db (rig, middle + side * (k - 1), s);
        if (here < half)
          {
            width += k - 1 + (before - half) / (before - here);
            break;
          }
      }
  return width * rig->setup.geometry.line_pitch_rad
         * (depth_mm + rig->setup.geometry.face_radius_mm);
}

static void
test_lateral_width (void)
{
  Rig rig;
  TarnPhantom phantom;
  rig_init (&rig, &phantom, false);
  TarnBeam beam = tarn_beam (&tarn_body_patient (rig.body)->probe);
  phantom.tissue[0] = TARN_TISSUE_URINE;
  rig.setup.geometry = tarn_plane_geometry (&tarn_body_patient (rig.body)->probe, 200);
  for (double depth = 20; depth <= 180; depth += 20)
    {
      one_point (&phantom, depth, 0);
      rig_shoot (&rig, tarn_vec3 (0, 0, 0));
      double found = lateral_width_mm (&rig, depth * 1540 / 1535);
      double expected = tarn_beam_lateral_mm (&beam, depth);
      g_test_message ("%.0f mm: %.2f mm, expected %.2f mm", depth, found, expected);
      g_assert_cmpfloat (fabs (found / expected - 1), <, 0.10);
    }
  rig_clear (&rig);
}

static void
test_elevation_width (void)
{
  Rig rig;
  TarnPhantom phantom;
  double middle_db, level_db, width = 0;
  rig_init (&rig, &phantom, false);
  phantom.tissue[0] = TARN_TISSUE_URINE;
  one_point (&phantom, 70, 0);
  rig_shoot (&rig, tarn_vec3 (0, 0, 0));
  peak_depth_mm (&rig, &middle_db);
  for (double across = 0.01; across < 5 && width == 0; across += 0.01)
    {
      one_point (&phantom, 70, across);
      rig_shoot (&rig, tarn_vec3 (0, 0, 0));
      peak_depth_mm (&rig, &level_db);
      if (level_db < middle_db - 6.0206)
        width = 2 * across;
    }
  g_test_message ("−6 dB width %.2f mm", width);
  /* 0.886 λF/D with D = 12, F = 70 mm, within 10 % */
  g_assert_cmpfloat_with_epsilon (width, 2.65, 0.265);
  rig_clear (&rig);
}

static void
test_axial_width (void)
{
  Rig rig;
  TarnPhantom phantom;
  double level_db, mean = 0;
  rig_init (&rig, &phantom, false);
  phantom.tissue[0] = TARN_TISSUE_URINE;
  rig.setup.geometry = tarn_plane_geometry (&tarn_body_patient (rig.body)->probe, 120);
  for (int k = 0; k < 8; k++)
    {
      one_point (&phantom, 70 + 0.023 * k, 0);
      rig_shoot (&rig, tarn_vec3 (0, 0, 0));
      double peak = peak_depth_mm (&rig, &level_db) / rig.setup.geometry.sample_pitch_mm - 0.5;
      int line = rig.setup.geometry.lines / 2, top = (int)(peak + 0.5);
      double width = 0;
      for (int side = -1; side <= 1; side += 2)
        for (int s = 1; s < 20; s++)
          {
            double here = (double)rig_echo_db (&rig, line, top + side * s),
                   before = (double)rig_echo_db (&rig, line, top + side * (s - 1));
            if (here < level_db - 6.0206)
              {
                width += s - 1 + (before - (level_db - 6.0206)) / (before - here);
                break;
              }
          }
      mean += width * rig.setup.geometry.sample_pitch_mm / 8;
    }
  /* Half of two cycles at 3 MHz and 1540 m/s, within 15 % */
  g_test_message ("−6 dB width %.3f mm", mean);
  g_assert_cmpfloat (fabs (mean / 0.5133 - 1), <, 0.15);
  rig_clear (&rig);
}

/* Half, a quarter of the aperture dry: −12.04, −5.00 dB. */
static void
test_dry_aperture (void)
{
  static const struct
  {
    int dry, of; /* every so many columns */
    double db;
  } part[] = { { 1, 2, -12.04 }, { 1, 4, -5.00 } };
  Rig rig;
  TarnPhantom phantom;
  rig_init (&rig, &phantom, false);
  for (size_t k = 0; k < G_N_ELEMENTS (part); k++)
    {
      double change = 0;
      for (int plane = 0; plane < 12; plane++)
        for (int dry = 0; dry < 2; dry++)
          {
            for (int row = 0; row < TARN_FACE_ELEMENTS; row++)
              for (int column = 0; column < TARN_FACE_ELEMENTS; column++)
                rig.contact.wet[row][column] = !dry || column % part[k].of >= part[k].dry;
            rig_shoot (&rig, tarn_vec3 (0, 0, 34 * plane));
            double level = rig_mean_db (&rig, 40, rig.setup.geometry.lines - 41, 60, 120);
            change += (dry ? level : -level) / 12;
          }
      g_test_message ("%d of %d dry: %.2f dB", part[k].dry, part[k].of, change);
      g_assert_cmpfloat_with_epsilon (change, part[k].db, 1);
    }
  rig_clear (&rig);
}

/* 40 mm of bone at 30 mm under a face of radius 60: the shadow is 71.1 mm wide at 100 mm. */
static void
test_bone_shadow_width (void)
{
  Rig rig;
  TarnPhantom phantom;
  rig_init (&rig, &phantom, false);
  rig.setup.geometry.face_radius_mm = 60;
  phantom.bone_mm = 30;
  phantom.bone_half_rad = 20.0 / (60 + 30);
  /* At the shadow's border half the beam's energy is gone: −3 dB. */
  double intensity[TARN_LINES_MAX] = { 0 };
  for (int plane = 0; plane < 16; plane++)
    {
      rig_shoot (&rig, tarn_vec3 (0, 0, 34 * plane));
      for (int line = 0; line < rig.setup.geometry.lines; line++)
        intensity[line] += pow (10, rig_mean_db (&rig, line, line, 95, 105) / 10) / 16;
    }
  int dark = 0;
  for (int line = 0; line < rig.setup.geometry.lines; line++)
    dark += intensity[line] < 0.5;
  double line_mm = rig.setup.geometry.line_pitch_rad * 160;
  g_test_message ("%.1f mm wide", dark * line_mm);
  g_assert_cmpfloat_with_epsilon (dark * line_mm, 71.1, line_mm);
  /* And black: nothing but noise. */
  g_assert_cmpfloat (rig_mean_db (&rig, 90, 101, 95, 105), <, -30);
  rig_clear (&rig);
}

static void
test_same_bytes (void)
{
  Rig fast, plain;
  TarnPhantom a, b;
  rig_init (&fast, &a, false);
  rig_init (&plain, &b, true);
  g_assert_true (tarn_plane_work_is_plain (plain.work));
  size_t size = (size_t)fast.setup.geometry.lines * (size_t)fast.setup.geometry.samples;
  g_autofree uint8_t *first = g_malloc (size);
  rig_shoot (&fast, tarn_vec3 (0, 0, 0));
  memcpy (first, fast.grey, size);

  /* The plain kernel draws the same picture, to the bit. */
  rig_shoot (&plain, tarn_vec3 (0, 0, 0));
  g_assert_cmpmem (first, size, plain.grey, size);

  /* So does coming back from elsewhere. */
  rig_shoot (&fast, tarn_vec3 (11, -3, 25));
  g_assert_cmpint (memcmp (first, fast.grey, size), !=, 0);
  rig_shoot (&fast, tarn_vec3 (0, 0, 0));
  g_assert_cmpmem (first, size, fast.grey, size);
  rig_clear (&fast);
  rig_clear (&plain);
}

/* A picture cut out of a wider one is the narrow picture to the bit. */
static void
test_cut_from_wider (void)
{
  Rig rig;
  TarnPhantom phantom;
  rig_init (&rig, &phantom, false);
  TarnImageGeometry narrow = rig.setup.geometry;
  size_t size = (size_t)narrow.lines * (size_t)narrow.samples;
  g_autofree uint8_t *first = g_malloc (size);
  rig_shoot (&rig, tarn_vec3 (0, 0, 0));
  memcpy (first, rig.grey, size);

  int offset;
  rig.setup.geometry
      = tarn_plane_geometry_widened (&narrow, 75 * 3.14159265 / 180, 260, &offset);
  rig_shoot (&rig, tarn_vec3 (0, 0, 0));
  g_assert_cmpint (rig.setup.geometry.lines, ==, narrow.lines + 2 * offset);
  for (int line = 0; line < narrow.lines; line++)
    g_assert_cmpmem (first + line * narrow.samples, (size_t)narrow.samples,
                     rig.grey + (line + offset) * rig.setup.geometry.samples,
                     (size_t)narrow.samples);
  rig_clear (&rig);
}

static void
test_refuses_nonsense (void)
{
  Rig rig;
  TarnPhantom phantom;
  rig_init (&rig, &phantom, false);
  TarnPlaneSetup good = rig.setup, bad;
  rig.contact.centre_mm = tarn_vec3 (0, -15, 0);
  good.frame = tarn_plane_frame (&rig.contact, 0);
#define REFUSE(change)                                                                         \
  bad = good;                                                                                  \
  bad.change;                                                                                  \
  g_assert_cmpint (tarn_plane_gather (rig.work, &bad, 0), ==, TARN_OUT_OF_RANGE)
  REFUSE (geometry.lines = 1);
  REFUSE (geometry.lines = TARN_LINES_MAX + 1);
  REFUSE (geometry.samples = TARN_SAMPLES_MAX + 1);
  REFUSE (geometry.sample_pitch_mm = (double)NAN);
  REFUSE (geometry.line_pitch_rad = 0);
  REFUSE (geometry.face_radius_mm = (double)INFINITY);
  REFUSE (gain_db = (double)NAN);
  REFUSE (range_db = 0);
  REFUSE (frame.centre_mm.x = (double)NAN);
#undef REFUSE
  rig_clear (&rig);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/phantom/flat-after-depth-gain", test_flat_after_depth_gain);
  g_test_add_func ("/phantom/enhancement-behind-urine", test_enhancement_behind_urine);
  g_test_add_func ("/phantom/attenuation-as-rendered", test_attenuation_as_rendered);
  g_test_add_func ("/phantom/depth-error", test_depth_error);
  g_test_add_func ("/phantom/lateral-width", test_lateral_width);
  g_test_add_func ("/phantom/elevation-width", test_elevation_width);
  g_test_add_func ("/phantom/axial-width", test_axial_width);
  g_test_add_func ("/phantom/dry-aperture", test_dry_aperture);
  g_test_add_func ("/phantom/bone-shadow-width", test_bone_shadow_width);
  g_test_add_func ("/phantom/same-bytes", test_same_bytes);
  g_test_add_func ("/phantom/cut-from-wider", test_cut_from_wider);
  g_test_add_func ("/phantom/refuses-nonsense", test_refuses_nonsense);
  return g_test_run ();
}
