/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * outline_kernel.h: the loops that take the time, built plain and for AVX2; the same bits
 * from both.  Private to outline/. */
#pragma once

#include <stdint.h>

#define BOX_REACH_MAX 24 /* of a box across lines, each way */

typedef struct
{
  /* Mean over @half neighbours each way.  @in must have BOX_REACH_MAX values before its first
   * and after its @count-th; @out room for @count rounded up to eight. */
  void (*box_across) (const float *in, int count, int half, float *out);

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
