/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Advice by one who sees outlines and feels the hand, and knows no body.
 *
 * First what the hand feels: pain, a dry face, a fold in the way.  Then, nothing being found,
 * back to the landmark; and where what is found lies as no bladder does, to where one lies.
 * Else what the field cuts, or a shadow hides, whichever seems to cost more.  Turning the beam
 * shifts the picture by what it is turned, so that is done first; where the beam would lean too
 * far, the probe is slid. */
#include "base/units.h"
#include "engine/coach/image_view.h"

#include <math.h>

#define DEG (TARN_PI / 180)

/* Own design values. */
#define EASED       0.8 /* of what made the patient speak */
#define WET_ENOUGH  0.7 /* of the face */
#define GEL_G       15.0
#define LIFT_ENOUGH 0.9
#define WANDER_MM   4.0
#define LOST_MUCH   0.04 /* of the whole */
#define HIDDEN_MUCH 0.12 /* of the border */
#define DEEP_MUCH   0.03
#define LIGHT_N     4.0
#define TURN_PART   0.7
#define CUT_LITTLE  0.05
#define LONG_CUT    0.7
#define ROOM_ENOUGH 0.3  /* rad */
#define HIGH_MM     24.0 /* above the bone, its lowest end: no bladder's */
#define ASIDE_MM    18.0 /* off the midline, its inner side: no bladder's */
#define MIDLINE_MM  8.0
#define FAR_UP_MM   70.0
#define WIDER_RAD   (3 * DEG)
#define HALF_CUT    0.95      /* cut through the middle, or nearly */
#define NEAR_RAD    (8 * DEG) /* poses so near show the same */
#define NEAR_LEAN   (20 * DEG)
#define NEAR_MM     15.0
#define HALF_WORTH  0.15 /* lost; then half the way is tried */
#define OPEN_CUT    0.2  /* chord at the cut, of the largest */
#define OPEN_ROOM   (5 * DEG)
#define SHIFT_LEAST (4 * DEG)
#define SLANT_ROOM  (8 * DEG)
#define LOW_MM      50.0 /* above the bone, of the probe */
#define TILT_LOW    (-15 * DEG)
#define TILT_HIGH   (38 * DEG)
#define LEAN_HIGH   (18 * DEG)
#define SLIDE_MOST  35.0

static TarnAdvice
say (TarnMoveKind kind, double amount, TarnCue cue)
{
  return (TarnAdvice){ .move = { kind, amount }, .cue = cue };
}

/* What the hand feels.  Returns false when there is nothing to say. */
static bool
advise_by_feel (const TarnSweepSeen *seen, TarnAdvice *advice)
{
  if (seen->pose.force_n > EASED * seen->comfort_n + 0.5)
    {
      *advice
          = say (TARN_MOVE_EASE, seen->pose.force_n - EASED * seen->comfort_n, TARN_CUE_HURTS);
      return true;
    }
  if (seen->has_pannus && seen->lift < LIFT_ENOUGH)
    {
      *advice = say (TARN_MOVE_LIFT, 1 - seen->lift, TARN_CUE_FAR);
      return true;
    }
  if (seen->wet_fraction < WET_ENOUGH)
    {
      *advice = say (TARN_MOVE_GEL, GEL_G, TARN_CUE_DRY);
      return true;
    }
  return false;
}

/* Slides along the skin: in the field's own directions, to the image's right and along the
 * sweep. */
static TarnMove
slide_by (const TarnSweepSeen *seen, double right_mm, double along_mm)
{
  double c = cos (seen->pose.turn_rad), s = sin (seen->pose.turn_rad);
  double left_mm = right_mm * c + along_mm * s, head_mm = along_mm * c - right_mm * s;
  if (fabs (left_mm) > fabs (head_mm))
    return (TarnMove){ left_mm > 0 ? TARN_MOVE_SLIDE_LEFT : TARN_MOVE_SLIDE_RIGHT,
                       fmin (fabs (left_mm), SLIDE_MOST) };
  return (TarnMove){ head_mm > 0 ? TARN_MOVE_SLIDE_HEAD : TARN_MOVE_SLIDE_FEET,
                     fmin (fabs (head_mm), SLIDE_MOST) };
}

