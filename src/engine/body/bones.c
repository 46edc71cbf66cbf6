/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/body/bones.h"

double
tarn_bone_box_distance_mm (const TarnBoneBox *box, TarnVec3 p_mm, TarnVec3 *gradient)
{
  TarnVec3 from = tarn_sub (p_mm, box->centre_mm);
  double at[3] = { tarn_dot (from, box->side), tarn_dot (from, box->along),
                   tarn_dot (from, box->across) };
  double half[3] = { box->half_side_mm, box->half_along_mm, box->half_across_mm };

  /* Past the corners of the box that the rounding swells. */
  double past[3], outside = 0;
  int most = 0;
  for (int k = 0; k < 3; k++)
    {
      past[k] = fabs (at[k]) - (half[k] - box->round_mm);
      if (past[k] > past[most])
        most = k;
      if (past[k] > 0)
        outside += past[k] * past[k];
    }
  double distance = past[most] > 0 ? sqrt (outside) : past[most];

  if (gradient != NULL)
    {
      double slope[3] = { 0, 0, 0 };
      if (past[most] > 0)
        for (int k = 0; k < 3; k++)
          slope[k] = past[k] > 0 ? copysign (past[k] / distance, at[k]) : 0;
      else
        slope[most] = copysign (1, at[most]);
      TarnVec3 g = tarn_scale (box->side, slope[0]);
      g = tarn_add_scaled (g, box->along, slope[1]);
      *gradient = tarn_add_scaled (g, box->across, slope[2]);
    }
  return distance - box->round_mm;
}

double
tarn_capsule_distance_mm (const TarnCapsule *capsule, TarnVec3 p_mm, TarnVec3 *gradient)
{
  TarnVec3 axis = tarn_sub (capsule->b_mm, capsule->a_mm);
  TarnVec3 from = tarn_sub (p_mm, capsule->a_mm);
  double length2 = tarn_dot (axis, axis);
  double t = length2 > 0 ? tarn_clamp (tarn_dot (from, axis) / length2, 0, 1) : 0;
  TarnVec3 off = tarn_add_scaled (from, axis, -t);
  double distance = tarn_length (off);
  if (gradient != NULL)
    *gradient = distance > 0 ? tarn_scale (off, 1 / distance) : tarn_vec3 (0, -1, 0);
  return distance - capsule->radius_mm;
}

double
tarn_bones_distance_mm (const TarnBones *bones, TarnVec3 p_mm, TarnVec3 *gradient)
{
  double nearest = tarn_bone_box_distance_mm (&bones->symphysis, p_mm, gradient);
  for (int k = 0; k < bones->capsules; k++)
    {
      TarnVec3 g;
      double distance
          = tarn_capsule_distance_mm (&bones->capsule[k], p_mm, gradient != NULL ? &g : NULL);
      if (distance >= nearest)
        continue;
      nearest = distance;
      if (gradient != NULL)
        *gradient = g;
    }
  return nearest;
}
