/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * rays.h: straight rays from a probe that has been put down, and what they meet; private to
 * coach/.
 *
 * Floor: engine.  Pure. */
#pragma once

#include "engine/acoustic/plane.h"
#include "engine/deform/deform.h"

/* What a ray meets. */
typedef enum
{
  TARN_MET_TISSUE,
  TARN_MET_URINE,
  TARN_MET_FLUID,  /* as dark as urine, and is none */
  TARN_MET_INSIDE, /* an object in the lumen */
  TARN_MET_BONE,
  TARN_MET_GAS,
  TARN_MET_AIR,
} TarnMet;

#define TARN_RAY_STEP_MM   2.0
#define TARN_RAY_STEPS_MAX 160
#define TARN_RAY_BINS_MAX  128 /* either way */

typedef struct
{
  int steps;             /* 0: not followed */
  int furthest;          /* so far it is wanted at least: a step's number */
  float bone_mm, gas_mm; /* range from the centre of curvature; INFINITY for none */
  float coupling;        /* of its aperture, there and back: 0 dry … 1 */
  float wet;             /* share of its aperture, the slice's thickness with it */
  uint8_t *tissue;       /* TarnTissue at the middle of each step */
} TarnRay;

/* Rays in the middle of bins of equal angles.  The field's bins are 0 … fan_bins - 1 along the
 * sweep by 0 … line_bins - 1 across the plane; there are bins all round it, with negative
 * numbers too. */
typedef struct
{
  TarnContact contact;
  TarnDeform deform;
  TarnImageGeometry geometry;
  double half_fan_rad;
  int fan_bins, line_bins;
  int fan_before, line_before; /* bins before the field */
  int fan_all, line_all;
  double fan_pitch_rad, line_pitch_rad;
  int field_steps; /* to the depth limit */
  double depth_gain_db_mm;
  TarnRay *ray; /* [fan_before + fan][line_before + line] */
  uint8_t *tissue;
  /* Of each tissue: what it counts for; what a step of it costs there and back, and how much
   * too deep the instrument shows its end. */
  uint8_t met[TARN_TISSUES];
  float loss_db[TARN_TISSUES], shift_mm[TARN_TISSUES];
} TarnRays;

/* Puts the probe down.  @film: not changed; NULL: wet all over.  Returns as
 * tarn_contact_solve (), or TARN_NO_MEMORY; unless TARN_OK there is nothing to clear. */
TarnStatus tarn_rays_init (TarnRays *rays, const TarnBody *body, const TarnPose *pose,
                           const TarnGelFilm *film, double depth_mm);
void tarn_rays_clear (TarnRays *rays);

/* The ray about these angles. */
TarnRay *tarn_rays_at (const TarnRays *rays, double fan_rad, double line_rad);
/* The ray of a bin in the field. */
static inline TarnRay *
tarn_rays_bin (const TarnRays *rays, int fan, int line)
{
  return &rays->ray[(rays->fan_before + fan) * rays->line_all + rays->line_before + line];
}

/* Follows every ray as far as it is wanted, and those of the field a little further, or to the
 * depth limit where other fluid may be.  In what is left out there is neither fluid nor what
 * hides it.
 * Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_rays_follow (TarnRays *rays, const TarnBody *body);
