/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/scene/light.h"

/* The key light's half-angle, as a slope: a large soft window. */
#define SOFT_SLOPE 0.22
/* Contact shadows fade over this distance. */
#define NEAR_MM   16.0
#define NEAR_MOST 0.55

double
tarn_light_past (const TarnShadow *shadow, TarnVec3 p_mm)
{
  const TarnVec3 light = { TARN_LIGHT_X, TARN_LIGHT_Y, TARN_LIGHT_Z };
  TarnVec3 edge = tarn_sub (shadow->b_mm, shadow->a_mm);
  TarnVec3 from = tarn_sub (p_mm, shadow->a_mm);

  /* Where the ray towards the light and the segment are nearest to each other. */
  double ee = tarn_dot (edge, edge), el = tarn_dot (edge, light);
  double ef = tarn_dot (edge, from), lf = tarn_dot (light, from);
  double across = ee - el * el;
  double s = across > 1e-6 ? tarn_clamp ((ef - el * lf) / across, 0, 1) : 0;
  double t = tarn_dot (light, tarn_sub (tarn_scale (edge, s), from));
  if (t <= 0)
    return 1;
  TarnVec3 gap = tarn_sub (tarn_add_scaled (from, light, t), tarn_scale (edge, s));
  double soft = 3 + SOFT_SLOPE * t;
  double open
      = tarn_smoothstep (shadow->radius_mm - soft, shadow->radius_mm + soft, tarn_length (gap));
  /* What is as far as it is wide no longer takes all the light. */
  double most = 1 / (1 + t / (6 * shadow->radius_mm));
  return 1 - most * (1 - open);
}

double
tarn_light_around (const TarnShadow *shadow, TarnVec3 p_mm)
{
  TarnVec3 edge = tarn_sub (shadow->b_mm, shadow->a_mm);
  TarnVec3 from = tarn_sub (p_mm, shadow->a_mm);
  double ee = tarn_dot (edge, edge);
  double s = ee > 0 ? tarn_clamp (tarn_dot (edge, from) / ee, 0, 1) : 0;
  double gap = tarn_length (tarn_add_scaled (from, edge, -s)) - shadow->radius_mm;
  double near = 1 - tarn_smoothstep (0, NEAR_MM, gap);
  return 1 - NEAR_MOST * near;
}
