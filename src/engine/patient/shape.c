/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/patient/shape.h"

#include <math.h>
#include <stddef.h>

#define RADIUS_LEAST 0.3f
#define RADIUS_MOST  1.7f
/* Cubics between nodes may pass them by so much. */
#define OVERSHOOT 1.15f

/* Face k stands across axis k / 2, on its positive side when k is even; u runs along the next
 * axis, v along the one after it. */
static double
part (TarnVec3 p, int axis)
{
  return axis == 0 ? p.x : axis == 1 ? p.y : p.z;
}

static TarnVec3
from_parts (int axis, double a, double b, double c)
{
  return axis == 0   ? tarn_vec3 (a, b, c)
         : axis == 1 ? tarn_vec3 (c, a, b)
                     : tarn_vec3 (b, c, a);
}

/* Where node @index stands along a face, -1 … 1 and a little beyond. */
static double
place_of (int index)
{
  return (index - TARN_SHAPE_RIM + 0.5) * (2.0 / TARN_SHAPE_NODES) - 1;
}

TarnVec3
tarn_shape_node (int face, int row, int column)
{
  double sign = face % 2 == 0 ? 1 : -1;
  return from_parts (face / 2, sign, place_of (column), place_of (row));
}

/* Catmull and Rom's weights of four nodes, and their slopes. */
static void
weights (double t, double weight[4], double slope[4])
{
  double t2 = t * t, t3 = t2 * t;
  weight[0] = 0.5 * (-t + 2 * t2 - t3);
  weight[1] = 0.5 * (2 - 5 * t2 + 3 * t3);
  weight[2] = 0.5 * (t + 4 * t2 - 3 * t3);
  weight[3] = 0.5 * (-t2 + t3);
  slope[0] = 0.5 * (-1 + 4 * t - 3 * t2);
  slope[1] = 0.5 * (-10 * t + 9 * t2);
  slope[2] = 0.5 * (1 + 8 * t - 9 * t2);
  slope[3] = 0.5 * (-2 * t + 3 * t2);
}

/* The node at or before @place, and how far beyond it. */
static int
node_before (double place, double *beyond)
{
  double at = (place + 1) * (TARN_SHAPE_NODES / 2.0) - 0.5 + TARN_SHAPE_RIM;
  int node = (int)at;
  *beyond = at - node;
  return node;
}

double
tarn_shape_radius (const TarnShape *shape, TarnVec3 d, TarnVec3 *slope)
{
  double x = fabs (d.x), y = fabs (d.y), z = fabs (d.z);
  int axis = x >= y && x >= z ? 0 : y >= z ? 1 : 2;
  double a = part (d, axis), per_a = 1 / fabs (a);
  double u = part (d, (axis + 1) % 3) * per_a, v = part (d, (axis + 2) % 3) * per_a;
  double tu, tv, wu[4], wv[4], su[4], sv[4];
  int column = node_before (u, &tu) - 1, row = node_before (v, &tv) - 1;
  weights (tu, wu, su);
  weights (tv, wv, sv);

  double radius = 0, along_u = 0, along_v = 0;
  for (int j = 0; j < 4; j++)
    {
      const float *node = &shape->radius[2 * axis + (a < 0)][row + j][column];
      double line = 0, change = 0;
      for (int i = 0; i < 4; i++)
        {
          line += wu[i] * (double)node[i];
          change += su[i] * (double)node[i];
        }
      radius += wv[j] * line;
      along_u += wv[j] * change;
      along_v += sv[j] * line;
    }
  if (slope != NULL)
    {
      /* From nodes to the direction: u = b / |a|, v = c / |a|. */
      double du = along_u * (TARN_SHAPE_NODES / 2.0) * per_a;
      double dv = along_v * (TARN_SHAPE_NODES / 2.0) * per_a;
      double da = -(u * du + v * dv) * (a < 0 ? -1 : 1);
      *slope = from_parts (axis, da, du, dv);
    }
  return radius;
}

void
tarn_shape_finish (TarnShape *shape)
{
  float most = 0;
  for (int face = 0; face < TARN_SHAPE_FACES; face++)
    for (int row = 0; row < TARN_SHAPE_SIDE; row++)
      for (int column = 0; column < TARN_SHAPE_SIDE; column++)
        {
          float *radius = &shape->radius[face][row][column];
          *radius = fminf (fmaxf (*radius, RADIUS_LEAST), RADIUS_MOST);
          most = fmaxf (most, fabsf (*radius - 1));
        }
  shape->most = most * OVERSHOOT;
  shape->any = true;
}
