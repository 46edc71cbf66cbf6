/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * motion.h: how hand and patient move while a sweep is taken.
 *
 * Floor: engine.  Pure: a motion is a function of its seed and of time, or follows a recorded
 * path, so planes may be asked for in any order. */
#pragma once

#include "base/vec.h"
#include "engine/patient/patient.h"

#include <stdbool.h>
#include <stdint.h>

#define TARN_SWEEP_SECONDS 3.0

/* Where hand and body are off their places at one moment. */
typedef struct
{
  double above_mm, left_mm;  /* the face, along the skin */
  double tilt_rad, lean_rad; /* the beam */
  TarnVec3 body_mm;          /* the body under the hand, patient frame */
  double turn_rad, force_n;  /* the plane about the beam; the press */
} TarnDrift;

/* Hand and patient during a sweep.  All zero: both as still as stone. */
typedef struct
{
  double tremor_mm;    /* RMS of the face's wander along the skin, [0, 50]; 1° of tilt and lean
                          each mm */
  double breathing_mm; /* peak to peak, head to feet */
  double breathing_per_minute;
  double restless; /* 0..1 */
  double duration_s;
  uint64_t seed;
  /* As it was recorded: samples at equal times from 0 to duration_s, linear between and held
   * beyond them; stands in place of all numbers above but duration_s.  Not owned.  NULL: none,
   * and path_samples 0. */
  const TarnDrift *path;
  int path_samples;
} TarnMotion;

/* What @patient does by nature, under a hand that trembles by @tremor_mm. */
TarnMotion tarn_motion_for (const TarnPatient *patient, double tremor_mm, uint64_t seed);

/* Whether anything moves at all. */
bool tarn_motion_any (const TarnMotion *motion);
/* Whether the hand does. */
bool tarn_motion_of_hand (const TarnMotion *motion);

/* @time_s: from the sweep's start; any, negative included.  @quickened: breathing is half as
 * fast again, as under a hand that hurts (own design value). */
TarnDrift tarn_motion_at (const TarnMotion *motion, double time_s, bool quickened);
