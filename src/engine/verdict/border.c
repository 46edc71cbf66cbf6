/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/verdict/border.h"

TarnStatus
tarn_border_in_plane (const TarnBody *body, const TarnShot *shot, double fan_rad,
                      TarnBorder *border)
{
  (void)body, (void)shot, (void)fan_rad;
  border->loops = 0;
  border->area_mm2 = 0;
  return TARN_OK;
}

TarnStatus
tarn_border_of_sweep (const TarnBody *body, const TarnSweep *sweep, int index,
                      TarnBorder *border)
{
  return tarn_border_in_plane (body, tarn_shots_at (&sweep->shots, index, false),
                               tarn_shots_fan_rad (&sweep->shots, index), border);
}
