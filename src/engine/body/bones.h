/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bones.h: the bones as a rounded box and a few capsules, open for fast loops.
 *
 * Floor: engine.  Patient frame, mm. */
#pragma once

#include "base/vec.h"

#include <stddef.h>

#define TARN_CAPSULES_MAX 10

/* The symphysis: a box rounded by round_mm.  Axes: side is +x, along runs from the upper edge
 * to the feet and back, across from the front surface to the back and head. */
typedef struct
{
  TarnVec3 centre_mm, side, along, across;
  double half_side_mm, half_along_mm, half_across_mm; /* outer, rounding included */
  double round_mm;
} TarnBoneBox;

/* All points within radius_mm of the segment a–b. */
typedef struct
{
  TarnVec3 a_mm, b_mm;
  double radius_mm;
} TarnCapsule;

typedef struct
{
  TarnBoneBox symphysis;
  int capsules;
  TarnCapsule capsule[TARN_CAPSULES_MAX]; /* rami first, then sacrum and spine */
} TarnBones;

/* Signed distance to the nearest bone, mm, negative inside; exact outside.
 * @gradient: out, unit; may be NULL. */
double tarn_bones_distance_mm (const TarnBones *bones, TarnVec3 p_mm, TarnVec3 *gradient);

/* The same for one of them. */
double tarn_bone_box_distance_mm (const TarnBoneBox *box, TarnVec3 p_mm, TarnVec3 *gradient);
double tarn_capsule_distance_mm (const TarnCapsule *capsule, TarnVec3 p_mm, TarnVec3 *gradient);
