/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * forecast.h: what a still sweep would read, from what rays meet; private to coach/. */
#pragma once

#include "engine/coach/coverage.h"
#include "engine/coach/rays.h"

/* Fills @coverage's forecast and verdict; what is hidden must be known already.
 * Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_forecast (const TarnRays *rays, const TarnBody *body, TarnCoverage *coverage);
