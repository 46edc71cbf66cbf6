/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * parts.h: what the outline's files share among themselves; nobody else includes it.
 *
 * Floor: engine, private to outline/.
 *
 * The way of the picture:
 *   dark-map.c  folds samples into rows, smooths, follows the tissue's level down the picture
 *               and says of each cell how dark it is against it
 *   dry.c       finds the lines whose elements have no contact
 *   shadow.c    finds the lines that are black from a bright cap down to the depth limit
 *   seed.c      dark patches, nearest first
 *   path.c      rays about the seed, closed dynamic programming: the coarse border
 *   bridge.c    carries the border over where it was not seen, with gap.c
 *   border.c    the fine border, against what a beam makes of a step
 *   outline.c   the order of all that, evidence, and whether to believe it
 *
 * Levels are dB under full white, so never positive. */
#pragma once

#include "engine/outline/outline.h"
#include "engine/outline/outline_kernel.h"

#include <stdint.h>

#define ROWS_MAX       416
#define RAYS           TARN_OUTLINE_POINTS
#define RADII          128 /* along a ray, RADIUS_STEP_MM apart */
#define PATCHES        8   /* seeds tried before giving up */
#define RADIUS_STEP_MM 1.0f

/* The closed optimum over all rays: dynamic programming goes round one and a half times, and
 * the lap in the middle is kept, where neither end is felt. */
#define LAPS_RAYS      (RAYS + RAYS / 2)
#define LAP_FIRST      (RAYS / 4)
#define NEVER_COST     1e30f /* of what is beyond the states */
#define FORBIDDEN_COST 1e9f  /* of a state that is not to be taken */
#define RADIUS_JUMPS   5     /* a radius may change so many steps from ray to ray */
#define PADDED_RADII   (RADII + 2 * RADIUS_JUMPS)

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
  float dim_db[TARN_LINES_MAX];    /* never above 0: how much dry elements dim it */
  bool is_dry[TARN_LINES_MAX];     /* the line tells nothing */
  float noise_db[ROWS_MAX];        /* the darkest that the row shows */
  int shadow_from[TARN_LINES_MAX]; /* first row of this line that is in shadow; or rows */
  /* Row after row, lines wide. */
  float tissue_db[ROWS_MAX * TARN_LINES_MAX + 8]; /* what tissue shows here */
  float level_db[ROWS_MAX * TARN_LINES_MAX + 8];  /* smoothed */
  float dark[ROWS_MAX * TARN_LINES_MAX + 8];      /* -1 fluid … +1 tissue, 0 cannot tell */
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
  const OutlineKernels *kernels;
  float ray_u[RAYS], ray_v[RAYS]; /* unit directions */
  StepShape step;
  DarkMap map;
  /* Scratch of dark-map.c and seed.c; folded has room for whole eights at its end. */
  float folded[ROWS_MAX * TARN_LINES_MAX + 8];
  float padded[TARN_LINES_MAX + 2 * BOX_REACH_MAX + 8];
  int patch[ROWS_MAX * TARN_LINES_MAX];
  int queue[ROWS_MAX * TARN_LINES_MAX];
  /* Scratch of path.c: [ray][radius]. */
  float cost[RAYS * RADII];
  float best[LAPS_RAYS * PADDED_RADII]; /* with margins that never win */
  int8_t from[LAPS_RAYS * RADII];
};

/* dark-map.c: fills work->map but for the shadows, having asked dry.c.  False: a picture with
 * nothing in it. */
bool tarn_dark_map_fill (TarnOutlineWork *work, const TarnImage *image,
                         const TarnOutlineHints *hints);
/* Mean over @half lines each way, mirrored at the sides; @out with room for whole eights. */
void tarn_box_across (TarnOutlineWork *work, const float *in, int half, float *out);
/* How many lines a width at a row takes up, at most what a box may reach. */
int tarn_lines_within (const DarkMap *map, int row, float width_mm);
/* The cell at an angle and a distance from the centre of curvature; -1 outside the sector. */
int tarn_dark_map_cell (const DarkMap *map, float angle_rad, float radius_mm);
/* A point as (line, row), fractions kept.  Not for loops that take time. */
void tarn_dark_map_place (const DarkMap *map, float u_mm, float v_mm, float *line, float *row);
/* Whether a shadow lies within so many lines of a point. */
bool tarn_dark_map_by_shadow (const DarkMap *map, float u_mm, float v_mm, int lines);

/* dry.c: fills map->dim_db and is_dry.  False: a picture of hardly anything but dry lines. */
bool tarn_dry_mark (DarkMap *map, const TarnImage *image, const TarnOutlineHints *hints);

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
