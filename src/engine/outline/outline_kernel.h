/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * outline_kernel.h: the loops that take the time, built plain and for AVX2; the same bits
 * from both.  Private to outline/. */
#pragma once

#include <stdint.h>

#define BOX_REACH_MAX 24 /* of a box across lines, each way */

/* How tissue is followed and what is dark under it; see dark-map.c. */
typedef struct
{
  float rate, rise_db, fall_db; /* in one row */
  float forget;
  float bright_over_db;
  float under_db, under_least_db, noise_gap_db, noise_share;
  float soft_db;
} FollowRules;

/* Rows may be written up to the next multiple of eight. */
typedef struct
{
  /* Mean over @half neighbours each way.  @in must have BOX_REACH_MAX values before its first
   * and after its @count-th. */
  void (*box_across) (const float *in, int count, int half, float *out);

  /* Sum of @rows rows that stand @stride apart, times @share. */
  void (*add_rows) (const float *in, int stride, int rows, int count, float share, float *out);

  /* One row down: moves @tissue_db and @trust by the row's levels. */
  void (*follow) (const FollowRules *rules, const float *level_db, float noise_db, int count,
                  float *tissue_db, float *trust);
  /* One row's darkness, from -1 to 1, against its tissue. */
  void (*darkness) (const FollowRules *rules, const float *level_db, const float *tissue_db,
                    float noise_db, int count, float *dark);

  /* Angle from v towards u, and distance from the origin, of the points (u + k du, v + k dv),
   * k < @count, a multiple of eight. */
  void (*places) (float u, float v, float du, float dv, int count, float *angle_rad,
                  float *radius_mm);

  /* One step of dynamic programming over @count states, a multiple of eight: best[k] =
   * cost[k] + min over |s| <= @reach of before[k + s] + price s², and from[k] the s taken.
   * @before must have @reach values that never win before its first and after its last. */
  void (*advance) (const float *before, const float *cost, int count, int reach, float price,
                   float *best, int8_t *from);

  /* cost[s] = @scale Σ_k weight[s + k] (level[s + k] - model[k])², s < @shifts, a multiple of
   * eight, k < @count. */
  void (*match) (const float *level, const float *weight, const float *model, int count,
                 int shifts, float scale, float *cost);
} OutlineKernels;

extern const OutlineKernels outline_kernels_plain, outline_kernels_avx2;
