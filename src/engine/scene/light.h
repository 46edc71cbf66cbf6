/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * light.h: where the scene's light comes from, and what stands in its way.
 *
 * Floor: engine.  Pure.  Who draws uses the same numbers.  Patient frame, mm. */
#pragma once

#include "base/vec.h"

/* Towards the one key light: over the head end, a little to the patient's left, so that from
 * the bedside what stands up is modelled and its shadow falls to the viewer's right.  Unit. */
#define TARN_LIGHT_X 0.298
#define TARN_LIGHT_Y (-0.745)
#define TARN_LIGHT_Z 0.597

/* Something rounded that takes light away: all within radius_mm of a–b. */
typedef struct
{
  TarnVec3 a_mm, b_mm;
  double radius_mm;
} TarnShadow;

/* How much of the key light reaches @p_mm past @shadow, 0 … 1, with an edge that grows softer
 * with the distance of what throws it. */
double tarn_light_past (const TarnShadow *shadow, TarnVec3 p_mm);
/* How much of the light from all around is left so near to @shadow, 0 … 1. */
double tarn_light_around (const TarnShadow *shadow, TarnVec3 p_mm);
