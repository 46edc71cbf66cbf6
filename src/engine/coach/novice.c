/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The novice at work.  What he can see is the sweep; only tarn_advise () and the verdict on
 * what he keeps look at the body. */
#include "engine/coach/novice.h"

#include "base/random.h"
#include "base/units.h"
#include "engine/coach/novice_start.h"
#include "engine/verdict/scan.h"

#include <math.h>
#include <stdlib.h>

/* All own design values. */
#define TREMOR_MM      0.5
#define SLIP           0.1  /* of a move's size, either way */
#define CLOSED_EDGE    0.01 /* of the border, at most, for an outline that looks closed */
#define CLOSED_BRIDGE  0.1
#define LOOKS_DRY      0.75 /* of the face wet: below it the black lines are seen */
#define MORE_GEL_G     15.0
#define EXPECTED_SHARE 0.07 /* how far a reading may be from what advice said */
#define EXPECTED_ML    5.0
#define HOLDS_ALL      0.99
#define MISSES_MOST    2    /* readings not as expected; then from elsewhere */
#define MISSING_LITTLE 0.08 /* of the whole: good enough when one sweep is left */
#define MISSING_MOST   0.2  /* where more was missing he does not go back to */
#define MOVES_MAX      8    /* between two sweeps */

typedef struct
{
  const TarnNoviceStart *start;
  TarnNoviceKind kind;
  int planes;
  TarnPose pose;
  TarnGelFilm *film;
  TarnScan *scan;
  bool lifted;
  double depth_mm;
  TarnPose doubted[TARN_NOVICE_SWEEPS]; /* where advice from the picture doubted what he saw */
  int doubts;
  double spoke_n; /* the press at which the patient complained */
  uint64_t seed, drawn;
  TarnNoviceRun *run;
} Novice;

static double
between (Novice *novice, double low, double high)
{
  return low + (high - low) * tarn_uniform_at (novice->seed, novice->drawn++);
}

static bool
chance (Novice *novice, double share)
{
  return between (novice, 0, 1) < share;
}

static const TarnBody *
body_of (const Novice *novice)
{
  return novice->start->body[novice->lifted];
}

static void
lay_gel (Novice *novice, double gel_g)
{
  tarn_gel_dose (novice->film, novice->pose.above_mm, novice->pose.left_mm, gel_g);
}

/* Takes the hand to another pose, wiping the gel; stays where it is when that is no place for a
 * probe. */
static void
go (Novice *novice, TarnPose to)
{
  if (tarn_gel_wipe (novice->film, body_of (novice), &novice->pose, &to) == TARN_OK)
    novice->pose = to;
}

static void
feel (Novice *novice)
{
  double comfort_n = novice->start->patient.temper.comfort_n;
  if (novice->pose.force_n > comfort_n)
    novice->spoke_n = comfort_n;
}

static void
follow (Novice *novice, TarnMove move)
{
  move.amount *= 1 + SLIP * between (novice, -1, 1);
  novice->run->moves++;
  switch (move.kind)
    {
    case TARN_MOVE_GEL:
      lay_gel (novice, move.amount);
      break;
    case TARN_MOVE_LIFT:
      novice->lifted = novice->start->has_pannus;
      break;
    case TARN_MOVE_DEEPER:
    case TARN_MOVE_SHALLOWER:
      {
        double depth_mm
            = novice->depth_mm > 0 ? novice->depth_mm : novice->start->patient.probe.depth_mm;
        double sign = move.kind == TARN_MOVE_DEEPER ? 1 : -1;
        novice->depth_mm = tarn_clamp (depth_mm + sign * move.amount, 60, 260);
        break;
      }
    default:
      go (novice, tarn_move_pose (&move, &novice->pose));
    }
  feel (novice);
}

static TarnStatus
sweep (Novice *novice)
{
  TarnScanOptions options = tarn_scan_options_default ();
  options.pose = novice->pose;
  options.gel_g = 0;
  options.film = novice->film;
  options.tremor_mm = TREMOR_MM;
  options.depth_mm = novice->depth_mm;
  options.planes = novice->planes;
  options.seed = tarn_hash_at (novice->start->seed, 16 + (uint64_t)novice->run->sweeps);
  options.ledger = false;
  tarn_scan_clear (novice->scan);
  TarnStatus status = tarn_scan_run (body_of (novice), &options, novice->scan);
  novice->run->sweeps++;
  feel (novice);
  return status;
}

