/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which moves are worth a thought. */
#include "base/units.h"
#include "engine/coach/advice_trial.h"

#include <math.h>
#include <string.h>

#define DEG         (TARN_PI / 180)
#define COUNT(list) ((int)(sizeof (list) / sizeof (list)[0]))

/* Own design values, round as people say them.  First a step of middling size each way, then
 * others of the kinds that did best. */
static const TarnMove singles[] = {
  { TARN_MOVE_SLIDE_HEAD, 15 },
  { TARN_MOVE_SLIDE_FEET, 15 },
  { TARN_MOVE_SLIDE_LEFT, 15 },
  { TARN_MOVE_SLIDE_RIGHT, 15 },
  { TARN_MOVE_TILT_FEET, 10 * DEG },
  { TARN_MOVE_TILT_HEAD, 10 * DEG },
  { TARN_MOVE_LEAN_LEFT, 10 * DEG },
  { TARN_MOVE_LEAN_RIGHT, 10 * DEG },
  { TARN_MOVE_PRESS, 4 },
  { TARN_MOVE_EASE, 4 },
  { TARN_MOVE_TURN, 0 },
};
static const double sizes[] = { 0.5, 2, 3 };
#define REFINED_KINDS 2

#define ASIDE_MM 30.0
#define PAST_MM  20.0
#define FIRM_N   6.0

static const TarnMove pairs[][TARN_TRIAL_MOVES] = {
  { { TARN_MOVE_SLIDE_HEAD, 20 }, { TARN_MOVE_TILT_FEET, 15 * DEG } },
  { { TARN_MOVE_SLIDE_HEAD, 40 }, { TARN_MOVE_TILT_FEET, 25 * DEG } },
  { { TARN_MOVE_SLIDE_FEET, 20 }, { TARN_MOVE_TILT_HEAD, 15 * DEG } },
  { { TARN_MOVE_SLIDE_FEET, 40 }, { TARN_MOVE_TILT_HEAD, 25 * DEG } },
  { { TARN_MOVE_SLIDE_LEFT, 25 }, { TARN_MOVE_LEAN_RIGHT, 15 * DEG } },
  { { TARN_MOVE_SLIDE_RIGHT, 25 }, { TARN_MOVE_LEAN_LEFT, 15 * DEG } },
  { { TARN_MOVE_SLIDE_HEAD, 40 }, { TARN_MOVE_EASE, 6 } },
};

static int
add (TarnTrial *trial, int trials, TarnMoveKind kind, double amount)
{
  if (trials >= TARN_TRIALS_MAX)
    return trials;
  trial[trials] = (TarnTrial){ .move = { { kind, amount } }, .moves = 1 };
  return trials + 1;
}

int
tarn_trials_single (const TarnFooting *footing, const TarnTrial *now, TarnTrial *trial)
{
  int trials = 0;
  for (int k = 0; k < COUNT (singles); k++)
    trials = add (trial, trials, singles[k].kind, singles[k].amount);
  if (footing->stance->film != NULL && now->coverage.wet_fraction < 0.98)
    trials = add (trial, trials, TARN_MOVE_GEL, TARN_ADVISED_GEL_G);
  if (footing->stance->lifted != NULL)
    trials = add (trial, trials, TARN_MOVE_LIFT, 1 - footing->stance->lift);
  if (now->coverage.margin[TARN_SIDE_DEEP] < 0)
    trials = add (trial, trials, TARN_MOVE_DEEPER, 40);
  return trials;
}

int
tarn_trials_sizes (const TarnTrial *single, int count, TarnTrial *trial)
{
  int trials = 0, best[REFINED_KINDS];
  for (int k = 0; k < REFINED_KINDS; k++)
    {
      best[k] = -1;
      for (int other = 0; other < count; other++)
        if (single[other].there && single[other].move[0].kind <= TARN_MOVE_EASE
            && single[other].move[0].kind != TARN_MOVE_TURN && (k == 0 || other != best[0])
            && (best[k] < 0 || single[other].cost_ml < single[best[k]].cost_ml))
          best[k] = other;
      for (int size = 0; best[k] >= 0 && size < COUNT (sizes); size++)
        trials = add (trial, trials, single[best[k]].move[0].kind,
                      sizes[size] * single[best[k]].move[0].amount);
    }
  return trials;
}

int
tarn_trials_pairs (const TarnFooting *footing, const TarnTrial *single, int count,
                   TarnTrial *trial)
{
  int trials = 0;
  (void)footing;
  for (int k = 0; k < COUNT (pairs); k++)
    {
      trial[trials].moves = TARN_TRIAL_MOVES;
      memcpy (trial[trials++].move, pairs[k], sizeof pairs[k]);
    }
  /* The three best of different kinds, two and two. */
  int best[3], bests = 0;
  for (; bests < COUNT (best); bests++)
    {
      best[bests] = -1;
      for (int k = 0; k < count; k++)
        {
          bool taken = !single[k].there;
          for (int other = 0; other < bests; other++)
            taken |= single[best[other]].move[0].kind == single[k].move[0].kind;
          if (!taken && (best[bests] < 0 || single[k].cost_ml < single[best[bests]].cost_ml))
            best[bests] = k;
        }
      if (best[bests] < 0)
        break;
    }
  for (int a = 0; a < bests; a++)
    for (int b = a + 1; b < bests; b++)
      trial[trials++]
          = (TarnTrial){ .move = { single[best[a]].move[0], single[best[b]].move[0] },
                         .moves = 2 };
  return trials;
}

