/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * geometric.h: what a sweep can lose, by straight rays alone; and what its outlines hold.
 *
 * Floor: engine.  Pure.  The fast second way beside the ledger: no picture, no outline. */
#pragma once

#include "base/status.h"
#include "engine/verdict/ledger.h"

typedef struct
{
  double urine_ml;                  /* the sum over voxels */
  double seen_ml;                   /* hidden by nothing */
  double hidden_ml[TARN_CAUSES];    /* a voxel hidden by k causes gives each of them its part;
                                       only edge, bone, gas and contact can hide */
  double half_sector_rad, depth_mm; /* of the field that would just hold the urine */
} TarnGeometricLoss;

/* What the nominal pose of @sweep hides from it. */
TarnStatus tarn_geometric_loss (const TarnBody *body, const TarnSweep *sweep,
                                TarnGeometricLoss *loss);

/* Shares, by volume, of what the outlines of a sweep hold; 0 when nothing was found. */
typedef struct
{
  double urine; /* the bladder's */
  double other; /* other fluid, and objects inside the lumen */
} TarnContents;

TarnStatus tarn_contents_of (const TarnBody *body, const TarnSweep *sweep,
                             TarnContents *contents);
