/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * parts.h: what the outline's files share among themselves; nobody else includes it.
 *
 * Floor: engine, private to outline/.
 *
 * The way of the picture:
 *   dark-map.c  folds samples into rows, smooths, follows the tissue's level down the picture
 *               and says of each cell how dark it is against it
 *   shadow.c    finds the lines that are black from a bright cap down to the depth limit
 *   seed.c      dark patches, nearest first
 *   path.c      rays about the seed, closed dynamic programming: the coarse border
 *   bridge.c    carries the border over where it was not seen
 *   border.c    the fine border, against what a beam makes of a step
 *   outline.c   the order of all that, evidence, and whether to believe it
 *
 * Levels are dB under full white, so never positive. */
#pragma once

#include "engine/outline/outline.h"

#include <stdint.h>

#define ROWS_MAX       416
#define RAYS           TARN_OUTLINE_POINTS
#define RADII          128 /* along a ray, RADIUS_STEP_MM apart */
#define PATCHES        8   /* seeds tried before giving up */
#define RADIUS_STEP_MM 1.0f

/* How dark the picture is, in the polar frame of its lines but with fewer, longer samples.
 * Row r is at first_radius_mm + r row_pitch_mm from the centre of curvature. */
typedef struct
{
  int lines, rows;
  int fold; /* samples in a row */
  float first_angle_rad, line_pitch_rad;
  float first_radius_mm, row_pitch_mm;
  float side_low_rad, side_high_rad; /* the sector's sides */
  float near_mm, far_mm;             /* face and depth limit, from the centre of curvature */
  float db_per_grey;
  float noise_db[ROWS_MAX];        /* the darkest that the row shows */
  int shadow_from[TARN_LINES_MAX]; /* first row of this line that is in shadow; or rows */
  float tissue_db[ROWS_MAX
                  * TARN_LINES_MAX]; /* what tissue shows here; row after row, lines wide */
  float level_db[ROWS_MAX * TARN_LINES_MAX]; /* smoothed */
  float dark[ROWS_MAX * TARN_LINES_MAX];     /* -1 fluid … +1 tissue, 0 cannot tell */
} DarkMap;

/* A place inside a dark patch, and the patch's size. */
typedef struct
{
  float u_mm, v_mm;
  float area_mm2;
  float distance_mm; /* of the patch's nearest cell from where we look */
} Seed;

/* The border about a seed: a radius for each ray, with what is known of it. */
typedef struct
{
  float u_mm, v_mm;
  float radius_mm[RAYS];
  float exit_mm[RAYS];     /* where the ray leaves the sector */
  float contrast_db[RAYS]; /* outside over inside; 0 where not measured */
  uint8_t evidence[RAYS];
  float guide_mm[RAYS];  /* the neighbouring plane's border along the ray; 0: none */
  bool guide_seen[RAYS]; /* and it was seen there */
} Path;

/* What a beam makes of a step from tissue to fluid: mean level in dB re tissue, clipped, at
 * t = distance into the fluid in units of the blur.  See border.c. */
#define STEP_CELLS 192
#define STEP_REACH 6.0f
typedef struct
{
  float level_db[STEP_CELLS + 1];
} StepShape;

struct TarnOutlineWork
{
  bool plain;                     /* no AVX2 */
  float ray_u[RAYS], ray_v[RAYS]; /* unit directions */
  StepShape step;
  DarkMap map;
  /* Scratch of dark-map.c and seed.c. */
  float folded[ROWS_MAX * TARN_LINES_MAX];
  float prefix[TARN_LINES_MAX + 1];
  int patch[ROWS_MAX * TARN_LINES_MAX];
  int queue[ROWS_MAX * TARN_LINES_MAX];
  /* Scratch of path.c: [ray][radius]. */
  float cost[RAYS * RADII];
  float best[2 * RAYS * RADII];
  int8_t jump[2 * RAYS * RADII];
};

/* dark-map.c: fills work->map but for the shadows.  False: a picture with nothing in it. */
bool tarn_dark_map_fill (TarnOutlineWork *work, const TarnImage *image, double range_db);
/* Darkness at a point of the plane; NAN outside the sector. */
float tarn_dark_map_at (const DarkMap *map, float u_mm, float v_mm);
/* A point as (line, row), fractions kept. */
void tarn_dark_map_place (const DarkMap *map, float u_mm, float v_mm, float *line, float *row);
/* Whether a shadow lies within so many lines of a point. */
bool tarn_dark_map_by_shadow (const DarkMap *map, float u_mm, float v_mm, int lines);

/* shadow.c: fills map->shadow_from and makes the cells below it unknown. */
void tarn_shadow_mark (DarkMap *map, const TarnImage *image);

/* seed.c: up to PATCHES of them, nearest to (u, v) first; returns how many. */
int tarn_seed_find (TarnOutlineWork *work, float u_mm, float v_mm, Seed *seed);

/* path.c: the coarse border about path->u_mm, v_mm. */
void tarn_path_find (TarnOutlineWork *work, Path *path);

/* bridge.c: the neighbour's border along our rays, and the border where it was not seen. */
void tarn_path_guide (const TarnOutlineWork *work, const TarnOutline *neighbour, Path *path);
void tarn_path_bridge (const TarnOutlineWork *work, Path *path);

/* border.c: moves the path to the middle of the edge, and measures the contrast there. */
void tarn_step_shape_init (StepShape *step);
void tarn_border_refine (TarnOutlineWork *work, const TarnImage *image,
                         const TarnOutlineHints *hints, Path *path);

/* atan2 (u, v) within 1e-5 rad, for v > 0 or u ≠ 0; the same bits everywhere. */
static inline float
tarn_beam_angle_rad (float u, float v)
{
  float a = fabsf (u), b = fabsf (v);
  float low = a < b ? a : b, high = a < b ? b : a;
  float q = high > 0 ? low / high : 0, s = q * q;
  /* Minimax polynomial of arctangent on [0, 1] (Abramowitz & Stegun 1964, 4.4.49). */
  float angle = q
                * (0.9998660f
                   + s * (-0.3302995f + s * (0.1801410f + s * (-0.0851330f + s * 0.0208351f))));
  angle = a > b ? 1.57079633f - angle : angle;
  angle = v < 0 ? 3.14159265f - angle : angle;
  return u < 0 ? -angle : angle;
}
