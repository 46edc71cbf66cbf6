/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The body for each tenth of the lift, built when it is first wanted and kept, because readings
 * go on to point at it.  A patient without a pannus has one body. */
#include "engine/attempt/state.h"

#include <math.h>

#define LIFT_S 0.25 /* the free hand's time constant, own design value */

const TarnBody *
tarn_bodies_now (const TarnAttempt *attempt)
{
  return attempt->bodies[attempt->lift_step];
}

TarnStatus
tarn_bodies_want (TarnAttempt *attempt, int step, TarnProblem *problem)
{
  if (attempt->bodies[step] != NULL)
    return TARN_OK;
  return tarn_body_new (&attempt->patient, (double)step / TARN_LIFT_STEPS,
                        &attempt->bodies[step], problem);
}

TarnStatus
tarn_bodies_tick (TarnAttempt *attempt)
{
  TarnBedside *bedside = &attempt->bedside;
  if (bedside->sweeping || bedside->lift == bedside->lift_wanted)
    return TARN_OK;

  double share = -expm1 (-1.0 / (LIFT_S * TARN_TICKS_PER_SECOND));
  bedside->lift += (bedside->lift_wanted - bedside->lift) * share;
  if (fabs (bedside->lift_wanted - bedside->lift) < 0.005)
    bedside->lift = bedside->lift_wanted;
  if (attempt->patient.habitus.pannus_mm == 0)
    return TARN_OK;

  int step = (int)lround (bedside->lift * TARN_LIFT_STEPS);
  TarnStatus status = tarn_bodies_want (attempt, step, NULL);
  if (status == TARN_OK)
    attempt->lift_step = step;
  return status == TARN_NO_MEMORY ? status : TARN_OK;
}
