/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * painter.h: synthetic B-mode pictures of one dark region whose border is known in closed form.
 *
 * For tests of what reads pictures.  It knows nothing of bodies: tissue of even backscatter,
 * a region of fluid, and what can stand in its way.  Speckle is complex Gaussian, filtered
 * along and across the lines with the widths of a probe of the class (a Gaussian two-way
 * amplitude), so it is fully developed, and borders are blurred just as the beam blurs them.
 * Plane frame of base/image.h; levels in dB re tissue. */
#pragma once

#include "base/image.h"

#include <stdbool.h>
#include <stdint.h>

/* An ellipse, narrowed towards one end into a pear: half-axes along its own x and y, turned by
 * turn_rad from u towards v. */
typedef struct
{
  double u_mm, v_mm; /* centre */
  double half_x_mm, half_y_mm;
  double turn_rad;
  double pear; /* 0: an ellipse; < 1: y shrinks by 1 - pear x / half_x over +x */
} PainterRegion;

typedef enum
{
  PAINTER_BONE, /* a bright cap, then nothing */
  PAINTER_GAS,  /* a bright cap, then fading bands over a dirty grey */
  PAINTER_DRY,  /* bands under the face, then nothing */
} PainterObstacleKind;

/* Acts on the lines between two angles. */
typedef struct
{
  PainterObstacleKind kind;
  double from_rad, to_rad;
  double depth_mm; /* of the cap; nothing for dry */
  bool shares;     /* dry: lines share elements, so its edges are soft, and softer deeper */
} PainterObstacle;

#define PAINTER_OBSTACLES 4

typedef struct
{
  TarnImageGeometry geometry;
  double tissue_db;     /* under full white; -25 */
  double fluid_db;      /* -40 */
  double wall_db;       /* of a thin bright border; 0: none */
  double haze_db;       /* in the fluid at its near wall; -100: none */
  double haze_mm;       /* falls by a factor e in amplitude over this */
  double enhance_db_mm; /* brighter behind fluid, for each mm of it */
  double fade_db_mm;    /* tissue fades with depth */
  double noise_db;      /* at the face */
  double noise_db_mm;   /* rises with depth */
  double slope;         /* mm that the border moves for each mm across the slice */
  int regions;
  PainterRegion region[2];
  int obstacles;
  PainterObstacle obstacle[PAINTER_OBSTACLES];
  uint64_t seed;
} Painting;

/* The class's probe and no region: 192 lines over ±40°, 640 samples to 180 mm. */
Painting painter_default (void);

/* @grey: out, lines x samples. */
void painter_paint (const Painting *painting, uint8_t *grey);

/* Area and ∬ v dA of the first region as far as the sector holds it, by summing cells. */
void painter_truth (const Painting *painting, double *area_mm2, double *moment_mm3);
