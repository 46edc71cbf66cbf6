/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand.
 *
 * 1. Each of its six numbers follows where the learner wants it as a critically damped spring,
 *    stepped by its closed form; sliding is limited in speed.
 * 2. It stays on the torso: where the skin ends it slides along the end, or stops.
 * 3. Its tremor is added; a light touch takes the skin with it, so gel is wiped along the way
 *    without tremor.
 * 4. Below a small force it is off the skin: it moves free and nothing couples. */
#include "base/random.h"
#include "base/units.h"
#include "engine/attempt/state.h"

#include <math.h>
#include <string.h>

/* Own design values. */
#define MOVE_S        0.06 /* time constants */
#define PRESS_S       0.12
#define HELD_TICKS    6 /* from touch to touch while the plane is frozen */
#define SPEED_MM_S    400.0
#define TOUCH_N       0.2 /* below it the face does not touch */
#define TREMOR_MM     0.4
#define TREMOR_CALM_N 20.0 /* above it the tremor grows by a share for each newton */
#define TREMOR_PER_N  0.05
#define WIPE_MM       0.75 /* gel is wiped once the face has slid so far */
#define FORCE_MAX_N                                                                            \
  (TARN_HAND_FORCE_MAX_N - 1e-6) /* rounding must not pass what a pose may                     \
                                  */
#define TREMOR_SALT   0x7472656d6f72
#define EDGE_HALVINGS 12

static bool
on_torso (const TarnBody *body, const TarnPose *pose)
{
  TarnVec3 point, inward;
  return tarn_body_skin_at (body, pose->above_mm, pose->left_mm, &point, &inward);
}

/* The last place on the torso from @from, which is on it, straight to @to. */
static void
keep_on_torso (const TarnBody *body, const TarnPose *from, TarnPose *to)
{
  if (on_torso (body, to))
    return;
  double above = to->above_mm - from->above_mm, left = to->left_mm - from->left_mm;
  double good = 0, bad = 1;
  for (int k = 0; k < EDGE_HALVINGS; k++)
    {
      double share = (good + bad) / 2;
      to->above_mm = from->above_mm + share * above;
      to->left_mm = from->left_mm + share * left;
      *(on_torso (body, to) ? &good : &bad) = share;
    }
  to->above_mm = from->above_mm + good * above;
  to->left_mm = from->left_mm + good * left;
}

TarnStatus
tarn_hand_want (TarnAttempt *attempt, const double value[TARN_INPUT_VALUES])
{
  TarnPose pose = { value[0], value[1], value[2], value[3], value[4], value[5] };
  if (!(fabs (pose.above_mm) <= TARN_HAND_PLACE_MAX_MM)
      || !(fabs (pose.left_mm) <= TARN_HAND_PLACE_MAX_MM)
      || !(fabs (pose.tilt_rad) <= TARN_HAND_TILT_MAX_RAD)
      || !(fabs (pose.lean_rad) <= TARN_HAND_TILT_MAX_RAD)
      || !(fabs (pose.turn_rad) <= TARN_HAND_TURN_MAX_RAD) || !(pose.force_n >= 0)
      || !(pose.force_n <= TARN_HAND_FORCE_MAX_N))
    return TARN_OUT_OF_RANGE;
  keep_on_torso (tarn_bodies_now (attempt), &attempt->hand.pose, &pose);
  attempt->bedside.hand = pose;
  return TARN_OK;
}

/* One tick of x'' = (to - x)/τ² - 2 x'/τ, in closed form. */
static void
follow (double *value, double *speed, double to, double time_s)
{
  const double dt = 1.0 / TARN_TICKS_PER_SECOND, rate = 1 / time_s;
  double off = *value - to, pull = *speed + rate * off, fade = exp (-rate * dt);
  *value = to + (off + pull * dt) * fade;
  *speed = (*speed - rate * pull * dt) * fade;
}

