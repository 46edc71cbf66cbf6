/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What has been looked at long enough: both directions, live and pressed, with the bladder's
 * place in the sector. */
#include "base/units.h"
#include "engine/attempt/state.h"

#include <math.h>

/* Own design values. */
#define LOOK_TICKS TARN_TICKS_PER_SECOND
#define SCANNED_TICKS                                                                          \
  (2 * TARN_TICKS_PER_SECOND) /* a touch that is soon taken back is no scan */
#define TRANSVERSE_DEG 30.0
#define SAGITTAL_DEG   60.0

bool
tarn_attempt_has_scanned (const TarnAttempt *attempt)
{
  return attempt->looked.skin_ticks >= SCANNED_TICKS;
}

/* Whether the lumen's middle, moved as the probe presses it, lies within the sector's cone. */
static bool
faces_bladder (const TarnAttempt *attempt)
{
  const TarnBedside *bedside = &attempt->bedside;
  TarnVec3 lumen = tarn_body_lumen_centre_mm (tarn_bodies_now (attempt));
  lumen = tarn_deform_forward (&bedside->deform, lumen);
  TarnVec3 ray = tarn_sub (lumen, bedside->contact.centre_mm);
  return tarn_dot (ray, bedside->contact.axis)
         >= cos (bedside->half_sector_rad) * tarn_length (ray);
}

void
tarn_looked_tick (TarnAttempt *attempt)
{
  TarnBedside *bedside = &attempt->bedside;
  TarnLooked *looked = &attempt->looked;
  if (!bedside->on_skin)
    return;
  if (looked->skin_ticks < SCANNED_TICKS)
    looked->skin_ticks++;
  /* Whom one has touched again, one wipes again. */
  bedside->care_done &= ~(unsigned)TARN_CARE_CLEAN;

  bool done = (bedside->care_done & TARN_CARE_TWO_PLANES) != 0;
  if (done || bedside->frozen || bedside->sweeping)
    return;
  /* A plane turned by half a turn is the same plane. */
  double turn_deg = fabs (tarn_deg_from_rad (remainder (bedside->pose.turn_rad, TARN_PI)));
  int *ticks = turn_deg < TRANSVERSE_DEG ? &looked->transverse_ticks
               : turn_deg > SAGITTAL_DEG ? &looked->sagittal_ticks
                                         : NULL;
  if (ticks == NULL || *ticks >= LOOK_TICKS || !faces_bladder (attempt))
    return;
  ++*ticks;
  if (looked->transverse_ticks >= LOOK_TICKS && looked->sagittal_ticks >= LOOK_TICKS)
    bedside->care_done |= TARN_CARE_TWO_PLANES;
}
