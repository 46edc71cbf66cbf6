/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * label_map.h: a segmented volume: a small whole number for each voxel of a grid.
 *
 * Floor: base.  Frame: patient, +x left, +y back, +z head (DICOM axes, also called LPS); mm. */
#pragma once

#include "base/vec.h"

#include <stdint.h>

#define TARN_LABELS_MAX 255 /* different ones in a map, beside 0, which is no structure */

typedef struct
{
  int size[3];         /* voxels along each axis, the first runs fastest */
  TarnVec3 step_mm[3]; /* from a voxel to the next along each axis */
  TarnVec3 origin_mm;  /* the first voxel's middle */
  uint8_t *code;       /* size[0] * size[1] * size[2]: 0, or an index of value */
  int labels;          /* codes in use: 1 … labels */
  uint16_t value[TARN_LABELS_MAX + 1];  /* of each code, as in the file; value[0] is 0 */
  uint64_t voxels[TARN_LABELS_MAX + 1]; /* of each code */
} TarnLabelMap;

/* The middle of voxel (@i, @j, @k). */
static inline TarnVec3
tarn_label_map_point (const TarnLabelMap *map, double i, double j, double k)
{
  TarnVec3 p = tarn_add_scaled (map->origin_mm, map->step_mm[0], i);
  p = tarn_add_scaled (p, map->step_mm[1], j);
  return tarn_add_scaled (p, map->step_mm[2], k);
}

static inline double
tarn_label_map_voxel_mm3 (const TarnLabelMap *map)
{
  double volume = tarn_dot (map->step_mm[0], tarn_cross (map->step_mm[1], map->step_mm[2]));
  return volume < 0 ? -volume : volume;
}