/* Slides no faster than a hand does, and not off the torso. */
static void
slide (TarnHand *hand, const TarnBody *body, const TarnPose *before)
{
  double above = hand->pose.above_mm - before->above_mm;
  double left = hand->pose.left_mm - before->left_mm;
  double way = hypot (above, left), most = SPEED_MM_S / TARN_TICKS_PER_SECOND;
  if (way > most)
    {
      hand->pose.above_mm = before->above_mm + above * most / way;
      hand->pose.left_mm = before->left_mm + left * most / way;
      hand->speed.above_mm = SPEED_MM_S * above / way;
      hand->speed.left_mm = SPEED_MM_S * left / way;
    }
  if (on_torso (body, &hand->pose))
    return;
  if (!on_torso (body, before))
    {
      /* The body has changed under it, as when the fold is lifted. */
      const TarnPose middle = { 0 };
      keep_on_torso (body, &middle, &hand->pose);
      return;
    }

  TarnPose along = *before, across = *before;
  along.above_mm = hand->pose.above_mm;
  across.left_mm = hand->pose.left_mm;
  bool may_along = on_torso (body, &along);
  const TarnPose *to = may_along ? &along : on_torso (body, &across) ? &across : before;
  hand->pose.above_mm = to->above_mm;
  hand->pose.left_mm = to->left_mm;
  hand->speed.above_mm = may_along ? hand->speed.above_mm : 0;
  hand->speed.left_mm = to == &across ? hand->speed.left_mm : 0;
}

static void
follow_wanted (TarnHand *hand, const TarnPose *wanted, const TarnBody *body)
{
  TarnPose before = hand->pose, *pose = &hand->pose, *speed = &hand->speed;
  follow (&pose->above_mm, &speed->above_mm, wanted->above_mm, MOVE_S);
  follow (&pose->left_mm, &speed->left_mm, wanted->left_mm, MOVE_S);
  follow (&pose->tilt_rad, &speed->tilt_rad, wanted->tilt_rad, MOVE_S);
  follow (&pose->lean_rad, &speed->lean_rad, wanted->lean_rad, MOVE_S);
  follow (&pose->turn_rad, &speed->turn_rad, wanted->turn_rad, MOVE_S);
  follow (&pose->force_n, &speed->force_n, wanted->force_n, PRESS_S);
  slide (hand, body, &before);

  pose->tilt_rad = tarn_clamp (pose->tilt_rad, -TARN_HAND_TILT_MAX_RAD, TARN_HAND_TILT_MAX_RAD);
  pose->lean_rad = tarn_clamp (pose->lean_rad, -TARN_HAND_TILT_MAX_RAD, TARN_HAND_TILT_MAX_RAD);
  pose->turn_rad = tarn_clamp (pose->turn_rad, -TARN_HAND_TURN_MAX_RAD, TARN_HAND_TURN_MAX_RAD);
  pose->force_n = tarn_clamp (pose->force_n, 0, FORCE_MAX_N);
}

/* Where the hand has the probe, its tremor included; off the torso the tremor is left out. */
static TarnPose
trembling (const TarnAttempt *attempt)
{
  TarnPose pose = attempt->hand.pose;
  double more = fmax (0, pose.force_n - TREMOR_CALM_N) * TREMOR_PER_N;
  TarnMotion motion = { .tremor_mm = TREMOR_MM * (1 + more),
                        .seed = tarn_hash_at (attempt->setup.seed, TREMOR_SALT) };
  TarnDrift drift
      = tarn_motion_at (&motion, (double)attempt->bedside.tick / TARN_TICKS_PER_SECOND, false);
  pose.above_mm += drift.above_mm;
  pose.left_mm += drift.left_mm;
  pose.tilt_rad += drift.tilt_rad;
  pose.lean_rad += drift.lean_rad;
  if (!on_torso (tarn_bodies_now (attempt), &pose))
    {
      pose.above_mm = attempt->hand.pose.above_mm;
      pose.left_mm = attempt->hand.pose.left_mm;
    }
  if (pose.force_n < TOUCH_N)
    pose.force_n = 0;
  return pose;
}

/* Wipes what lies between the last place wiped and this one. */
static void
wipe_along (TarnAttempt *attempt, bool was_on_skin)
{
  TarnHand *hand = &attempt->hand;
  if (!was_on_skin || !attempt->bedside.on_skin)
    {
      hand->wiped = hand->pose;
      return;
    }
  if (hypot (hand->pose.above_mm - hand->wiped.above_mm,
             hand->pose.left_mm - hand->wiped.left_mm)
      < WIPE_MM)
    return;
  hand->wiped.force_n = hand->pose.force_n;
  tarn_gel_wipe (&attempt->film, tarn_bodies_now (attempt), &hand->wiped, &hand->pose);
  hand->wiped = hand->pose;
}

