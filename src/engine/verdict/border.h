/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * border.h: the truth in a plane: where the urine's border really ran.
 *
 * Floor: engine.  Pure. */
#pragma once

#include "base/status.h"
#include "engine/measure/sweep.h"

#define TARN_BORDER_POINTS_MAX 512
#define TARN_BORDER_LOOPS_MAX  8

/* Closed loops in the plane's frame, each point once, the urine to the left of the way:
 * counter- clockwise in (u, v). */
typedef struct
{
  int loops;
  int first[TARN_BORDER_LOOPS_MAX + 1]; /* loop k: points first[k] … first[k + 1] - 1 */
  float u_mm[TARN_BORDER_POINTS_MAX], v_mm[TARN_BORDER_POINTS_MAX];
  double area_mm2; /* what displaces urine is not taken off */
} TarnBorder;

/* The urine, that of diverticula that count and their necks included, pressed as @shot presses
 * it, cut by the plane at @fan_rad of @shot.  Points some 2 mm apart, further where there would
 * be no room.  Within 0.1 mm.  About 1 ms.  Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_border_in_plane (const TarnBody *body, const TarnShot *shot, double fan_rad,
                                 TarnBorder *border);

/* The same for plane @index of a sweep, from where it was really shot. */
TarnStatus tarn_border_of_sweep (const TarnBody *body, const TarnSweep *sweep, int index,
                                 TarnBorder *border);
