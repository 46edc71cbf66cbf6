/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/body/dent.h"

/* Below this radius a dent is not taken as flat; the same as for structures. */
#define ROUND_MM 12.0
/* How much the two distances may change over half a cell beyond what the rounding spans. */
#define BESIDE_MM 3.0

static inline TarnVec3
own_axes (const TarnDent *dent, TarnVec3 p_mm)
{
  return tarn_mat3_apply (&dent->turn, tarn_sub (p_mm, dent->centre_mm));
}

double
tarn_dent_distance_mm (const TarnDent *dent, TarnVec3 p_mm, TarnVec3 *gradient)
{
  TarnVec3 g;
  double distance
      = tarn_ellipsoid_distance_mm (&dent->shape, own_axes (dent, p_mm), &g) - dent->gap_mm;
  double sign = dent->bulge ? 1 : -1;
  if (gradient != NULL)
    *gradient = tarn_mat3_apply_transposed (&dent->turn, tarn_scale (g, sign));
  return sign * distance;
}

double
tarn_dents_blend_mm (const TarnDent *dent, int dents, TarnVec3 p_mm, double distance_mm,
                     TarnVec3 *gradient)
{
  for (int k = 0; k < dents; k++)
    {
      TarnVec3 g;
      double other = tarn_dent_distance_mm (&dent[k], p_mm, &g), round = dent[k].round_mm;
      bool takes_other = dent[k].bulge ? other < distance_mm : other > distance_mm;
      double apart = fabs (other - distance_mm);
      double most = takes_other ? other : distance_mm;
      /* The share of the one that gives way. */
      double share = apart < round ? 0.5 * (1 - apart / round) : 0;
      TarnVec3 main = takes_other ? g : *gradient, minor = takes_other ? *gradient : g;
      *gradient = tarn_add_scaled (main, tarn_sub (minor, main), share);
      distance_mm = most + (dent[k].bulge ? -1 : 1) * round * share * share;
    }
  return distance_mm;
}

bool
tarn_dents_are_bent (const TarnDent *dent, int dents, TarnVec3 p_mm, double distance_mm)
{
  for (int k = 0; k < dents; k++)
    {
      double other = tarn_dent_distance_mm (&dent[k], p_mm, NULL);
      if (fabs (other - distance_mm) < dent[k].round_mm + BESIDE_MM)
        return true;
      if (dent[k].shape.least_mm < ROUND_MM && fabs (other) < ROUND_MM)
        return true;
    }
  return false;
}

bool
tarn_dents_hold (const TarnDent *dent, int dents, TarnVec3 p_mm, double radius_mm)
{
  for (int k = 0; k < dents; k++)
    if (!dent[k].bulge
        && tarn_ellipsoid_side (&dent[k].shape, own_axes (&dent[k], p_mm), radius_mm) < 0)
      return true;
  return false;
}

bool
tarn_dents_do_not_add (const TarnDent *dent, int dents, TarnVec3 p_mm, double radius_mm,
                       double margin_mm)
{
  for (int k = 0; k < dents; k++)
    {
      double room = margin_mm + dent[k].gap_mm + 1.25 * dent[k].round_mm;
      if (dent[k].bulge
          && tarn_ellipsoid_least_mm (&dent[k].shape, own_axes (&dent[k], p_mm), radius_mm)
                 < room)
        return false;
    }
  return true;
}

double
tarn_dents_depth_mm (const TarnDent *dent, int dents, TarnVec3 p_mm, double radius_mm,
                     double distance_mm)
{
  double depth = 0, clear = INFINITY;
  for (int k = 0; k < dents; k++)
    {
      if (dent[k].bulge)
        continue;
      double least
          = tarn_ellipsoid_least_mm (&dent[k].shape, own_axes (&dent[k], p_mm), radius_mm)
            - dent[k].gap_mm;
      /* Three radii: two for the ball, one for a distance that is only of first order. */
      if (least > dent[k].round_mm - distance_mm + 3 * radius_mm)
        continue;
      depth += 0.25 * dent[k].round_mm;
      clear = fmin (clear, least);
    }
  return clear > depth ? depth : INFINITY;
}
