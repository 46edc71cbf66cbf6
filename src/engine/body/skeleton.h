/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * skeleton.h: where the bones lie.
 *
 * Floor: engine.  Internal to body/.  Patient frame, mm. */
#pragma once

#include "engine/body/bones.h"
#include "engine/patient/patient.h"

/* The first capsules of TarnBones; the others are sacrum and spine. */
#define TARN_RAMI 2

/* Bones of the patient's sizes, sacrum and spine where they stand behind an ordinary bladder.
 */
void tarn_skeleton_init (TarnBones *bones, const TarnPatient *patient);

/* Distance to the symphysis and the rami, to sacrum and spine. */
double tarn_skeleton_front_distance_mm (const TarnBones *bones, TarnVec3 p_mm);
double tarn_skeleton_back_distance_mm (const TarnBones *bones, TarnVec3 p_mm);

/* Moves sacrum and spine along +y. */
void tarn_skeleton_push_back (TarnBones *bones, double y_mm);
/* The hindmost point of any bone. */
double tarn_skeleton_back_mm (const TarnBones *bones);

/* "sacrum-left", …; index into bones->capsule. */
const char *tarn_skeleton_capsule_name (int index);
