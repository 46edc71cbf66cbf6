/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * run_coach.h: advice while the hand moves, worked out on a thread of its own that lets the
 * others go first.  Private to the run.
 *
 * Floor: app. */
#pragma once

#include "engine/attempt/attempt.h"
#include "engine/coach/advice.h"

#include <glib.h>

typedef struct TarnRunCoach TarnRunCoach;

TarnRunCoach *tarn_run_coach_new (void);
/* Waits for the advice under way; before the attempt goes.  NULL is allowed. */
void tarn_run_coach_free (TarnRunCoach *coach);

/* How things stand now; on the attempt's thread.  Little is done where nothing is to be
 * said. */
void tarn_run_coach_take (TarnRunCoach *coach, const TarnAttempt *attempt);

/* The newest advice; from any thread.  @turn_rad: out; of the pose it is for.  Returns FALSE
 * while there is none: the probe is off the skin, or the plane is held. */
gboolean tarn_run_coach_advice (TarnRunCoach *coach, TarnAdvice *advice, double *turn_rad);
