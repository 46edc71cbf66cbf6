/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scatter_kernel.h: the loop over scatterers, built plain and for AVX2; private.
 *
 * Material space is cut into blocks of 2 × 2 × 2 cells (body.h).  A block's scatterers come
 * from one of a few patterns, turned and mirrored by the block's hash.  A pattern has an
 * octant for every cell, and in it sheets of eight scatterers ("strata"); the first n strata
 * are spread evenly for any n, so density can follow depth without moving a scatterer.
 *
 *     pattern[p][octant][stratum] = x0…x7 y0…y7 z0…z7     in [0, 1) of the block
 */
#pragma once

#include "base/random.h"
#include "base/simd.h"
#include "engine/acoustic/plane_work.h"

#define TARN_PATTERNS       8
#define TARN_STRATA_MAX     28
#define TARN_TURNS          24 /* 3 cyclic swaps of axes × 8 mirrorings */
#define TARN_BLOCK_MM       (2 * TARN_CELL_MM)
#define TARN_SHEET          8 /* scatterers in a sheet */
#define TARN_SHEET_FLOATS   (3 * TARN_SHEET)
#define TARN_PATTERN_FLOATS (8 * TARN_STRATA_MAX * TARN_SHEET_FLOATS)

/* From this distance on, an octant is placed to second order. */
#define TARN_FAR_RADIUS_MM 40.0f
/* From this distance on, an octant spans no more than TARN_DARK_MM to either side. */
#define TARN_DARK_MIN_RADIUS_MM 45.0f
#define TARN_DARK_MM            4.0f /* slack: half an octant's diagonal, and the ruler's error */

typedef struct
{
  int corner[8];      /* ids of its corners, bit 0 x, bit 1 y, bit 2 z */
  int cell[8];        /* indices of its cells, bits likewise */
  float origin_mm[3]; /* material place of corner 0 */
  uint32_t hash;
} TarnBlock;

/* Which pattern and turn a block has: hash % TARN_TURNS, hash / TARN_TURNS % TARN_PATTERNS. */
static inline uint32_t
tarn_block_hash (const float origin_mm[3])
{
  uint64_t place = 0;
  for (int axis = 0; axis < 3; axis++)
    place = place << 21 ^ (uint64_t)(int64_t)floorf (origin_mm[axis] / (float)TARN_BLOCK_MM);
  return (uint32_t)tarn_hash64 (place);
}

/* The patterns, and the blocks of one plane. */
struct TarnScatterTables
{
  float *pattern; /* TARN_PATTERNS x TARN_PATTERN_FLOATS */
  int swap[TARN_TURNS][8];
  TarnBlock *block;
  int blocks, blocks_room;
  float *x, *y, *z, *shift; /* corners of the blocks, each once */
  int corners, corners_room;
  int *corner_id; /* one more than the id, of each corner of the grid; 0: none yet */
  int corner_ids;
  int *used; /* grid corners that have an id, so as to wipe them */
};

/* What the kernel reads.  Corners are in the plane's frame: u to the right, v along the axis,
 * w across the plane, all from the centre of curvature, mm; shift: apparent − true depth. */
typedef struct
{
  const TarnBlock *block;
  int blocks;
  const float *u, *v, *w, *shift;
  const TarnCell *cell;
  const TarnFacet *facet;
  const TarnBody *body;
  const TarnPhantom *phantom;
  const float *pattern;
  const TarnDepthRow *depth;
  int depths;
  float amplitude[TARN_TISSUES];
  int swap[TARN_TURNS][8]; /* pattern corner -> block corner */
  float face_radius_mm;
  float inverse_pitch;   /* rows for each rad */
  float middle_fraction; /* 0 or 0.5 */
  int middle_row;
  float inverse_sample_mm;
  float cycles_per_mm; /* of depth: 2 / wavelength */
  int rows, samples, stride;
  const float *dark_from_mm; /* by row: beyond it neither it nor its neighbours have echoes */
  float edge_sine[2], edge_cosine[2]; /* of the outermost row's angle: near the face, far */
  float *grid;
} TarnScatterJob;

/* Adds the echoes of all scatterers of the job to its grid; both builds give the same bits. */
void tarn_scatter_blocks_plain (const TarnScatterJob *job);
void tarn_scatter_blocks_avx2 (const TarnScatterJob *job);
