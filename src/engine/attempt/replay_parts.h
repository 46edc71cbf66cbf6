/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_parts.h: states of an attempt that are kept, and marks and samples of its time line.
 * Private to replay*.c.
 *
 * Floor: engine. */
#pragma once

#include "engine/attempt/replay.h"
#include "engine/attempt/state.h"

/* ---- replay_snapshot.c ---- */

/* All of an attempt that changes, but for bodies, log and readings: those are kept in the
 * attempt, which only goes back to an earlier length of them. */
typedef struct TarnSnapshot TarnSnapshot;

/* NULL when memory runs out. */
TarnSnapshot *tarn_snapshot_new (const TarnAttempt *attempt);
void tarn_snapshot_free (TarnSnapshot *snapshot); /* NULL is allowed */
uint32_t tarn_snapshot_tick (const TarnSnapshot *snapshot);
size_t tarn_snapshot_bytes (const TarnSnapshot *snapshot);
/* Of the same attempt, later or earlier. */
void tarn_snapshot_restore (const TarnSnapshot *snapshot, TarnAttempt *attempt);

/* ---- replay_marks.c ---- */

typedef struct
{
  int marks, marks_room;
  TarnReplayMark *mark;
  int samples, samples_room, sample_ticks;
  TarnReplaySample *sample;

  /* As of the tick before. */
  int readings, sweeps;
  TarnVoice voice;
  uint32_t voice_tick;
  uint32_t stream_tick[TARN_INPUTS]; /* of each kind's last input, one more; 0: none */
} TarnTimeline;

/* Empties it, as before the first tick. */
void tarn_timeline_clear (TarnTimeline *timeline);
/* Both return false when memory runs out.  After an input has been taken: */
bool tarn_timeline_note_input (TarnTimeline *timeline, const TarnAttempt *attempt,
                               const TarnInput *input);
/* After all that belongs to a tick. */
bool tarn_timeline_note_tick (TarnTimeline *timeline, const TarnAttempt *attempt);
