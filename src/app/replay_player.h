/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_player.h: an attempt that is played again on a thread of its own.
 *
 * Floor: app.  Main thread.  The thread behind it gets the replay ready bit by bit and between
 * the bits goes wherever it is wanted; of several wishes the last counts.
 *
 * Signals, on the main thread: "frame": there is a new one; "changed": more is ready, the truth
 * is known, or there is a problem. */
#pragma once

#include "app/run.h"
#include "store/attempt_log.h"

#define TARN_TYPE_REPLAY_PLAYER (tarn_replay_player_get_type ())
G_DECLARE_FINAL_TYPE (TarnReplayPlayer, tarn_replay_player, TARN, REPLAY_PLAYER, GObject)

/* Of a finished attempt, which is kept as long. */
TarnReplayPlayer *tarn_replay_player_new_of_run (TarnRun *run);
/* Of a log, whose patient is looked for on the thread.  @log: taken over.
 * @path: of the log's file, or NULL. */
TarnReplayPlayer *tarn_replay_player_new_of_log (TarnAttemptLog *log, const char *path);
/* Ends the thread and waits for it (up to one bit of work); also done by disposing. */
void tarn_replay_player_stop (TarnReplayPlayer *self);

void tarn_replay_player_seek (TarnReplayPlayer *self, uint32_t tick);
void tarn_replay_player_set_paper (TarnReplayPlayer *self, const TarnRunPaper *paper);
void tarn_replay_player_set_scene (TarnReplayPlayer *self, unsigned wanted);

/* The newest frame, a new reference; NULL before the first. */
TarnRunFrame *tarn_replay_player_frame (TarnReplayPlayer *self);

/* What is known so far, a copy. */
typedef struct
{
  uint32_t last_tick, ready_tick;
  gboolean complete; /* ready to the end, and the truth known where there is one */
  gboolean has_truth;
  TarnTruth truth;
  double comfort_n;
  char *problem; /* NULL: none */
  GArray *marks; /* of TarnReplayMark */
  int sample_ticks;
  GArray *samples;  /* of TarnReplaySample */
  GArray *readings; /* of TarnReading; those of a replay that is complete */
} TarnReplayKnown;
void tarn_replay_player_known (TarnReplayPlayer *self, TarnReplayKnown *known);
void tarn_replay_known_clear (TarnReplayKnown *known);

/* Waits until a frame of @tick is there and all is ready; for tests. */
void tarn_replay_player_wait (TarnReplayPlayer *self, uint32_t tick);
/* The digest of where it is, while it rests; for tests. */
uint64_t tarn_replay_player_digest (TarnReplayPlayer *self);
