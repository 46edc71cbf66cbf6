/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sweeps, and their variants with causes removed: what must agree to the bit. */
#include "base/random.h"
#include "base/units.h"
#include "engine/measure/fan.h"

#include <glib.h>
#include <string.h>

/* A slim torso with gas in front of one side of the bladder, and a cyst beside it. */
static TarnBody *
troubled_body (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body = NULL;
  patient.seed = 77;
  patient.habitus.fat_mm = 12;
  patient.structures = 2;
  patient.structure[0] = (TarnStructure){ .kind = TARN_STRUCTURE_BOWEL_GAS,
                                          .centre_mm = { 25, 40, 100 },
                                          .radii_mm = { 18, 8, 10 } };
  patient.structure[1] = (TarnStructure){ .kind = TARN_STRUCTURE_CYST,
                                          .centre_mm = { -10, 75, 125 },
                                          .radii_mm = { 20, 16, 16 } };
  TarnProblem problem = { 0 };
  TarnStatus status = tarn_body_new (&patient, 0, &body, &problem);
  g_test_message ("%s %s", problem.key, problem.text);
  g_assert_cmpint (status, ==, TARN_OK);
  return body;
}

static TarnSweepSetup
setup_at (const TarnBody *body, double above_mm, double left_mm, double tilt_deg,
          double tremor_mm, TarnGelFilm *film)
{
  TarnPose pose = { .above_mm = above_mm,
                    .left_mm = left_mm,
                    .tilt_rad = tarn_rad_from_deg (tilt_deg),
                    .force_n = 5 };
  TarnSweepSetup setup = tarn_sweep_setup (body, &pose);
  setup.motion = tarn_motion_for (tarn_body_patient (body), tremor_mm, 5);
  memset (film, 0, sizeof *film);
  g_assert_cmpint (tarn_gel_dose (film, above_mm, left_mm, 3), ==, TARN_OK);
  setup.film = film;
  setup.planes = 18;
  return setup;
}

static const struct
{
  double above_mm, left_mm, tilt_deg, tremor_mm;
} poses[] = { { 40, 0, 5, 0 }, { 15, 20, 15, 0 }, { 60, -30, 0, 2 } };

/* A wide picture holds the narrow one to the bit, so that a crop is as good as a sweep. */
static void
test_crop_of_a_wide_plane_is_the_narrow_plane (void)
{
  g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  g_autofree TarnSweep *sweep = g_new0 (TarnSweep, 1);
  TarnBody *body = troubled_body ();
  TarnPlaneWork *work = tarn_plane_work_new (false);
  for (gsize k = 0; k < G_N_ELEMENTS (poses); k++)
    {
      TarnSweepSetup setup
          = setup_at (body, poses[k].above_mm, poses[k].left_mm, poses[k].tilt_deg, 0, film);
      g_assert_cmpint (tarn_sweep_run (&setup, true, sweep), ==, TARN_OK);
      int offset, index = 9;
      TarnPlaneSetup plane = {
        .body = body,
        .deform = &sweep->shots.still.deform,
        .contact = &sweep->shots.still.contact,
        .frame = tarn_plane_frame (&sweep->contact, sweep->plane[index].fan_rad),
        .geometry = sweep->geometry,
        .range_db = 60,
        .noise_seed = 4,
      };
      TarnImageGeometry narrow = sweep->geometry;
      TarnImageGeometry wide = tarn_plane_geometry_widened (&narrow, TARN_WIDE_HALF_SECTOR_RAD,
                                                            TARN_WIDE_DEPTH_MM, &offset);
      g_autofree guint8 *small = g_malloc ((gsize)narrow.lines * (gsize)narrow.samples);
      g_autofree guint8 *large = g_malloc ((gsize)wide.lines * (gsize)wide.samples);
      for (unsigned without = 0; without < 16; without += 5) /* all causes, in four pictures */
        {
          plane.geometry = narrow;
          tarn_plane_simulate (work, &plane, without, small, NULL);
          plane.geometry = wide;
          tarn_plane_simulate (work, &plane, without, large, NULL);
          for (int line = 0; line < narrow.lines; line++)
            g_assert_cmpmem (small + line * narrow.samples, narrow.samples,
                             large + (line + offset) * wide.samples, narrow.samples);
        }
      tarn_sweep_clear (sweep);
    }
  tarn_plane_work_free (work);
  tarn_body_free (body);
}

static void
test_variant_with_nothing_removed_is_the_reading (void)
{
  g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  g_autofree TarnSweep *sweep = g_new0 (TarnSweep, 1);
  TarnBody *body = troubled_body ();
  for (gsize k = 0; k < G_N_ELEMENTS (poses); k++)
    {
      TarnSweepSetup setup = setup_at (body, poses[k].above_mm, poses[k].left_mm,
                                       poses[k].tilt_deg, poses[k].tremor_mm, film);
      g_assert_cmpint (tarn_sweep_run (&setup, false, sweep), ==, TARN_OK);
      /* With wide company, so that the narrow one is cut out of wide pictures. */
      TarnFanVariant variant[] = { { 0 }, { .wide = true }, { .without = TARN_WITHOUT_GAS } };
      TarnReading reading[3];
      g_assert_cmpint (tarn_fan_run (&setup, sweep, variant, 3, NULL, reading), ==, TARN_OK);
      g_test_message ("%.3f, wide %.3f, no gas %.3f", reading[0].volume_ml,
                      reading[1].volume_ml, reading[2].volume_ml);
      g_assert_cmpfloat (reading[0].volume_ml, ==, sweep->reading.volume_ml);
      g_assert_cmpint (reading[0].kind, ==, sweep->reading.kind);
      tarn_sweep_clear (sweep);
    }
  tarn_body_free (body);
}

