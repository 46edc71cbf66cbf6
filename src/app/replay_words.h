/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay_words.h: what happened in an attempt, in the learner's language.
 *
 * Floor: app.  Threads: any.  As in words.h. */
#pragma once

#include "app/words.h"
#include "engine/attempt/replay.h"

/* A word or two for the time line: "gel", "sweep". */
const char *tarn_words_replay_short (TarnReplayKind kind);
/* The same in full: "Gel laid: 20 g", "Reading 1: 214 mL".  @readings: of TarnReading, those
 * known; may be empty. */
char *tarn_words_replay_mark (const TarnReplayMark *mark, const GArray *readings,
                              const TarnUnits *units);
/* How things stand at a moment: force against comfort, gel, contact, breath, stillness. */
char *tarn_words_replay_moment (const TarnBedside *now);