static bool
looks_closed (const TarnSweep *sweep)
{
  double area = 0, edge = 0, bridged = 0;
  for (int k = 0; k < sweep->planes; k++)
    {
      const TarnOutline *outline = &sweep->plane[k].outline;
      area += outline->area_mm2;
      edge += outline->area_mm2 * outline->at_edge;
      bridged += outline->area_mm2 * outline->bridged;
    }
  return sweep->reading.kind == TARN_READING_MEASURE && edge <= CLOSED_EDGE * area
         && bridged <= CLOSED_BRIDGE * area;
}

/* Slides or tilts, or both, and keeps to where he was taught to look. */
static void
try_elsewhere (Novice *novice)
{
  TarnPose to = novice->pose;
  double what = between (novice, 0, 1), way = between (novice, 0, 2 * TARN_PI);
  double slide_mm = between (novice, 8, 30);
  double tilt_deg = between (novice, -15, 15), lean_deg = between (novice, -8, 8);
  novice->run->moves++;
  if (what < 0.7)
    {
      to.above_mm = tarn_clamp (to.above_mm + slide_mm * cos (way), 10, 80);
      to.left_mm = tarn_clamp (to.left_mm + slide_mm * sin (way), -40, 40);
    }
  if (what > 0.4)
    {
      to.tilt_rad = tarn_clamp (to.tilt_rad + tarn_rad_from_deg (tilt_deg),
                                tarn_rad_from_deg (-15), tarn_rad_from_deg (40));
      to.lean_rad = tarn_clamp (to.lean_rad + tarn_rad_from_deg (lean_deg),
                                tarn_rad_from_deg (-15), tarn_rad_from_deg (15));
    }
  if (to.force_n > novice->spoke_n && chance (novice, 0.5))
    to.force_n = 0.7 * novice->spoke_n;
  go (novice, to);
  if (novice->start->has_pannus && !novice->lifted && chance (novice, 0.5))
    novice->lifted = true;
  if (novice->scan->sweep.contact.wet_fraction < LOOKS_DRY && chance (novice, 0.5))
    lay_gel (novice, MORE_GEL_G);
  feel (novice);
}

static TarnStatus
work_unaided (Novice *novice)
{
  TarnStatus status = TARN_OK;
  while (status == TARN_OK && novice->run->sweeps < TARN_NOVICE_SWEEPS)
    {
      if (novice->run->sweeps > 0)
        try_elsewhere (novice);
      status = sweep (novice);
      if (status == TARN_OK && looks_closed (&novice->scan->sweep))
        break;
    }
  return status;
}

/* Nothing more that a hand could do. */
static bool
is_last (TarnMoveKind kind)
{
  return kind == TARN_MOVE_STAY || kind == TARN_MOVE_STILL || kind == TARN_MOVE_AT_LEAST
         || kind == TARN_MOVE_DO_NOT_USE;
}

static TarnStatus
follow_until_still (Novice *novice, TarnAdvice *advice)
{
  for (int k = 0; k < MOVES_MAX; k++)
    {
      const TarnNoviceStart *start = novice->start;
      TarnStance stance
          = { .pose = novice->pose,
              .film = novice->film,
              .depth_mm = novice->depth_mm,
              .lift = novice->lifted,
              .lifted = start->has_pannus && !novice->lifted ? start->survey[1] : NULL };
      TarnStatus status
          = tarn_advise (start->survey[novice->lifted], &stance, NULL, advice, NULL);
      if (status != TARN_OK || is_last (advice->move.kind))
        return status;
      follow (novice, advice->move);
    }
  return TARN_OK;
}

/* Told to stay, he takes what he reads, unless it is not what he was told to expect. */
static bool
as_expected (const TarnReading *reading, const TarnAdvice *advice)
{
  double off_ml = fabs (reading->volume_ml - advice->expected_ml);
  return advice->move.kind != TARN_MOVE_STAY
         || off_ml <= fmax (EXPECTED_SHARE * advice->expected_ml, EXPECTED_ML);
}

static TarnStatus
work_advised (Novice *novice)
{
  TarnNoviceRun *run = novice->run;
  TarnStatus status = TARN_OK;
  int misses = 0;
  while (status == TARN_OK && run->sweeps < TARN_NOVICE_SWEEPS)
    {
      TarnAdvice advice = { 0 };
      if (misses >= MISSES_MOST)
        try_elsewhere (novice);
      status = follow_until_still (novice, &advice);
      if (status == TARN_OK)
        status = sweep (novice);
      run->last = advice.move.kind;
      run->expected_ml = advice.expected_ml;
      if (is_last (advice.move.kind) && as_expected (&novice->scan->sweep.reading, &advice))
        break;
      misses++;
    }
  return status;
}

