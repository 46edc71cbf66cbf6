/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * camera.h: from where the patient is looked at.
 *
 * Floor: engine.  Pure.  The camera orbits a point, never gets inside the body, never tips
 * over; moves are damped. */
#pragma once

#include "base/vec.h"
#include "engine/body/body.h"

typedef struct
{
  TarnVec3 target_mm;
  double distance_mm;
  double
      around_rad;   /* about the patient's long axis of view: 0 from the patient's right side */
  double above_rad; /* over the bed: π/2 straight down */
  double half_view_rad; /* vertical half-angle of view */
  double nearest_mm,
      farthest_mm; /* between which distance_mm stays; the body's size sets them */
} TarnCamera;

typedef enum
{
  TARN_CAMERA_BEDSIDE, /* as who stands at the patient's right */
  TARN_CAMERA_ABOVE,
  TARN_CAMERA_FEET,
  TARN_CAMERA_PRESETS
} TarnCameraPreset;

/* Looks at the lower belly.  @body: NULL for an adult of average size. */
TarnCamera tarn_camera_preset (TarnCameraPreset preset, const TarnBody *body);
/* Turned, and moved nearer by a factor; kept in range. */
TarnCamera tarn_camera_orbit (const TarnCamera *camera, double around_rad, double above_rad,
                              double nearer);
/* A step of @seconds towards @goal, damped; exactly there in the end. */
TarnCamera tarn_camera_approach (const TarnCamera *camera, const TarnCamera *goal,
                                 double seconds);
/* Column-major clip-from-patient matrix for a view of that aspect (width / height). */
void tarn_camera_matrix (const TarnCamera *camera, double aspect, float matrix[16]);
TarnVec3 tarn_camera_eye_mm (const TarnCamera *camera);
/* The ray through a point of the view: x, y in -1..1, y up.  @direction: unit. */
void tarn_camera_ray (const TarnCamera *camera, double aspect, double x, double y,
                      TarnVec3 *from_mm, TarnVec3 *direction);
