/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * difficulty.h: how hard a patient is, as window.h defines it; private to coach/. */
#pragma once

#include "engine/coach/coverage.h"

#define TARN_DIFFICULTY_POSES_MAX 400

typedef struct
{
  const TarnSurvey
      *survey[2]; /* flat, and with the fold lifted; the same where there is none */
  bool has_pannus;
  bool at_least; /* no pose holds all, so a lower bound is right */
  int poses;     /* to ask from: 1 … TARN_DIFFICULTY_POSES_MAX */
  uint64_t seed;
  const TarnParallel *parallel;
  bool (*cancelled) (void *context);
  void *context;
} TarnDifficultySetup;

/* 0 … 100.  Returns TARN_OK, TARN_NO_MEMORY, or TARN_IMPOSSIBLE when cancelled. */
TarnStatus tarn_difficulty (const TarnDifficultySetup *setup, double *difficulty);
