/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Short ways to hand an input to a run. */
#include "app/run.h"

void
tarn_run_hand (TarnRun *self, const TarnPose *wanted)
{
  TarnInput input = { .kind = TARN_INPUT_HAND,
                      .value = { wanted->above_mm, wanted->left_mm, wanted->tilt_rad,
                                 wanted->lean_rad, wanted->turn_rad, wanted->force_n } };
  tarn_run_input (self, &input);
}

void
tarn_run_do (TarnRun *self, TarnInputKind kind, int code, double value)
{
  TarnInput input
      = { .kind = (uint8_t)kind, .code = (uint8_t)code, .reading = -1, .value = { value } };
  tarn_run_input (self, &input);
}
