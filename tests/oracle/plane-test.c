/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fast plane against the slow one (plane-sum.h).
 *
 * What the fast plane does otherwise, in the order of what it costs (of the correlation of
 * intensities, measured by doing the same in the slow sum):
 *   - the ruler's error, which is what fat and muscle do to the echo's phase, is flat over a
 *     block and comes from a coarse table: 0.07, up to 0.14 under borders that bend.  The error
 *     of the phase is the same for all of a block, so it makes other speckle, not a blurred
 *     one; its own test bounds it;
 *   - a scatterer lands on the nearest line, up to half a line off: 0.01;
 *   - mottle is that of the octant's middle, 2 mm off at most: 0.01;
 *   - blocks of 8 mm are carried by their pressed corners, trilinear between them: 0.01 to
 *     0.03, and nothing where nothing is pressed;
 *   - all the rest together 0.01: places to second order about an octant's middle, an echo
 *     shared between two samples, a pulse of a few taps, a beam cut off at 1.5 % of its
 *     weight, gain and reach at samples and octants' middles, noise 40 dB below.
 * Samples are 0.28 mm apart and the pulse's standard deviation is 0.22 mm, so that an echo's
 * flanks hang on where between two samples it lies: that is the difference for points, least
 * at their middle. */
#include "plane-sum.h"

#include "base/random.h"
#include "base/units.h"
#include "engine/patient/defaults.h"

#define POINT_ECHO 100 /* of a phantom's reflector, re the mean of speckle */

typedef struct
{
  TarnPatient patient;
  TarnBody *body;
  TarnContact contact;
  TarnDeform deform;
  TarnPlaneWork *work;
  TarnPlaneSetup setup;
  float *echo_db;
} Scene;

/* A probe pressed on the belly of a patient who has just passed urine. */
static void
scene_init (Scene *scene, double force_n)
{
  *scene = (Scene){ .patient = tarn_patient_default () };
  scene->patient.bladder.volume_ml = 5;
  scene->patient.bladder.length_mm = tarn_default_length_mm (&scene->patient, NULL);
  scene->patient.bladder.width_mm = tarn_default_width_mm (&scene->patient, NULL);
  scene->patient.bladder.height_mm = tarn_default_height_mm (&scene->patient, NULL);
  scene->patient.bladder.wall_mm = tarn_default_wall_mm (&scene->patient, NULL);
  g_assert_cmpint (tarn_body_new (&scene->patient, 0, &scene->body, NULL), ==, TARN_OK);
  TarnPose pose = { .above_mm = 60, .tilt_rad = tarn_rad_from_deg (5), .force_n = force_n };
  g_assert_cmpint (tarn_contact_solve (scene->body, &pose, NULL, &scene->contact), ==, TARN_OK);
  tarn_deform_init (&scene->deform, scene->body, &scene->contact);
  scene->work = tarn_plane_work_new (false);
  scene->setup = (TarnPlaneSetup){
    .body = scene->body,
    .deform = &scene->deform,
    .contact = &scene->contact,
    .frame = tarn_plane_frame (&scene->contact, 0),
    .geometry = tarn_plane_geometry (&scene->patient.probe, 0),
    .range_db = 60,
    .noise_seed = 5,
  };
  scene->echo_db = g_new (float, scene->setup.geometry.lines * scene->setup.geometry.samples);
}

static void
scene_shoot (Scene *scene)
{
  guint8 *grey
      = g_malloc ((gsize)(scene->setup.geometry.lines * scene->setup.geometry.samples));
  g_assert_cmpint (tarn_plane_simulate (scene->work, &scene->setup, 0, grey, scene->echo_db),
                   ==, TARN_OK);
  g_free (grey);
}

static void
scene_clear (Scene *scene)
{
  tarn_plane_work_free (scene->work);
  tarn_body_free (scene->body);
  g_free (scene->echo_db);
}

static double
fast_intensity (const Scene *scene, const SumWindow *window, int line, int sample)
{
  int at = (window->first_line + line) * scene->setup.geometry.samples + window->first_sample
           + sample;
  return pow (10, (double)scene->echo_db[at] / 10);
}

