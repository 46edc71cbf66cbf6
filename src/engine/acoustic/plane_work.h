/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * plane_work.h: what the parts of the plane simulator share; private to this folder.
 *
 * The way of one plane
 *
 *   march      rays from the face through the pressed body, line by line: what the sound has
 *              lost by each sample (`gain`), where interfaces answer (`echo`), where bone, gas
 *              or air ends the line, where fluid lies, and by how much the true speeds shift
 *              echoes against the ruler of the instrument (`shift`).
 *   scatter    scatterers at hashed places in *material* coordinates, moved with the pressed
 *              tissue, each adds its phasor to the `grid` of lines × samples.
 *   finish     gain on the grid, interfaces, reverberation, then the pulse along each line and
 *              the beam across the lines, noise, envelope, display.
 *
 * Grids have TARN_MARGIN lines more on either side than the picture, so that beams at its
 * edges are whole; a picture cut out of a wider one is the narrower one to the bit.  For that,
 * every angle is counted from the middle line, and noise is drawn by distance from it.
 *
 * A grid row is a line from the face down, stride complex numbers (re, im) of them:
 *
 *     row k    re0 im0 re1 im1 … re(samples-1) im(samples-1) guard…
 */
#pragma once

#include "base/simd.h"
#include "engine/acoustic/beam.h"
#include "engine/acoustic/plane.h"

#include <stdint.h>

#define TARN_MARGIN   12 /* lines; the widest beam reaches as far */
#define TARN_ROWS_MAX (TARN_LINES_MAX + 2 * TARN_MARGIN)
/* Near the face beams span the most lines. */
#define TARN_NEAR_MM       40.0
#define TARN_TAIL_SAMPLES  10 /* beyond the picture, so that the pulse is whole at its end */
#define TARN_GUARD_SAMPLES 16
#define TARN_STRIDE_MAX    (TARN_SAMPLES_MAX + TARN_GUARD_SAMPLES)
#define TARN_ECHOES_MAX    24 /* interfaces on one line */
#define TARN_LAKES_MAX     8  /* stretches of fluid on one line */

/* Depths from the face, 1 mm apart. */
#define TARN_DEPTHS_MAX 512

/* A point where two tissues meet. */
typedef struct
{
  float sample;   /* as the instrument sees it */
  float echo;     /* amplitude re generic speckle at the same place, before losses */
  unsigned needs; /* of TARN_WITHOUT_BONE, _GAS: leave it out with these */
} TarnEcho;

/* A stretch of fluid: samples as the instrument sees them. */
typedef struct
{
  float from, to;
} TarnLake;

/* What the march found on one line. */
typedef struct
{
  int echoes, lakes;
  TarnEcho echo[TARN_ECHOES_MAX];
  TarnLake lake[TARN_LAKES_MAX];
  float bone_sample, gas_sample; /* where it meets them first; beyond samples if never */
  float end_sample;              /* air or a stone: nothing comes from behind it */
  float haze;                    /* amplitude of the near-wall reverberation */
  float ring;                    /* 0..1: this gas rings down as a bright streak */
} TarnLine;

/* How dense the scatterers are at one depth. */
typedef struct
{
  int strata;      /* whole sheets of a pattern */
  float fade;      /* amplitude of the one after them */
  float amplitude; /* makes the mean intensity 1 */
  float reach_mm;  /* beyond it, across the plane, the beam has no weight */
} TarnDepthRow;

/* A coarse polar table of the plane: where pressed points were at rest, and the ruler's error.
 * Columns stand every TARN_NODE_ROWS rows from the middle row, which has column `middle`,
 * whatever the picture's width; nodes every TARN_NODE_SAMPLES samples from the face. */
#define TARN_NODE_ROWS    12
#define TARN_NODE_SAMPLES 16
/* Nodes go on beyond the depth limit, as blocks of scatterers do. */
#define TARN_NODE_SPARE_MM 14.0
#define TARN_NODES_MAX     (TARN_SAMPLES_MAX / TARN_NODE_SAMPLES + 64)

typedef struct
{
  int columns, middle, depths;
  float *x, *y, *z; /* columns x depths: material − pressed, mm */
  float *shift;     /* columns x depths: apparent − true depth, mm */
} TarnNodes;

struct TarnPlaneWork
{
  bool plain;

  /* Set by tarn_plane_gather (). */
  TarnPlaneSetup setup;
  TarnBeam beam;
  int rows, stride; /* lines + 2 margins; samples + tail + guard */
  int samples;      /* of a row: the picture's and the tail's */
  int far_margin;   /* of the margins' lines, how many matter beyond TARN_NEAR_MM */
  double middle;    /* row of the sector's middle, may be a half */
  unsigned acting;
  TarnDepthRow depth[TARN_DEPTHS_MAX];

  float *grid;    /* rows x stride x 2 */
  float *gain;    /* rows x stride: losses and depth gain, amplitude */
  float *swap;    /* rows x stride x 2: the grid between the pulse and the beam */
  TarnLine *line; /* rows */

  TarnNodes nodes;

  struct TarnScatterTables *scatter;
  struct TarnFinishTables *finish;
};

/* Angle of a row from the axis. */
static inline double
tarn_row_angle_rad (const TarnPlaneWork *work, double row)
{
  return (row - work->middle) * work->setup.geometry.line_pitch_rad;
}

/* 2 atan (h) as an odd polynomial, |h| <= 0.85, within 7e-6 rad: half an angle's tangent is
 * u / (r + v).  The same numbers in the kernel and outside it. */
#define TARN_ATAN_1 1.99990994f
#define TARN_ATAN_3 -0.66401393f
#define TARN_ATAN_5 0.37736132f
#define TARN_ATAN_7 -0.20125375f
#define TARN_ATAN_9 0.06017587f

static inline float
tarn_angle_rad (float u, float v)
{
  float h = u / (sqrtf (u * u + v * v) + v + 1e-3f), h2 = h * h;
  return h * TARN_ATAN_1
         + h2 * h * (TARN_ATAN_3 + h2 * (TARN_ATAN_5 + h2 * (TARN_ATAN_7 + h2 * TARN_ATAN_9)));
}

/* A neighbour's weight is dropped where its exponent exceeds this. */
#define TARN_BEAM_EXPONENT_MAX 4.2
/* Variance, in lines, of the weights that make a beam of @width_mm: less what rounding a
 * scatterer to the nearest line has spread it already. */
double tarn_beam_variance_lines (const TarnImageGeometry *geometry, double radius_mm,
                                 double width_mm);

/* The folder's parts, in their order; each returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_nodes_fill (TarnPlaneWork *work); /* nodes.c */
void tarn_nodes_clear (TarnNodes *nodes);
TarnStatus tarn_march (TarnPlaneWork *work, unsigned without);
TarnStatus tarn_scatter (TarnPlaneWork *work, unsigned without);
TarnStatus tarn_finish (TarnPlaneWork *work, unsigned without, uint8_t *grey, float *echo_db);

/* Bilinear between nodes, clamped at the table's ends; @values: one of the tables. */
float tarn_nodes_at (const TarnNodes *nodes, const float *values, float rows_from_middle,
                     float samples_from_face);

/* The phantom's single reflectors, each well above the noise. */
void tarn_phantom_add_points (TarnPlaneWork *work);

struct TarnScatterTables *tarn_scatter_tables_new (void); /* NULL when memory runs out */
void tarn_scatter_tables_free (struct TarnScatterTables *tables);
struct TarnFinishTables *tarn_finish_tables_new (void); /* NULL when memory runs out */
void tarn_finish_tables_free (struct TarnFinishTables *tables);
