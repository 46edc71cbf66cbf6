/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * window.h: the acoustic window of a patient: the poses from which an accurate reading is
 * possible, and how hard that makes it.
 *
 * Floor: engine.  Pure; thread counts change nothing.
 *
 * Difficulty is the chance, in percent, that a taught but unaided beginner keeps a reading
 * that is not accurate.  The beginner takes up to five sweeps at random about the landmark,
 * where a novice is taught to begin (novice.h), and keeps the first whose outline looks
 * closed, else the last; what each would read is the forecast (coverage.h).  Where no pose
 * gives an accurate reading, nor "at least" rightly, it is 100. */
#pragma once

#include "engine/coach/coverage.h"

/* The map's axes: above x left x tilt, for each force and lift. */
#define TARN_WINDOW_ABOVE_MAX  16
#define TARN_WINDOW_LEFT_MAX   16
#define TARN_WINDOW_TILT_MAX   12
#define TARN_WINDOW_LAYERS_MAX 6

typedef struct
{
  int count;
  double first, step; /* mm, or rad */
} TarnWindowAxis;

/* One press and lift. */
typedef struct
{
  double force_n, lift; /* lift: 0..1 */
  /* [above][left][tilt] */
  float coverage[TARN_WINDOW_ABOVE_MAX][TARN_WINDOW_LEFT_MAX][TARN_WINDOW_TILT_MAX];
  uint8_t verdict[TARN_WINDOW_ABOVE_MAX][TARN_WINDOW_LEFT_MAX][TARN_WINDOW_TILT_MAX];
  /* 1: accurate, or "at least" rightly so where lower_bound holds */
  uint8_t open[TARN_WINDOW_ABOVE_MAX][TARN_WINDOW_LEFT_MAX][TARN_WINDOW_TILT_MAX];
} TarnWindowLayer;

typedef struct
{
  TarnWindowAxis above, left, tilt;
  int layers;
  TarnWindowLayer layer[TARN_WINDOW_LAYERS_MAX];

  int poses, accurate;         /* in all; of these accurate, or a lower bound rightly so */
  double share[TARN_VERDICTS]; /* of the poses, by verdict */
  bool open;                   /* there is a window */
  bool lower_bound;            /* none holds all, and "at least" is the answer */
  TarnPose best; /* with the most room about it, near where one is taught to begin */
  double best_lift, best_coverage;
  double above_mm, left_mm,
      tilt_rad;                 /* its size through the best pose; 0 where there is none */
  int best_layer, best_cell[3]; /* of the best pose: above, left, tilt */
  double difficulty;            /* 0 … 100: see the manual; 100 where there is no window */
} TarnAcousticWindow;

typedef struct
{
  int poses_wanted;                  /* about; 0: 2,000 */
  uint64_t seed;                     /* draws the places that difficulty is asked from */
  const TarnParallel *parallel;      /* NULL: this thread alone */
  bool (*cancelled) (void *context); /* NULL: never; asked now and then */
  void *context;
} TarnWindowOptions;

/**
 * Maps a patient as written, or as drawn.
 *
 * @window: out, about 100 kB.  @problem: out, may be NULL; as tarn_body_new ().
 *
 * Returns TARN_OK, what tarn_body_new () returns, or TARN_IMPOSSIBLE when cancelled.
 */
TarnStatus tarn_window_map (const TarnPatient *patient, const TarnWindowOptions *options,
                            TarnAcousticWindow *window, TarnProblem *problem);
