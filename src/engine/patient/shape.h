/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * shape.h: a bladder's shape that was measured rather than made up: how far its surface lies
 * from the middle in each direction, in a body stretched to fit a unit ball.
 *
 * Floor: engine.  Plain data: copied by assignment.
 *
 * Directions are kept on the six faces of a cube, a grid of nodes on each that runs on a little
 * beyond the face's rim, so that cubic interpolation needs no neighbour.  Between faces values
 * agree within the interpolation's own error. */
#pragma once

#include "base/vec.h"

#include <stdbool.h>

#define TARN_SHAPE_NODES 24 /* along a face */
#define TARN_SHAPE_RIM   2  /* nodes beyond it, each way */
#define TARN_SHAPE_SIDE  (TARN_SHAPE_NODES + 2 * TARN_SHAPE_RIM)
#define TARN_SHAPE_FACES 6

typedef struct
{
  bool any;
  float most; /* no radius differs from 1 by more */
  float radius[TARN_SHAPE_FACES][TARN_SHAPE_SIDE][TARN_SHAPE_SIDE];
} TarnShape;

/* The direction of a node, not unit: its largest component is 1, unless the node lies beyond
 * the rim. */
TarnVec3 tarn_shape_node (int face, int row, int column);

/* Radius in a direction, of any length over 0; @slope: out, its gradient for a unit direction,
 * which has no part along it; may be NULL. */
double tarn_shape_radius (const TarnShape *shape, TarnVec3 direction, TarnVec3 *slope);

/* Sets `any` and `most` once all radii stand, which are first kept within 0.3 … 1.7. */
void tarn_shape_finish (TarnShape *shape);
