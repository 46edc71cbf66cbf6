/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The camera. */
#include "engine/scene/camera.h"

#include "base/units.h"

#define ABOVE_LEAST_RAD 0.40
#define ABOVE_MOST_RAD  1.48
#define FARTHEST        2.2  /* of the distance that shows all */
#define SETTLE_S        0.09 /* a move is done to 1/e in this time */

TarnCamera
tarn_camera_preset (TarnCameraPreset preset, const TarnBody *body)
{
  double half_width = 150, top = -40;
  if (body != NULL)
    {
      const TarnPatient *patient = tarn_body_patient (body);
      half_width = patient->habitus.torso_width_mm / 2;
      TarnVec3 p, n;
      top = 0;
      for (double above = -40; above <= 240; above += 10)
        if (tarn_body_skin_at (body, above, 0, &p, &n))
          top = fmin (top, p.y);
    }
  double scale = tarn_clamp (half_width / 150, 0.78, 1.7); /* the probe is never smaller */
  TarnCamera camera
      = { .target_mm = { -0.36 * half_width, top + 0.40 * half_width, 66 * fmin (scale, 1.2) },
          .distance_mm = 740 * scale,
          .half_view_rad = 0.30 };
  camera.nearest_mm = 110 + 1.15 * half_width;
  camera.farthest_mm = camera.distance_mm * FARTHEST;
  switch (preset)
    {
    case TARN_CAMERA_ABOVE:
      camera.above_rad = ABOVE_MOST_RAD;
      break;
    case TARN_CAMERA_FEET:
      camera.around_rad = -TARN_PI / 2 + 0.18;
      camera.above_rad = 0.62;
      break;
    default:
      /* Someone standing at the right hip, half turned to the head. */
      camera.around_rad = -0.30;
      camera.above_rad = 0.84;
      break;
    }
  return camera;
}

static double
turned (double angle)
{
  return remainder (angle, 2 * TARN_PI);
}

TarnCamera
tarn_camera_orbit (const TarnCamera *camera, double around_rad, double above_rad, double nearer)
{
  TarnCamera out = *camera;
  if (isfinite (around_rad))
    out.around_rad = turned (camera->around_rad + around_rad);
  if (isfinite (above_rad))
    out.above_rad = tarn_clamp (camera->above_rad + above_rad, ABOVE_LEAST_RAD, ABOVE_MOST_RAD);
  if (nearer > 0 && isfinite (nearer))
    out.distance_mm
        = tarn_clamp (camera->distance_mm / nearer, camera->nearest_mm, camera->farthest_mm);
  return out;
}

TarnCamera
tarn_camera_approach (const TarnCamera *camera, const TarnCamera *goal, double seconds)
{
  TarnCamera out = *goal;
  double left = seconds > 0 ? exp (-seconds / SETTLE_S) : 1;
  double around = turned (camera->around_rad - goal->around_rad) * left;
  double above = (camera->above_rad - goal->above_rad) * left;
  double ratio = log (camera->distance_mm / goal->distance_mm) * left;
  TarnVec3 away = tarn_scale (tarn_sub (camera->target_mm, goal->target_mm), left);
  if (fabs (around) + fabs (above) + fabs (ratio) < 1e-3 && tarn_length (away) < 0.2)
    return out;
  out.around_rad = turned (goal->around_rad + around);
  out.above_rad = goal->above_rad + above;
  out.distance_mm = goal->distance_mm * exp (ratio);
  out.target_mm = tarn_add (goal->target_mm, away);
  return out;
}

TarnVec3
tarn_camera_eye_mm (const TarnCamera *camera)
{
  double across = cos (camera->above_rad) * camera->distance_mm;
  TarnVec3 offset = tarn_vec3 (-across * cos (camera->around_rad),
                               -camera->distance_mm * sin (camera->above_rad),
                               across * sin (camera->around_rad));
  return tarn_add (camera->target_mm, offset);
}

/* The view's own axes: to the right, up and forwards; unit. */
static void
view_axes (const TarnCamera *camera, TarnVec3 axis[3])
{
  axis[2] = tarn_normalize (tarn_sub (camera->target_mm, tarn_camera_eye_mm (camera)));
  axis[0] = tarn_normalize (tarn_cross (axis[2], tarn_vec3 (0, -1, 0)));
  axis[1] = tarn_cross (axis[0], axis[2]);
}

void
tarn_camera_matrix (const TarnCamera *camera, double aspect, float matrix[16])
{
  TarnVec3 axis[3], eye = tarn_camera_eye_mm (camera);
  view_axes (camera, axis);
  double tall = 1 / tan (camera->half_view_rad), wide = tall / fmax (aspect, 1e-3);
  double near = 0.12 * camera->distance_mm, far = 4 * camera->distance_mm + 600;
  double a = (far + near) / (far - near), b = -2 * far * near / (far - near);
  TarnVec3 row[4] = { tarn_scale (axis[0], wide), tarn_scale (axis[1], tall),
                      tarn_scale (axis[2], a), axis[2] };
  double add[4] = { 0, 0, b, 0 };
  for (int k = 0; k < 4; k++)
    {
      matrix[k] = (float)row[k].x;
      matrix[4 + k] = (float)row[k].y;
      matrix[8 + k] = (float)row[k].z;
      matrix[12 + k] = (float)(add[k] - tarn_dot (row[k], eye));
    }
}

void
tarn_camera_ray (const TarnCamera *camera, double aspect, double x, double y, TarnVec3 *from_mm,
                 TarnVec3 *direction)
{
  TarnVec3 axis[3];
  view_axes (camera, axis);
  double tall = tan (camera->half_view_rad), wide = tall * aspect;
  TarnVec3 d = tarn_add_scaled (axis[2], axis[0], x * wide);
  *from_mm = tarn_camera_eye_mm (camera);
  *direction = tarn_normalize (tarn_add_scaled (d, axis[1], y * tall));
}