static SumWindow
window_of (const TarnImageGeometry *geometry, int first_line, int last_line, double from_mm,
           double to_mm)
{
  int first = (int)(from_mm / geometry->sample_pitch_mm);
  return (SumWindow){ .first_line = first_line,
                      .lines = last_line - first_line + 1,
                      .first_sample = first,
                      .samples = (int)(to_mm / geometry->sample_pitch_mm) - first };
}

typedef struct
{
  double correlation, level_db;
} Likeness;

static Likeness
compare (const Scene *scene, const PlaneSum *sum)
{
  double n = 0, f = 0, s = 0, ff = 0, ss = 0, fs = 0;
  for (int line = 0; line < sum->window.lines; line++)
    for (int sample = 0; sample < sum->window.samples; sample++)
      {
        double fast = fast_intensity (scene, &sum->window, line, sample);
        double slow = plane_sum_intensity (sum, line, sample);
        n++;
        f += fast;
        s += slow;
        ff += fast * fast;
        ss += slow * slow;
        fs += fast * slow;
      }
  return (Likeness){
    .correlation = (n * fs - f * s) / sqrt ((n * ff - f * f) * (n * ss - s * s)),
    .level_db = 10 * log10 (f / s),
  };
}

/* All of them hold soft tissue alone. */
static const struct
{
  double force_n;
  int first_line;
} where[] = { { 0, 46 }, { 5, 86 }, { 5, 126 }, { 10, 106 } };

/* Summed over the windows' pictures: 20 lines of 18 mm each. */
static Likeness
compare_speckle (gboolean same_ruler)
{
  Likeness mean = { 0 };
  for (guint k = 0; k < G_N_ELEMENTS (where); k++)
    {
      Scene scene;
      PlaneSum sum;
      int first = where[k].first_line;
      scene_init (&scene, where[k].force_n);
      scene_shoot (&scene);
      plane_sum_init (&sum, &scene.setup, &scene.patient,
                      window_of (&scene.setup.geometry, first, first + 20, 60, 78));
      if (same_ruler)
        sum.ruler = &scene.work->nodes;
      plane_sum_add_body (&sum, scene.work, TARN_TISSUE_SOFT);
      Likeness here = compare (&scene, &sum);
      g_test_message ("lines from %d, pressed %.2f mm, %d scatterers: intensities correlate "
                      "%.4f, fast plane brighter by %.3f dB",
                      first, scene.deform.indentation_mm, sum.scatterers, here.correlation,
                      here.level_db);
      g_assert_cmpfloat_with_epsilon (here.level_db, 0, 0.75);
      mean.correlation += here.correlation / G_N_ELEMENTS (where);
      mean.level_db += here.level_db / G_N_ELEMENTS (where);
      plane_sum_clear (&sum);
      scene_clear (&scene);
    }
  g_test_message ("mean: %.4f, %.3f dB", mean.correlation, mean.level_db);
  return mean;
}

static void
test_speckle (void)
{
  Likeness mean = compare_speckle (FALSE);
  g_assert_cmpfloat (mean.correlation, >, 0.82);
  g_assert_cmpfloat_with_epsilon (mean.level_db, 0, 0.4);
}

static void
test_speckle_with_ruler (void)
{
  Likeness mean = compare_speckle (TRUE);
  g_assert_cmpfloat (mean.correlation, >, 0.95);
  g_assert_cmpfloat_with_epsilon (mean.level_db, 0, 0.4);
}

/* The table of the ruler's error against fine steps along rays of its own. */
static void
test_ruler (void)
{
  double square = 0, n = 0, worst_mm = 0;
  for (guint k = 0; k < G_N_ELEMENTS (where); k++)
    {
      Scene scene;
      PlaneSum sum;
      scene_init (&scene, where[k].force_n);
      scene_shoot (&scene);
      const TarnImageGeometry *geometry = &scene.setup.geometry;
      plane_sum_init (
          &sum, &scene.setup, &scene.patient,
          window_of (geometry, where[k].first_line, where[k].first_line + 20, 60, 78));
      for (int line = 0; line < sum.window.lines; line++)
        for (double depth_mm = 60; depth_mm < 78; depth_mm += 0.5)
          {
            double row = sum.window.first_line + line
                         + geometry->first_angle_rad / geometry->line_pitch_rad;
            double fast_mm = (double)tarn_nodes_at (
                &scene.work->nodes, scene.work->nodes.shift, (float)row,
                (float)(depth_mm / geometry->sample_pitch_mm));
            double off_mm = fast_mm - plane_sum_shift_mm (&sum, line, depth_mm);
            worst_mm = MAX (worst_mm, fabs (off_mm));
            square += off_mm * off_mm;
            n++;
          }
      plane_sum_clear (&sum);
      scene_clear (&scene);
    }
  g_test_message ("RMS %.4f mm, at worst %.4f mm", sqrt (square / n), worst_mm);
  g_assert_cmpfloat (sqrt (square / n), <, 0.07);
  g_assert_cmpfloat (worst_mm, <, 0.2);
}

