/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The camera. */
#include "engine/scene/camera.h"

TarnVec3
tarn_camera_eye_mm (const TarnCamera *camera)
{
  double across = cos (camera->above_rad) * camera->distance_mm;
  TarnVec3 offset = tarn_vec3 (-across * cos (camera->around_rad),
                               -camera->distance_mm * sin (camera->above_rad),
                               across * sin (camera->around_rad));
  return tarn_add (camera->target_mm, offset);
}
