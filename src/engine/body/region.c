/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/body/region.h"

#include <assert.h>

/* Own design values: a muscle as thick as the spine is deep, 20 mm further forward at 100 mm
 * from the midline. */
#define BACK_BEHIND_SPINE_MM 12.0
#define BACK_BEND_PER_MM     (20.0 / (100.0 * 100.0))

/* The list. */

static void
add (TarnBody *body, TarnRegionKind kind, int index, TarnTissue tissue)
{
  assert (body->regions < TARN_REGIONS_MAX);
  body->region[body->regions++] = (TarnRegion){ kind, index, tissue };
}

static void
add_solids (TarnBody *body, TarnRegionKind as, bool (*wanted) (TarnStructureKind))
{
  for (int k = 0; k < body->solids; k++)
    if (wanted (body->solid[k].kind))
      add (body, as, k, body->solid[k].outer_tissue);
}

static bool
is_scar (TarnStructureKind kind)
{
  return kind == TARN_STRUCTURE_SCAR;
}

static bool
is_diverticulum (TarnStructureKind kind)
{
  return kind == TARN_STRUCTURE_DIVERTICULUM;
}

static bool
is_haematoma (TarnStructureKind kind)
{
  return kind == TARN_STRUCTURE_HAEMATOMA;
}

static bool
is_of_the_belly (TarnStructureKind kind)
{
  return !is_scar (kind) && !is_diverticulum (kind) && !is_haematoma (kind)
         && !tarn_structure_is_inside (kind);
}

static void
add_to_box (TarnBox *box, TarnVec3 p, double r)
{
  box->low = tarn_vec3 (fmin (box->low.x, p.x - r), fmin (box->low.y, p.y - r),
                        fmin (box->low.z, p.z - r));
  box->high = tarn_vec3 (fmax (box->high.x, p.x + r), fmax (box->high.y, p.y + r),
                         fmax (box->high.z, p.z + r));
}

static void
box_bones (TarnBody *body)
{
  const TarnBoneBox *joint = &body->bones.symphysis;
  TarnVec3 half = { joint->half_side_mm, joint->half_along_mm, joint->half_across_mm };
  TarnBox none = { { INFINITY, INFINITY, INFINITY }, { -INFINITY, -INFINITY, -INFINITY } };
  body->front_bones = body->back_bones = none;
  add_to_box (&body->front_bones, joint->centre_mm, tarn_length (half));
  for (int k = 0; k < body->bones.capsules; k++)
    {
      const TarnCapsule *capsule = &body->bones.capsule[k];
      TarnBox *box = k < TARN_RAMI ? &body->front_bones : &body->back_bones;
      add_to_box (box, capsule->a_mm, capsule->radius_mm);
      add_to_box (box, capsule->b_mm, capsule->radius_mm);
    }
}

void
tarn_region_list (TarnBody *body)
{
  box_bones (body);
  body->regions = 0;
  add (body, TARN_REGION_LAYER, TARN_LAYER_SKIN, TARN_TISSUE_AIR);
  add_solids (body, TARN_REGION_SCAR, is_scar);
  add (body, TARN_REGION_LAYER, TARN_LAYER_SKIN_INNER, TARN_TISSUE_SKIN);
  add (body, TARN_REGION_SYMPHYSIS, 0, TARN_TISSUE_BONE);
  add (body, TARN_REGION_RAMI, 0, TARN_TISSUE_BONE);
  add (body, TARN_REGION_SPINE, 0, TARN_TISSUE_BONE);
  add_solids (body, TARN_REGION_SOLID, tarn_structure_is_inside);
  if (!body->lumen.empty)
    add (body, TARN_REGION_LUMEN, 0, TARN_TISSUE_URINE);
  add_solids (body, TARN_REGION_SOLID, is_diverticulum);
  body->wall_bit = 1u << body->regions;
  add (body, TARN_REGION_WALL, 0, TARN_TISSUE_WALL);
  add_solids (body, TARN_REGION_SOLID, is_haematoma);
  body->back_mm = body->back_bones.low.y + BACK_BEHIND_SPINE_MM;
  add (body, TARN_REGION_BACK, 0, TARN_TISSUE_MUSCLE);
  add (body, TARN_REGION_LAYER, TARN_LAYER_FAT_INNER, TARN_TISSUE_FAT);
  add (body, TARN_REGION_LAYER, TARN_LAYER_MUSCLE_INNER, TARN_TISSUE_MUSCLE);
  add_solids (body, TARN_REGION_SOLID, is_of_the_belly);
  add (body, TARN_REGION_LAYER, TARN_LAYER_GAP_INNER, TARN_TISSUE_FAT);
}

