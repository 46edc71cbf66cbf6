/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a move does to a pose. */
#include "engine/coach/advice.h"

#include "base/units.h"

#define FORCE_LEAST_N 1.0
#define FORCE_MOST_N  40.0

/* The other direction, with the mark on the side where it belongs: between the two turns that
 * are a quarter away, the one nearer to upright. */
static double
turned (double turn_rad)
{
  return turn_rad > TARN_PI / 4 ? turn_rad - TARN_PI / 2 : turn_rad + TARN_PI / 2;
}

TarnPose
tarn_move_pose (const TarnMove *move, const TarnPose *pose)
{
  TarnPose to = *pose;
  switch (move->kind)
    {
    case TARN_MOVE_SLIDE_HEAD:
      to.above_mm += move->amount;
      break;
    case TARN_MOVE_SLIDE_FEET:
      to.above_mm -= move->amount;
      break;
    case TARN_MOVE_SLIDE_LEFT:
      to.left_mm += move->amount;
      break;
    case TARN_MOVE_SLIDE_RIGHT:
      to.left_mm -= move->amount;
      break;
    case TARN_MOVE_TILT_FEET:
      to.tilt_rad += move->amount;
      break;
    case TARN_MOVE_TILT_HEAD:
      to.tilt_rad -= move->amount;
      break;
    case TARN_MOVE_LEAN_LEFT:
      to.lean_rad += move->amount;
      break;
    case TARN_MOVE_LEAN_RIGHT:
      to.lean_rad -= move->amount;
      break;
    case TARN_MOVE_TURN:
      to.turn_rad = turned (pose->turn_rad);
      break;
    case TARN_MOVE_PRESS:
      to.force_n = tarn_clamp (pose->force_n + move->amount, FORCE_LEAST_N, FORCE_MOST_N);
      break;
    case TARN_MOVE_EASE:
      to.force_n = tarn_clamp (pose->force_n - move->amount, FORCE_LEAST_N, FORCE_MOST_N);
      break;
    default:
      break;
    }
  return to;
}