/* RMS of the hand's own wander, as the stillness trace shows it. */
static double
wander_mm (const TarnMotion *motion)
{
  double sum = 0;
  int samples = 30;
  for (int k = 0; k < samples; k++)
    {
      TarnDrift drift = tarn_motion_at (motion, k * motion->duration_s / samples, false);
      sum += drift.above_mm * drift.above_mm + drift.left_mm * drift.left_mm;
    }
  return sqrt (sum / samples);
}

static double
wet_under (const Novice *novice)
{
  TarnGelFilm *pressed = malloc (sizeof *pressed);
  TarnContact *contact = malloc (sizeof *contact);
  double wet = 0;
  if (pressed != NULL && contact != NULL)
    {
      *pressed = *novice->film;
      if (tarn_contact_solve (body_of (novice), &novice->pose, pressed, contact) == TARN_OK)
        wet = contact->wet_fraction;
    }
  free (pressed);
  free (contact);
  return wet;
}

/* What he sees and feels; before the first sweep only the latter. */
static TarnSweepSeen
seen_by (const Novice *novice)
{
  const TarnScan *scan = novice->scan;
  bool swept = scan->sweep.planes > 0;
  return (TarnSweepSeen){ .pose = novice->pose,
                          .plane = scan->sweep.plane,
                          .planes = scan->sweep.planes,
                          .geometry = scan->sweep.geometry,
                          .reading = scan->sweep.reading,
                          .wet_fraction = wet_under (novice),
                          .comfort_n = novice->spoke_n,
                          .has_pannus = novice->start->has_pannus,
                          .lift = novice->lifted,
                          .doubted = novice->doubted,
                          .doubts = novice->doubts,
                          .wander_mm = swept ? wander_mm (&scan->setup.motion) : 0 };
}

/* Where he has swept, what he read there, and what was missing by what advice said. */
typedef struct
{
  int sweep; /* 1 …; 0: none */
  TarnPose pose;
  double depth_mm, volume_ml, missing_ml;
} Place;

typedef struct
{
  Place best;
  double most_ml; /* of what was seen anywhere and not doubted */
} Memory;

/* Share of the whole that was missing.  Where less was thought to be in all than was seen
 * elsewhere since, more was. */
static double
missing_at (const Place *place, double most_ml)
{
  return 1 - place->volume_ml / fmax (place->volume_ml + place->missing_ml, most_ml);
}

/* How much lies beyond the field the picture tells; not what a shadow hides, or a dry face. */
static bool
is_by_field (TarnCue cue)
{
  return cue == TARN_CUE_RUNS_INTO_MARK || cue == TARN_CUE_RUNS_INTO_OTHER
         || cue == TARN_CUE_FIRST_PLANES || cue == TARN_CUE_LAST_PLANES
         || cue == TARN_CUE_RUNS_DEEP;
}

/* Keeps the place where the least was missing: by the evidence in the planes, never by the
 * larger reading alone. */
static void
remember (Novice *novice, const TarnAdvice *advice, Memory *memory)
{
  Place *best = &memory->best;
  Place here = { .sweep = novice->run->sweeps,
                 .pose = novice->pose,
                 .depth_mm = novice->depth_mm,
                 .volume_ml = novice->scan->sweep.reading.volume_ml,
                 .missing_ml = advice->gain_ml };
  if (advice->cue == TARN_CUE_OTHER_DARK)
    {
      novice->doubted[novice->doubts++] = novice->pose;
      return;
    }
  memory->most_ml = fmax (memory->most_ml, here.volume_ml);
  if (best->sweep > 0 && missing_at (best, memory->most_ml) > MISSING_MOST)
    best->sweep = 0;
  double missing = is_by_field (advice->cue) ? missing_at (&here, memory->most_ml) : 1;
  if (missing <= (best->sweep > 0 ? missing_at (best, memory->most_ml) : MISSING_MOST))
    *best = here;
}

/* For the next sweep.  With one left he does not try another place when he has been where
 * little was missing, but goes back there.  Returns false when he stands there. */
static bool
move_on (Novice *novice, const TarnAdvice *advice, const Memory *memory)
{
  const Place *best = &memory->best;
  bool by_hand = advice->cue == TARN_CUE_DRY || advice->cue == TARN_CUE_HURTS
                 || advice->cue == TARN_CUE_FAR; /* helps at any place */
  bool last = novice->run->sweeps == TARN_NOVICE_SWEEPS - 1 && !by_hand;
  bool here = best->sweep == novice->run->sweeps;
  if (last && here && missing_at (best, memory->most_ml) < MISSING_LITTLE)
    return false;
  if (last && !here && best->sweep > 0)
    {
      go (novice, best->pose);
      novice->depth_mm = best->depth_mm;
    }
  else
    follow (novice, advice->move);
  return true;
}