/* The oracle: each variant alone, nothing shared. */
static void
test_shared_pictures_change_nothing (void)
{
  g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  g_autofree TarnSweep *sweep = g_new0 (TarnSweep, 1);
  TarnBody *body = troubled_body ();
  TarnSweepSetup setup = setup_at (body, 15, 20, 15, 1, film);
  g_assert_cmpint (tarn_sweep_run (&setup, false, sweep), ==, TARN_OK);
  TarnFanVariant variant[8];
  TarnReading together[8], alone;
  for (int v = 0; v < 8; v++)
    variant[v]
        = (TarnFanVariant){ .still = v & 1,
                            .without = ((v & 2) ? TARN_WITHOUT_GAS | TARN_WITHOUT_BONE : 0)
                                       | ((v & 4) ? TARN_WITHOUT_OTHERS : 0) };
  g_assert_cmpint (tarn_fan_run (&setup, sweep, variant, 8, NULL, together), ==, TARN_OK);
  for (int v = 0; v < 8; v++)
    {
      g_assert_cmpint (tarn_fan_run (&setup, sweep, &variant[v], 1, NULL, &alone), ==, TARN_OK);
      g_assert_cmpfloat (together[v].volume_ml, ==, alone.volume_ml);
      g_assert_cmpint (together[v].kind, ==, alone.kind);
    }
  tarn_sweep_clear (sweep);
  tarn_body_free (body);
}

static void
test_thread_counts_change_nothing (void)
{
  g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  g_autofree TarnSweep *sweep = g_new0 (TarnSweep, 1);
  TarnBody *body = troubled_body ();
  guint64 first = 0;
  double first_ml[3] = { 0 };
  for (int threads = 1; threads <= 4; threads *= 2)
    {
      TarnThreadPool *pool = tarn_thread_pool_new (threads);
      TarnSweepSetup setup = setup_at (body, 15, 20, 15, 2, film);
      setup.parallel = tarn_thread_pool_parallel (pool);
      g_assert_cmpint (tarn_sweep_run (&setup, true, sweep), ==, TARN_OK);

      guint64 hash = 0;
      gsize bytes = (gsize)sweep->planes * (gsize)sweep->geometry.lines
                    * (gsize)sweep->geometry.samples;
      for (gsize k = 0; k < bytes; k++)
        hash = tarn_hash64 (hash ^ sweep->grey[k]);
      TarnFanVariant variant[3]
          = { { 0 }, { .still = true }, { .wide = true, .without = TARN_WITHOUT_GAS } };
      TarnReading reading[3];
      g_assert_cmpint (tarn_fan_run (&setup, sweep, variant, 3, NULL, reading), ==, TARN_OK);
      for (int v = 0; v < 3; v++)
        {
          if (threads == 1)
            first_ml[v] = reading[v].volume_ml;
          g_assert_cmpfloat (reading[v].volume_ml, ==, first_ml[v]);
        }
      if (threads == 1)
        first = hash;
      g_assert_cmpuint (hash, ==, first);
      tarn_sweep_clear (sweep);
      tarn_thread_pool_free (pool);
    }
  tarn_body_free (body);
}

static void
test_impossible_setups_are_refused (void)
{
  g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  g_autofree TarnSweep *sweep = g_new0 (TarnSweep, 1);
  TarnBody *body = troubled_body ();
  TarnSweepSetup good = setup_at (body, 40, 0, 5, 0, film), bad;
  bad = good;
  bad.planes = TARN_PLANES_MAX + 1;
  g_assert_cmpint (tarn_sweep_run (&bad, false, sweep), ==, TARN_OUT_OF_RANGE);
  bad = good;
  bad.depth_mm = NAN;
  g_assert_cmpint (tarn_sweep_run (&bad, false, sweep), ==, TARN_OUT_OF_RANGE);
  bad = good;
  bad.motion.tremor_mm = -1;
  g_assert_cmpint (tarn_sweep_run (&bad, false, sweep), ==, TARN_OUT_OF_RANGE);
  bad = good;
  bad.pose.left_mm = 300;
  g_assert_cmpint (tarn_sweep_run (&bad, false, sweep), ==, TARN_OFF_BODY);
  tarn_sweep_clear (sweep);
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fan/crop", test_crop_of_a_wide_plane_is_the_narrow_plane);
  g_test_add_func ("/fan/nothing-removed", test_variant_with_nothing_removed_is_the_reading);
  g_test_add_func ("/fan/shared", test_shared_pictures_change_nothing);
  g_test_add_func ("/fan/threads", test_thread_counts_change_nothing);
  g_test_add_func ("/fan/refused", test_impossible_setups_are_refused);
  return g_test_run ();
}
