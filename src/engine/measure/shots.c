/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A hand that moves presses anew where it has wandered to: its contact and the tissue's
 * displacement are solved again for each plane, on the gel that the sweep's first contact
 * left.  A body that moves under the hand is the hand moved the other way. */
#include "engine/measure/shots.h"

#include "base/units.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#define WIDENED_FAN_RAD (150 * TARN_PI / 180)

typedef struct
{
  TarnShots *shots;
  const TarnBody *body;
  const TarnPose *pose;
  const TarnMotion *motion;
  const TarnGelFilm *film;
  TarnGelFilm *scratch; /* one for each worker */
} Build;

int
tarn_shots_beyond (const TarnProbe *probe, int planes)
{
  double fan_rad = tarn_rad_from_deg (probe->fan_deg);
  double beyond = (WIDENED_FAN_RAD - fan_rad) / 2 / (fan_rad / planes);
  return (int)tarn_clamp (beyond + 1e-9, 0, (TARN_FAN_PLANES_MAX - planes) / 2);
}

double
tarn_shots_fan_rad (const TarnShots *shots, int index)
{
  return (index + 0.5 - shots->planes / 2.0) * shots->step_rad;
}

const TarnShot *
tarn_shots_at (const TarnShots *shots, int index, bool still)
{
  assert (index >= -shots->beyond && index < shots->planes + shots->beyond);
  return still || !shots->moving ? &shots->still : &shots->moved[index + shots->beyond];
}

/* The contact of a hand that has wandered; off the body, or lifted off it, nothing couples. */
static void
solve_wandered (const Build *build, const TarnDrift *drift, int worker, TarnContact *contact)
{
  TarnPose pose = *build->pose;
  pose.above_mm += drift->above_mm;
  pose.left_mm += drift->left_mm;
  pose.tilt_rad += drift->tilt_rad;
  pose.lean_rad += drift->lean_rad;
  pose.turn_rad += drift->turn_rad;
  pose.force_n = fmax (0, pose.force_n + drift->force_n);
  bool lifted = pose.force_n == 0 && build->pose->force_n > 0;

  TarnGelFilm *film = NULL;
  if (build->film != NULL)
    {
      film = &build->scratch[worker];
      memcpy (film, build->film, sizeof *film);
    }
  if (tarn_contact_solve (build->body, &pose, film, contact) != TARN_OK || lifted)
    {
      memset (contact->wet, 0, sizeof contact->wet);
      contact->wet_fraction = 0;
    }
}

static void
shift (TarnContact *contact, TarnVec3 by_mm)
{
  contact->skin_mm = tarn_add (contact->skin_mm, by_mm);
  contact->face_mm = tarn_add (contact->face_mm, by_mm);
  contact->centre_mm = tarn_add (contact->centre_mm, by_mm);
}

static void
build_turn (void *context, int turn, int worker)
{
  Build *build = context;
  TarnShots *shots = build->shots;
  TarnShot *shot = &shots->moved[turn];

  double share = (turn - shots->beyond + 0.5) / shots->planes;
  TarnDrift drift = tarn_motion_at (build->motion, share * build->motion->duration_s,
                                    shots->still.contact.guarding);
  shot->contact = shots->still.contact;
  if (tarn_motion_of_hand (build->motion))
    solve_wandered (build, &drift, worker, &shot->contact);
  shift (&shot->contact, tarn_scale (drift.body_mm, -1));
  tarn_deform_init (&shot->deform, build->body, &shot->contact);
}

TarnStatus
tarn_shots_init (TarnShots *shots, const TarnBody *body, const TarnPose *pose,
                 const TarnContact *contact, const TarnMotion *motion, const TarnGelFilm *film,
                 int planes, int beyond, const TarnParallel *parallel)
{
  const TarnProbe *probe = &tarn_body_patient (body)->probe;
  *shots = (TarnShots){
    .planes = planes,
    .beyond = beyond,
    .step_rad = tarn_rad_from_deg (probe->fan_deg) / planes,
    .moving = tarn_motion_any (motion),
    .still.contact = *contact,
  };
  tarn_deform_init (&shots->still.deform, body, contact);
  if (!shots->moving)
    return TARN_OK;

  Build build = { shots, body, pose, motion, film, NULL };
  bool films = film != NULL && tarn_motion_of_hand (motion);
  int count = planes + 2 * beyond;
  shots->moved = calloc ((size_t)count, sizeof *shots->moved);
  if (films)
    build.scratch = calloc ((size_t)tarn_parallel_workers (parallel), sizeof *build.scratch);
  if (shots->moved == NULL || (films && build.scratch == NULL))
    {
      tarn_shots_clear (shots);
      free (build.scratch);
      return TARN_NO_MEMORY;
    }
  tarn_parallel_for (parallel, count, build_turn, &build);
  free (build.scratch);
  return TARN_OK;
}

void
tarn_shots_clear (TarnShots *shots)
{
  free (shots->moved);
  *shots = (TarnShots){ 0 };
}
