/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig.h"

#include <glib.h>

void
rig_init (Rig *rig, TarnPhantom *phantom, bool plain)
{
  TarnPatient patient = tarn_patient_default ();
  *rig = (Rig){ 0 };
  g_assert_cmpint (tarn_body_new (&patient, 0, &rig->body, NULL), ==, TARN_OK);
  rig->work = tarn_plane_work_new (plain);
  g_assert_nonnull (rig->work);
  rig->contact.axis = tarn_vec3 (0, 1, 0);
  rig->contact.lateral = tarn_vec3 (1, 0, 0);
  rig->contact.elevation = tarn_vec3 (0, 0, 1);
  for (int row = 0; row < TARN_FACE_ELEMENTS; row++)
    for (int column = 0; column < TARN_FACE_ELEMENTS; column++)
      rig->contact.wet[row][column] = 1;
  *phantom = (TarnPhantom){
    .shells = 1, .to_mm = { 1000 }, .tissue = { TARN_TISSUE_SOFT }, .speckle = true
  };
  rig->setup = (TarnPlaneSetup){
    .body = rig->body,
    .contact = &rig->contact,
    .geometry = tarn_plane_geometry (&tarn_body_patient (rig->body)->probe, 0),
    .range_db = 60,
    .phantom = phantom,
  };
  size_t count = (size_t)TARN_LINES_MAX * TARN_SAMPLES_MAX;
  rig->grey = g_malloc (count);
  rig->echo_db = g_malloc (count * sizeof *rig->echo_db);
}

void
rig_clear (Rig *rig)
{
  tarn_plane_work_free (rig->work);
  tarn_body_free (rig->body);
  g_free (rig->grey);
  g_free (rig->echo_db);
}

void
rig_shoot (Rig *rig, TarnVec3 to_mm)
{
  rig->contact.centre_mm
      = tarn_add_scaled (to_mm, rig->contact.axis, -rig->setup.geometry.face_radius_mm);
  rig->setup.frame = tarn_plane_frame (&rig->contact, 0);
  g_assert_cmpint (tarn_plane_simulate (rig->work, &rig->setup, 0, rig->grey, rig->echo_db), ==,
                   TARN_OK);
}

float
rig_echo_db (const Rig *rig, int line, int sample)
{
  return rig->echo_db[line * rig->setup.geometry.samples + sample];
}

int
rig_sample_at (const Rig *rig, double depth_mm)
{
  return (int)(depth_mm / rig->setup.geometry.sample_pitch_mm);
}

double
rig_mean_db (const Rig *rig, int first_line, int last_line, double from_mm, double to_mm)
{
  double sum = 0;
  int count = 0;
  for (int line = first_line; line <= last_line; line++)
    for (int s = rig_sample_at (rig, from_mm); s < rig_sample_at (rig, to_mm); s++, count++)
      sum += pow (10, (double)rig_echo_db (rig, line, s) / 10);
  return 10 * log10 (sum / count);
}