/* Sixteen reflectors in shells of fat and soft tissue, each somewhere on a line; the envelope
 * wherever it is within 20 dB of its peak. */
static void
test_points (void)
{
  Scene scene;
  PlaneSum sum;
  scene_init (&scene, 0);
  TarnPhantom phantom = { .shells = 2,
                          .to_mm = { 25, 1000 },
                          .tissue = { TARN_TISSUE_FAT, TARN_TISSUE_SOFT },
                          .points = TARN_PHANTOM_POINTS_MAX };
  const TarnPlaneFrame *frame = &scene.setup.frame;
  const TarnImageGeometry *geometry = &scene.setup.geometry;
  TarnVec3 normal = tarn_cross (frame->lateral, frame->axis);
  scene.setup.phantom = &phantom;
  for (int k = 0; k < phantom.points; k++)
    {
      guint64 draw = 3 * (guint64)k;
      int line = (int)(geometry->lines * (k + tarn_uniform_at (1, draw)) / phantom.points);
      double angle_rad = tarn_image_angle_rad (geometry, line);
      double radius_mm = geometry->face_radius_mm + 30 + 100 * tarn_uniform_at (1, draw + 1);
      phantom.point_mm[k]
          = tarn_add_scaled (tarn_add_scaled (tarn_add_scaled (frame->centre_mm, frame->axis,
                                                               radius_mm * cos (angle_rad)),
                                              frame->lateral, radius_mm * sin (angle_rad)),
                             normal, 2 * tarn_uniform_at (1, draw + 2) - 1);
    }
  scene_shoot (&scene);
  plane_sum_init (&sum, &scene.setup, &scene.patient,
                  (SumWindow){ 0, geometry->lines, 0, geometry->samples });
  for (int k = 0; k < phantom.points; k++)
    plane_sum_add (&sum, phantom.point_mm[k], POINT_ECHO, NULL);

  double peak = 0, worst_db = 0, square = 0, n = 0;
  for (int line = 0; line < sum.window.lines; line++)
    for (int sample = 0; sample < sum.window.samples; sample++)
      peak = MAX (peak, plane_sum_intensity (&sum, line, sample));
  for (int line = 0; line < sum.window.lines; line++)
    for (int sample = 0; sample < sum.window.samples; sample++)
      {
        double slow = plane_sum_intensity (&sum, line, sample);
        if (slow < peak / 100)
          continue;
        double db = 10 * log10 (fast_intensity (&scene, &sum.window, line, sample) / slow);
        worst_db = MAX (worst_db, fabs (db));
        square += db * db;
        n++;
      }
  g_test_message ("%.0f places within 20 dB of the peak: RMS %.3f dB, at worst %.3f dB", n,
                  sqrt (square / n), worst_db);
  g_assert_cmpfloat (n, >, 150);
  g_assert_cmpfloat (sqrt (square / n), <, 1.5);
  g_assert_cmpfloat (worst_db, <, 4);
  plane_sum_clear (&sum);
  scene_clear (&scene);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/plane/speckle-is-that-of-the-direct-sum", test_speckle);
  g_test_add_func ("/plane/speckle-is-that-of-the-direct-sum-by-the-same-ruler",
                   test_speckle_with_ruler);
  g_test_add_func ("/plane/ruler-errs-as-along-fine-rays", test_ruler);
  g_test_add_func ("/plane/points-are-those-of-the-direct-sum", test_points);
  return g_test_run ();
}
