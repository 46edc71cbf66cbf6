/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How long the triangles of the 3-D view take to make, how many they are, and how long they
 * take to paint without a graphics card.  CSV on standard output; never fails on time. */
#include "bench.h"

#include "app/body_painter.h"
#include "engine/acoustic/plane.h"
#include "engine/scene/scene.h"

#include <glib.h>

#define REPEATS 60
#define WIDTH   600
#define HEIGHT  560

typedef struct
{
  TarnBody *body;
  TarnScene *scene;
  TarnGelFilm film;
  TarnContact contact;
  TarnDeform deform;
  TarnSceneView view;
} Rig;

static gboolean
set_up (Rig *rig, double fat_mm, double pannus_mm)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.fat_mm = fat_mm;
  patient.habitus.pannus_mm = pannus_mm;
  rig->scene = tarn_scene_new ();
  return rig->scene != NULL && tarn_body_new (&patient, 0, &rig->body, NULL) == TARN_OK
         && tarn_gel_dose (&rig->film, 50, 0, 20) == TARN_OK;
}

static void
press (Rig *rig, double above_mm, double force_n)
{
  TarnPose pose = { .above_mm = above_mm, .tilt_rad = 0.09, .force_n = force_n };
  (void)tarn_contact_solve (rig->body, &pose, &rig->film, &rig->contact);
  tarn_deform_init (&rig->deform, rig->body, &rig->contact);
  rig->view = (TarnSceneView){ .body = rig->body,
                               .contact = &rig->contact,
                               .deform = &rig->deform,
                               .on_skin = true,
                               .film = &rig->film,
                               .geometry
                               = tarn_plane_geometry (&tarn_body_patient (rig->body)->probe, 0),
                               .uncovered = true };
}

static void
bench_updates (Rig *rig, const char *what, gboolean inside)
{
  double ms[REPEATS], triangles[1];
  for (int k = 0; k < REPEATS; k++)
    {
      press (rig, 45 + 0.2 * k, 10);
      rig->view.show_inside = rig->view.show_sector = inside;
      double begin = bench_now_ms ();
      (void)tarn_scene_update (rig->scene, &rig->view);
      ms[k] = bench_now_ms () - begin;
    }
  triangles[0] = tarn_scene_mesh (rig->scene).indices / 3.0;
  g_autofree char *update = g_strdup_printf ("%s, update", what);
  g_autofree char *count = g_strdup_printf ("%s, triangles", what);
  bench_row (update, "ms", ms, REPEATS, "2");
  bench_row (count, "1", triangles, 1, "12000");
}

static void
bench_bodies (Rig *rig)
{
  double ms[9];
  for (int k = 0; k < 9; k++)
    {
      press (rig, 45, 10);
      tarn_scene_free (rig->scene);
      rig->scene = tarn_scene_new ();
      double begin = bench_now_ms ();
      (void)tarn_scene_update (rig->scene, &rig->view);
      ms[k] = bench_now_ms () - begin;
    }
  bench_row ("first update of a body", "ms", ms, 9, "");
}

static void
bench_paint (Rig *rig)
{
  double ms[REPEATS];
  TarnBodyPainter *painter = tarn_body_painter_new ();
  TarnSceneMesh mesh = tarn_scene_mesh (rig->scene);
  TarnCamera camera = mesh.preset[TARN_CAMERA_BEDSIDE];
  float matrix[16];
  for (int k = 0; k < REPEATS; k++)
    {
      camera = tarn_camera_orbit (&camera, 0.02, 0, 1);
      tarn_camera_matrix (&camera, (double)WIDTH / HEIGHT, matrix);
      double begin = bench_now_ms ();
      (void)tarn_body_painter_paint (painter, &mesh, matrix, tarn_camera_eye_mm (&camera),
                                     WIDTH, HEIGHT);
      ms[k] = bench_now_ms () - begin;
    }
  bench_row ("painted without OpenGL, 600 x 560", "ms", ms, REPEATS, "30");
  tarn_body_painter_free (painter);
}

int
main (void)
{
  static Rig plain, large;
  bench_header ();
  if (!set_up (&plain, 18, 0) || !set_up (&large, 50, 50))
    return 1;
  bench_updates (&plain, "plain", FALSE);
  bench_updates (&plain, "plain as glass", TRUE);
  bench_updates (&large, "with a fold", FALSE);
  bench_paint (&plain);
  bench_bodies (&plain);
  tarn_scene_free (plain.scene);
  tarn_scene_free (large.scene);
  tarn_body_free (plain.body);
  tarn_body_free (large.body);
  return 0;
}
