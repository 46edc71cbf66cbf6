/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where a novice begins. */
#include "engine/coach/novice_start.h"

#include "base/random.h"
#include "base/units.h"

#include <stdlib.h>

#define HABIT_SHARE 0.3 /* own design value */

/* Draws in the order in which they are asked for. */
typedef struct
{
  uint64_t seed, drawn;
} Dice;

static double
between (Dice *dice, double low, double high)
{
  return low + (high - low) * tarn_uniform_at (dice->seed, dice->drawn++);
}

static double
degrees_between (Dice *dice, double low_deg, double high_deg)
{
  return tarn_rad_from_deg (between (dice, low_deg, high_deg));
}

static TarnHabit
draw_habit (Dice *dice)
{
  double share = between (dice, 0, 1);
  if (share >= HABIT_SHARE)
    return TARN_HABIT_NONE;
  return (TarnHabit)(1 + (int)(share / HABIT_SHARE * (TARN_HABITS - 1)));
}

static void
draw (TarnNoviceStart *start)
{
  Dice dice = { .seed = tarn_hash_at (start->seed, 0x6e6f76) };
  start->habit = draw_habit (&dice);
  start->pose = (TarnPose){ .above_mm = between (&dice, 15, 65),
                            .left_mm = between (&dice, -20, 20),
                            .tilt_rad = degrees_between (&dice, -5, 30),
                            .lean_rad = degrees_between (&dice, -10, 10),
                            .force_n = between (&dice, 2, 15) };
  start->gel_g = between (&dice, 5, 25);
  start->lifted = between (&dice, 0, 1) < 0.5;
  double side = between (&dice, -1, 1) < 0 ? -1 : 1;
  double hard_n = between (&dice, 15, 30), dry_g = between (&dice, 0, 3);
  double aside_mm = between (&dice, 20, 45), tilted_rad = degrees_between (&dice, 30, 50);
  if (start->habit == TARN_HABIT_HARD)
    start->pose.force_n = hard_n;
  if (start->habit == TARN_HABIT_DRY)
    start->gel_g = dry_g;
  if (start->habit == TARN_HABIT_ASIDE)
    start->pose.left_mm = side * aside_mm;
  if (start->habit == TARN_HABIT_TILTED)
    start->pose.tilt_rad = tilted_rad;
}

static TarnStatus
build (TarnNoviceStart *start, TarnProblem *problem)
{
  TarnStatus status = tarn_body_new (&start->patient, 0, &start->body[0], problem);
  start->body[1] = start->body[0];
  if (status == TARN_OK && start->has_pannus)
    status = tarn_body_new (&start->patient, 1, &start->body[1], problem);
  if (status == TARN_OK)
    status = tarn_survey_new (start->body[0], &start->survey[0]);
  start->survey[1] = start->survey[0];
  if (status == TARN_OK && start->has_pannus)
    status = tarn_survey_new (start->body[1], &start->survey[1]);
  return status;
}

TarnStatus
tarn_novice_start_new (const TarnPatient *patient, uint64_t seed, TarnNoviceStart **start,
                       TarnProblem *problem)
{
  TarnNoviceStart *made = calloc (1, sizeof *made);
  if (made == NULL)
    return tarn_problem_set (problem, TARN_NO_MEMORY, "", "out of memory");
  made->patient = *patient;
  made->patient.proses = 0;
  made->patient.prose = NULL;
  made->seed = seed;
  made->has_pannus = patient->habitus.pannus_mm > 0;
  tarn_patient_vary (&made->patient, tarn_hash_at (seed, 1) | 1);
  draw (made);
  made->lifted = made->lifted && made->has_pannus;
  TarnStatus status = build (made, problem);
  if (status != TARN_OK)
    {
      tarn_novice_start_free (made);
      return status;
    }
  *start = made;
  return TARN_OK;
}

void
tarn_novice_start_free (TarnNoviceStart *start)
{
  if (start == NULL)
    return;
  for (int k = start->has_pannus ? 1 : 0; k >= 0; k--)
    {
      tarn_survey_free (start->survey[k]);
      tarn_body_free (start->body[k]);
    }
  free (start);
}

TarnPose
tarn_novice_start_pose (const TarnNoviceStart *start)
{
  return start->pose;
}