static TarnStatus
work_by_image (Novice *novice)
{
  TarnNoviceRun *run = novice->run;
  TarnStatus status = TARN_OK;
  Memory memory = { 0 };
  /* What the hand feels needs no picture. */
  for (int k = 0; k < MOVES_MAX; k++)
    {
      TarnSweepSeen seen = seen_by (novice);
      TarnAdvice advice = tarn_advise_by_image (&seen);
      if (is_last (advice.move.kind))
        break;
      follow (novice, advice.move);
    }
  while (status == TARN_OK)
    {
      status = sweep (novice);
      if (status != TARN_OK)
        break;
      TarnSweepSeen seen = seen_by (novice);
      TarnAdvice advice = tarn_advise_by_image (&seen);
      run->last = advice.move.kind;
      if (is_last (advice.move.kind) || run->sweeps >= TARN_NOVICE_SWEEPS)
        break;
      remember (novice, &advice, &memory);
      if (!move_on (novice, &advice, &memory))
        break;
    }
  return status;
}

/* Whether some pose holds it all, be it ever so light: over a grid about where a bladder lies,
 * with the fold away and gel enough. */
static bool
some_pose_holds_all (const TarnNoviceStart *start)
{
  for (double above_mm = 20; above_mm <= 140; above_mm += 15)
    for (double left_mm = -30; left_mm <= 30; left_mm += 30)
      for (double tilt_deg = -20; tilt_deg <= 25; tilt_deg += 7.5)
        {
          TarnPose pose = { .above_mm = above_mm,
                            .left_mm = left_mm,
                            .tilt_rad = tarn_rad_from_deg (tilt_deg),
                            .force_n = 2 };
          TarnCoverage coverage;
          if (tarn_coverage_at (start->survey[1], &pose, NULL, 0, &coverage) == TARN_OK
              && coverage.seen_ml >= HOLDS_ALL * coverage.urine_ml)
            return true;
        }
  return false;
}

static bool
succeeded (const Novice *novice)
{
  const TarnScan *scan = novice->scan;
  const TarnReading *reading = &scan->sweep.reading;
  if (scan->verdict == TARN_VERDICT_ACCURATE)
    return true;
  return novice->run->at_least && reading->kind == TARN_READING_LOWER_BOUND
         && scan->verdict != TARN_VERDICT_WRONG_FLUID && reading->volume_ml <= scan->truth_ml
         && !some_pose_holds_all (novice->start);
}

static TarnStatus
work (Novice *novice)
{
  const TarnNoviceStart *start = novice->start;
  TarnNoviceRun *run = novice->run;
  lay_gel (novice, start->gel_g);
  feel (novice);
  TarnStatus status;
  if (novice->kind == TARN_NOVICE_UNAIDED)
    status = work_unaided (novice);
  else if (novice->kind == TARN_NOVICE_ADVISED)
    status = work_advised (novice);
  else
    status = work_by_image (novice);
  /* A pose that is no place for a probe shows nothing. */
  if (status == TARN_OFF_BODY || status == TARN_OUT_OF_RANGE)
    return TARN_OK;
  if (status != TARN_OK)
    return status;
  run->pose = novice->pose;
  run->lift = novice->lifted;
  run->wet_fraction = novice->scan->sweep.contact.wet_fraction;
  run->reading = novice->scan->sweep.reading;
  /* As it stands on the screen, unless advice said that all is well. */
  run->at_least = run->reading.kind == TARN_READING_LOWER_BOUND
                  && (novice->kind == TARN_NOVICE_UNAIDED || run->last != TARN_MOVE_STAY);
  run->truth_ml = novice->scan->truth_ml;
  run->success = succeeded (novice);
  return TARN_OK;
}

TarnStatus
tarn_novice_run (const TarnNoviceStart *start, TarnNoviceKind kind, int planes,
                 TarnNoviceRun *run)
{
  *run = (TarnNoviceRun){ .habit = start->habit };
  Novice novice = { .start = start,
                    .kind = kind,
                    .planes = planes,
                    .pose = start->pose,
                    .film = calloc (1, sizeof *novice.film),
                    .scan = calloc (1, sizeof *novice.scan),
                    .lifted = start->lifted,
                    .spoke_n = INFINITY,
                    .seed = tarn_hash_at (start->seed, 2 + (uint64_t)kind),
                    .run = run };
  TarnStatus status = TARN_NO_MEMORY;
  if (novice.film != NULL && novice.scan != NULL)
    {
      status = work (&novice);
      tarn_scan_clear (novice.scan);
    }
  free (novice.scan);
  free (novice.film);
  return status;
}
