/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The camera: what it shows where, and that it never gets into the body. */
#include "scenes.h"

#include "base/random.h"

/* Where a point appears, -1 … 1, y up. */
static void
project (const TarnCamera *camera, double aspect, TarnVec3 p, double at[3])
{
  float m[16];
  tarn_camera_matrix (camera, aspect, m);
  double clip[4];
  for (int k = 0; k < 4; k++)
    clip[k] = (double)m[k] * p.x + (double)m[4 + k] * p.y + (double)m[8 + k] * p.z
              + (double)m[12 + k];
  g_assert_cmpfloat (clip[3], >, 0);
  for (int k = 0; k < 3; k++)
    at[k] = clip[k] / clip[3];
}

static void
presets (gconstpointer data)
{
  Rig *rig = rig_new (data);
  TarnVec3 navel, low, n;
  g_assert_true (tarn_body_skin_at (rig->body, 90, 0, &navel, &n));
  g_assert_true (tarn_body_skin_at (rig->body, 20, 0, &low, &n));
  for (int k = 0; k < TARN_CAMERA_PRESETS; k++)
    {
      TarnCamera camera = tarn_camera_preset ((TarnCameraPreset)k, rig->body);
      double head[3], foot[3];
      project (&camera, 1.2, navel, head);
      project (&camera, 1.2, low, foot);
      for (int j = 0; j < 3; j++)
        {
          g_assert_cmpfloat (fabs (head[j]), <, 1);
          g_assert_cmpfloat (fabs (foot[j]), <, 1);
        }
      /* Who stands at the patient's right and looks at him has his head at the left. */
      if (k != TARN_CAMERA_FEET)
        g_assert_cmpfloat (head[0], <, foot[0] - 0.05);
      else
        g_assert_cmpfloat (head[1], >, foot[1] + 0.05);
    }
  rig_free (rig);
}

/* From anywhere that turning and going nearer lead to. */
static void
stays_outside (gconstpointer data)
{
  Rig *rig = rig_new (data);
  for (int k = 0; k < 3000; k++)
    {
      TarnCamera camera
          = tarn_camera_preset ((TarnCameraPreset)(k % TARN_CAMERA_PRESETS), rig->body);
      for (uint64_t j = 0; j < 3; j++)
        {
          double draw[3];
          for (uint64_t i = 0; i < 3; i++)
            draw[i] = tarn_uniform_at (7, (uint64_t)k * 9 + j * 3 + i) - 0.5;
          camera = tarn_camera_orbit (&camera, 9 * draw[0], 4 * draw[1], exp (8 * draw[2]));
        }
      TarnVec3 eye = tarn_camera_eye_mm (&camera);
      g_assert_cmpfloat (tarn_body_skin_distance_mm (rig->body, eye), >, 20);
      /* Nor into the thighs, which are not the engine's: over everything on the bed. */
      TarnVec3 top, n;
      g_assert_true (tarn_body_skin_at (rig->body, 60, 0, &top, &n));
      g_assert_cmpfloat (eye.y, <, top.y);
      /* Never tips over. */
      double up[3], here[3];
      project (&camera, 1, camera.target_mm, here);
      project (&camera, 1, tarn_add (camera.target_mm, tarn_vec3 (0, -10, 0)), up);
      g_assert_cmpfloat (up[1], >, here[1]);
      g_assert_cmpfloat (fabs (here[0]) + fabs (here[1]), <, 1e-3);
    }
  rig_free (rig);
}

static void
bad_moves (void)
{
  TarnCamera camera = tarn_camera_preset (TARN_CAMERA_BEDSIDE, NULL);
  TarnCamera moved = tarn_camera_orbit (&camera, NAN, INFINITY, 0);
  g_assert_cmpfloat (moved.around_rad, ==, camera.around_rad);
  g_assert_cmpfloat (moved.above_rad, ==, camera.above_rad);
  g_assert_cmpfloat (moved.distance_mm, ==, camera.distance_mm);
}

/* Damping does not depend on how often there is a frame, takes the short way round, and ends.
 */
static void
approach (void)
{
  TarnCamera from = tarn_camera_preset (TARN_CAMERA_FEET, NULL);
  TarnCamera goal = tarn_camera_preset (TARN_CAMERA_ABOVE, NULL);
  from.around_rad = 3.0;
  goal.around_rad = -3.0;
  TarnCamera once = tarn_camera_approach (&from, &goal, 0.1), often = from;
  for (int k = 0; k < 10; k++)
    often = tarn_camera_approach (&often, &goal, 0.01);
  g_assert_cmpfloat_with_epsilon (once.around_rad, often.around_rad, 1e-9);
  g_assert_cmpfloat_with_epsilon (once.above_rad, often.above_rad, 1e-9);
  g_assert_cmpfloat_with_epsilon (once.distance_mm, often.distance_mm, 1e-6);
  g_assert_cmpfloat (fabs (once.around_rad), >, 3.0);

  for (int k = 0; k < 200; k++)
    often = tarn_camera_approach (&often, &goal, 0.016);
  g_assert_cmpfloat (often.around_rad, ==, goal.around_rad);
  g_assert_cmpfloat (often.distance_mm, ==, goal.distance_mm);
  TarnCamera still = tarn_camera_approach (&from, &goal, 0);
  g_assert_cmpfloat_with_epsilon (still.above_rad, from.above_rad, 1e-12);
}

/* The ray through a point of the view goes where that point is drawn. */
static void
rays (void)
{
  TarnCamera camera = tarn_camera_preset (TARN_CAMERA_BEDSIDE, NULL);
  for (double x = -0.9; x < 1; x += 0.3)
    for (double y = -0.9; y < 1; y += 0.3)
      {
        TarnVec3 from, direction;
        double at[3];
        tarn_camera_ray (&camera, 1.25, x, y, &from, &direction);
        g_assert_cmpfloat_with_epsilon (tarn_length (direction), 1, 1e-9);
        project (&camera, 1.25, tarn_add_scaled (from, direction, 700), at);
        g_assert_cmpfloat_with_epsilon (at[0], x, 1e-4);
        g_assert_cmpfloat_with_epsilon (at[1], y, 1e-4);
      }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/camera/bad-moves", bad_moves);
  g_test_add_func ("/camera/approach", approach);
  g_test_add_func ("/camera/rays", rays);
  for (size_t k = 0; k < G_N_ELEMENTS (people); k++)
    {
      char path[128];
      g_snprintf (path, sizeof path, "/camera/presets/%s", people[k].who);
      g_test_add_data_func (path, &people[k], presets);
      g_snprintf (path, sizeof path, "/camera/stays-outside/%s", people[k].who);
      g_test_add_data_func (path, &people[k], stays_outside);
    }
  return g_test_run ();
}
