/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * ellipsoid.h: distances and sides of an ellipsoid, open for fast loops.
 *
 * Floor: engine.  Internal to body/.  All points are in the ellipsoid's own axes, from its
 * middle; mm. */
#pragma once

#include "base/vec.h"

#include <stddef.h>

typedef struct
{
  TarnVec3 half_mm;
  double least_mm; /* the smallest of the three */
} TarnEllipsoid;

/* Below 1 inside. */
static inline double
tarn_ellipsoid_squared (const TarnEllipsoid *e, TarnVec3 own)
{
  double x = own.x / e->half_mm.x, y = own.y / e->half_mm.y, z = own.z / e->half_mm.z;
  return x * x + y * y + z * z;
}

/* |q| (|q| - 1) / |q / half|: level over slope, never more than the true distance outside.
 * @gradient: out, unit, in the ellipsoid's own axes; 0 in its middle. */
static inline double
tarn_ellipsoid_distance_mm (const TarnEllipsoid *e, TarnVec3 own, TarnVec3 *gradient)
{
  TarnVec3 slope
      = { own.x / (e->half_mm.x * e->half_mm.x), own.y / (e->half_mm.y * e->half_mm.y),
          own.z / (e->half_mm.z * e->half_mm.z) };
  double n = sqrt (tarn_ellipsoid_squared (e, own)), steep = tarn_length (slope);
  if (steep < 1e-9)
    {
      if (gradient != NULL)
        *gradient = tarn_vec3 (0, 0, 0);
      return -e->least_mm;
    }
  if (gradient != NULL)
    *gradient = tarn_scale (slope, 1 / steep);
  return n * (n - 1) / steep;
}

/* That distance is nowhere within @radius_mm less than this. */
static inline double
tarn_ellipsoid_least_mm (const TarnEllipsoid *e, TarnVec3 own, double radius_mm)
{
  return (sqrt (tarn_ellipsoid_squared (e, own)) - 1) * e->least_mm - radius_mm;
}

/* +1 outside, -1 inside, 0 not known; rigorous, as the level is convex and 1/least_mm its
 * steepest slope. */
static inline int
tarn_ellipsoid_side (const TarnEllipsoid *e, TarnVec3 own, double radius_mm)
{
  double n = sqrt (tarn_ellipsoid_squared (e, own));
  if (n < 1)
    return (1 - n) * e->least_mm > radius_mm ? -1 : 0;
  return tarn_ellipsoid_distance_mm (e, own, NULL) > radius_mm ? 1 : 0;
}