/* The back's muscle begins where this rises above 0: a shallow trough along the body. */
static double
back_level_mm (const TarnBody *body, double x_mm, double y_mm)
{
  return y_mm - body->back_mm + BACK_BEND_PER_MM * x_mm * x_mm;
}

/* Points. */

static inline bool
is_in_box (const TarnBox *box, TarnVec3 p)
{
  return p.x >= box->low.x && p.x <= box->high.x && p.y >= box->low.y && p.y <= box->high.y
         && p.z >= box->low.z && p.z <= box->high.z;
}

static bool
holds (const TarnBody *body, const TarnRegion *region, TarnVec3 p)
{
  switch (region->kind)
    {
    case TARN_REGION_LAYER:
      return tarn_torso_level (&body->torso, (TarnLayer)region->index, p) > 0;
    case TARN_REGION_SYMPHYSIS:
      return is_in_box (&body->front_bones, p)
             && tarn_bone_box_distance_mm (&body->bones.symphysis, p, NULL) < 0;
    case TARN_REGION_RAMI:
      if (!is_in_box (&body->front_bones, p))
        return false;
      for (int k = 0; k < TARN_RAMI; k++)
        if (tarn_capsule_distance_mm (&body->bones.capsule[k], p, NULL) < 0)
          return true;
      return false;
    case TARN_REGION_SPINE:
      return is_in_box (&body->back_bones, p)
             && tarn_skeleton_back_distance_mm (&body->bones, p) < 0;
    case TARN_REGION_LUMEN:
      return is_in_box (&body->lumen.box, p)
             && tarn_lumen_place (&body->lumen, p) == TARN_IN_LUMEN;
    case TARN_REGION_WALL:
      return is_in_box (&body->lumen.box, p)
             && tarn_lumen_place (&body->lumen, p) != TARN_OFF_BLADDER;
    case TARN_REGION_BACK:
      return back_level_mm (body, p.x, p.y) > 0;
    default:
      return false;
    }
}

TarnTissue
tarn_region_tissue (const TarnBody *body, const TarnRegion *region, TarnVec3 p_mm)
{
  switch (region->kind)
    {
    case TARN_REGION_SOLID:
      return tarn_solid_tissue (&body->solid[region->index], p_mm);
    case TARN_REGION_SCAR:
      {
        TarnTissue tissue = tarn_solid_tissue (&body->solid[region->index], p_mm);
        if (tissue != TARN_TISSUES
            && tarn_torso_level (&body->torso, TARN_LAYER_FAT_INNER, p_mm) <= 0)
          return TARN_TISSUES;
        return tissue;
      }
    default:
      return holds (body, region, p_mm) ? region->tissue : TARN_TISSUES;
    }
}

/* Blocks. */

typedef struct
{
  TarnVec3 centre;
  double radius;
} Ball;

static Ball
ball_around (const TarnBox *box)
{
  TarnVec3 centre = tarn_scale (tarn_add (box->low, box->high), 0.5);
  return (Ball){ centre, tarn_distance (centre, box->high) * (1 + 1e-9) };
}

static int
layer_side (const TarnBody *body, TarnLayer layer, const TarnBox *box)
{
  TarnRange level = tarn_torso_level_range (&body->torso, layer, box);
  return level.low > 0 ? -1 : level.high < 0 ? 1 : 0;
}

static int
distance_side (double distance, double radius)
{
  return distance > radius ? 1 : distance < -radius ? -1 : 0;
}

static int
rami_side (const TarnBones *bones, Ball ball)
{
  double distance = INFINITY;
  for (int k = 0; k < TARN_RAMI; k++)
    distance
        = fmin (distance, tarn_capsule_distance_mm (&bones->capsule[k], ball.centre, NULL));
  return distance_side (distance, ball.radius);
}

