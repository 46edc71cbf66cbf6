/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Going to and fro in an attempt.
 *
 * 1. The first time that a tick is played, at the frontier, marks and samples are noted and,
 *    every so many ticks, the state is kept.  When the states take too much room every other
 *    one is given up and the next ones are kept half as often.
 * 2. To go back, or forward past a kept state, the last one before the tick is restored.  The
 *    frontier's own state is kept when it is left, so that playing on costs nothing.
 * 3. The number of inputs taken says which comes next, as all of a log are taken in order. */
#include "engine/attempt/replay.h"

#include "engine/attempt/replay_parts.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#define SPACING_TICKS TARN_TICKS_PER_SECOND

struct TarnReplay
{
  TarnAttempt *attempt;
  const TarnAttempt *lender; /* NULL: a log's */
  int inputs;
  TarnInput *input;
  uint32_t last_tick, ready_tick;
  int refused;
  TarnStatus refusal;

  int snapshots, room; /* ordered by tick; the first is of tick 0 */
  TarnSnapshot **snapshot;
  TarnSnapshot *frontier; /* of ready_tick, while the attempt is elsewhere */
  uint32_t spacing;
  size_t bytes;

  TarnTimeline timeline;
};

/* ---- Kept states ---- */

/* Gives up every state that does not stand at a multiple of twice the spacing. */
static void
spread_out (TarnReplay *replay)
{
  int kept = 0;
  replay->spacing *= 2;
  for (int k = 0; k < replay->snapshots; k++)
    if (tarn_snapshot_tick (replay->snapshot[k]) % replay->spacing == 0)
      replay->snapshot[kept++] = replay->snapshot[k];
    else
      {
        replay->bytes -= tarn_snapshot_bytes (replay->snapshot[k]);
        tarn_snapshot_free (replay->snapshot[k]);
      }
  replay->snapshots = kept;
}

static bool
keep (TarnReplay *replay)
{
  if (replay->attempt->bedside.tick % replay->spacing != 0)
    return true;
  if (replay->snapshots == replay->room)
    {
      int room = replay->room > 0 ? 2 * replay->room : 64;
      TarnSnapshot **snapshot
          = realloc (replay->snapshot, (size_t)room * sizeof (TarnSnapshot *));
      if (snapshot == NULL)
        return false;
      replay->snapshot = snapshot;
      replay->room = room;
    }
  TarnSnapshot *snapshot = tarn_snapshot_new (replay->attempt);
  if (snapshot == NULL)
    return false;
  replay->snapshot[replay->snapshots++] = snapshot;
  replay->bytes += tarn_snapshot_bytes (snapshot);
  while (replay->bytes > TARN_REPLAY_BYTES_MAX && replay->snapshots > 1)
    spread_out (replay);
  return true;
}

/* Before the frontier is left. */
static bool
keep_frontier (TarnReplay *replay)
{
  if (replay->frontier != NULL
      && tarn_snapshot_tick (replay->frontier) == replay->attempt->bedside.tick)
    return true;
  tarn_snapshot_free (replay->frontier);
  replay->frontier = tarn_snapshot_new (replay->attempt);
  return replay->frontier != NULL;
}

/* The last state kept at or before a tick that has been played. */
static const TarnSnapshot *
nearest (const TarnReplay *replay, uint32_t tick)
{
  if (replay->frontier != NULL && tick == tarn_snapshot_tick (replay->frontier))
    return replay->frontier;
  int low = 0, high = replay->snapshots - 1;
  while (low < high)
    {
      int middle = (low + high + 1) / 2;
      if (tarn_snapshot_tick (replay->snapshot[middle]) <= tick)
        low = middle;
      else
        high = middle - 1;
    }
  return replay->snapshot[low];
}

/* ---- Playing ---- */

/* Takes all inputs of the present tick.  @fresh: for the first time. */
static TarnStatus
take_due (TarnReplay *replay, bool fresh)
{
  TarnAttempt *attempt = replay->attempt;
  while (attempt->inputs < replay->inputs
         && (replay->input[attempt->inputs].tick <= attempt->bedside.tick
             || attempt->bedside.finished))
    {
      int index = attempt->inputs;
      const TarnInput *input = &replay->input[index];
      TarnStatus status = tarn_attempt_input (attempt, input);
      if (status == TARN_NO_MEMORY)
        return status;
      if (status != TARN_OK)
        {
          /* The log ends where it no longer fits. */
          replay->refused = index;
          replay->refusal = status;
          replay->inputs = index;
          replay->last_tick = attempt->bedside.tick;
          return TARN_OK;
        }
      if (fresh && !tarn_timeline_note_input (&replay->timeline, attempt, input))
        return TARN_NO_MEMORY;
    }
  return TARN_OK;
}

/* What belongs to a tick that has just been reached for the first time. */
static TarnStatus
note (TarnReplay *replay)
{
  replay->ready_tick = replay->attempt->bedside.tick;
  return tarn_timeline_note_tick (&replay->timeline, replay->attempt) && keep (replay)
             ? TARN_OK
             : TARN_NO_MEMORY;
}

/* Goes on to @tick, which is not beyond the last. */
static TarnStatus
play_to (TarnReplay *replay, uint32_t tick)
{
  const TarnBedside *now = &replay->attempt->bedside;
  TarnStatus status = TARN_OK;
  while (status == TARN_OK && now->tick < tick && now->tick < replay->last_tick)
    {
      bool fresh = now->tick >= replay->ready_tick;
      status = tarn_attempt_tick (replay->attempt);
      if (status == TARN_OK)
        status = take_due (replay, fresh);
      if (status == TARN_OK && fresh)
        status = note (replay);
    }
  return status;
}

