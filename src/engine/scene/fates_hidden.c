/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What hides a point, by straight rays.
 *
 * The rules are those of verdict/geometric.h: outside the field; behind the first bone, or gas,
 * on the ray; under an aperture that couples less than half.  But where those look at one ray
 * for each bin, a border drawn on a surface must not be made of bins: so a point asks the four
 * rays around it, and is hidden when they say so by more than half. */
#include "engine/scene/fates_hidden.h"

#include "base/units.h"

#include <stdlib.h>

#define PITCH_RAD    0.024
#define BINS_MAX     96
#define STEP_MM      2.0
#define STEPS_MAX    192
#define VOXELS_ALONG 28
#define BLOCK        64 /* a multiple of 8 */

struct TarnFateRay
{
  float furthest_mm; /* of urine near it; 0: not followed */
  float bone_mm, gas_mm;
  float coupling;
};
typedef struct TarnFateRay Ray;

/* Where a point shows. */
typedef struct
{
  double fan_rad, line_rad, range_mm;
} Sighting;

static Sighting
sight (const TarnContact *contact, TarnVec3 p_mm)
{
  TarnVec3 q = tarn_sub (p_mm, contact->centre_mm);
  double a = tarn_dot (q, contact->axis), e = tarn_dot (q, contact->elevation);
  double u = tarn_dot (q, contact->lateral);
  return (Sighting){ atan2 (e, a), atan2 (u, sqrt (a * a + e * e)), tarn_length (q) };
}

/* Voxels of the urine that counts, a row at a time, pressed. */
typedef struct
{
  const TarnBody *body;
  const TarnDeform *deform;
  double pitch_mm;
  float x[BLOCK], y[BLOCK], z[BLOCK];
} Voxels;

static int
voxel_row (Voxels *voxels, TarnVec3 from_mm, int count)
{
  int kept = 0;
  for (int k = 0; k < count && k < BLOCK; k++)
    {
      TarnVec3 p = { from_mm.x + k * voxels->pitch_mm, from_mm.y, from_mm.z };
      if (tarn_body_urine_distance_mm (voxels->body, p) >= 0
          || tarn_body_tissue (voxels->body, p) != TARN_TISSUE_URINE)
        continue;
      voxels->x[kept] = (float)p.x;
      voxels->y[kept] = (float)p.y;
      voxels->z[kept++] = (float)p.z;
    }
  for (int k = kept; k < (kept + 7) / 8 * 8; k++)
    voxels->x[k] = voxels->y[k] = voxels->z[k] = 0;
  tarn_deform_forward_many (voxels->deform, kept, voxels->x, voxels->y, voxels->z);
  return kept;
}

typedef void (*EachPoint) (void *context, TarnVec3 pressed_mm);

static void
each_voxel (const TarnBody *body, const TarnDeform *deform, EachPoint each, void *context)
{
  TarnVec3 low, high;
  tarn_body_urine_box (body, &low, &high);
  TarnVec3 size = tarn_sub (high, low);
  Voxels voxels = { .body = body, .deform = deform };
  double pitch = fmax (size.x, fmax (size.y, size.z)) / VOXELS_ALONG;
  voxels.pitch_mm = pitch;
  for (double z = low.z + pitch / 2; z < high.z; z += pitch)
    for (double y = low.y + pitch / 2; y < high.y; y += pitch)
      {
        int count = voxel_row (&voxels, tarn_vec3 (low.x + pitch / 2, y, z),
                               (int)ceil (size.x / pitch));
        for (int k = 0; k < count; k++)
          each (context,
                tarn_vec3 ((double)voxels.x[k], (double)voxels.y[k], (double)voxels.z[k]));
      }
}

/* The directions of all urine: the lumen's surface and the voxels. */
typedef struct
{
  const TarnContact *contact;
  double fan0, fan1, line0, line1;
} Extent;

static void
extend (void *context, TarnVec3 pressed_mm)
{
  Extent *extent = context;
  Sighting seen = sight (extent->contact, pressed_mm);
  extent->fan0 = fmin (extent->fan0, seen.fan_rad);
  extent->fan1 = fmax (extent->fan1, seen.fan_rad);
  extent->line0 = fmin (extent->line0, seen.line_rad);
  extent->line1 = fmax (extent->line1, seen.line_rad);
}

