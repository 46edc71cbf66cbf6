/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The loops of outline_kernel.h.  Sums run in the same order in every lane and build. */
#include "engine/outline/outline_kernel.h"

#include "base/simd.h"

static void
box_across (const float *in, int count, int half, float *out)
{
  Lanes share = lanes_of (1.0f / (float)(2 * half + 1));

  for (int k = 0; k < count; k += LANES)
    {
      Lanes sum = lanes_load (in + k - half);
      for (int n = 1 - half; n <= half; n++)
        sum += lanes_load (in + k + n);
      lanes_store (out + k, sum * share);
    }
}

static void
add_rows (const float *in, int stride, int rows, int count, float share, float *out)
{
  for (int k = 0; k < count; k += LANES)
    {
      Lanes sum = lanes_load (in + k);
      for (int r = 1; r < rows; r++)
        sum += lanes_load (in + r * stride + k);
      lanes_store (out + k, sum * share);
    }
}

/* How far under tissue a cell counts as dark. */
TARN_INLINE Lanes
dark_under (const FollowRules *rules, Lanes tissue, float noise_db)
{
  Lanes gap = tissue - noise_db, most = lanes_of (rules->under_db);
  Lanes under = lanes_max (gap * rules->noise_share, lanes_of (rules->under_least_db));

  return lanes_select (gap < rules->noise_gap_db, most, lanes_min (under, most));
}

static void
follow (const FollowRules *rules, const float *level_db, float noise_db, int count,
        float *tissue_db, float *trust)
{
  for (int k = 0; k < count; k += LANES)
    {
      Lanes tissue = lanes_load (tissue_db + k), trusted = lanes_load (trust + k);
      Lanes over = lanes_load (level_db + k) - tissue;
      Lanes move = lanes_min (over * rules->rate, lanes_of (rules->rise_db));
      move = lanes_max (move, lanes_of (-rules->fall_db));
      LaneMask is_tissue
          = (over > -dark_under (rules, tissue, noise_db)) & (over < rules->bright_over_db);
      Lanes here = lanes_select (is_tissue, lanes_of (1), lanes_of (0));
      trusted += (here - trusted) * rules->forget;
      lanes_store (trust + k, trusted);
      lanes_store (tissue_db + k, tissue + here * trusted * move);
    }
}

static void
darkness (const FollowRules *rules, const float *level_db, const float *tissue_db,
          float noise_db, int count, float *dark)
{
  float scale = 1 / rules->soft_db;

  for (int k = 0; k < count; k += LANES)
    {
      Lanes tissue = lanes_load (tissue_db + k);
      Lanes threshold = tissue - dark_under (rules, tissue, noise_db);
      Lanes over = (lanes_load (level_db + k) - threshold) * scale;
      lanes_store (dark + k, lanes_max (lanes_min (over, lanes_of (1)), lanes_of (-1)));
    }
}

/* Arctangent on [0, 1] within 1e-5 rad (Abramowitz & Stegun 1964, 4.4.49), and its mirror
 * images for the rest of the circle. */
TARN_INLINE Lanes
angle_of (Lanes u, Lanes v)
{
  Lanes a = lanes_abs (u), b = lanes_abs (v);
  Lanes high = lanes_max (lanes_max (a, b), lanes_of (1e-20f));
  Lanes q = lanes_min (a, b) / high, s = q * q;
  Lanes angle = q
                * (0.9998660f
                   + s * (-0.3302995f + s * (0.1801410f + s * (-0.0851330f + s * 0.0208351f))));
  angle = lanes_select (a > b, 1.57079633f - angle, angle);
  angle = lanes_select (v < 0, 3.14159265f - angle, angle);
  return lanes_select (u < 0, -angle, angle);
}

static void
places (float u, float v, float du, float dv, int count, float *angle_rad, float *radius_mm)
{
  Lanes step = lanes_ramp ();

  for (int k = 0; k < count; k += LANES, step += LANES)
    {
      Lanes pu = u + step * du, pv = v + step * dv;
      lanes_store (angle_rad + k, angle_of (pu, pv));
      lanes_store (radius_mm + k, lanes_sqrt (pu * pu + pv * pv));
    }
}

static void
advance (const float *before, const float *cost, int count, int reach, float price, float *best,
         int8_t *from)
{
  for (int k = 0; k < count; k += LANES)
    {
      Lanes least = lanes_load (before + k);
      LaneMask which = { 0 };
      for (int s = 1; s <= reach; s++)
        {
          Lanes step = lanes_of (price * (float)(s * s));
          Lanes up = lanes_load (before + k + s) + step;
          Lanes down = lanes_load (before + k - s) + step;
          LaneMask better = up < least;
          which = (better & s) | (~better & which);
          least = lanes_select (better, up, least);
          better = down < least;
          which = (better & -s) | (~better & which);
          least = lanes_select (better, down, least);
        }
      lanes_store (best + k, least + lanes_load (cost + k));
      for (int n = 0; n < LANES; n++)
        from[k + n] = (int8_t)which[n];
    }
}

static void
match (const float *level, const float *weight, const float *model, int count, int shifts,
       float scale, float *cost)
{
  for (int s = 0; s < shifts; s += LANES)
    {
      Lanes sum = lanes_of (0);
      for (int k = 0; k < count; k++)
        {
          Lanes miss = lanes_load (level + s + k) - model[k];
          sum += lanes_load (weight + s + k) * (miss * miss);
        }
      lanes_store (cost + s, sum * scale);
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
