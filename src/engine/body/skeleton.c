/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * skeleton.c: where the bones lie.
 *
 * Symphysis: height, thickness and inclination are the patient's.  The rest has sizes in
 * proportion: the pubic bodies and rami to the symphysis, sacrum and spine to the torso's
 * depth.  Those proportions are own design values, made so that the spine's front stands about
 * 110 mm behind the skin of a slim adult. */
#include "engine/body/skeleton.h"

#include "base/units.h"
#include "engine/body/torso.h"

#define ADULT_JOINT_MM 38.0
#define ADULT_DEPTH_MM 200.0

enum
{
  RAMUS_LEFT,
  RAMUS_RIGHT,
  SACRUM_LEFT,
  SACRUM_RIGHT,
  SACRUM,
  COCCYX,
  SPINE,
  CAPSULES
};

_Static_assert(CAPSULES <= TARN_CAPSULES_MAX && SACRUM_LEFT == TARN_RAMI, "as bones.h says");

const char *
tarn_skeleton_capsule_name (int index)
{
  static const char *const name[CAPSULES]
      = { "ramus-left", "ramus-right", "sacrum-left", "sacrum-right",
          "sacrum",     "coccyx",      "spine" };
  return name[index];
}

static void
place_symphysis (TarnBones *bones, const TarnSymphysis *joint)
{
  double incline = tarn_rad_from_deg (joint->inclination_deg);
  TarnBoneBox *box = &bones->symphysis;
  box->side = tarn_vec3 (1, 0, 0);
  box->along = tarn_vec3 (0, cos (incline), -sin (incline));
  box->across = tarn_vec3 (0, sin (incline), cos (incline));
  box->half_side_mm = 20 * joint->height_mm / ADULT_JOINT_MM;
  box->half_along_mm = joint->height_mm / 2;
  box->half_across_mm = joint->thickness_mm / 2;
  box->round_mm = 0.3 * fmin (joint->thickness_mm, joint->height_mm);

  /* The origin lies in the middle of the rounded edge. */
  double cut = (1 - 1 / sqrt (2)) * box->round_mm;
  box->centre_mm = tarn_add_scaled (tarn_scale (box->along, box->half_along_mm - cut),
                                    box->across, box->half_across_mm - cut);
}

static void
place_rami (TarnBones *bones, const TarnSymphysis *joint)
{
  const TarnBoneBox *box = &bones->symphysis;
  TarnVec3 start = tarn_add_scaled (box->centre_mm, box->along, -0.3 * box->half_along_mm);
  double length = 62 * joint->height_mm / ADULT_JOINT_MM;
  for (int k = 0; k < TARN_RAMI; k++)
    {
      double left = k == RAMUS_LEFT ? 1 : -1;
      TarnVec3 from = tarn_add (start, tarn_vec3 (left * 0.7 * box->half_side_mm, 0, 0));
      TarnVec3 to = tarn_add_scaled (from, tarn_normalize (tarn_vec3 (left * 0.84, 0.45, 0.30)),
                                     length);
      bones->capsule[k] = (TarnCapsule){ from, to, joint->ramus_mm / 2 };
    }
}

static void
place_spine (TarnBones *bones, const TarnHabitus *habitus)
{
  double depth = habitus->torso_depth_mm - 2 * habitus->fat_mm - 24;
  double front = fmax (0.6 * depth, 0.48 * fmin (habitus->torso_depth_mm, ADULT_DEPTH_MM));
  double unit = fmin (habitus->torso_depth_mm, 1.2 * ADULT_DEPTH_MM) / ADULT_DEPTH_MM;
  double radius = 19 * unit;

  /* From the promontory, the foremost point, the sacrum curves back towards the feet. */
  TarnVec3 promontory = tarn_vec3 (0, front + radius, 44 * unit);
  TarnVec3 bend = tarn_add (promontory, tarn_vec3 (0, 24 * unit, -58 * unit));
  TarnVec3 tip = tarn_add (promontory, tarn_vec3 (0, 16 * unit, -104 * unit));
  bones->capsule[SPINE]
      = (TarnCapsule){ promontory, { 0, promontory.y + 6 * unit, TARN_TORSO_HEAD_MM }, radius };
  bones->capsule[SACRUM] = (TarnCapsule){ promontory, bend, radius };
  bones->capsule[COCCYX] = (TarnCapsule){ bend, tip, 0.7 * radius };
  for (int k = SACRUM_LEFT; k <= SACRUM_RIGHT; k++)
    {
      double side = (k == SACRUM_LEFT ? 1 : -1) * unit;
      bones->capsule[k]
          = (TarnCapsule){ tarn_add (promontory, tarn_vec3 (30 * side, 9 * unit, -2 * unit)),
                           tarn_add (bend, tarn_vec3 (16 * side, 2 * unit, 6 * unit)), radius };
    }
}

void
tarn_skeleton_init (TarnBones *bones, const TarnPatient *patient)
{
  *bones = (TarnBones){ .capsules = CAPSULES };
  place_symphysis (bones, &patient->symphysis);
  place_rami (bones, &patient->symphysis);
  place_spine (bones, &patient->habitus);
}

static double
capsules_distance_mm (const TarnBones *bones, int first, int end, TarnVec3 p_mm)
{
  double nearest = INFINITY;
  for (int k = first; k < end; k++)
    nearest = fmin (nearest, tarn_capsule_distance_mm (&bones->capsule[k], p_mm, NULL));
  return nearest;
}

double
tarn_skeleton_front_distance_mm (const TarnBones *bones, TarnVec3 p_mm)
{
  return fmin (tarn_bone_box_distance_mm (&bones->symphysis, p_mm, NULL),
               capsules_distance_mm (bones, 0, TARN_RAMI, p_mm));
}

double
tarn_skeleton_back_distance_mm (const TarnBones *bones, TarnVec3 p_mm)
{
  return capsules_distance_mm (bones, TARN_RAMI, bones->capsules, p_mm);
}

void
tarn_skeleton_push_back (TarnBones *bones, double y_mm)
{
  for (int k = TARN_RAMI; k < bones->capsules; k++)
    {
      bones->capsule[k].a_mm.y += y_mm;
      bones->capsule[k].b_mm.y += y_mm;
    }
}

double
tarn_skeleton_back_mm (const TarnBones *bones)
{
  double back = -INFINITY;
  for (int k = 0; k < bones->capsules; k++)
    {
      const TarnCapsule *capsule = &bones->capsule[k];
      back = fmax (back, fmax (capsule->a_mm.y, capsule->b_mm.y) + capsule->radius_mm);
    }
  return back;
}