void
tarn_hand_touch (TarnAttempt *attempt)
{
  TarnBedside *bedside = &attempt->bedside;
  const TarnBody *body = tarn_bodies_now (attempt);
  TarnContact *contact = &bedside->contact;
  TarnGelFilm *film = bedside->on_skin ? &attempt->film : NULL;
  /* A hand is kept on the torso and in range, so this does not fail; if it did, the contact
   * would stay as it was. */
  if (tarn_contact_solve (body, &bedside->pose, film, contact) != TARN_OK)
    return;
  if (!bedside->on_skin)
    {
      memset (contact->wet, 0, sizeof contact->wet);
      contact->wet_fraction = 0;
    }
  /* A body that moves under the hand is the hand moved the other way. */
  contact->skin_mm = tarn_sub (contact->skin_mm, bedside->body_mm);
  contact->face_mm = tarn_sub (contact->face_mm, bedside->body_mm);
  contact->centre_mm = tarn_sub (contact->centre_mm, bedside->body_mm);
  tarn_deform_init (&bedside->deform, body, contact);
  bedside->guarding = contact->guarding;
  bedside->gel_g = tarn_gel_near_g (&attempt->film, &bedside->pose);
}

/* RMS of the face off its mean place over the last second. */
static void
trace (TarnAttempt *attempt)
{
  TarnBedside *bedside = &attempt->bedside;
  TarnVec3 *trace_mm = attempt->trace_mm, mean = tarn_vec3 (0, 0, 0);
  trace_mm[bedside->tick % TARN_TICKS_PER_SECOND] = bedside->contact.face_mm;
  for (int k = 0; k < TARN_TICKS_PER_SECOND; k++)
    mean = tarn_add_scaled (mean, trace_mm[k], 1.0 / TARN_TICKS_PER_SECOND);
  double sum = 0;
  for (int k = 0; k < TARN_TICKS_PER_SECOND; k++)
    {
      TarnVec3 off = tarn_sub (trace_mm[k], mean);
      sum += tarn_dot (off, off);
    }
  bedside->unsteady_mm = sqrt (sum / TARN_TICKS_PER_SECOND);
}

void
tarn_hand_tick (TarnAttempt *attempt)
{
  TarnBedside *bedside = &attempt->bedside;
  bool was_on_skin = bedside->on_skin;
  follow_wanted (&attempt->hand, &bedside->hand, tarn_bodies_now (attempt));
  bedside->pose = trembling (attempt);
  bedside->on_skin = bedside->pose.force_n > 0;
  attempt->force_most_n = fmax (attempt->force_most_n, bedside->pose.force_n);
  /* Nobody looks at moving planes: what the face touches is worked out less often. */
  if (bedside->frozen && bedside->on_skin == was_on_skin && bedside->tick % HELD_TICKS != 0)
    {
      trace (attempt);
      return;
    }
  wipe_along (attempt, was_on_skin);
  tarn_hand_touch (attempt);
  trace (attempt);
}

void
tarn_hand_begin (TarnAttempt *attempt)
{
  const TarnSituation *situation = &attempt->patient.situation;
  TarnBedside *bedside = &attempt->bedside;
  TarnPose middle = { 0 };
  TarnPose pose = { .above_mm = situation->start_above_mm,
                    .left_mm = situation->start_left_mm,
                    .turn_rad = situation->mark_reversed ? TARN_PI : 0 };
  keep_on_torso (tarn_bodies_now (attempt), &middle, &pose);
  attempt->hand = (TarnHand){ .pose = pose, .wiped = pose };
  bedside->hand = pose;
  bedside->pose = trembling (attempt);
  tarn_hand_touch (attempt);
  for (int k = 0; k < TARN_TICKS_PER_SECOND; k++)
    attempt->trace_mm[k] = bedside->contact.face_mm;
}