/* Brings the field over the region: by turning the beam, else by sliding. */
static TarnMove
shift_by (const TarnSweepSeen *seen, const TarnImageView *view, double right_rad,
          double along_rad)
{
  const TarnPose *pose = &seen->pose;
  double c = cos (pose->turn_rad), s = sin (pose->turn_rad);
  double left = right_rad * c + along_rad * s, head = along_rad * c - right_rad * s;
  double radius = view->middle_radius_mm;
  if (fabs (left) > fabs (head))
    {
      if (fabs (pose->lean_rad + left) <= LEAN_HIGH)
        return (TarnMove){ left > 0 ? TARN_MOVE_LEAN_LEFT : TARN_MOVE_LEAN_RIGHT, fabs (left) };
    }
  else
    {
      /* As far as one may, when that is a good part of it. */
      double by = tarn_clamp (pose->tilt_rad - head, TILT_LOW, TILT_HIGH) - pose->tilt_rad;
      if (-by * head > 0 && fabs (by) >= TURN_PART * fabs (head))
        return (TarnMove){ by < 0 ? TARN_MOVE_TILT_HEAD : TARN_MOVE_TILT_FEET, fabs (by) };
    }
  return slide_by (seen, radius * tan (right_rad), radius * tan (along_rad));
}

/* Nothing found: step by step to where the bladder usually lies. */
static TarnAdvice
search (const TarnSweepSeen *seen)
{
  const TarnPose *pose = &seen->pose;
  double up = 45 - pose->above_mm, tilt = 8 * DEG - pose->tilt_rad;
  TarnMove move = { TARN_MOVE_TILT_FEET, 15 * DEG };
  if (seen->wet_fraction < 0.9)
    return say (TARN_MOVE_GEL, GEL_G, TARN_CUE_DRY);
  if (fabs (pose->left_mm) > 12)
    move = (TarnMove){ pose->left_mm > 0 ? TARN_MOVE_SLIDE_RIGHT : TARN_MOVE_SLIDE_LEFT,
                       fabs (pose->left_mm) };
  else if (fabs (tilt) > 12 * DEG)
    move = (TarnMove){ tilt > 0 ? TARN_MOVE_TILT_FEET : TARN_MOVE_TILT_HEAD, fabs (tilt) };
  else if (fabs (up) > 12)
    move = (TarnMove){ up > 0 ? TARN_MOVE_SLIDE_HEAD : TARN_MOVE_SLIDE_FEET, fabs (up) };
  else if (pose->force_n < 8 && pose->force_n + 4 < EASED * seen->comfort_n)
    move = (TarnMove){ TARN_MOVE_PRESS, 4 };
  return say (move.kind, move.amount, TARN_CUE_NOTHING_DARK);
}

/* Up, and back down behind it, by turns. */
static TarnAdvice
look_behind_bone (const TarnSweepSeen *seen, const TarnImageView *view)
{
  const TarnPose *pose = &seen->pose;
  TarnMove move = { TARN_MOVE_SLIDE_HEAD, 15 };
  if (pose->above_mm < 45)
    move.amount = 60 - pose->above_mm;
  else if (pose->tilt_rad < 28 * DEG)
    move = (TarnMove){ TARN_MOVE_TILT_FEET, 34 * DEG - pose->tilt_rad };
  else if (pose->above_mm > 55 && view->bridged < HIDDEN_MUCH / 2)
    move = (TarnMove){ TARN_MOVE_STAY, 0 }; /* further up it only gets further away */
  return say (move.kind, move.amount, TARN_CUE_BONE_SHADOW);
}

/* Down, and the beam down: a sweep from there ends little above the bone. */
static TarnMove
go_low (const TarnPose *pose)
{
  if (pose->above_mm > FAR_UP_MM)
    return (TarnMove){ TARN_MOVE_SLIDE_FEET, pose->above_mm - 45 };
  if (pose->tilt_rad < 20 * DEG)
    return (TarnMove){ TARN_MOVE_TILT_FEET, 28 * DEG - pose->tilt_rad };
  if (pose->above_mm > 40)
    return (TarnMove){ TARN_MOVE_SLIDE_FEET, pose->above_mm - 28 };
  return (TarnMove){ TARN_MOVE_STAY, 0 };
}

/* A bladder begins right behind the bone and lies across the midline.  Fluid that does not, a
 * cyst's or a haematoma's, looks as good in the picture, and better: so before it is measured
 * one looks where a bladder must be.  Returns false where there is no such doubt, or no more
 * to look at. */