/* The four rays around a direction, and how much each has to say. */
static void
around (const TarnFateRays *rays, const Sighting *seen, Ray *ray[4], double weight[4])
{
  double row
      = tarn_clamp ((seen->fan_rad - rays->fan0_rad) / rays->pitch_rad, 0, rays->rows - 1.001);
  double column = tarn_clamp ((seen->line_rad - rays->line0_rad) / rays->pitch_rad, 0,
                              rays->columns - 1.001);
  int r = (int)row, c = (int)column;
  double t = row - r, s = column - c;
  for (int k = 0; k < 4; k++)
    {
      ray[k] = &rays->ray[(r + (k >> 1)) * rays->columns + c + (k & 1)];
      weight[k] = (k >> 1 ? t : 1 - t) * (k & 1 ? s : 1 - s);
    }
}

static void
reach (void *context, TarnVec3 pressed_mm)
{
  const TarnFateRays *rays = context;
  Sighting seen = sight (&rays->view.contact, pressed_mm);
  Ray *ray[4];
  double weight[4];
  around (rays, &seen, ray, weight);
  for (int k = 0; k < 4; k++)
    ray[k]->furthest_mm = fmaxf (ray[k]->furthest_mm, (float)seen.range_mm);
}

static void
follow (const TarnFateRays *rays, const TarnBody *body, int row, int column)
{
  const TarnProbe *probe = &tarn_body_patient (body)->probe;
  const TarnContact *contact = &rays->view.contact;
  Ray *ray = &rays->ray[row * rays->columns + column];
  double fan_rad = rays->fan0_rad + row * rays->pitch_rad;
  double line_rad = rays->line0_rad + column * rays->pitch_rad;
  float x[STEPS_MAX], y[STEPS_MAX], z[STEPS_MAX];
  int steps = (int)tarn_clamp (((double)ray->furthest_mm - probe->face_radius_mm) / STEP_MM + 1,
                               0, STEPS_MAX);

  TarnVec3 along = tarn_scale (contact->lateral, sin (line_rad));
  along = tarn_add_scaled (along, contact->axis, cos (line_rad) * cos (fan_rad));
  along = tarn_add_scaled (along, contact->elevation, cos (line_rad) * sin (fan_rad));
  ray->bone_mm = ray->gas_mm = INFINITY;
  ray->coupling = (float)tarn_face_coupling (contact, probe, fan_rad, line_rad);
  for (int k = 0; k < (steps + 7) / 8 * 8; k++)
    {
      TarnVec3 p = tarn_add_scaled (contact->centre_mm, along,
                                    probe->face_radius_mm + (k + 0.5) * STEP_MM);
      x[k] = (float)p.x;
      y[k] = (float)p.y;
      z[k] = (float)p.z;
    }
  tarn_deform_inverse_many (&rays->view.deform, steps, x, y, z);
  for (int k = 0; k < steps; k++)
    {
      TarnTissue tissue
          = tarn_body_tissue (body, tarn_vec3 ((double)x[k], (double)y[k], (double)z[k]));
      float range_mm = (float)(probe->face_radius_mm + (k + 0.5) * STEP_MM);
      if (tissue == TARN_TISSUE_BONE)
        ray->bone_mm = fminf (ray->bone_mm, range_mm);
      if (tissue == TARN_TISSUE_GAS)
        ray->gas_mm = fminf (ray->gas_mm, range_mm);
    }
}

