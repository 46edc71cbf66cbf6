/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Motion during a sweep.
 *
 * 1. A tremor channel is a sum of sines, one in each sixth of the decade 0.3–3 Hz, of equal
 *    amplitude and of seeded frequency and phase; so it is smooth, known at any time, and its
 *    RMS over long times is exact.  Displacement and tilt have two channels each, and the RMS
 *    is that of the vector.
 * 2. Breathing is one sine of seeded phase, head to feet.
 * 3. A restless patient jerks: in each second perhaps once, quickly off and slowly back.  All
 *    figures of the jerks are own design values.
 * 4. A recorded path is followed as it was recorded. */
#include "engine/measure/motion.h"

#include "base/random.h"
#include "base/units.h"

#include <assert.h>

#define WAVES            6
#define TREMOR_LOW_HZ    0.3
#define TREMOR_RATIO     10.0 /* highest over lowest frequency */
#define TILT_RAD_PER_MM  (TARN_PI / 180)
#define JERK_CHANCE      0.5 /* in a second, when restless is 1 */
#define JERK_MM          8.0
#define JERK_RISE_S      0.1
#define JERK_FALL_S      0.5
#define JERK_MEMORY_S    4
#define QUICKENED_FACTOR 1.5

enum
{
  STREAM_ABOVE,
  STREAM_LEFT,
  STREAM_TILT,
  STREAM_LEAN,
  STREAM_BREATH,
  STREAM_JERK,
};

static double
uniform (const TarnMotion *motion, int stream, uint64_t index)
{
  return tarn_uniform_at (tarn_hash_at (motion->seed, 0x6d6f74696f6e + (uint64_t)stream),
                          index);
}

/* One channel of unit RMS. */
static double
wander (const TarnMotion *motion, int stream, double time_s)
{
  double sum = 0;
  for (int k = 0; k < WAVES; k++)
    {
      double place = (k + uniform (motion, stream, 2 * (uint64_t)k)) / WAVES;
      double hertz = TREMOR_LOW_HZ * pow (TREMOR_RATIO, place);
      double phase = 2 * TARN_PI * uniform (motion, stream, 2 * (uint64_t)k + 1);
      sum += sin (2 * TARN_PI * hertz * time_s + phase);
    }
  return sum * sqrt (2.0 / WAVES);
}

/* The jerk that begins within second number @second, as seen at @time_s. */
static TarnVec3
jerk (const TarnMotion *motion, long second, double time_s)
{
  uint64_t base = 4 * (uint64_t)second;
  double since = time_s - (double)second - uniform (motion, STREAM_JERK, base + 1);
  if (since <= 0 || uniform (motion, STREAM_JERK, base) >= JERK_CHANCE * motion->restless)
    return tarn_vec3 (0, 0, 0);
  double size_mm = JERK_MM * motion->restless * (0.5 + uniform (motion, STREAM_JERK, base + 2));
  double way = 2 * TARN_PI * uniform (motion, STREAM_JERK, base + 3);
  double now = (1 - exp (-since / JERK_RISE_S)) * exp (-since / JERK_FALL_S);
  return tarn_vec3 (size_mm * now * cos (way), 0, size_mm * now * sin (way));
}

TarnMotion
tarn_motion_for (const TarnPatient *patient, double tremor_mm, uint64_t seed)
{
  const TarnTemper *temper = &patient->temper;
  return (TarnMotion){
    .tremor_mm = tremor_mm,
    .breathing_mm = temper->breathing_mm,
    .breathing_per_minute = temper->breathing_per_minute,
    .restless = temper->restless,
    .duration_s = TARN_SWEEP_SECONDS,
    .seed = seed,
  };
}

bool
tarn_motion_of_hand (const TarnMotion *motion)
{
  return motion->tremor_mm > 0 || motion->path_samples > 0;
}

bool
tarn_motion_any (const TarnMotion *motion)
{
  return tarn_motion_of_hand (motion) || motion->breathing_mm > 0 || motion->restless > 0;
}

static double
between (double from, double to, double share)
{
  return from + (to - from) * share;
}

/* The path at @time_s. */
static TarnDrift
recorded (const TarnMotion *motion, double time_s)
{
  int last = motion->path_samples - 1;
  double place = motion->duration_s > 0 ? time_s / motion->duration_s * last : 0;
  place = tarn_clamp (place, 0, last);
  int low = place < last ? (int)place : last, high = low < last ? low + 1 : last;
  double share = place - low;
  const TarnDrift *a = &motion->path[low], *b = &motion->path[high];
  return (TarnDrift){
    .above_mm = between (a->above_mm, b->above_mm, share),
    .left_mm = between (a->left_mm, b->left_mm, share),
    .tilt_rad = between (a->tilt_rad, b->tilt_rad, share),
    .lean_rad = between (a->lean_rad, b->lean_rad, share),
    .body_mm = tarn_add_scaled (a->body_mm, tarn_sub (b->body_mm, a->body_mm), share),
    .turn_rad = between (a->turn_rad, b->turn_rad, share),
    .force_n = between (a->force_n, b->force_n, share),
  };
}

TarnDrift
tarn_motion_at (const TarnMotion *motion, double time_s, bool quickened)
{
  TarnDrift drift = { 0 };
  assert (isfinite (time_s));
  if (motion->path_samples > 0)
    return recorded (motion, time_s);

  if (motion->tremor_mm > 0)
    {
      double each_mm = motion->tremor_mm / sqrt (2);
      drift.above_mm = each_mm * wander (motion, STREAM_ABOVE, time_s);
      drift.left_mm = each_mm * wander (motion, STREAM_LEFT, time_s);
      drift.tilt_rad = each_mm * TILT_RAD_PER_MM * wander (motion, STREAM_TILT, time_s);
      drift.lean_rad = each_mm * TILT_RAD_PER_MM * wander (motion, STREAM_LEAN, time_s);
    }
  if (motion->breathing_mm > 0)
    {
      double hertz = motion->breathing_per_minute / 60 * (quickened ? QUICKENED_FACTOR : 1);
      double phase = 2 * TARN_PI * uniform (motion, STREAM_BREATH, 0);
      drift.body_mm.z = motion->breathing_mm / 2 * sin (2 * TARN_PI * hertz * time_s + phase);
    }
  if (motion->restless > 0)
    {
      long now = (long)floor (time_s);
      for (long second = now - JERK_MEMORY_S; second <= now; second++)
        drift.body_mm = tarn_add (drift.body_mm, jerk (motion, second, time_s));
    }
  return drift;
}