static bool
doubt_it (const TarnSweepSeen *seen, const TarnImageView *view, TarnAdvice *advice)
{
  const TarnPose *pose = &seen->pose;
  bool aside = view->rightmost_mm > ASIDE_MM || view->leftmost_mm < -ASIDE_MM;
  TarnMove move = { TARN_MOVE_STAY, 0 };
  if (view->lowest_mm > HIGH_MM)
    move = go_low (pose);
  else if (aside && fabs (pose->left_mm) > MIDLINE_MM)
    move = (TarnMove){ pose->left_mm > 0 ? TARN_MOVE_SLIDE_RIGHT : TARN_MOVE_SLIDE_LEFT,
                       fabs (pose->left_mm) };
  *advice = say (move.kind, move.amount, TARN_CUE_OTHER_DARK);
  return move.kind != TARN_MOVE_STAY;
}

/* Cut on one side, with room on the other. */
static bool
is_open (const TarnImageWay *way)
{
  for (int end = 0; end < 2; end++)
    if (way->cut[end] > OPEN_CUT && way->room_rad[1 - end] > OPEN_ROOM)
      return true;
  return false;
}

static bool
is_cut (const TarnImageView *view)
{
  return fmax (fmax (view->across.cut[0], view->across.cut[1]),
               fmax (view->along.cut[0], view->along.cut[1]))
         > CUT_LITTLE;
}

/* A shadow over part of the region: away from it, so that it leaves. */
static TarnAdvice
leave_shadow (const TarnSweepSeen *seen, const TarnImageView *view)
{
  double c = cos (seen->pose.turn_rad), s = sin (seen->pose.turn_rad);
  double right = view->bridged_line_rad, along = view->bridged_fan_rad;
  if (view->along.abrupt[0] || view->along.abrupt[1])
    along = view->along.abrupt[0] ? -0.5 : 0.5;
  double head = along * c - right * s;
  /* The bone lies at the feet's side. */
  TarnCue cue = head < 0 && fabs (head) >= fabs (right * c + along * s) ? TARN_CUE_BONE_SHADOW
                                                                        : TARN_CUE_GAS;
  if (cue == TARN_CUE_BONE_SHADOW)
    return look_behind_bone (seen, view);
  double length = hypot (right, along);
  TarnMove move = length > 0 ? slide_by (seen, -15 * right / length, -15 * along / length)
                             : (TarnMove){ TARN_MOVE_SLIDE_HEAD, 15 };
  move.amount = fmax (move.amount, 12);
  return say (move.kind, move.amount, cue);
}

/* Whether more is lost this way than that. */
static bool
is_more (const TarnImageWay *way, const TarnImageWay *than)
{
  return fmax (way->lost[0], way->lost[1]) > fmax (than->lost[0], than->lost[1]);
}

static TarnCue
cue_of (const TarnImageView *view, bool sideways)
{
  const double *across = view->across.lost, *along = view->along.lost;
  if (sideways)
    return across[0] > across[1] ? TARN_CUE_RUNS_INTO_MARK : TARN_CUE_RUNS_INTO_OTHER;
  return along[0] > along[1] ? TARN_CUE_FIRST_PLANES : TARN_CUE_LAST_PLANES;
}

/* What moving the field that way would bring in: it needs room on the other side. */
static double
held_by_moving (const TarnImageWay *way)
{
  return fmax (way->lost[0] * fmin (way->room_rad[1] / ROOM_ENOUGH, 1),
               way->lost[1] * fmin (way->room_rad[0] / ROOM_ENOUGH, 1));
}

/* Whether a move leads back to where one has doubted what was found. */
static bool
leads_astray (const TarnSweepSeen *seen, const TarnMove *move)
{
  TarnPose to = tarn_move_pose (move, &seen->pose);
  for (int k = 0; k < seen->doubts; k++)
    {
      const TarnPose *from = &seen->doubted[k];
      if (fabs (to.tilt_rad - from->tilt_rad) < NEAR_RAD
          && fabs (to.lean_rad - from->lean_rad) < NEAR_LEAN
          && fabs (to.above_mm - from->above_mm) < NEAR_MM
          && fabs (to.left_mm - from->left_mm) < NEAR_MM)
        return true;
    }
  return false;
}

/* Wider than the field, from where one looks.  Of what is cut through its middle nobody can
 * tell how wide it is. */
static bool
is_wider (const TarnImageWay *way)
{
  if (fmin (way->cut[0], way->cut[1]) > OPEN_CUT && fabs (way->shift_rad) < SHIFT_LEAST)
    return true;
  return way->wider_rad > WIDER_RAD && fmax (way->cut[0], way->cut[1]) < HALF_CUT;
}

/* From further away it looks smaller: with a lighter hand; or, where one looks from low down,
 * along a slant from further up.  Returns false when neither would help. */
