/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * outline.h: the border of the dark region in one plane.
 *
 * Floor: engine, but it may include the base floor only: it sees the picture and the
 * geometry, never the body, so it cannot know the truth.  Pure; same picture, same outline.
 * Frame: the plane frame of base/image.h, mm. */
#pragma once

#include "base/image.h"
#include "base/status.h"

#include <stdbool.h>

#define TARN_OUTLINE_POINTS 128

typedef enum
{
  TARN_EVIDENCE_SEEN,    /* a border stands in the picture here */
  TARN_EVIDENCE_BRIDGED, /* carried over a shadow or a gap from its neighbours */
  TARN_EVIDENCE_AT_EDGE, /* the dark region runs into the sector's side or the depth limit */
} TarnEvidence;

typedef struct
{
  float u_mm, v_mm;
  uint8_t evidence; /* TarnEvidence */
} TarnOutlinePoint;

/* Points run counter-clockwise about the seed, at equal angles, closed implicitly. */
typedef struct
{
  bool found;
  double seed_u_mm, seed_v_mm;
  TarnOutlinePoint point[TARN_OUTLINE_POINTS];
  double area_mm2;
  double moment_mm3;             /* ∬ ρ dA, ρ = v the distance from the Pappus axis */
  double seen, bridged, at_edge; /* shares of the points, summing to 1 */
  double contrast_db;            /* border's bright side over its dark side, mean; confidence */
} TarnOutline;

/* What is known beforehand about the instrument and the neighbouring plane; zeroed: nothing. */
typedef struct
{
  double mhz;                   /* for the beam's width, which blurs the border; 0: 3 */
  double aperture_mm;           /* likewise; 0: 12 */
  double range_db;              /* of the display; 0: 60 */
  double ring_mm;               /* between the bands of a face in air; 0: 2.3 */
  double fan_step_rad;          /* angle between this plane and @neighbour's */
  const TarnOutline *neighbour; /* the plane before, nearer the sweep's middle; NULL: none */
} TarnOutlineHints;

/* Scratch for one thread. */
typedef struct TarnOutlineWork TarnOutlineWork;
TarnOutlineWork *tarn_outline_work_new (void); /* NULL when memory runs out */
/* Never uses AVX2; outlines are the same to the bit. */
TarnOutlineWork *tarn_outline_work_new_plain (void);
void tarn_outline_work_free (TarnOutlineWork *work);

/**
 * Finds the border: a seed in the dark region nearest the picture's middle (with a
 * neighbour: nearest that outline's centre, and only a region that lies over it), then
 * star-convex dynamic programming over polar rays from dark to bright outwards, shadows
 * recognised and bridged, and last a fit of the edge that allows for the beam's width.  The
 * neighbour also lends its shape to what a shadow hides, and with fan_step_rad tells how
 * steeply the border runs across the slice, which blurs it.
 *
 * A region that shows a border on its far side is taken before one that runs into the
 * sector's edge; the latter must not look like a shadow.
 *
 * @image: grey values from the face down; any geometry with 8 lines, 32 samples or more,
 *   within ±90°.
 * @hints: NULL for none.
 * @outline: out; found is false when there is no such region, and the rest is then zero.
 *
 * Returns TARN_OK or TARN_OUT_OF_RANGE (an impossible geometry; @outline is then left alone).
 * Threads: safe for distinct @work.
 */
TarnStatus tarn_outline_find (TarnOutlineWork *work, const TarnImage *image,
                              const TarnOutlineHints *hints, TarnOutline *outline);

/* Area and moment of a closed polygon in the plane frame, by Green's theorem; signed,
 * positive when counter-clockwise in (u, v). */
void tarn_outline_measure (const TarnOutlinePoint *point, int count, double *area_mm2,
                           double *moment_mm3);
