/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * parts.c: a closed mesh for each part, to print and to draw.
 *
 * Order: skin, symphysis, the other bones, wall, lumen (unless empty), structures, each
 * followed by its neck if it has one.  Hollow structures show their outer surface. */
#include "base/units.h"
#include "engine/body/region.h"
#include "engine/body/skeleton.h"

#define BONE_LEVEL  4
#define SOLID_LEVEL 4

typedef enum
{
  PART_SKIN,
  PART_SYMPHYSIS,
  PART_CAPSULE,
  PART_WALL,
  PART_LUMEN,
  PART_SOLID,
  PART_NECK
} PartKind;

typedef struct
{
  PartKind kind;
  int index;
} Part;

/* The @wanted-th part; returns how many there are, and leaves @part alone beyond them. */
static int
list (const TarnBody *body, int wanted, Part *part)
{
  int count = 0;
  Part all[5 + TARN_CAPSULES_MAX + 2 * TARN_STRUCTURES_MAX];
  all[count++] = (Part){ PART_SKIN, 0 };
  all[count++] = (Part){ PART_SYMPHYSIS, 0 };
  for (int k = 0; k < body->bones.capsules; k++)
    all[count++] = (Part){ PART_CAPSULE, k };
  all[count++] = (Part){ PART_WALL, 0 };
  if (!body->lumen.empty)
    all[count++] = (Part){ PART_LUMEN, 0 };
  for (int k = 0; k < body->solids; k++)
    {
      all[count++] = (Part){ PART_SOLID, k };
      if (body->solid[k].has_neck)
        all[count++] = (Part){ PART_NECK, k };
    }
  if (part != NULL && wanted < count)
    *part = all[wanted];
  return count;
}

int
tarn_body_parts (const TarnBody *body)
{
  return list (body, -1, NULL);
}

/* Rounded bones: each octant or half of a sphere moved to the corner or end that it rounds. */

static void
shape_box (TarnMesh *mesh, const TarnBoneBox *box)
{
  double half[3] = { box->half_side_mm - box->round_mm, box->half_along_mm - box->round_mm,
                     box->half_across_mm - box->round_mm };
  for (int k = 0; k < mesh->vertices; k++)
    {
      TarnVec3 m = mesh->vertex_mm[k];
      TarnVec3 p = tarn_add_scaled (box->centre_mm, box->side,
                                    copysign (half[0], m.x) + box->round_mm * m.x);
      p = tarn_add_scaled (p, box->along, copysign (half[1], m.y) + box->round_mm * m.y);
      mesh->vertex_mm[k]
          = tarn_add_scaled (p, box->across, copysign (half[2], m.z) + box->round_mm * m.z);
    }
}

static void
shape_capsule (TarnMesh *mesh, const TarnCapsule *capsule, double add_mm)
{
  TarnVec3 axis = tarn_sub (capsule->b_mm, capsule->a_mm);
  for (int k = 0; k < mesh->vertices; k++)
    {
      TarnVec3 m = mesh->vertex_mm[k];
      TarnVec3 end = tarn_dot (m, axis) > 0 ? capsule->b_mm : capsule->a_mm;
      mesh->vertex_mm[k] = tarn_add_scaled (end, m, capsule->radius_mm + add_mm);
    }
}

static void
shape_solid (TarnMesh *mesh, const TarnSolid *solid)
{
  for (int k = 0; k < mesh->vertices; k++)
    mesh->vertex_mm[k] = tarn_solid_point_mm (solid, &solid->outer, mesh->vertex_mm[k]);
}

/* The skin: rings from feet to head, closed by a fan at each end. */

#define RING_POINTS 128
#define RINGS       128

static TarnVec3
ring_point_mm (const TarnTorso *torso, int ring, int k)
{
  double z = TARN_TORSO_FEET_MM
             + (TARN_TORSO_HEAD_MM - TARN_TORSO_FEET_MM) * ring / (double)(RINGS - 1);
  double around = 2 * TARN_PI * k / RING_POINTS;
  if (cos (around) >= 0)
    return tarn_torso_skin_mm (torso, around, z);

  /* The back half has a half-depth of its own. */
  TarnTorso back = *torso;
  back.pannus_mm = 0;
  back.oval[0].half_front_mm = torso->oval[0].half_back_mm;
  TarnVec3 p = tarn_torso_skin_mm (&back, TARN_PI - around, z);
  p.y = 2 * torso->oval[0].middle_y_mm - p.y;
  return p;
}

