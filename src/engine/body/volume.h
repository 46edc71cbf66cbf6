/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * volume.h: what the bladder truly holds, and which structures cannot be where they are.
 *
 * Floor: engine.  Internal to body/. */
#pragma once

#include "engine/body/region.h"

/* Structures against the bladder; TARN_IMPOSSIBLE with the structure named.  @sphere:
 * directions in which their surfaces are looked at. */
TarnStatus tarn_volume_check (const TarnBody *body, const TarnMesh *sphere,
                              TarnProblem *problem);

/* Lumen less what displaces urine, plus what counts. */
double tarn_volume_true_ml (const TarnBody *body, const TarnMesh *sphere);
