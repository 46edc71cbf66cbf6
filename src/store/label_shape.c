/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "store/label_shape.h"

#include "base/units.h"
#include "store/nrrd.h"

#include <math.h>
#include <string.h>

/* Rays for each node of a shape, each way: voxels are corners, their mean is smooth. */
#define RAYS 5
/* Steps along a ray for each voxel. */
#define STEPS_PER_VOXEL 2.0

static int
code_of (const TarnLabelMap *map, uint16_t label)
{
  for (int code = 1; code <= map->labels; code++)
    if (map->value[code] == label)
      return code;
  return 0;
}

/* ---- From points to voxels ---- */

/* Rows of the inverse of the matrix whose columns are the steps. */
typedef struct
{
  const TarnLabelMap *map;
  TarnVec3 row[3];
  int code;
} Lookup;

static Lookup
lookup_of (const TarnLabelMap *map, int code)
{
  const TarnVec3 *s = map->step_mm;
  double volume = tarn_dot (s[0], tarn_cross (s[1], s[2]));
  return (Lookup){ .map = map,
                   .code = code,
                   .row = { tarn_scale (tarn_cross (s[1], s[2]), 1 / volume),
                            tarn_scale (tarn_cross (s[2], s[0]), 1 / volume),
                            tarn_scale (tarn_cross (s[0], s[1]), 1 / volume) } };
}

static gboolean
holds (const Lookup *lookup, TarnVec3 p_mm)
{
  const TarnLabelMap *map = lookup->map;
  TarnVec3 d = tarn_sub (p_mm, map->origin_mm);
  gsize at[3];
  for (int k = 0; k < 3; k++)
    {
      double index = floor (tarn_dot (lookup->row[k], d) + 0.5);
      if (!(index >= 0 && index < map->size[k]))
        return FALSE;
      at[k] = (gsize)index;
    }
  return map->code[(at[2] * (gsize)map->size[1] + at[1]) * (gsize)map->size[0] + at[0]]
         == lookup->code;
}

/* ---- Where a label lies ---- */

typedef struct
{
  double count;
  TarnVec3 sum;
  double square[3][3]; /* sums of products */
  TarnVec3 low, high;
} Moments;

static void
add_voxel (Moments *moments, TarnVec3 p)
{
  const double x[3] = { p.x, p.y, p.z };
  moments->count++;
  moments->sum = tarn_add (moments->sum, p);
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++)
      moments->square[i][j] += x[i] * x[j];
  moments->low = tarn_vec3 (fmin (moments->low.x, p.x), fmin (moments->low.y, p.y),
                            fmin (moments->low.z, p.z));
  moments->high = tarn_vec3 (fmax (moments->high.x, p.x), fmax (moments->high.y, p.y),
                             fmax (moments->high.z, p.z));
}

static Moments
moments_of (const TarnLabelMap *map, int code)
{
  Moments moments = { .low = { INFINITY, INFINITY, INFINITY },
                      .high = { -INFINITY, -INFINITY, -INFINITY } };
  gsize at = 0;
  for (int k = 0; k < map->size[2]; k++)
    for (int j = 0; j < map->size[1]; j++)
      for (int i = 0; i < map->size[0]; i++, at++)
        if (map->code[at] == code)
          add_voxel (&moments, tarn_label_map_point (map, i, j, k));
  return moments;
}

/* One rotation of Jacobi's method: makes a[p][q] 0, and turns @axes alike. */
static void
rotate (double a[3][3], double axes[3][3], int p, int q)
{
  if (fabs (a[p][q]) < 1e-12)
    return;
  double angle = 0.5 * atan2 (2 * a[p][q], a[q][q] - a[p][p]);
  double c = cos (angle), s = sin (angle);
  for (int k = 0; k < 3; k++)
    {
      double x = a[k][p], y = a[k][q];
      a[k][p] = c * x - s * y;
      a[k][q] = s * x + c * y;
    }
  for (int k = 0; k < 3; k++)
    {
      double x = a[p][k], y = a[q][k];
      a[p][k] = c * x - s * y;
      a[q][k] = s * x + c * y;
      x = axes[p][k];
      y = axes[q][k];
      axes[p][k] = c * x - s * y;
      axes[q][k] = s * x + c * y;
    }
}

