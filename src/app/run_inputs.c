/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Short ways to hand an input to a run. */
#include "app/run.h"

#include <math.h>

/* Finer than a hand can want anything, and short in the log (own design values). */
#define PER_MM  100.0
#define PER_RAD 100000.0
#define PER_N   100.0

static double
rounded (double value, double steps)
{
  return round (value * steps) / steps;
}

void
tarn_run_hand (TarnRun *self, const TarnPose *wanted)
{
  TarnInput input
      = { .kind = TARN_INPUT_HAND,
          .value = { rounded (wanted->above_mm, PER_MM), rounded (wanted->left_mm, PER_MM),
                     rounded (wanted->tilt_rad, PER_RAD), rounded (wanted->lean_rad, PER_RAD),
                     rounded (wanted->turn_rad, PER_RAD), rounded (wanted->force_n, PER_N) } };
  tarn_run_input (self, &input);
}

void
tarn_run_do (TarnRun *self, TarnInputKind kind, int code, double value)
{
  TarnInput input
      = { .kind = (uint8_t)kind, .code = (uint8_t)code, .reading = -1, .value = { value } };
  tarn_run_input (self, &input);
}
