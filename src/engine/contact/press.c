/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * press.c: how far the face goes in for a force, and what a fingertip feels.
 *
 * 1. Under a rigid punch of radius a on a half-space of stiffness E the indentation is
 *    3F / (8Ea).  With the mean pressure p = F / πa² that is p/E times an effective depth of
 *    3πa/8.  Here the effective depth is spread over the real depth z by the weight
 *    1 / (1 + (z/b)²), b = 3a/4, whose integral it is; each layer gets its share, and a layer
 *    under thick fat or a bone close by counts for as much as it is reached.
 * 2. Layers lie in series.  Each stiffens with strain and never gives more than two thirds of
 *    its thickness: S (1 - exp (-x/S)), S = 2h/3, x its linear share.  So their sum never
 *    gives more than two thirds of what is in front of the bone, and grows smoothly and
 *    monotonously with force.
 * 3. A patient pressed over comfort tenses: beyond it the muscle takes a third as much for
 *    each newton, after a smooth change over GUARD_RAMP_N.
 *
 * Stiffnesses: own design values near published ones (fat, muscle); the bed behind the muscle
 * is soft belly. */
#include "engine/contact/press.h"

#include "base/units.h"

#include <math.h>

#define SKIN_KPA       30.0
#define FAT_KPA        5.5
#define MUSCLE_KPA     15.0
#define BED_KPA        14.0
#define FLUID_BED_KPA  10.0 /* where the bed is a bladder */
#define GIVE_SHARE     (2.0 / 3)
#define GUARD_SHARE    (1.0 / 3) /* what tensed muscle gives of what it would */
#define GUARD_RAMP_N   4.0
#define ENDLESS_BED_MM 120.0

double
tarn_punch_force_n (double stiffness_kpa, double radius_mm, double depth_mm)
{
  return 8.0 / 3 * stiffness_kpa * radius_mm * depth_mm * 1e-3;
}

double
tarn_hertz_force_n (double stiffness_kpa, double radius_mm, double depth_mm)
{
  return 16.0 / 9 * stiffness_kpa * sqrt (radius_mm) * pow (depth_mm, 1.5) * 1e-3;
}

/* The force that the muscle seems to feel; @comfort_n: INFINITY for never tensed, -INFINITY for
 * tensed from the start. */
static double
felt_by_muscle_n (double force_n, double comfort_n)
{
  double over = force_n - comfort_n;
  if (over <= 0)
    return force_n;
  if (isinf (over))
    return GUARD_SHARE * force_n;
  double t = fmin (over / GUARD_RAMP_N, 1);
  double eased = GUARD_RAMP_N * (t * t * t - t * t * t * t / 2) + fmax (over - GUARD_RAMP_N, 0);
  return force_n - (1 - GUARD_SHARE) * eased;
}

/* One layer from *@depth_mm on, which it moves to its far side; @pressure_kpa: at the face. */
static double
layer_give_mm (double *depth_mm, double thickness_mm, double stiffness_kpa, double pressure_kpa,
               double radius_mm)
{
  if (thickness_mm <= 0)
    return 0;
  double reach = 0.75 * radius_mm, near = *depth_mm, far = near + thickness_mm;
  *depth_mm = far;
  double share_mm = reach * (atan (far / reach) - atan (near / reach));
  double most_mm = GIVE_SHARE * thickness_mm;
  return -most_mm * expm1 (-pressure_kpa * share_mm / (stiffness_kpa * most_mm));
}

/* How much of the column lies behind skin, fat and muscle and in front of the bone. */
static double
bed_mm (const TarnColumn *column)
{
  double front_mm = column->skin_mm + column->fat_mm + column->muscle_mm;
  double behind_mm = isfinite (column->bone_mm) ? column->bone_mm - front_mm
                                                : fmax (column->soft_mm, ENDLESS_BED_MM);
  return fmax (behind_mm, 0);
}

/* Layers that go deeper than the bone are cut short: the sum of what is in front counts. */
static double
in_front_mm (const TarnColumn *column, double used_mm, double thickness_mm)
{
  return fmax (fmin (thickness_mm, column->bone_mm - used_mm), 0);
}

double
tarn_press_depth_mm (const TarnColumn *column, double radius_mm, double force_n,
                     double comfort_n)
{
  double kpa_per_n = 1e3 / (TARN_PI * radius_mm * radius_mm);
  double pressure = force_n * kpa_per_n;
  double muscle_pressure = felt_by_muscle_n (force_n, comfort_n) * kpa_per_n;
  double bed = bed_mm (column);
  double fluid = bed > 0 ? tarn_clamp (column->fluid_mm / bed, 0, 1) : 0;
  double bed_kpa = 1 / (fluid / FLUID_BED_KPA + (1 - fluid) / BED_KPA);

  double depth = 0, give = 0;
  double skin = in_front_mm (column, depth, column->skin_mm);
  give += layer_give_mm (&depth, skin, SKIN_KPA, pressure, radius_mm);
  double fat = in_front_mm (column, depth, column->fat_mm);
  give += layer_give_mm (&depth, fat, FAT_KPA, pressure, radius_mm);
  double muscle = in_front_mm (column, depth, column->muscle_mm);
  give += layer_give_mm (&depth, muscle, MUSCLE_KPA, muscle_pressure, radius_mm);
  return give + layer_give_mm (&depth, bed, bed_kpa, pressure, radius_mm);
}

double
tarn_contact_indentation_mm (const TarnColumn *column, double force_n, bool guarding)
{
  if (!(force_n > 0))
    return 0;
  return tarn_press_depth_mm (column, TARN_FACE_CONTACT_MM, force_n,
                              guarding ? -INFINITY : INFINITY);
}
