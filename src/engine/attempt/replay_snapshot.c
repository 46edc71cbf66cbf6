/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The state of an attempt at one tick, as small as it can be kept: of the gel's grid only the
 * part that has any, the held plane only while one is held, a sweep only while one is under
 * way. */
#include "engine/attempt/replay_parts.h"

#include <stdlib.h>
#include <string.h>

struct TarnSnapshot
{
  size_t bytes;
  TarnBedside bedside;
  TarnHand hand;
  TarnUnrest unrest;
  TarnVec3 trace_mm[TARN_TICKS_PER_SECOND];
  TarnVoices voices;
  TarnLooked looked;
  TarnCaliperGround ground[TARN_CALIPERS];
  TarnPose caliper_pose;
  double force_most_n;
  int lift_step, judged, inputs;
  TarnJudgement situation_judgement, judgement[TARN_ATTEMPT_READINGS_MAX];

  /* The film without its grid, and what of the grid is not zero. */
  double film_above_mm, film_left_mm, film_on_probe_g, film_lost_g;
  bool film_laid;
  int first_row, rows, first_column, columns;
  float *thickness_mm;

  TarnHeldPlane *held;    /* NULL: not frozen */
  TarnSweeping *sweeping; /* NULL: no sweep */
};

/* Rows and columns from the first to the last that are not all bits zero. */
static void
find_gel (const TarnGelFilm *film, TarnSnapshot *snapshot)
{
  int row[2] = { TARN_FILM_CELLS, -1 }, column[2] = { TARN_FILM_CELLS, -1 };
  for (int i = 0; i < TARN_FILM_CELLS; i++)
    for (int k = 0; k < TARN_FILM_CELLS; k++)
      {
        uint32_t bits;
        memcpy (&bits, &film->thickness_mm[i][k], sizeof bits);
        if (bits == 0)
          continue;
        row[0] = i < row[0] ? i : row[0];
        row[1] = i;
        column[0] = k < column[0] ? k : column[0];
        column[1] = k > column[1] ? k : column[1];
      }
  snapshot->first_row = row[0];
  snapshot->rows = row[1] < 0 ? 0 : row[1] - row[0] + 1;
  snapshot->first_column = column[0];
  snapshot->columns = column[1] < 0 ? 0 : column[1] - column[0] + 1;
}

static bool
pack_film (const TarnGelFilm *film, TarnSnapshot *snapshot)
{
  snapshot->film_above_mm = film->above_mm;
  snapshot->film_left_mm = film->left_mm;
  snapshot->film_laid = film->laid;
  snapshot->film_on_probe_g = film->on_probe_g;
  snapshot->film_lost_g = film->lost_g;
  find_gel (film, snapshot);
  size_t line = (size_t)snapshot->columns * sizeof (float);
  if (snapshot->rows == 0)
    return true;
  snapshot->thickness_mm = malloc ((size_t)snapshot->rows * line);
  if (snapshot->thickness_mm == NULL)
    return false;
  for (int i = 0; i < snapshot->rows; i++)
    memcpy (snapshot->thickness_mm + i * snapshot->columns,
            &film->thickness_mm[snapshot->first_row + i][snapshot->first_column], line);
  snapshot->bytes += (size_t)snapshot->rows * line;
  return true;
}

static void
unpack_film (const TarnSnapshot *snapshot, TarnGelFilm *film)
{
  *film = (TarnGelFilm){ .above_mm = snapshot->film_above_mm,
                         .left_mm = snapshot->film_left_mm,
                         .laid = snapshot->film_laid,
                         .on_probe_g = snapshot->film_on_probe_g,
                         .lost_g = snapshot->film_lost_g };
  for (int i = 0; i < snapshot->rows; i++)
    memcpy (&film->thickness_mm[snapshot->first_row + i][snapshot->first_column],
            snapshot->thickness_mm + i * snapshot->columns,
            (size_t)snapshot->columns * sizeof (float));
}

