/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * skin.c: places on the skin by arc length. */
#include "base/units.h"
#include "engine/body/region.h"

/* Chords stand for arcs: 0.25 and about 1 mm of them are short by less than 1e-4 of a turn
 * with a radius of 20 mm. */
#define CHORD_Z_MM 0.25
#define CHORD_RAD  (1.0 / 160)
/* The probe's face, over which a normal is smoothed. */
#define FACE_MM 12.0

/* The level that lies @above_mm along the skin in the middle; false beyond the torso. */
static bool
level_above (const TarnTorso *torso, double above_mm, double *z_mm)
{
  if (!(fabs (above_mm) < 2000))
    return false;
  if (torso->pannus_mm <= 0)
    *z_mm = above_mm;
  else
    {
      double step = copysign (CHORD_Z_MM, above_mm), left = fabs (above_mm), z = 0;
      TarnVec3 here = tarn_torso_skin_mm (torso, 0, z);
      for (;;)
        {
          TarnVec3 next = tarn_torso_skin_mm (torso, 0, z + step);
          double chord = tarn_distance (here, next);
          if (chord >= left || fabs (z) > TARN_TORSO_HEAD_MM)
            {
              z += step * left / chord;
              break;
            }
          left -= chord;
          z += step;
          here = next;
        }
      *z_mm = z;
    }
  return *z_mm >= TARN_TORSO_FEET_MM && *z_mm <= TARN_TORSO_HEAD_MM;
}

static bool
angle_left (const TarnTorso *torso, double left_mm, double z_mm, double *around_rad)
{
  if (!(fabs (left_mm) < 2000))
    return false;
  double step = copysign (CHORD_RAD, left_mm), left = fabs (left_mm);
  TarnVec3 here = tarn_torso_skin_mm (torso, 0, z_mm);
  for (int k = 0; k * CHORD_RAD < TARN_PI / 2; k++)
    {
      TarnVec3 next = tarn_torso_skin_mm (torso, (k + 1) * step, z_mm);
      double chord = tarn_distance (here, next);
      if (chord >= left)
        {
          *around_rad = k * step + step * left / chord;
          return fabs (*around_rad) <= TARN_PI / 2;
        }
      left -= chord;
      here = next;
    }
  return false;
}

/* Between two points of the skin @face_mm to either side, one way around or up. */
static TarnVec3
chord_around (const TarnTorso *torso, double around, double reach, double z)
{
  double low = fmax (around - reach, -TARN_PI / 2), high = fmin (around + reach, TARN_PI / 2);
  return tarn_sub (tarn_torso_skin_mm (torso, high, z), tarn_torso_skin_mm (torso, low, z));
}

static TarnVec3
chord_up (const TarnTorso *torso, double around, double z, double reach)
{
  return tarn_sub (tarn_torso_skin_mm (torso, around, z + reach),
                   tarn_torso_skin_mm (torso, around, z - reach));
}

/* The chord over a face is the mean of the tangents under it; three chords each way. */
static TarnVec3
smoothed_inward (const TarnTorso *torso, double around, double z)
{
  double per_rad = tarn_length (chord_around (torso, around, 1e-3, z)) / 2e-3;
  double per_mm = tarn_length (chord_up (torso, around, z, 0.1)) / 0.2;
  double wide = FACE_MM / per_rad, high = FACE_MM / per_mm;

  TarnVec3 left = { 0, 0, 0 }, up = { 0, 0, 0 };
  for (int k = -1; k <= 1; k++)
    {
      double aside = tarn_clamp (around + 0.6 * k * wide, -TARN_PI / 2, TARN_PI / 2);
      left = tarn_add (left, chord_around (torso, around, wide, z + 0.6 * k * high));
      up = tarn_add (up, chord_up (torso, aside, z, high));
    }
  return tarn_normalize (tarn_cross (up, left));
}

bool
tarn_body_skin_at (const TarnBody *body, double above_mm, double left_mm, TarnVec3 *point_mm,
                   TarnVec3 *inward)
{
  double z, around;
  if (!level_above (&body->torso, above_mm, &z)
      || !angle_left (&body->torso, left_mm, z, &around))
    return false;
  *point_mm = tarn_torso_skin_mm (&body->torso, around, z);
  *inward = smoothed_inward (&body->torso, around, z);
  return true;
}

double
tarn_body_skin_distance_mm (const TarnBody *body, TarnVec3 p_mm)
{
  TarnVec3 n;
  double first = tarn_torso_distance_mm (&body->torso, TARN_LAYER_SKIN, p_mm, &n);
  if (fabs (first) > 40)
    return first;

  /* To the foot on the skin, and on by what that missed. */
  TarnVec3 foot = tarn_add_scaled (p_mm, n, -first);
  for (int k = 0; k < 2; k++)
    {
      double missed = tarn_torso_distance_mm (&body->torso, TARN_LAYER_SKIN, foot, &n);
      foot = tarn_add_scaled (foot, n, -missed);
    }
  return copysign (tarn_distance (p_mm, foot), first);
}
