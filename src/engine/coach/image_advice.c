/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/coach/advice.h"

TarnAdvice
tarn_advise_by_image (const TarnSweepSeen *seen)
{
  (void)seen;
  return (TarnAdvice){ .move = { TARN_MOVE_STAY, 0 } };
}
