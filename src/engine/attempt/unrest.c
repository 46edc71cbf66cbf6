/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the patient moves under the hand.  The phase of breath is summed over ticks, so that
 * guarding quickens it without a jump. */
#include "base/random.h"
#include "base/units.h"
#include "engine/attempt/state.h"

#include <math.h>

/* Own design values. */
#define QUICKENED   1.5
#define CALM        0.2   /* of the jerks are left once the patient was asked to lie still */
#define CALM_LASTS  120.0 /* s; then patience ends, and one may ask again */
#define CALM_S      1.0   /* time constant of calming down */
#define BREATH_SALT 0x627265617468

bool
tarn_unrest_asked (const TarnAttempt *attempt)
{
  const TarnBedside *bedside = &attempt->bedside;
  return (bedside->deeds & (1u << TARN_DEED_BRIEF)) != 0
         && bedside->tick - bedside->deed_tick[TARN_DEED_BRIEF]
                < CALM_LASTS * TARN_TICKS_PER_SECOND;
}

static void
move_body (TarnAttempt *attempt)
{
  const TarnTemper *temper = &attempt->patient.temper;
  TarnBedside *bedside = &attempt->bedside;
  TarnMotion jerks = { .restless = temper->restless, .seed = attempt->setup.seed };
  double time_s = (double)bedside->tick / TARN_TICKS_PER_SECOND;
  double sine = sin (attempt->unrest.phase_rad);

  TarnDrift drift = tarn_motion_at (&jerks, time_s, false);
  bedside->body_mm = tarn_scale (drift.body_mm, attempt->unrest.calm);
  bedside->body_mm.z += temper->breathing_mm / 2 * sine;
  /* Breathing in pushes what lies below the ribs towards the feet. */
  bedside->breath = -sine;
}

void
tarn_unrest_begin (TarnAttempt *attempt)
{
  attempt->unrest.calm = 1;
  attempt->unrest.phase_rad
      = 2 * TARN_PI * tarn_uniform_at (tarn_hash_at (attempt->setup.seed, BREATH_SALT), 0);
  move_body (attempt);
}

void
tarn_unrest_tick (TarnAttempt *attempt)
{
  TarnUnrest *unrest = &attempt->unrest;
  double breaths_s = attempt->patient.temper.breathing_per_minute / 60;
  double hertz = breaths_s * (attempt->bedside.guarding ? QUICKENED : 1);
  unrest->phase_rad
      = fmod (unrest->phase_rad + 2 * TARN_PI * hertz / TARN_TICKS_PER_SECOND, 2 * TARN_PI);

  double calm = tarn_unrest_asked (attempt) ? CALM : 1;
  unrest->calm += (calm - unrest->calm) * -expm1 (-1 / (CALM_S * TARN_TICKS_PER_SECOND));
  move_body (attempt);
}
