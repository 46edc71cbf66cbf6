/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * yield.h: what gives way to what, when bladder and neighbours want the same place.
 *
 * Floor: engine.  Internal to body/.
 *
 * Uterus, gravid uterus, prostate, haematoma and cyst push the bladder in; it grows elsewhere
 * until it holds its volume again.  A balloon near the wall pushes it out.  Bowel and gas float
 * aside.  Free fluid flows around the bladder.  All else has to keep off. */
#pragma once

#include "engine/body/region.h"

/* Whether a neighbour reaches into bladder or wall.  @sphere: directions in which its surface
 * is looked at; needs the wall's mesh. */
bool tarn_yield_meets (const TarnBody *body, const TarnSolid *solid, const TarnMesh *sphere);

/**
 * Dents the placed bladder, and scales and places it again.
 *
 * @sphere: one vertex for each of the lumen's mesh; @look: as above; the same sphere,
 * coarser, of level 4 at least.
 * Leaves the body alone where no neighbour reaches the bladder; else sets lumen, its mesh, its
 * wall's mesh, torso and bones.
 *
 * Returns TARN_OK, TARN_IMPOSSIBLE with @problem naming the structure, or TARN_NO_MEMORY.
 */
TarnStatus tarn_yield_bladder (TarnBody *body, const TarnMesh *sphere, const TarnMesh *look,
                               TarnProblem *problem);

/* Moves bowel and gas off bladder and wall, as far as a small shift does it. */
void tarn_yield_bowel (TarnBody *body, const TarnMesh *look);