static int
back_side (const TarnBody *body, const TarnBox *box)
{
  double far = fmax (fabs (box->low.x), fabs (box->high.x));
  double near = box->low.x > 0 ? box->low.x : box->high.x < 0 ? -box->high.x : 0;
  if (back_level_mm (body, near, box->low.y) > 0)
    return -1;
  return back_level_mm (body, far, box->high.y) < 0 ? 1 : 0;
}

int
tarn_region_side (const TarnBody *body, const TarnRegion *region, const TarnBox *box,
                  TarnTissue *tissue)
{
  Ball ball = ball_around (box);
  *tissue = region->tissue;
  switch (region->kind)
    {
    case TARN_REGION_LAYER:
      return layer_side (body, (TarnLayer)region->index, box);
    case TARN_REGION_SCAR:
      {
        /* Outside the fat's inner face and in the structure. */
        int solid
            = tarn_solid_side (&body->solid[region->index], ball.centre, ball.radius, tissue);
        int fat = layer_side (body, TARN_LAYER_FAT_INNER, box);
        return solid > 0 || fat > 0 ? 1 : solid < 0 && fat < 0 ? -1 : 0;
      }
    case TARN_REGION_SYMPHYSIS:
      return distance_side (
          tarn_bone_box_distance_mm (&body->bones.symphysis, ball.centre, NULL), ball.radius);
    case TARN_REGION_RAMI:
      return rami_side (&body->bones, ball);
    case TARN_REGION_SPINE:
      return distance_side (tarn_skeleton_back_distance_mm (&body->bones, ball.centre),
                            ball.radius);
    case TARN_REGION_LUMEN:
      return tarn_lumen_side (&body->lumen, ball.centre, ball.radius);
    case TARN_REGION_WALL:
      return tarn_lumen_wall_side (&body->lumen, ball.centre, ball.radius);
    case TARN_REGION_SOLID:
      return tarn_solid_side (&body->solid[region->index], ball.centre, ball.radius, tissue);
    case TARN_REGION_BACK:
      return back_side (body, box);
    }
  return 0;
}

/* Surfaces. */

int
tarn_region_surfaces (const TarnBody *body, const TarnRegion *region, TarnVec3 p_mm,
                      double distance_mm[2], TarnVec3 normal[2])
{
  const TarnBones *bones = &body->bones;
  switch (region->kind)
    {
    case TARN_REGION_LAYER:
      *distance_mm
          = tarn_torso_distance_mm (&body->torso, (TarnLayer)region->index, p_mm, normal);
      return 1;
    case TARN_REGION_SYMPHYSIS:
      *distance_mm = tarn_bone_box_distance_mm (&bones->symphysis, p_mm, normal);
      return 1;
    case TARN_REGION_RAMI:
    case TARN_REGION_SPINE:
      *distance_mm = INFINITY;
      for (int k = region->kind == TARN_REGION_RAMI ? 0 : TARN_RAMI;
           k < (region->kind == TARN_REGION_RAMI ? TARN_RAMI : bones->capsules); k++)
        {
          TarnVec3 g;
          double distance = tarn_capsule_distance_mm (&bones->capsule[k], p_mm, &g);
          if (distance < *distance_mm)
            {
              *distance_mm = distance;
              *normal = g;
            }
        }
      return 1;
    case TARN_REGION_LUMEN:
      *distance_mm = tarn_lumen_distance_mm (&body->lumen, p_mm, normal);
      return 1;
    case TARN_REGION_WALL:
      *distance_mm = tarn_lumen_distance_mm (&body->lumen, p_mm, normal) - body->lumen.wall_mm;
      return 1;
    case TARN_REGION_BACK:
      {
        /* Outward is out of the belly, as of the layers. */
        TarnVec3 rise = { 2 * BACK_BEND_PER_MM * p_mm.x, 1, 0 };
        *distance_mm = back_level_mm (body, p_mm.x, p_mm.y) / tarn_length (rise);
        *normal = tarn_normalize (rise);
        return 1;
      }
    case TARN_REGION_SCAR:
    case TARN_REGION_SOLID:
      {
        const TarnSolid *solid = &body->solid[region->index];
        distance_mm[0] = tarn_solid_outer_distance_mm (solid, p_mm, &normal[0]);
        if (!solid->has_inner)
          return 1;
        distance_mm[1] = tarn_solid_inner_distance_mm (solid, p_mm, &normal[1]);
        return 2;
      }
    }
  return 0;
}