TarnStatus
tarn_fate_rays_init (TarnFateRays *rays, const TarnBody *body, const TarnView *view)
{
  *rays = (TarnFateRays){ .view = *view, .pitch_rad = PITCH_RAD };
  Extent extent = { &view->contact, INFINITY, -INFINITY, INFINITY, -INFINITY };
  each_voxel (body, &view->deform, extend, &extent);
  if (!(extent.fan1 >= extent.fan0))
    extent.fan0 = extent.fan1 = extent.line0 = extent.line1 = 0;

  /* One ray beyond the voxels, whose middles do not reach the surface. */
  double most = fmax (extent.fan1 - extent.fan0, extent.line1 - extent.line0);
  rays->pitch_rad = fmax (PITCH_RAD, most / (BINS_MAX - 4));
  rays->fan0_rad = extent.fan0 - 1.5 * rays->pitch_rad;
  rays->line0_rad = extent.line0 - 1.5 * rays->pitch_rad;
  rays->rows = (int)((extent.fan1 - extent.fan0) / rays->pitch_rad) + 4;
  rays->columns = (int)((extent.line1 - extent.line0) / rays->pitch_rad) + 4;
  rays->ray = calloc ((size_t)rays->rows * (size_t)rays->columns, sizeof *rays->ray);
  if (rays->ray == NULL)
    return TARN_NO_MEMORY;
  each_voxel (body, &view->deform, reach, rays);
  for (int row = 0; row < rays->rows; row++)
    for (int column = 0; column < rays->columns; column++)
      follow (rays, body, row, column);
  return TARN_OK;
}

void
tarn_fate_rays_clear (TarnFateRays *rays)
{
  free (rays->ray);
  *rays = (TarnFateRays){ 0 };
}

static bool
outside_field (const TarnView *view, const Sighting *seen)
{
  const TarnImageGeometry *g = &view->geometry;
  return fabs (seen->fan_rad) > view->half_fan_rad || seen->line_rad < g->first_angle_rad
         || seen->line_rad > tarn_image_angle_rad (g, g->lines - 1)
         || seen->range_mm > g->face_radius_mm + tarn_image_depth_limit_mm (g);
}

unsigned
tarn_fates_hiding (const TarnFateRays *rays, TarnVec3 pressed_mm)
{
  Sighting seen = sight (&rays->view.contact, pressed_mm);
  Ray *ray[4];
  double weight[4], bone = 0, gas = 0, coupling = 0;
  around (rays, &seen, ray, weight);
  for (int k = 0; k < 4; k++)
    {
      bone += weight[k] * ((double)ray[k]->bone_mm < seen.range_mm);
      gas += weight[k] * ((double)ray[k]->gas_mm < seen.range_mm);
      coupling += weight[k] * (double)ray[k]->coupling;
    }
  unsigned hiding = 0;
  if (outside_field (&rays->view, &seen))
    hiding |= 1u << TARN_FATE_EDGE;
  if (bone > 0.5)
    hiding |= 1u << TARN_FATE_BONE;
  if (gas > 0.5)
    hiding |= 1u << TARN_FATE_GAS;
  if (coupling < TARN_COUPLED_MIN)
    hiding |= 1u << TARN_FATE_CONTACT;
  return hiding;
}

TarnFate
tarn_fate_first (unsigned hiding)
{
  for (int fate = TARN_FATE_EDGE; fate < TARN_FATES; fate++)
    if (hiding >> fate & 1)
      return (TarnFate)fate;
  return TARN_FATE_CAPTURED;
}

typedef struct
{
  const TarnFateRays *rays;
  double share[TARN_FATES], all;
} Tally;

static void
count (void *context, TarnVec3 pressed_mm)
{
  Tally *tally = context;
  unsigned hiding = tarn_fates_hiding (tally->rays, pressed_mm);
  int causes = __builtin_popcount (hiding);
  tally->all += 1;
  if (causes == 0)
    tally->share[TARN_FATE_CAPTURED] += 1;
  for (int fate = TARN_FATE_EDGE; fate < TARN_FATES; fate++)
    if (hiding >> fate & 1)
      tally->share[fate] += 1.0 / causes;
}

void
tarn_fates_volumes (const TarnFateRays *rays, const TarnBody *body, double ml[TARN_FATES])
{
  Tally tally = { .rays = rays };
  each_voxel (body, &rays->view.deform, count, &tally);
  double each_ml = tally.all > 0 ? tarn_body_true_volume_ml (body) / tally.all : 0;
  for (int fate = 0; fate < TARN_FATES; fate++)
    ml[fate] = each_ml * tally.share[fate];
}
