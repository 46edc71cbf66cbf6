/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fates_hidden.h: what hides a point of the pressed body from a sweep, so finely that the
 * border between two fates can be followed.  Private to scene/. */
#pragma once

#include "engine/scene/fates.h"

/* Rays in even steps of both angles, over all directions in which there is urine. */
typedef struct
{
  TarnView view;
  int rows, columns; /* along the fan, across the plane */
  double fan0_rad, line0_rad, pitch_rad;
  struct TarnFateRay *ray; /* rows x columns */
} TarnFateRays;

/* About 20 ms.  @rays: out; tarn_fate_rays_clear () it.  Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_fate_rays_init (TarnFateRays *rays, const TarnBody *body, const TarnView *view);
void tarn_fate_rays_clear (TarnFateRays *rays); /* frees and zeroes */

/* A bit for each fate that hides what is at the pressed point; 0: captured. */
unsigned tarn_fates_hiding (const TarnFateRays *rays, TarnVec3 pressed_mm);
/* The first of them, in the causes' order. */
TarnFate tarn_fate_first (unsigned hiding);

/* The true volume, shared among what hides it. */
void tarn_fates_volumes (const TarnFateRays *rays, const TarnBody *body, double ml[TARN_FATES]);
