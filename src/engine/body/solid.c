/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/body/solid.h"

#include "base/units.h"

/* Wall thicknesses, own design values. */
#define CYST_WALL_MM   1.5
#define GRAVID_WALL_MM 6.0

/* How far a neck runs on into what it joins. */
#define NECK_OVERLAP_MM 3.0

static const TarnTissue tissue_of[TARN_STRUCTURE_KINDS] = {
  [TARN_STRUCTURE_CYST] = TARN_TISSUE_FLUID,
  [TARN_STRUCTURE_ASCITES] = TARN_TISSUE_FLUID,
  [TARN_STRUCTURE_UTERUS] = TARN_TISSUE_ORGAN,
  [TARN_STRUCTURE_PROSTATE] = TARN_TISSUE_ORGAN,
  [TARN_STRUCTURE_GRAVID_UTERUS] = TARN_TISSUE_FLUID,
  [TARN_STRUCTURE_DIVERTICULUM] = TARN_TISSUE_URINE,
  [TARN_STRUCTURE_BALLOON] = TARN_TISSUE_BALLOON,
  [TARN_STRUCTURE_CLOT] = TARN_TISSUE_CLOT,
  [TARN_STRUCTURE_STONE] = TARN_TISSUE_STONE,
  [TARN_STRUCTURE_HAEMATOMA] = TARN_TISSUE_HAEMATOMA,
  [TARN_STRUCTURE_BOWEL] = TARN_TISSUE_BOWEL,
  [TARN_STRUCTURE_BOWEL_GAS] = TARN_TISSUE_GAS,
  [TARN_STRUCTURE_SCAR] = TARN_TISSUE_SCAR,
};

static TarnEllipsoid
ellipsoid (TarnVec3 half_mm, double add_mm)
{
  TarnVec3 h = tarn_add (half_mm, tarn_vec3 (add_mm, add_mm, add_mm));
  return (TarnEllipsoid){ h, fmin (h.x, fmin (h.y, h.z)) };
}

/* Turned about x, then y, then z: the images of the three axes. */
static TarnMat3
turned (TarnVec3 deg)
{
  static const TarnVec3 unit[3] = { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } };
  TarnMat3 turn;
  for (int k = 0; k < 3; k++)
    {
      TarnVec3 v = tarn_rotate (unit[k], unit[0], tarn_rad_from_deg (deg.x));
      v = tarn_rotate (v, unit[1], tarn_rad_from_deg (deg.y));
      turn.row[k] = tarn_rotate (v, unit[2], tarn_rad_from_deg (deg.z));
    }
  return turn;
}

void
tarn_solid_init (TarnSolid *solid, const TarnStructure *structure, double wall_mm)
{
  TarnVec3 half = structure->radii_mm;
  *solid = (TarnSolid){
    .kind = structure->kind,
    .counts = structure->counts,
    .centre_mm = structure->centre_mm,
    .turn = turned (structure->turn_deg),
    .outer = ellipsoid (half, 0),
    .inner = ellipsoid (half, 0),
    .inner_tissue = tissue_of[structure->kind],
    .outer_tissue = tissue_of[structure->kind],
  };

  switch (structure->kind)
    {
    case TARN_STRUCTURE_CYST:
    case TARN_STRUCTURE_DIVERTICULUM:
      solid->wall_mm = structure->kind == TARN_STRUCTURE_CYST ? CYST_WALL_MM : wall_mm;
      solid->outer = ellipsoid (half, solid->wall_mm);
      solid->outer_tissue = TARN_TISSUE_WALL;
      solid->has_inner = true;
      break;
    case TARN_STRUCTURE_GRAVID_UTERUS:
      solid->wall_mm = fmin (GRAVID_WALL_MM, 0.5 * solid->outer.least_mm);
      solid->inner = ellipsoid (half, -solid->wall_mm);
      solid->outer_tissue = TARN_TISSUE_ORGAN;
      solid->has_inner = true;
      break;
    default:
      break;
    }
  TarnVec3 h = solid->outer.half_mm;
  solid->reach_mm = fmax (h.x, fmax (h.y, h.z));
}

static inline TarnVec3
own_axes (const TarnSolid *solid, TarnVec3 p_mm)
{
  return tarn_mat3_apply (&solid->turn, tarn_sub (p_mm, solid->centre_mm));
}

static double
ellipsoid_distance_mm (const TarnSolid *solid, const TarnEllipsoid *e, TarnVec3 p_mm,
                       TarnVec3 *gradient)
{
  TarnVec3 g;
  double distance = tarn_ellipsoid_distance_mm (e, own_axes (solid, p_mm), &g);
  if (gradient != NULL)
    *gradient = tarn_dot (g, g) > 0 ? tarn_mat3_apply_transposed (&solid->turn, g)
                                    : solid->turn.row[0];
  return distance;
}

static double
surface_distance_mm (const TarnSolid *solid, const TarnEllipsoid *e, double neck_wall_mm,
                     TarnVec3 p_mm, TarnVec3 *gradient)
{
  double distance = ellipsoid_distance_mm (solid, e, p_mm, gradient);
  if (!solid->has_neck)
    return distance;
  TarnVec3 g;
  double neck = tarn_capsule_distance_mm (&solid->neck, p_mm, &g) - neck_wall_mm;
  if (neck >= distance)
    return distance;
  if (gradient != NULL)
    *gradient = g;
  return neck;
}

