/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What textbooks say a picture of the bladder looks like, as levels.
 *
 * Common practice, no source: fluid is black with haze under its front wall, the back wall is
 * bright, tissue behind fluid is brighter than beside it but not white, bone has a bright cap
 * and a clean shadow, gas a bright cap and a dirty one, speckle grows with depth.  Clutter in
 * urine-filled bladders was measured at -30 to 0 dB re the wall (PMC3306837).  The bounds are
 * own design values. */
#include "engine/acoustic/plane.h"

#include <glib.h>

typedef struct
{
  TarnBody *body;
  TarnContact contact;
  TarnDeform deform;
  TarnPlaneSetup setup;
  uint8_t *grey;
  float *echo_db;
} Picture;

static void
picture_init (Picture *picture, const TarnPatient *patient, double above_mm, double tilt_rad,
              bool wet)
{
  TarnPose pose = { .above_mm = above_mm, .tilt_rad = tilt_rad, .force_n = 5 };
  TarnPlaneWork *work = tarn_plane_work_new (false);
  *picture = (Picture){ 0 };
  g_assert_cmpint (tarn_body_new (patient, 0, &picture->body, NULL), ==, TARN_OK);
  g_autofree TarnGelFilm *bare = g_new0 (TarnGelFilm, 1);
  g_assert_cmpint (
      tarn_contact_solve (picture->body, &pose, wet ? NULL : bare, &picture->contact), ==,
      TARN_OK);
  tarn_deform_init (&picture->deform, picture->body, &picture->contact);
  picture->setup = (TarnPlaneSetup){
    .body = picture->body,
    .contact = &picture->contact,
    .deform = &picture->deform,
    .frame = tarn_plane_frame (&picture->contact, 0),
    .geometry = tarn_plane_geometry (&patient->probe, 0),
    .range_db = 60,
  };
  size_t count
      = (size_t)picture->setup.geometry.lines * (size_t)picture->setup.geometry.samples;
  picture->grey = g_malloc (count);
  picture->echo_db = g_malloc (count * sizeof *picture->echo_db);
  g_assert_cmpint (
      tarn_plane_simulate (work, &picture->setup, 0, picture->grey, picture->echo_db), ==,
      TARN_OK);
  tarn_plane_work_free (work);
}

static void
picture_clear (Picture *picture)
{
  tarn_body_free (picture->body);
  g_free (picture->grey);
  g_free (picture->echo_db);
}

static TarnTissue
tissue_at (const Picture *picture, int line, int sample)
{
  const TarnImageGeometry *geometry = &picture->setup.geometry;
  double angle = tarn_image_angle_rad (geometry, line),
         radius = tarn_image_radius_mm (geometry, sample);
  TarnVec3 p = tarn_add_scaled (picture->contact.centre_mm, picture->setup.frame.axis,
                                radius * cos (angle));
  p = tarn_add_scaled (p, picture->setup.frame.lateral, radius * sin (angle));
  return tarn_body_tissue (picture->body, tarn_deform_inverse (&picture->deform, p));
}

static int
samples_of (const Picture *picture, double length_mm)
{
  return (int)(length_mm / picture->setup.geometry.sample_pitch_mm);
}

/* The first sample of @tissue on the line; -1 for none. */
static int
first_of (const Picture *picture, int line, TarnTissue tissue)
{
  for (int s = 0; s < picture->setup.geometry.samples; s++)
    if (tissue_at (picture, line, s) == tissue)
      return s;
  return -1;
}

/* Running mean intensities, told in dB. */
typedef struct
{
  double sum;
  int count;
} Mean;

static void
mean_add (Mean *mean, const Picture *picture, int line, int first, int last)
{
  for (int s = first < 0 ? 0 : first; s < last && s < picture->setup.geometry.samples; s++)
    {
      mean->sum += pow (10, (double)picture->echo_db[line * picture->setup.geometry.samples + s]
                                / 10);
      mean->count++;
    }
}

static double
mean_db (const Mean *mean)
{
  g_assert_cmpint (mean->count, >, 20);
  return 10 * log10 (mean->sum / mean->count);
}

static float
brightest_db (const Picture *picture, int line, int first, int last)
{
  float most = -200;
  for (int s = first; s < last; s++)
    most = fmaxf (most, picture->echo_db[line * picture->setup.geometry.samples + s]);
  return most;
}

