/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * follow.h: a sphere's mesh follows the lumen's surface while dents come in.
 *
 * Floor: engine.  Internal to body/.
 *
 * Each dent is drawn back the way it came until it touches nothing, each bulge shrunk, and then
 * brought in again in small steps; at each the vertices go along the gradient to the surface.
 */
#pragma once

#include "base/mesh.h"
#include "base/status.h"
#include "engine/body/lumen.h"

/**
 * Dents @lumen, which has none yet, and takes points of its surface along.
 *
 * @dent: bulges first; @way: for each, unit, where it comes from.
 * Returns how far the worst of @p is off the surface, or INFINITY when memory runs out.
 */
double tarn_follow_dents (TarnLumen *lumen, const TarnDent *dent, const TarnVec3 *way,
                          int dents, TarnVec3 *p, int count);

/* Along the gradient to where the distance is @level_mm; returns how far off it still is. */
double tarn_follow_settle (const TarnLumen *lumen, TarnVec3 *p, double level_mm,
                           double within_mm);

/* Volume of the smooth surface whose points the mesh has: that of the mesh, and of the caps
 * that its facets cut off, to the fourth order. */
TarnStatus tarn_follow_volume_mm3 (const TarnLumen *lumen, const TarnMesh *mesh,
                                   double *volume);

/* The facets cut corners; all vertices stand out by a hair so that together they hold the
 * volume. */
void tarn_follow_hold_volume (const TarnLumen *lumen, TarnMesh *mesh, double wanted_mm3);
