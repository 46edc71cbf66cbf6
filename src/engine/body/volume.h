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

/* Of the lumen, what is not urine and does not count; beside it, what counts. */
double tarn_volume_displaced_ml (const TarnBody *body, const TarnMesh *sphere);
double tarn_volume_counted_ml (const TarnBody *body, const TarnMesh *sphere);