static void
test_bladder (void)
{
  TarnPatient patient = tarn_patient_default ();
  Picture picture;
  picture_init (&picture, &patient, 40, 0.09, true);
  int middle = picture.setup.geometry.lines / 2;
  Mean fluid = { 0 }, haze = { 0 }, front = { 0 }, behind = { 0 }, beside = { 0 }, wall = { 0 };
  for (int line = middle - 25; line <= middle + 25; line++)
    {
      int in = first_of (&picture, line, TARN_TISSUE_URINE), out = in;
      while (tissue_at (&picture, line, out) == TARN_TISSUE_URINE)
        out++;
      mean_add (&front, &picture, line, in - samples_of (&picture, 9),
                in - samples_of (&picture, 3));
      mean_add (&haze, &picture, line, in + samples_of (&picture, 3),
                in + samples_of (&picture, 7));
      mean_add (&fluid, &picture, line, in + samples_of (&picture, 22),
                out - samples_of (&picture, 6));
      mean_add (&behind, &picture, line, out + samples_of (&picture, 6),
                out + samples_of (&picture, 14));
      double peak = pow (10, (double)brightest_db (&picture, line, out - 6, out + 12) / 10);
      wall.sum += peak;
      wall.count++;
      /* The same depth, on the outermost lines, which miss the bladder. */
      int side = line < middle ? line - middle + 26
                               : picture.setup.geometry.lines - 1 - (line - middle);
      if (first_of (&picture, side, TARN_TISSUE_URINE) < 0)
        mean_add (&beside, &picture, side, out + samples_of (&picture, 6),
                  out + samples_of (&picture, 14));
    }
  g_test_message (
      "dB: before %.1f, haze %.1f, fluid %.1f, back wall %.1f, behind %.1f, beside %.1f",
      mean_db (&front), mean_db (&haze), mean_db (&fluid), mean_db (&wall), mean_db (&behind),
      mean_db (&beside));
  /* Black, and blacker the deeper in. */
  g_assert_cmpfloat (mean_db (&fluid), <, mean_db (&front) - 28);
  g_assert_cmpfloat (mean_db (&haze), <, mean_db (&front));
  g_assert_cmpfloat (mean_db (&haze), >, mean_db (&fluid) + 6);
  /* Clutter re the wall. */
  g_assert_cmpfloat (mean_db (&haze) - mean_db (&front), >, -30);
  /* The back wall stands out of what lies behind it. */
  g_assert_cmpfloat (mean_db (&wall), >, mean_db (&behind) + 3);
  /* Enhancement: plainly brighter than beside, and not white (full white is +32 dB). */
  g_assert_cmpfloat (mean_db (&behind), >, mean_db (&beside) + 6);
  g_assert_cmpfloat (mean_db (&behind), <, 32 - 6);
  picture_clear (&picture);
}

static void
test_bone (void)
{
  TarnPatient patient = tarn_patient_default ();
  Picture picture;
  picture_init (&picture, &patient, 8, 0.2, true);
  int middle = picture.setup.geometry.lines / 2,
      first = first_of (&picture, middle, TARN_TISSUE_BONE);
  g_assert_cmpint (first, >, 0);
  Mean before = { 0 }, shadow = { 0 }, cap = { 0 };
  for (int line = middle - 6; line <= middle + 6; line++)
    {
      int at = first_of (&picture, line, TARN_TISSUE_BONE);
      mean_add (&before, &picture, line, at - samples_of (&picture, 9),
                at - samples_of (&picture, 3));
      mean_add (&shadow, &picture, line, at + samples_of (&picture, 8),
                at + samples_of (&picture, 40));
      cap.sum += pow (10, (double)brightest_db (&picture, line, at - 8, at + 8) / 10);
      cap.count += 2;
    }
  cap.sum *= 2;
  g_test_message ("dB: before %.1f, cap %.1f, shadow %.1f", mean_db (&before), mean_db (&cap),
                  mean_db (&shadow));
  g_assert_cmpfloat (mean_db (&cap), >, mean_db (&before) + 8);
  g_assert_cmpfloat (mean_db (&shadow), <, mean_db (&before) - 35);
  picture_clear (&picture);
}

static void
test_gas (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.structures = 1;
  patient.structure[0] = (TarnStructure){ .kind = TARN_STRUCTURE_BOWEL_GAS,
                                          .centre_mm = { 0, 30, 150 },
                                          .radii_mm = { 20, 6, 12 } };
  Picture picture;
  picture_init (&picture, &patient, 150, 0, true);
  int middle = picture.setup.geometry.lines / 2,
      first = first_of (&picture, middle, TARN_TISSUE_GAS);
  g_assert_cmpint (first, >, 0);
  Mean before = { 0 }, dirt = { 0 }, deep = { 0 };
  for (int line = middle - 12; line <= middle + 12; line++)
    {
      int at = first_of (&picture, line, TARN_TISSUE_GAS);
      mean_add (&before, &picture, line, at - samples_of (&picture, 9),
                at - samples_of (&picture, 3));
      mean_add (&dirt, &picture, line, at + samples_of (&picture, 4),
                at + samples_of (&picture, 20));
      mean_add (&deep, &picture, line, at + samples_of (&picture, 50),
                at + samples_of (&picture, 70));
    }
  g_test_message ("dB: before %.1f, shadow %.1f, deeper %.1f", mean_db (&before),
                  mean_db (&dirt), mean_db (&deep));
  /* Darker than tissue, far from black, and fading. */
  g_assert_cmpfloat (mean_db (&dirt), <, mean_db (&before) - 2);
  g_assert_cmpfloat (mean_db (&dirt), >, mean_db (&before) - 20);
  g_assert_cmpfloat (mean_db (&deep), <, mean_db (&dirt) - 3);
  picture_clear (&picture);
}

/* Bare skin never couples: bands near the face, then nothing but noise. */
static void
test_dry (void)
{
  TarnPatient patient = tarn_patient_default ();
  Picture picture;
  picture_init (&picture, &patient, 40, 0.09, false);
  Mean near = { 0 }, deep = { 0 };
  for (int line = 20; line < picture.setup.geometry.lines - 20; line++)
    {
      mean_add (&near, &picture, line, 0, samples_of (&picture, 8));
      mean_add (&deep, &picture, line, samples_of (&picture, 25), samples_of (&picture, 60));
    }
  g_test_message ("dB: near %.1f, deeper %.1f", mean_db (&near), mean_db (&deep));
  g_assert_cmpfloat (mean_db (&near), >, 0);
  g_assert_cmpfloat (mean_db (&deep), <, -45);
  picture_clear (&picture);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/picture/bladder", test_bladder);
  g_test_add_func ("/picture/bone", test_bone);
  g_test_add_func ("/picture/gas", test_gas);
  g_test_add_func ("/picture/dry", test_dry);
  return g_test_run ();
}