double
tarn_solid_outer_distance_mm (const TarnSolid *solid, TarnVec3 p_mm, TarnVec3 *gradient)
{
  return surface_distance_mm (solid, &solid->outer, solid->wall_mm, p_mm, gradient);
}

double
tarn_solid_inner_distance_mm (const TarnSolid *solid, TarnVec3 p_mm, TarnVec3 *gradient)
{
  return surface_distance_mm (solid, &solid->inner, 0, p_mm, gradient);
}

TarnVec3
tarn_solid_point_mm (const TarnSolid *solid, const TarnEllipsoid *e, TarnVec3 direction)
{
  TarnVec3 own
      = { direction.x * e->half_mm.x, direction.y * e->half_mm.y, direction.z * e->half_mm.z };
  return tarn_add (solid->centre_mm, tarn_mat3_apply_transposed (&solid->turn, own));
}

double
tarn_ellipsoid_volume_mm3 (const TarnEllipsoid *e)
{
  return 4 * TARN_PI / 3 * e->half_mm.x * e->half_mm.y * e->half_mm.z;
}

/* The first point of the way from the diverticulum's middle at which @inside changes. */
static double
leave_at (double from, double to, const TarnSolid *solid, const TarnLumen *lumen, TarnVec3 way)
{
  for (int k = 0; k < 50; k++)
    {
      double t = 0.5 * (from + to);
      TarnVec3 p = tarn_add_scaled (solid->centre_mm, way, t);
      double level = lumen != NULL
                         ? -tarn_lumen_distance_mm (lumen, p, NULL)
                         : tarn_ellipsoid_squared (&solid->inner, own_axes (solid, p)) - 1;
      if (level < 0)
        from = t;
      else
        to = t;
    }
  return 0.5 * (from + to);
}

void
tarn_solid_join (TarnSolid *solid, const TarnLumen *lumen)
{
  TarnVec3 way = tarn_sub (lumen->heart_mm, solid->centre_mm);
  double length = tarn_length (way);
  if (length <= 0)
    return;
  way = tarn_scale (way, 1 / length);

  /* From where the way leaves the diverticulum to where it enters the lumen. */
  double leaves = leave_at (0, length, solid, NULL, way);
  double enters = leave_at (0, length, solid, lumen, way);
  if (enters <= leaves)
    return;
  double a = fmax (leaves - NECK_OVERLAP_MM, 0), b = fmin (enters + NECK_OVERLAP_MM, length);
  solid->neck.a_mm = tarn_add_scaled (solid->centre_mm, way, a);
  solid->neck.b_mm = tarn_add_scaled (solid->centre_mm, way, b);
  solid->neck.radius_mm = TARN_NECK_RADIUS_MM;
  solid->has_neck = true;
  solid->reach_mm = fmax (solid->reach_mm, b + TARN_NECK_RADIUS_MM + solid->wall_mm);
}

TarnTissue
tarn_solid_tissue (const TarnSolid *solid, TarnVec3 p_mm)
{
  TarnVec3 from = tarn_sub (p_mm, solid->centre_mm);
  if (tarn_dot (from, from) > solid->reach_mm * solid->reach_mm)
    return TARN_TISSUES;

  TarnVec3 own = tarn_mat3_apply (&solid->turn, from);
  double neck
      = solid->has_neck ? tarn_capsule_distance_mm (&solid->neck, p_mm, NULL) : INFINITY;
  if (neck < 0 || tarn_ellipsoid_squared (&solid->inner, own) < 1)
    return solid->inner_tissue;
  if (neck < solid->wall_mm
      || (solid->has_inner && tarn_ellipsoid_squared (&solid->outer, own) < 1))
    return solid->outer_tissue;
  return TARN_TISSUES;
}

static int
ellipsoid_side (const TarnSolid *solid, const TarnEllipsoid *e, TarnVec3 p_mm, double radius_mm)
{
  return tarn_ellipsoid_side (e, own_axes (solid, p_mm), radius_mm);
}

int
tarn_solid_side (const TarnSolid *solid, TarnVec3 p_mm, double radius_mm, TarnTissue *tissue)
{
  double past = radius_mm + solid->reach_mm;
  TarnVec3 from = tarn_sub (p_mm, solid->centre_mm);
  if (tarn_dot (from, from) > past * past)
    return 1;

  int inner = ellipsoid_side (solid, &solid->inner, p_mm, radius_mm);
  *tissue = solid->inner_tissue;
  if (inner < 0)
    return -1;
  double neck
      = solid->has_neck ? tarn_capsule_distance_mm (&solid->neck, p_mm, NULL) : INFINITY;
  if (neck <= radius_mm)
    return 0;
  bool off_neck = !solid->has_neck || neck - solid->wall_mm > radius_mm;
  if (!solid->has_inner)
    return inner > 0 && off_neck ? 1 : 0;

  int outer = ellipsoid_side (solid, &solid->outer, p_mm, radius_mm);
  if (outer > 0 && off_neck)
    return 1;
  *tissue = solid->outer_tissue;
  return outer < 0 && inner > 0 ? -1 : 0;
}
