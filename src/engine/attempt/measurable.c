/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whether an accurate reading can be had at all, by straight rays: over poses that a sensible
 * hand would try, about the midline and about the bladder, does any lose little?  A body from
 * which no pose does, as when the bladder is larger than the field, is to be read as "at
 * least". */
#include "engine/attempt/state.h"

#include "base/units.h"

#include <math.h>

#define LOSS_MAX 0.05

/* Own design values. */
static const double above_mm[] = { 40, 60, 20, 85, 115 };
static const double tilt_deg[] = { 5, 20 };
static const double force_n[] = { 5, 12 };

#define COUNT(array) ((int)(sizeof (array) / sizeof (array)[0]))
#define DIRECTIONS   2
#define PLACES       2 /* the midline, the bladder */

static TarnStatus
loses_little (const TarnBody *body, const TarnPose *pose, bool *little)
{
  TarnView view;
  TarnGeometricLoss loss;
  TarnStatus status = tarn_view_init (&view, body, pose, NULL, 0);
  if (status == TARN_OK)
    status = tarn_geometric_loss (body, &view, &loss);
  if (status == TARN_OK)
    *little = loss.seen_ml >= (1 - LOSS_MAX) * loss.urine_ml;
  return status == TARN_OFF_BODY ? TARN_OK : status;
}

/* Pose number @index of the grid. */
static TarnPose
pose_at (const TarnBody *body, int index)
{
  int above = index % COUNT (above_mm), rest = index / COUNT (above_mm);
  int direction = rest % DIRECTIONS, tilt = rest / DIRECTIONS % COUNT (tilt_deg);
  int force = rest / DIRECTIONS / COUNT (tilt_deg) % COUNT (force_n);
  int place = rest / DIRECTIONS / COUNT (tilt_deg) / COUNT (force_n);
  double comfort_n = tarn_body_patient (body)->temper.comfort_n;
  return (TarnPose){
    .above_mm = above_mm[above],
    .left_mm = place == 0 ? 0 : tarn_body_lumen_centre_mm (body).x,
    .tilt_rad = tarn_rad_from_deg (tilt_deg[tilt]),
    .turn_rad = direction * TARN_PI / 2,
    .force_n = fmin (force_n[force], comfort_n),
  };
}

TarnStatus
tarn_measurable (TarnAttempt *attempt, bool *measurable)
{
  const int poses = COUNT (above_mm) * DIRECTIONS * COUNT (tilt_deg) * COUNT (force_n) * PLACES;
  bool pannus = attempt->patient.habitus.pannus_mm > 0;
  *measurable = false;
  for (int step = 0; step <= (pannus ? TARN_LIFT_STEPS : 0); step += TARN_LIFT_STEPS)
    {
      TarnStatus status = tarn_bodies_want (attempt, step, NULL);
      for (int k = 0; status == TARN_OK && k < poses && !*measurable; k++)
        {
          TarnPose pose = pose_at (attempt->bodies[step], k);
          status = loses_little (attempt->bodies[step], &pose, measurable);
        }
      if (status != TARN_OK)
        return status;
    }
  return TARN_OK;
}
