/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * phantom.h: a measuring object instead of a body.
 *
 * Floor: engine.  Shells of one tissue each about the face's centre of curvature, so that all
 * lines meet them alike, and single reflectors.  The simulator is checked on it against
 * closed forms; patients never use it. */
#pragma once

#include "base/vec.h"
#include "engine/body/tissue.h"

#include <stdbool.h>

#define TARN_PHANTOM_SHELLS_MAX 8
#define TARN_PHANTOM_POINTS_MAX 16

typedef struct
{
  int shells;
  double to_mm[TARN_PHANTOM_SHELLS_MAX]; /* depth from the face at which the shell ends */
  TarnTissue tissue[TARN_PHANTOM_SHELLS_MAX];
  bool speckle; /* false: single reflectors alone */
  int points;
  TarnVec3 point_mm[TARN_PHANTOM_POINTS_MAX]; /* patient frame; each an echo of its own */
  double bone_mm;                             /* 0: none; else a bone from this depth on … */
  double bone_half_rad; /* … wherever a line is no further from the axis */
} TarnPhantom;

/* The last shell goes on for ever. */
TarnTissue tarn_phantom_tissue (const TarnPhantom *phantom, double depth_mm);
