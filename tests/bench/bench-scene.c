/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How long the triangles of the 3-D views take to make, how many they are, and how long they
 * take to paint without a graphics card; and what else a debrief asks for: the true border of a
 * plane, the aim profile.  CSV on standard output; never fails on time. */
#include "bench.h"

#include "app/body_painter.h"
#include "engine/acoustic/plane.h"
#include "engine/coach/aim.h"
#include "engine/scene/fates.h"
#include "engine/scene/scene.h"
#include "engine/verdict/border.h"

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
bench_paint (const char *what, TarnSceneMesh mesh)
{
  double ms[REPEATS];
  TarnBodyPainter *painter = tarn_body_painter_new ();
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
  bench_row (what, "ms", ms, REPEATS, "30");
  tarn_body_painter_free (painter);
}

/* A sweep that loses urine past the fan's end and behind the bone. */
static void
bench_fates (Rig *rig)
{
  double first[REPEATS / 4], again[REPEATS / 4], triangles[1];
  TarnFatesScene *scene = tarn_fates_scene_new ();
  TarnFatesView view = { .body = rig->body, .skin = true, .bones = true, .fan = true };
  for (int k = 0; k < REPEATS / 4; k++)
    {
      TarnPose pose = { .above_mm = 20 + 0.2 * k, .tilt_rad = 0.26, .force_n = 5 };
      (void)tarn_view_init (&view.view, rig->body, &pose, NULL, 0);
      double begin = bench_now_ms ();
      (void)tarn_fates_scene_update (scene, &view);
      first[k] = bench_now_ms () - begin;
      begin = bench_now_ms ();
      (void)tarn_fates_scene_update (scene, &view);
      again[k] = bench_now_ms () - begin;
    }
  triangles[0] = tarn_fates_scene_mesh (scene).indices / 3.0;
  bench_row ("bladder by fate, another view", "ms", first, REPEATS / 4, "100");
  bench_row ("bladder by fate, other parts", "ms", again, REPEATS / 4, "");
  bench_row ("bladder by fate, triangles", "1", triangles, 1, "25000");
  bench_paint ("bladder by fate, painted without OpenGL", tarn_fates_scene_mesh (scene));
  tarn_fates_scene_free (scene);
}

static void
bench_truth (Rig *rig)
{
  double border_ms[REPEATS], aim_ms[REPEATS / 4];
  TarnShot shot = { rig->contact, rig->deform };
  TarnBorder border;
  for (int k = 0; k < REPEATS; k++)
    {
      double begin = bench_now_ms ();
      (void)tarn_border_in_plane (rig->body, &shot, 0.01 * (k - REPEATS / 2), &border);
      border_ms[k] = bench_now_ms () - begin;
    }
  TarnSurvey *survey;
  TarnAimProfile profile;
  if (tarn_survey_new (rig->body, &survey) != TARN_OK)
    return;
  for (int k = 0; k < REPEATS / 4; k++)
    {
      TarnPose pose = { .above_mm = 40 + k, .tilt_rad = 0.09, .force_n = 5 };
      double begin = bench_now_ms ();
      (void)tarn_aim_profile (survey, &pose, &rig->film, 0, &profile);
      aim_ms[k] = bench_now_ms () - begin;
    }
  tarn_survey_free (survey);
  bench_row ("true border of a plane", "ms", border_ms, REPEATS, "");
  bench_row ("aim profile", "ms", aim_ms, REPEATS / 4, "50");
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
  bench_paint ("painted without OpenGL, 600 x 560", tarn_scene_mesh (plain.scene));
  bench_bodies (&plain);
  bench_fates (&plain);
  bench_truth (&plain);
  tarn_scene_free (plain.scene);
  tarn_scene_free (large.scene);
  tarn_body_free (plain.body);
  tarn_body_free (large.body);
  return 0;
}
