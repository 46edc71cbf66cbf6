/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * placement.h: where the bladder comes to lie between layers and bones.
 *
 * Floor: engine.  Internal to body/. */
#pragma once

#include "base/mesh.h"
#include "base/status.h"
#include "engine/body/lumen.h"
#include "engine/body/skeleton.h"
#include "engine/body/torso.h"

/* What is kept between wall and bone. */
#define TARN_BONE_CLEARANCE_MM 4.0

/**
 * Scales @lumen to the patient's volume.
 *
 * @sphere: the unit sphere; @mesh: out, the lumen around its own centre at 0, one vertex for
 *   each of @sphere's; holds the volume to rounding.  tarn_mesh_clear () it.
 */
TarnStatus tarn_placement_scale (const TarnPatient *patient, const TarnMesh *sphere,
                                 TarnLumen *lumen, TarnMesh *mesh);

/**
 * Places the scaled @lumen: its lowest point at rise-mm, its middle at left-mm, the front of
 * its wall against the gap; then along +y in the smallest step that keeps it clear of symphysis
 * and rami.  Fat fills what it leaves (@torso), and sacrum and spine stand back where a bladder
 * is deeper than the pelvis: a belly so full is deeper.
 *
 * Returns TARN_OK, or TARN_IMPOSSIBLE with @problem filled.
 */
TarnStatus tarn_placement_place (const TarnPatient *patient, const TarnMesh *sphere,
                                 TarnLumen *lumen, TarnTorso *torso, TarnBones *bones,
                                 TarnProblem *problem);