TarnStatus
tarn_replay_seek (TarnReplay *replay, uint32_t tick)
{
  uint32_t now = replay->attempt->bedside.tick, ready = replay->ready_tick;
  if (tick > replay->last_tick)
    tick = replay->last_tick;
  if (now == ready && tick < ready && !keep_frontier (replay))
    return TARN_NO_MEMORY;
  const TarnSnapshot *from = nearest (replay, tick < ready ? tick : ready);
  if (tick < now || tarn_snapshot_tick (from) > now)
    tarn_snapshot_restore (from, replay->attempt);
  TarnStatus status = play_to (replay, tick);
  return status == TARN_OK && replay->refused >= 0 && tick >= replay->last_tick
             ? replay->refusal
             : status;
}

TarnStatus
tarn_replay_advance (TarnReplay *replay, uint32_t ticks)
{
  uint32_t rest = replay->last_tick - replay->ready_tick;
  return tarn_replay_seek (replay, replay->ready_tick + (ticks < rest ? ticks : rest));
}

/* ---- Beginning ---- */

/* Takes over @attempt.  @input: copied. */
static TarnStatus
begin (TarnAttempt *attempt, const TarnInput *input, int inputs, uint32_t last_tick,
       TarnReplay **replay)
{
  TarnReplay *made = calloc (1, sizeof *made);
  if (made == NULL)
    {
      tarn_attempt_free (attempt);
      return TARN_NO_MEMORY;
    }
  made->attempt = attempt;
  made->inputs = inputs;
  made->last_tick = last_tick;
  made->refused = -1;
  made->spacing = SPACING_TICKS;
  made->input = malloc ((size_t)(inputs > 0 ? inputs : 1) * sizeof *input);
  TarnStatus status = made->input != NULL ? TARN_OK : TARN_NO_MEMORY;
  if (status == TARN_OK)
    {
      if (inputs > 0)
        memcpy (made->input, input, (size_t)inputs * sizeof *input);
      status = take_due (made, true);
    }
  if (status == TARN_OK && made->refused >= 0)
    status = made->refusal;
  if (status == TARN_OK)
    status = note (made);
  if (status != TARN_OK)
    {
      tarn_replay_free (made);
      return status;
    }
  *replay = made;
  return TARN_OK;
}

TarnStatus
tarn_replay_new (const TarnPatient *patient, const TarnAttemptSetup *setup,
                 const TarnInput *input, int inputs, TarnReplay **replay, TarnProblem *problem)
{
  TarnAttempt *attempt;
  for (int k = 0; k < inputs; k++)
    if (input[k].tick > TARN_ATTEMPT_TICKS_MAX || (k > 0 && input[k].tick < input[k - 1].tick))
      return tarn_problem_set (problem, TARN_OUT_OF_RANGE, "", "the log's ticks do not go on");
  TarnStatus status = tarn_attempt_new (patient, setup, &attempt, problem);
  if (status == TARN_OK)
    status = begin (attempt, input, inputs, inputs > 0 ? input[inputs - 1].tick : 0, replay);
  return status;
}

TarnStatus
tarn_replay_of (const TarnAttempt *attempt, const TarnParallel *parallel, TarnReplay **replay)
{
  TarnAttempt *again;
  TarnStatus status = tarn_attempt_again (attempt, parallel, &again);
  if (status == TARN_OK)
    status = begin (again, attempt->input, attempt->inputs, attempt->bedside.tick, replay);
  if (status == TARN_OK)
    (*replay)->lender = attempt;
  return status;
}

void
tarn_replay_free (TarnReplay *replay)
{
  if (replay == NULL)
    return;
  for (int k = 0; k < replay->snapshots; k++)
    tarn_snapshot_free (replay->snapshot[k]);
  free (replay->snapshot);
  tarn_snapshot_free (replay->frontier);
  tarn_timeline_clear (&replay->timeline);
  tarn_attempt_free (replay->attempt);
  free (replay->input);
  free (replay);
}

/* ---- Looking ---- */

uint32_t
tarn_replay_last_tick (const TarnReplay *replay)
{
  return replay->last_tick;
}

uint32_t
tarn_replay_ready_tick (const TarnReplay *replay)
{
  return replay->ready_tick;
}

int
tarn_replay_refused (const TarnReplay *replay)
{
  return replay->refused;
}

const TarnAttempt *
tarn_replay_attempt (const TarnReplay *replay)
{
  return replay->attempt;
}

TarnStatus
tarn_replay_truth (TarnReplay *replay, TarnTruth *truth)
{
  TarnStatus status = tarn_replay_seek (replay, replay->last_tick);
  if (status != TARN_OK)
    return status;
  if (replay->lender == NULL || !replay->lender->has_truth)
    return tarn_attempt_truth (replay->attempt, truth);
  *truth = replay->lender->truth;
  return TARN_OK;
}

int
tarn_replay_marks (const TarnReplay *replay)
{
  return replay->timeline.marks;
}

const TarnReplayMark *
tarn_replay_mark (const TarnReplay *replay, int index)
{
  assert (index >= 0 && index < replay->timeline.marks);
  return &replay->timeline.mark[index];
}

int
tarn_replay_sample_ticks (const TarnReplay *replay)
{
  return replay->timeline.sample_ticks;
}

int
tarn_replay_samples (const TarnReplay *replay)
{
  return replay->timeline.samples;
}

const TarnReplaySample *
tarn_replay_sample (const TarnReplay *replay, int index)
{
  assert (index >= 0 && index < replay->timeline.samples);
  return &replay->timeline.sample[index];
}

size_t
tarn_replay_bytes (const TarnReplay *replay)
{
  size_t frontier = replay->frontier != NULL ? tarn_snapshot_bytes (replay->frontier) : 0;
  return replay->bytes + frontier;
}