/* The middle of the lumen's box, at rest. */
static TarnVec3
lumen_middle (const TarnBody *body)
{
  const TarnMesh *mesh = tarn_body_lumen_mesh (body);
  TarnVec3 low = mesh->vertex_mm[0], high = low;
  for (int k = 1; k < mesh->vertices; k++)
    {
      TarnVec3 p = mesh->vertex_mm[k];
      low = tarn_vec3 (fmin (low.x, p.x), fmin (low.y, p.y), fmin (low.z, p.z));
      high = tarn_vec3 (fmax (high.x, p.x), fmax (high.y, p.y), fmax (high.z, p.z));
    }
  return tarn_scale (tarn_add (low, high), 0.5);
}

/* Tilt and lean that look at @target from a place on the skin; as tarn_contact_solve () turns
 * the inward normal, but for the skin's curve between. */
static bool
aim_at (const TarnBody *body, TarnVec3 target, TarnPose *pose)
{
  TarnVec3 skin, inward;
  if (!tarn_body_skin_at (body, pose->above_mm, pose->left_mm, &skin, &inward))
    return false;
  TarnVec3 way = tarn_sub (target, skin);
  pose->tilt_rad = atan2 (-way.z, way.y) - atan2 (-inward.z, inward.y);
  pose->lean_rad
      = atan2 (way.x, hypot (way.y, way.z)) - atan2 (inward.x, hypot (inward.y, inward.z));
  return true;
}

/* Adds the pose that looks at @target from there. */
static int
add_goal (const TarnFooting *footing, const TarnBody *body, TarnVec3 target, double above_mm,
          double left_mm, double force_n, TarnTrial *goal, int goals)
{
  TarnPose pose = { .above_mm = above_mm,
                    .left_mm = left_mm,
                    .turn_rad = footing->stance->pose.turn_rad,
                    .force_n = fmin (force_n, footing->comfort_n) };
  if (!aim_at (body, target, &pose))
    return goals;
  goal[goals] = (TarnTrial){ .pose = pose };
  return goals + 1;
}

int
tarn_trials_goals (const TarnFooting *footing, bool wide, TarnTrial *goal)
{
  static const double above_mm[] = { 25, 45, 65, 90, 120 }, wide_mm[] = { 30, 55, 80 };
  static const double force_n[] = { 3, 9 };
  const TarnStance *stance = footing->stance;
  const TarnSurvey *survey = stance->lifted != NULL ? stance->lifted : footing->survey;
  const TarnBody *body = tarn_survey_body (survey);
  TarnVec3 middle = lumen_middle (body);
  int goals = 0;
  for (int a = 0; !wide && a < COUNT (above_mm); a++)
    for (int f = 0; f < COUNT (force_n); f++)
      goals = add_goal (footing, body, middle, above_mm[a], middle.x, force_n[f], goal, goals);
  for (int a = 0; wide && a < COUNT (wide_mm); a++)
    {
      for (int side = -1; side <= 1; side += 2)
        for (int past = 0; past < 3; past++)
          {
            TarnVec3 target = middle;
            target.x += side * past * PAST_MM;
            goals = add_goal (footing, body, target, wide_mm[a], middle.x + side * ASIDE_MM,
                              FIRM_N, goal, goals);
          }
      for (int past = 1; past < 3; past++)
        {
          TarnVec3 target = middle;
          target.z -= past * PAST_MM;
          goals = add_goal (footing, body, target, wide_mm[a], middle.x, FIRM_N, goal, goals);
        }
    }
  return goals;
}

/* A step along one axis, when it is worth naming. */
static int
step (TarnTrial *trial, int trials, double way, double least, TarnMoveKind up,
      TarnMoveKind down)
{
  if (fabs (way) < least)
    return trials;
  return add (trial, trials, way > 0 ? up : down, fabs (way));
}

int
tarn_trials_towards (const TarnFooting *footing, const TarnPose *goal, TarnTrial *trial)
{
  const TarnPose *from = &footing->stance->pose;
  int trials = 0;
  trials = step (trial, trials, goal->above_mm - from->above_mm, 5, TARN_MOVE_SLIDE_HEAD,
                 TARN_MOVE_SLIDE_FEET);
  trials = step (trial, trials, goal->left_mm - from->left_mm, 5, TARN_MOVE_SLIDE_LEFT,
                 TARN_MOVE_SLIDE_RIGHT);
  trials = step (trial, trials, goal->tilt_rad - from->tilt_rad, 3 * DEG, TARN_MOVE_TILT_FEET,
                 TARN_MOVE_TILT_HEAD);
  trials = step (trial, trials, goal->lean_rad - from->lean_rad, 3 * DEG, TARN_MOVE_LEAN_LEFT,
                 TARN_MOVE_LEAN_RIGHT);
  trials
      = step (trial, trials, goal->force_n - from->force_n, 1, TARN_MOVE_PRESS, TARN_MOVE_EASE);
  return trials;
}