/* Which principal axis goes with which of the body's, so that turns stay small; right-handed.
 * @axis: rows, reordered with @spread. */
static void
order_axes (double axis[3][3], double spread[3])
{
  for (int k = 0; k < 2; k++)
    {
      int best = k;
      for (int j = k + 1; j < 3; j++)
        if (fabs (axis[j][k]) > fabs (axis[best][k]))
          best = j;
      for (int i = 0; i < 3; i++)
        {
          double kept = axis[k][i];
          axis[k][i] = axis[best][i];
          axis[best][i] = kept;
        }
      double kept = spread[k];
      spread[k] = spread[best];
      spread[best] = kept;
    }
  for (int k = 0; k < 2; k++)
    if (axis[k][k] < 0)
      for (int i = 0; i < 3; i++)
        axis[k][i] = -axis[k][i];
  TarnVec3 third = tarn_cross (tarn_vec3 (axis[0][0], axis[0][1], axis[0][2]),
                               tarn_vec3 (axis[1][0], axis[1][1], axis[1][2]));
  axis[2][0] = third.x;
  axis[2][1] = third.y;
  axis[2][2] = third.z;
}

/* Turns about x, then y, then z that bring the body's axes onto the rows of @axis. */
static TarnVec3
turns_of (double axis[3][3])
{
  /* The turned axes are the columns of Rz Ry Rx: row k of @axis is column k. */
  double y = asin (tarn_clamp (-axis[0][2], -1, 1));
  double x = atan2 (axis[1][2], axis[2][2]), z = atan2 (axis[0][1], axis[0][0]);
  return tarn_vec3 (tarn_deg_from_rad (x), tarn_deg_from_rad (y), tarn_deg_from_rad (z));
}

/* An ellipsoid of half axis r has the variance r² / 5 along it. */
static void
fit_ellipsoid (const Moments *moments, TarnLabelPart *part)
{
  double a[3][3], axis[3][3] = { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } }, spread[3];
  const double c[3] = { part->centre_mm.x, part->centre_mm.y, part->centre_mm.z };
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++)
      a[i][j] = moments->square[i][j] / moments->count - c[i] * c[j];
  for (int sweep = 0; sweep < 12; sweep++)
    {
      rotate (a, axis, 0, 1);
      rotate (a, axis, 0, 2);
      rotate (a, axis, 1, 2);
    }
  for (int k = 0; k < 3; k++)
    spread[k] = a[k][k];
  order_axes (axis, spread);
  part->radii_mm = tarn_vec3 (sqrt (5 * fmax (spread[0], 0)), sqrt (5 * fmax (spread[1], 0)),
                              sqrt (5 * fmax (spread[2], 0)));
  part->turn_deg = turns_of (axis);
}

gboolean
tarn_label_part (const TarnLabelMap *map, uint16_t label, TarnLabelPart *part)
{
  int code = code_of (map, label);
  if (code == 0 || map->voxels[code] == 0)
    return FALSE;
  Moments moments = moments_of (map, code);
  *part = (TarnLabelPart){
    .label = label,
    .volume_ml = moments.count * tarn_label_map_voxel_mm3 (map) / TARN_MM3_PER_ML,
    .low_mm = moments.low,
    .high_mm = moments.high,
    .centre_mm = tarn_scale (moments.sum, 1 / moments.count),
  };
  fit_ellipsoid (&moments, part);
  return TRUE;
}

/* ---- Its shape ---- */

