/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The loops of outline_kernel.h.  Sums run in the same order in every lane and build. */
#include "engine/outline/outline_kernel.h"

#include "base/simd.h"

static void
box_across (const float *in, int count, int half, float *out)
{
  TarnF8 share = tarn_f8 (1.0f / (float)(2 * half + 1));

  for (int k = 0; k < count; k += TARN_LANES)
    {
      TarnF8 sum = tarn_f8_load (in + k - half);
      for (int n = 1 - half; n <= half; n++)
        sum += tarn_f8_load (in + k + n);
      tarn_f8_store (out + k, sum * share);
    }
}

static void
add_rows (const float *in, int stride, int rows, int count, float share, float *out)
{
  for (int k = 0; k < count; k += TARN_LANES)
    {
      TarnF8 sum = tarn_f8_load (in + k);
      for (int r = 1; r < rows; r++)
        sum += tarn_f8_load (in + r * stride + k);
      tarn_f8_store (out + k, sum * share);
    }
}

/* How far under tissue a cell counts as dark. */
TARN_INLINE TarnF8
dark_under (const FollowRules *rules, TarnF8 tissue, float noise_db)
{
  TarnF8 gap = tissue - noise_db, most = tarn_f8 (rules->under_db);
  TarnF8 under = tarn_f8_max (gap * rules->noise_share, tarn_f8 (rules->under_least_db));

  return tarn_f8_select (gap < rules->noise_gap_db, most, tarn_f8_min (under, most));
}

static void
follow (const FollowRules *rules, const float *level_db, float noise_db, int count,
        float *tissue_db, float *trust)
{
  for (int k = 0; k < count; k += TARN_LANES)
    {
      TarnF8 tissue = tarn_f8_load (tissue_db + k), trusted = tarn_f8_load (trust + k);
      TarnF8 over = tarn_f8_load (level_db + k) - tissue;
      TarnF8 move = tarn_f8_min (over * rules->rate, tarn_f8 (rules->rise_db));
      move = tarn_f8_max (move, tarn_f8 (-rules->fall_db));
      TarnI8 is_tissue
          = (over > -dark_under (rules, tissue, noise_db)) & (over < rules->bright_over_db);
      TarnF8 here = tarn_f8_select (is_tissue, tarn_f8 (1), tarn_f8 (0));
      trusted += (here - trusted) * rules->forget;
      tarn_f8_store (trust + k, trusted);
      tarn_f8_store (tissue_db + k, tissue + here * trusted * move);
    }
}

static void
darkness (const FollowRules *rules, const float *level_db, const float *tissue_db,
          float noise_db, int count, float *dark)
{
  float scale = 1 / rules->soft_db;

  for (int k = 0; k < count; k += TARN_LANES)
    {
      TarnF8 tissue = tarn_f8_load (tissue_db + k);
      TarnF8 threshold = tissue - dark_under (rules, tissue, noise_db);
      TarnF8 over = (tarn_f8_load (level_db + k) - threshold) * scale;
      tarn_f8_store (dark + k, tarn_f8_max (tarn_f8_min (over, tarn_f8 (1)), tarn_f8 (-1)));
    }
}

/* Arctangent on [0, 1] within 1e-5 rad (Abramowitz & Stegun 1964, 4.4.49), and its mirror
 * images for the rest of the circle. */
TARN_INLINE TarnF8
angle_of (TarnF8 u, TarnF8 v)
{
  TarnF8 a = tarn_f8_abs (u), b = tarn_f8_abs (v);
  TarnF8 high = tarn_f8_max (tarn_f8_max (a, b), tarn_f8 (1e-20f));
  TarnF8 q = tarn_f8_min (a, b) / high, s = q * q;
  TarnF8 angle
      = q
        * (0.9998660f
           + s * (-0.3302995f + s * (0.1801410f + s * (-0.0851330f + s * 0.0208351f))));
  angle = tarn_f8_select (a > b, 1.57079633f - angle, angle);
  angle = tarn_f8_select (v < 0, 3.14159265f - angle, angle);
  return tarn_f8_select (u < 0, -angle, angle);
}

static void
places (float u, float v, float du, float dv, int count, float *angle_rad, float *radius_mm)
{
  TarnF8 step = { 0, 1, 2, 3, 4, 5, 6, 7 };

  for (int k = 0; k < count; k += TARN_LANES, step += 8)
    {
      TarnF8 pu = u + step * du, pv = v + step * dv;
      tarn_f8_store (angle_rad + k, angle_of (pu, pv));
      tarn_f8_store (radius_mm + k, tarn_f8_sqrt (pu * pu + pv * pv));
    }
}

static void
advance (const float *before, const float *cost, int count, int reach, float price, float *best,
         int8_t *from)
{
  for (int k = 0; k < count; k += TARN_LANES)
    {
      TarnF8 least = tarn_f8_load (before + k);
      TarnI8 which = { 0 };
      for (int s = 1; s <= reach; s++)
        {
          TarnF8 step = tarn_f8 (price * (float)(s * s));
          TarnF8 up = tarn_f8_load (before + k + s) + step;
          TarnF8 down = tarn_f8_load (before + k - s) + step;
          TarnI8 better = up < least;
          which = (better & s) | (~better & which);
          least = tarn_f8_select (better, up, least);
          better = down < least;
          which = (better & -s) | (~better & which);
          least = tarn_f8_select (better, down, least);
        }
      tarn_f8_store (best + k, least + tarn_f8_load (cost + k));
      for (int n = 0; n < TARN_LANES; n++)
        from[k + n] = (int8_t)which[n];
    }
}

static void
match (const float *level, const float *weight, const float *model, int count, int shifts,
       float scale, float *cost)
{
  for (int s = 0; s < shifts; s += TARN_LANES)
    {
      TarnF8 sum = tarn_f8 (0);
      for (int k = 0; k < count; k++)
        {
          TarnF8 miss = tarn_f8_load (level + s + k) - model[k];
          sum += tarn_f8_load (weight + s + k) * (miss * miss);
        }
      tarn_f8_store (cost + s, sum * scale);
    }
}

const OutlineKernels TARN_KERNEL (outline_kernels) = {
  .box_across = box_across,
  .add_rows = add_rows,
  .follow = follow,
  .darkness = darkness,
  .places = places,
  .advance = advance,
  .match = match,
};
