/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Difficulty.  Of many poses in the region where a novice begins, let
 *   g be the share that look closed and are right, b that look closed and are not,
 *   c = 1 - g - b the rest, from which the beginner goes on, and w the part of c that is wrong.
 * Sweeps that follow each other are taken as drawn anew, so of five the beginner keeps a wrong
 * one with the chance b (1 + c + c² + c³ + c⁴) + c⁴ w. */
#include "engine/coach/difficulty.h"

#include "base/random.h"
#include "base/units.h"
#include "engine/coach/novice.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CLOSED_EDGE   0.01 /* as a novice sees it */
#define CLOSED_BRIDGE 0.1
#define HABIT_SHARE   0.3

typedef enum
{
  LOOK_OPEN_WRONG,
  LOOK_OPEN_RIGHT,
  LOOK_CLOSED_WRONG,
  LOOK_CLOSED_RIGHT,
  LOOKS
} Look;

typedef struct
{
  const TarnDifficultySetup *setup;
  TarnGelFilm *film; /* one for each worker */
  uint8_t look[TARN_DIFFICULTY_POSES_MAX];
  TarnStatus status[TARN_DIFFICULTY_POSES_MAX];
} Looking;

/* Roberts's sequence in as many dimensions as a pose has (M. Roberts 2018, from memory): evener
 * than chance, so that fewer poses do.  It starts where the seed says. */
static double
between (const TarnDifficultySetup *setup, int pose, int what, double low, double high)
{
  /* The root of x^(d + 1) = x + 1. */
  const double root = 1.0757661; /* d = 9 */
  double at = tarn_uniform_at (setup->seed, (uint64_t)what) + pose * pow (root, -(what + 1));
  return low + (high - low) * (at - floor (at));
}

/* Where a novice begins (novice.h), bad habits included. */
static TarnPose
draw (const TarnDifficultySetup *setup, int k, double *gel_g)
{
  TarnPose pose = { .above_mm = between (setup, k, 0, 15, 65),
                    .left_mm = between (setup, k, 1, -20, 20),
                    .tilt_rad = tarn_rad_from_deg (between (setup, k, 2, -5, 30)),
                    .lean_rad = tarn_rad_from_deg (between (setup, k, 3, -10, 10)),
                    .force_n = between (setup, k, 4, 2, 15) };
  *gel_g = between (setup, k, 5, 5, 25);
  double habit = between (setup, k, 6, 0, 1), how = between (setup, k, 7, 0, 1);
  if (habit < HABIT_SHARE / 4)
    pose.force_n = 15 + 15 * how;
  else if (habit < HABIT_SHARE / 2)
    *gel_g = 3 * how;
  else if (habit < HABIT_SHARE * 3 / 4)
    pose.left_mm = (pose.left_mm < 0 ? -1 : 1) * (20 + 25 * how);
  else if (habit < HABIT_SHARE)
    pose.tilt_rad = tarn_rad_from_deg (30 + 20 * how);
  return pose;
}

static bool
is_right (const TarnDifficultySetup *setup, const TarnCoverage *coverage)
{
  return coverage->verdict == TARN_VERDICT_ACCURATE
         || (setup->at_least && coverage->forecast.kind == TARN_READING_LOWER_BOUND
             && coverage->verdict != TARN_VERDICT_WRONG_FLUID);
}

static void
look_turn (void *context, int k, int worker)
{
  Looking *looking = context;
  const TarnDifficultySetup *setup = looking->setup;
  TarnGelFilm *film = &looking->film[worker];
  double gel_g;
  TarnPose pose = draw (setup, k, &gel_g);
  looking->look[k] = LOOK_OPEN_WRONG;
  if (setup->cancelled != NULL && setup->cancelled (setup->context))
    {
      looking->status[k] = TARN_IMPOSSIBLE;
      return;
    }
  memset (film, 0, sizeof *film);
  tarn_gel_dose (film, pose.above_mm, pose.left_mm, gel_g);
  bool lifted = setup->has_pannus && between (setup, k, 8, 0, 1) < 0.5;
  TarnCoverage coverage;
  TarnStatus status = tarn_coverage_at (setup->survey[lifted], &pose, film, 0, &coverage);
  looking->status[k] = status == TARN_OFF_BODY ? TARN_OK : status;
  if (status != TARN_OK)
    return;
  bool closed = coverage.forecast.kind == TARN_READING_MEASURE
                && coverage.at_edge <= CLOSED_EDGE && coverage.bridged <= CLOSED_BRIDGE;
  bool right = is_right (setup, &coverage);
  looking->look[k] = closed ? (right ? LOOK_CLOSED_RIGHT : LOOK_CLOSED_WRONG)
                            : (right ? LOOK_OPEN_RIGHT : LOOK_OPEN_WRONG);
}

static double
chance_of_failing (const uint8_t *look, int poses)
{
  double share[LOOKS] = { 0 };
  for (int k = 0; k < poses; k++)
    share[look[k]] += 1.0 / poses;
  double on = share[LOOK_OPEN_WRONG] + share[LOOK_OPEN_RIGHT], still = 1, failing = 0;
  for (int k = 0; k < TARN_NOVICE_SWEEPS; k++)
    {
      failing += still * share[LOOK_CLOSED_WRONG];
      if (k == TARN_NOVICE_SWEEPS - 1)
        failing += still * share[LOOK_OPEN_WRONG];
      still *= on;
    }
  return failing;
}

TarnStatus
tarn_difficulty (const TarnDifficultySetup *setup, double *difficulty)
{
  assert (setup->poses >= 1 && setup->poses <= TARN_DIFFICULTY_POSES_MAX);
  Looking *looking = calloc (1, sizeof *looking);
  TarnGelFilm *film = calloc ((size_t)tarn_parallel_workers (setup->parallel), sizeof *film);
  TarnStatus status = looking != NULL && film != NULL ? TARN_OK : TARN_NO_MEMORY;
  if (status == TARN_OK)
    {
      looking->setup = setup;
      looking->film = film;
      tarn_parallel_for (setup->parallel, setup->poses, look_turn, looking);
      for (int k = 0; k < setup->poses && status == TARN_OK; k++)
        status = looking->status[k];
      *difficulty = 100 * chance_of_failing (looking->look, setup->poses);
    }
  free (film);
  free (looking);
  return status;
}