static bool
keep_held (const TarnAttempt *attempt, TarnSnapshot *snapshot)
{
  if (!attempt->bedside.frozen)
    return true;
  snapshot->held = malloc (sizeof *snapshot->held);
  if (snapshot->held == NULL)
    return false;
  *snapshot->held = attempt->held;
  snapshot->bytes += sizeof *snapshot->held;
  return true;
}

static bool
keep_sweeping (const TarnAttempt *attempt, TarnSnapshot *snapshot)
{
  if (!attempt->bedside.sweeping)
    return true;
  snapshot->sweeping = malloc (sizeof *snapshot->sweeping);
  if (snapshot->sweeping == NULL)
    return false;
  memcpy (snapshot->sweeping, attempt->sweeping, sizeof *snapshot->sweeping);
  snapshot->bytes += sizeof *snapshot->sweeping;
  return true;
}

TarnSnapshot *
tarn_snapshot_new (const TarnAttempt *attempt)
{
  TarnSnapshot *snapshot = calloc (1, sizeof *snapshot);
  if (snapshot == NULL)
    return NULL;
  snapshot->bytes = sizeof *snapshot;
  snapshot->bedside = attempt->bedside;
  snapshot->hand = attempt->hand;
  snapshot->unrest = attempt->unrest;
  memcpy (snapshot->trace_mm, attempt->trace_mm, sizeof snapshot->trace_mm);
  snapshot->voices = attempt->voices;
  snapshot->looked = attempt->looked;
  memcpy (snapshot->ground, attempt->ground, sizeof snapshot->ground);
  snapshot->caliper_pose = attempt->caliper_pose;
  snapshot->force_most_n = attempt->force_most_n;
  snapshot->lift_step = attempt->lift_step;
  snapshot->judged = attempt->judged;
  snapshot->inputs = attempt->inputs;
  snapshot->situation_judgement = attempt->situation_judgement;
  for (int k = 0; k < attempt->bedside.readings; k++)
    snapshot->judgement[k] = attempt->reading[k].made.judgement;
  if (pack_film (&attempt->film, snapshot) && keep_held (attempt, snapshot)
      && keep_sweeping (attempt, snapshot))
    return snapshot;
  tarn_snapshot_free (snapshot);
  return NULL;
}

void
tarn_snapshot_free (TarnSnapshot *snapshot)
{
  if (snapshot == NULL)
    return;
  free (snapshot->thickness_mm);
  free (snapshot->held);
  free (snapshot->sweeping);
  free (snapshot);
}

uint32_t
tarn_snapshot_tick (const TarnSnapshot *snapshot)
{
  return snapshot->bedside.tick;
}

size_t
tarn_snapshot_bytes (const TarnSnapshot *snapshot)
{
  return snapshot->bytes;
}

void
tarn_snapshot_restore (const TarnSnapshot *snapshot, TarnAttempt *attempt)
{
  if (attempt->kept < attempt->bedside.readings)
    attempt->kept = attempt->bedside.readings;
  attempt->bedside = snapshot->bedside;
  attempt->hand = snapshot->hand;
  attempt->unrest = snapshot->unrest;
  memcpy (attempt->trace_mm, snapshot->trace_mm, sizeof attempt->trace_mm);
  attempt->voices = snapshot->voices;
  attempt->looked = snapshot->looked;
  memcpy (attempt->ground, snapshot->ground, sizeof attempt->ground);
  attempt->caliper_pose = snapshot->caliper_pose;
  attempt->force_most_n = snapshot->force_most_n;
  attempt->lift_step = snapshot->lift_step;
  attempt->judged = snapshot->judged;
  attempt->inputs = snapshot->inputs;
  attempt->situation_judgement = snapshot->situation_judgement;
  for (int k = 0; k < attempt->bedside.readings; k++)
    attempt->reading[k].made.judgement = snapshot->judgement[k];
  unpack_film (snapshot, &attempt->film);
  if (snapshot->held != NULL)
    attempt->held = *snapshot->held;
  if (snapshot->sweeping != NULL)
    memcpy (attempt->sweeping, snapshot->sweeping, sizeof *attempt->sweeping);
  attempt->has_truth = false;
}