static void
add_triangle (TarnMesh *mesh, int a, int b, int c)
{
  int *corner = mesh->corner[mesh->triangles++];
  corner[0] = a;
  corner[1] = b;
  corner[2] = c;
}

static int
init_skin (TarnMesh *mesh, const TarnTorso *torso)
{
  int vertices = RINGS * RING_POINTS + 2, triangles = 2 * RINGS * RING_POINTS;
  if (!tarn_mesh_init (mesh, vertices, triangles))
    return 0;
  for (int ring = 0; ring < RINGS; ring++)
    for (int k = 0; k < RING_POINTS; k++)
      mesh->vertex_mm[ring * RING_POINTS + k] = ring_point_mm (torso, ring, k);
  int feet = RINGS * RING_POINTS, head = feet + 1;
  double middle = torso->oval[0].middle_y_mm;
  mesh->vertex_mm[feet] = tarn_vec3 (0, middle, TARN_TORSO_FEET_MM);
  mesh->vertex_mm[head] = tarn_vec3 (0, middle, TARN_TORSO_HEAD_MM);
  mesh->vertices = vertices;

  for (int k = 0; k < RING_POINTS; k++)
    {
      int next = (k + 1) % RING_POINTS, top = (RINGS - 1) * RING_POINTS;
      for (int ring = 0; ring + 1 < RINGS; ring++)
        {
          int low = ring * RING_POINTS, high = low + RING_POINTS;
          add_triangle (mesh, low + k, low + next, high + next);
          add_triangle (mesh, low + k, high + next, high + k);
        }
      add_triangle (mesh, feet, next, k);
      add_triangle (mesh, head, top + k, top + next);
    }
  return 1;
}

static const char *
name_of (const TarnBody *body, Part part)
{
  switch (part.kind)
    {
    case PART_SKIN:
      return "skin";
    case PART_SYMPHYSIS:
      return "symphysis";
    case PART_CAPSULE:
      return tarn_skeleton_capsule_name (part.index);
    case PART_WALL:
      return "wall";
    case PART_LUMEN:
      return "lumen";
    case PART_SOLID:
      return tarn_structure_kind_name (body->solid[part.index].kind);
    case PART_NECK:
      return "neck";
    }
  return "";
}

static int
init_part (const TarnBody *body, Part part, TarnMesh *mesh)
{
  switch (part.kind)
    {
    case PART_SKIN:
      return init_skin (mesh, &body->torso);
    case PART_WALL:
      return tarn_mesh_init_copy (mesh, &body->wall_mesh);
    case PART_LUMEN:
      return tarn_mesh_init_copy (mesh, &body->lumen_mesh);
    default:
      break;
    }

  if (!tarn_mesh_init_sphere (mesh, part.kind == PART_SOLID ? SOLID_LEVEL : BONE_LEVEL))
    return 0;
  if (part.kind == PART_SYMPHYSIS)
    shape_box (mesh, &body->bones.symphysis);
  else if (part.kind == PART_CAPSULE)
    shape_capsule (mesh, &body->bones.capsule[part.index], 0);
  else if (part.kind == PART_SOLID)
    shape_solid (mesh, &body->solid[part.index]);
  else
    shape_capsule (mesh, &body->solid[part.index].neck, body->solid[part.index].wall_mm);
  return 1;
}

TarnStatus
tarn_body_part (const TarnBody *body, int index, const char **name, TarnMesh *mesh)
{
  Part part;
  *mesh = (TarnMesh){ 0 };
  if (index < 0 || index >= list (body, index, &part))
    return TARN_OUT_OF_RANGE;
  *name = name_of (body, part);
  return init_part (body, part, mesh) ? TARN_OK : TARN_NO_MEMORY;
}