/* Half of the box around it, which the shape is measured in. */
static TarnVec3
half_box (const TarnLabelPart *part)
{
  TarnVec3 size = tarn_sub (part->high_mm, part->low_mm);
  return tarn_vec3 (fmax (size.x / 2, 0.5), fmax (size.y / 2, 0.5), fmax (size.z / 2, 0.5));
}

/* The radius that holds as much as the ray meets of the label: the cube root of 3 ∫ r² dr. */
static double
ray_radius (const Lookup *lookup, const TarnLabelPart *part, TarnVec3 half_mm,
            TarnVec3 direction, double step)
{
  double cube = 0;
  /* The box reaches at most to its own far corner. */
  for (double r = step / 2; r < 4; r += step)
    {
      TarnVec3 p = { part->centre_mm.x + half_mm.x * direction.x * r,
                     part->centre_mm.y + half_mm.y * direction.y * r,
                     part->centre_mm.z + half_mm.z * direction.z * r };
      if (holds (lookup, p))
        cube += 3 * r * r * step;
    }
  return cbrt (cube);
}

static double
node_radius (const Lookup *lookup, const TarnLabelPart *part, TarnVec3 half_mm, int face,
             int row, int column, double step)
{
  TarnVec3 middle = tarn_shape_node (face, row, column);
  TarnVec3 right = tarn_sub (tarn_shape_node (face, row, column + 1), middle);
  TarnVec3 down = tarn_sub (tarn_shape_node (face, row + 1, column), middle);
  double cube = 0;
  for (int j = 0; j < RAYS; j++)
    for (int i = 0; i < RAYS; i++)
      {
        TarnVec3 d = tarn_add_scaled (middle, right, (i + 0.5) / RAYS - 0.5);
        d = tarn_normalize (tarn_add_scaled (d, down, (j + 0.5) / RAYS - 0.5));
        double radius = ray_radius (lookup, part, half_mm, d, step);
        cube += radius * radius * radius;
      }
  return cbrt (cube / (RAYS * RAYS));
}

static double
agreement_of (const Lookup *lookup, const TarnLabelPart *part, TarnVec3 half_mm,
              const TarnShape *shape)
{
  const TarnLabelMap *map = lookup->map;
  double both = 0, in_shape = 0;
  for (int k = 0; k < map->size[2]; k++)
    for (int j = 0; j < map->size[1]; j++)
      for (int i = 0; i < map->size[0]; i++)
        {
          TarnVec3 d = tarn_sub (tarn_label_map_point (map, i, j, k), part->centre_mm);
          TarnVec3 q = { d.x / half_mm.x, d.y / half_mm.y, d.z / half_mm.z };
          double length = tarn_length (q);
          if (length > 2 || (length > 0 && length > tarn_shape_radius (shape, q, NULL)))
            continue;
          in_shape++;
          both += holds (lookup, tarn_label_map_point (map, i, j, k));
        }
  return 2 * both / (in_shape + (double)map->voxels[lookup->code]);
}

void
tarn_label_shape (const TarnLabelMap *map, const TarnLabelPart *part, TarnShape *shape,
                  double *agreement)
{
  Lookup lookup = lookup_of (map, code_of (map, part->label));
  TarnVec3 half_mm = half_box (part);
  double voxel_mm = cbrt (tarn_label_map_voxel_mm3 (map));
  double step = voxel_mm / STEPS_PER_VOXEL / fmax (half_mm.x, fmax (half_mm.y, half_mm.z));
  *shape = (TarnShape){ 0 };
  for (int face = 0; face < TARN_SHAPE_FACES; face++)
    for (int row = 0; row < TARN_SHAPE_SIDE; row++)
      for (int column = 0; column < TARN_SHAPE_SIDE; column++)
        shape->radius[face][row][column] = (float)node_radius (&lookup, part, half_mm, face,
                                                               row, column, fmax (step, 0.004));
  tarn_shape_finish (shape);
  if (agreement != NULL)
    *agreement = agreement_of (&lookup, part, half_mm, shape);
}