static bool
step_back (const TarnSweepSeen *seen, const TarnImageView *view, bool sideways, TarnMove *move)
{
  const TarnPose *pose = &seen->pose;
  const TarnImageWay *way = sideways ? &view->across : &view->along;
  bool wider = is_wider (way);
  bool slant = sideways ? wider && view->along.room_rad[0] > SLANT_ROOM
                        : way->cut[1] > LONG_CUT && way->cut[0] < OPEN_CUT
                              && (wider || held_by_moving (way) < LOST_MUCH);
  if (wider && pose->force_n > LIGHT_N)
    *move = (TarnMove){ TARN_MOVE_EASE, pose->force_n - 2 };
  else if (slant && pose->above_mm < LOW_MM && fabs (pose->turn_rad) < 30 * DEG)
    *move = (TarnMove){ TARN_MOVE_SLIDE_HEAD, 25 };
  else
    return false;
  return true;
}

/* One way of the two.  Returns false when no move that way helps. */
static bool
hold_way (const TarnSweepSeen *seen, const TarnImageView *view, bool sideways, TarnMove *move)
{
  const TarnImageWay *way = sideways ? &view->across : &view->along;
  if (step_back (seen, view, sideways, move))
    return true;
  if (is_wider (way) && fabs (way->shift_rad) < SHIFT_LEAST)
    return false;
  *move = sideways ? shift_by (seen, view, way->shift_rad, 0)
                   : shift_by (seen, view, 0, way->shift_rad);
  if (leads_astray (seen, move) && fmax (way->lost[0], way->lost[1]) > HALF_WORTH)
    move->amount /= 2;
  return !leads_astray (seen, move);
}

/* The field cuts it: the way in which moving brings in more, else the other one. */
static TarnAdvice
hold_it (const TarnSweepSeen *seen, const TarnImageView *view)
{
  double room_across = held_by_moving (&view->across),
         room_along = held_by_moving (&view->along);
  bool sideways = is_more (&view->across, &view->along);
  if (fmax (room_across, room_along) > LOST_MUCH / 2)
    sideways = room_across > room_along;
  const TarnImageWay *other = sideways ? &view->along : &view->across;
  TarnMove move;
  if (hold_way (seen, view, sideways, &move))
    return say (move.kind, move.amount, cue_of (view, sideways));
  if (fmax (other->lost[0], other->lost[1]) > LOST_MUCH
      && hold_way (seen, view, !sideways, &move))
    return say (move.kind, move.amount, cue_of (view, !sideways));
  return say (TARN_MOVE_AT_LEAST, 0, cue_of (view, sideways));
}

TarnAdvice
tarn_advise_by_image (const TarnSweepSeen *seen)
{
  TarnAdvice advice = say (TARN_MOVE_STAY, 0, TARN_CUE_NONE);
  if (advise_by_feel (seen, &advice) || seen->planes < 2)
    return advice;
  TarnImageView view = tarn_image_view (seen);
  if (view.found < 2 || seen->reading.kind == TARN_READING_NOT_SEEN)
    return search (seen);
  if (seen->wander_mm > WANDER_MM)
    return say (TARN_MOVE_STILL, 0, TARN_CUE_WANDERS);

  double lost = view.across.lost[0] + view.across.lost[1];
  double hidden = view.bridged;
  for (int end = 0; end < 2; end++)
    {
      if (view.along.abrupt[end])
        hidden += view.along.lost[end] + HIDDEN_MUCH / 2;
      else
        lost += view.along.lost[end];
    }
  /* Of what may be no bladder nobody can say what it is short of. */
  if (doubt_it (seen, &view, &advice))
    return advice;
  if ((lost > LOST_MUCH || is_open (&view.across)) && lost >= hidden / 2)
    advice = hold_it (seen, &view);
  else if (hidden > HIDDEN_MUCH)
    advice = leave_shadow (seen, &view);
  else if (view.deep > DEEP_MUCH)
    advice = say (TARN_MOVE_DEEPER, 40, TARN_CUE_RUNS_DEEP);
  else if (seen->reading.kind == TARN_READING_LOWER_BOUND && is_cut (&view))
    advice = say (TARN_MOVE_AT_LEAST, 0, cue_of (&view, is_more (&view.across, &view.along)));
  else
    advice.cue = TARN_CUE_CLOSED;
  if (advice.move.kind != TARN_MOVE_STAY)
    advice.gain_ml = seen->reading.volume_ml * (lost + hidden / 2);
  return advice;
}
