/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bladder's surface, marked.
 *
 * 1. Pieces: the lumen, and each pouch that counts where it stands out of the lumen; pressed,
 *    with the mesh's own normals.
 * 2. A triangle of one fate is painted as that; one in which two meet is cut where they do, and
 *    a dark rod of no thickness runs along the cut.  Large ones near anything lost are divided
 *    first, so that cuts and stripes run smoothly.
 * 3. Patterns belong to the surface, not to the view: stripes are cut into it along planes that
 *    stand at 45° seen from the front; dots, rings and dashes are little plates on the vertices
 *    of a coarser mesh, which lie evenly. */
#include "engine/scene/fates_patch.h"

#include "base/units.h"

#include <stdlib.h>
#include <string.h>

#define PIECE_LEVEL 4    /* of the lumen: 5,120 triangles */
#define POUCH_LEVEL 3    /* of a pouch */
#define CUT_MM      2.6  /* a longer edge is halved where fates meet */
#define STRIPE_MM   4.6  /* … where there are stripes */
#define DEPTH_MAX   2    /* so often at most */
#define BENEATH_MM  1.0  /* the urine whose fate a point of the surface shows */
#define HALVINGS    5    /* to find where fates meet */
#define PLATE_MM    0.30 /* plates lie so far off the surface */
#define ROD_MM      0.45 /* half-width of the line between fates */
#define SEED_MM     5.2  /* plates are no nearer to each other */
#define SHINE       70
#define PLATE_SIDES 12

/* Okabe and Ito's colours for what tells a cause; on each its pattern in a darker or lighter
 * tone of itself. */
static const TarnPatchPaint base_paint[TARN_FATES] = {
  [TARN_FATE_CAPTURED] = { { 0x56, 0xb4, 0xe9, 255 }, SHINE },
  [TARN_FATE_EDGE] = { { 0xd5, 0x5e, 0x00, 255 }, SHINE },
  [TARN_FATE_BONE] = { { 0xcc, 0x79, 0xa7, 255 }, SHINE },
  [TARN_FATE_GAS] = { { 0xcc, 0x79, 0xa7, 255 }, SHINE },
  [TARN_FATE_CONTACT] = { { 0x00, 0x72, 0xb2, 255 }, SHINE },
};
static const TarnPatchPaint mark_paint[TARN_FATES] = {
  [TARN_FATE_EDGE] = { { 0xff, 0xc9, 0x94, 255 }, SHINE },
  [TARN_FATE_BONE] = { { 0x4f, 0x16, 0x38, 255 }, SHINE },
  [TARN_FATE_GAS] = { { 0xff, 0xe9, 0xf5, 255 }, SHINE },
  [TARN_FATE_CONTACT] = { { 0xc6, 0xe6, 0xfa, 255 }, SHINE },
};
static const TarnPatchPaint rod_paint = { { 24, 22, 24, 255 }, 0 };

typedef struct
{
  TarnVec3 p, n;
  double stripe; /* > 0 on a stripe */
  TarnFate fate;
} Corner;

typedef struct
{
  TarnPatch *patch;
  const TarnFateRays *rays;
  unsigned hidden;
  double spacing_mm; /* of seeds; what patterns are measured in */
} Painter;

/* Piecewise linear, so that halving an edge finds the stripe's border exactly. */
static double
stripe_at (const Painter *painter, TarnVec3 p)
{
  double across = (p.x + p.z) * 0.70710678118654752 / (1.6 * painter->spacing_mm);
  return 0.22 - fabs (across - floor (across) - 0.5);
}

static void
look_at (const Painter *painter, Corner *corner)
{
  TarnVec3 beneath = tarn_add_scaled (corner->p, corner->n, -BENEATH_MM);
  corner->fate = tarn_fate_first (tarn_fates_hiding (painter->rays, beneath));
  corner->stripe = stripe_at (painter, corner->p);
}

static Corner
between (const Corner *a, const Corner *b, double share)
{
  return (Corner){
    .p = tarn_add_scaled (tarn_scale (a->p, 1 - share), b->p, share),
    .n = tarn_normalize (tarn_add_scaled (tarn_scale (a->n, 1 - share), b->n, share)),
    .stripe = a->stripe + (b->stripe - a->stripe) * share,
    .fate = a->fate,
  };
}

static int
add_corner (const Painter *painter, const Corner *corner, TarnPatchPaint paint)
{
  return tarn_patch_vertex (painter->patch, corner->p, corner->n, paint);
}

/* One colour; the inner side, darker, too where one can look in. */
static void
fill (const Painter *painter, const Corner c[3], TarnPatchPaint paint)
{
  if (painter->hidden >> c[0].fate & 1)
    return;
  int v[3];
  for (int k = 0; k < 3; k++)
    v[k] = add_corner (painter, &c[k], paint);
  tarn_patch_triangle (painter->patch, v[0], v[1], v[2]);
  if (painter->hidden == 0)
    return;
  for (int k = 0; k < 3; k++)
    paint.colour[k] = (uint8_t)(paint.colour[k] * 0.62);
  paint.shine = 0;
  for (int k = 0; k < 3; k++)
    v[k] = tarn_patch_vertex (painter->patch, c[k].p, tarn_scale (c[k].n, -1), paint);
  tarn_patch_triangle (painter->patch, v[0], v[2], v[1]);
}

/* Of one fate: its base, and stripes where it has them. */
static void
paint_one (const Painter *painter, const Corner c[3])
{
  TarnFate fate = c[0].fate;
  if (fate != TARN_FATE_EDGE)
    {
      fill (painter, c, base_paint[fate]);
      return;
    }
  int on = 0, odd = 0;
  for (int k = 0; k < 3; k++)
    on += c[k].stripe > 0;
  if (on == 0 || on == 3)
    {
      fill (painter, c, on == 3 ? mark_paint[fate] : base_paint[fate]);
      return;
    }
  while ((c[odd].stripe > 0) != (on == 1))
    odd++;
  const Corner *tip = &c[odd], *left = &c[(odd + 1) % 3], *right = &c[(odd + 2) % 3];
  Corner a = between (tip, left, tip->stripe / (tip->stripe - left->stripe));
  Corner b = between (tip, right, tip->stripe / (tip->stripe - right->stripe));
  TarnPatchPaint of_tip = on == 1 ? mark_paint[fate] : base_paint[fate];
  TarnPatchPaint of_rest = on == 1 ? base_paint[fate] : mark_paint[fate];
  fill (painter, (Corner[3]){ *tip, a, b }, of_tip);
  fill (painter, (Corner[3]){ a, *left, *right }, of_rest);
  fill (painter, (Corner[3]){ a, *right, b }, of_rest);
}

/* Where on the edge the fate of @a ends; the same point from either triangle of the edge. */
static Corner
meeting (const Painter *painter, const Corner *a, const Corner *b)
{
  if (a->fate > b->fate)
    {
      const Corner *swap = a;
      a = b;
      b = swap;
    }
  double low = 0, high = 1;
  for (int k = 0; k < HALVINGS; k++)
    {
      Corner middle = between (a, b, (low + high) / 2);
      look_at (painter, &middle);
      *(middle.fate == a->fate ? &low : &high) = (low + high) / 2;
    }
  Corner found = between (a, b, (low + high) / 2);
  found.stripe = stripe_at (painter, found.p);
  return found;
}

/* The line between two fates, a ribbon just off the surface. */
static void
add_rod (const Painter *painter, const Corner *a, const Corner *b)
{
  TarnVec3 along = tarn_sub (b->p, a->p);
  if (!(tarn_length (along) > 1e-4))
    return;
  int v[4];
  for (int k = 0; k < 4; k++)
    {
      const Corner *end = k < 2 ? a : b;
      TarnVec3 across = tarn_normalize (tarn_cross (along, end->n));
      TarnVec3 p = tarn_add_scaled (end->p, end->n, PLATE_MM);
      p = tarn_add_scaled (p, across, k == 0 || k == 3 ? ROD_MM : -ROD_MM);
      v[k] = tarn_patch_vertex (painter->patch, p, end->n, rod_paint);
    }
  tarn_patch_triangle (painter->patch, v[0], v[2], v[1]);
  tarn_patch_triangle (painter->patch, v[0], v[3], v[2]);
}

static Corner
with_fate (Corner corner, TarnFate fate)
{
  corner.fate = fate;
  return corner;
}

/* Two corners of one fate, or three fates. */
static void
paint_mixed (const Painter *painter, const Corner c[3])
{
  int odd = 0;
  while (odd < 3 && c[(odd + 1) % 3].fate != c[(odd + 2) % 3].fate)
    odd++;
  if (odd == 3)
    {
      /* Each corner's part goes to the middle. */
      Corner middle = between (&c[0], &c[1], 0.5);
      middle = between (&middle, &c[2], 1.0 / 3);
      for (int k = 0; k < 3; k++)
        {
          const Corner *here = &c[k], *next = &c[(k + 1) % 3];
          Corner cut = meeting (painter, here, next);
          paint_one (painter, (Corner[3]){ *here, with_fate (cut, here->fate),
                                           with_fate (middle, here->fate) });
          paint_one (painter, (Corner[3]){ with_fate (cut, next->fate), *next,
                                           with_fate (middle, next->fate) });
          add_rod (painter, &cut, &middle);
        }
      return;
    }
  const Corner *tip = &c[odd], *left = &c[(odd + 1) % 3], *right = &c[(odd + 2) % 3];
  Corner a = meeting (painter, tip, left), b = meeting (painter, tip, right);
  TarnFate rest = left->fate;
  paint_one (painter, (Corner[3]){ *tip, with_fate (a, tip->fate), with_fate (b, tip->fate) });
  paint_one (painter, (Corner[3]){ with_fate (a, rest), *left, *right });
  paint_one (painter, (Corner[3]){ with_fate (a, rest), *right, with_fate (b, rest) });
  add_rod (painter, &a, &b);
}

static void
paint (const Painter *painter, const Corner c[3], int depth)
{
  bool same = c[0].fate == c[1].fate && c[1].fate == c[2].fate;
  bool plain = same && c[0].fate != TARN_FATE_EDGE;
  double longest = 0;
  for (int k = 0; k < 3; k++)
    longest = fmax (longest, tarn_distance (c[k].p, c[(k + 1) % 3].p));
  if (plain || depth == DEPTH_MAX || longest <= (same ? STRIPE_MM : CUT_MM))
    {
      if (same)
        paint_one (painter, c);
      else
        paint_mixed (painter, c);
      return;
    }
  Corner m[3];
  for (int k = 0; k < 3; k++)
    {
      m[k] = between (&c[k], &c[(k + 1) % 3], 0.5);
      look_at (painter, &m[k]);
    }
  paint (painter, m, depth + 1);
  for (int k = 0; k < 3; k++)
    paint (painter, (Corner[3]){ c[k], m[k], m[(k + 2) % 3] }, depth + 1);
}

/* Plates. */

typedef struct
{
  TarnVec3 middle, n, u, v; /* u level, v up the surface */
} Plate;

static int
plate_point (const Painter *painter, const Plate *plate, double u, double v,
             TarnPatchPaint paint)
{
  TarnVec3 p = tarn_add_scaled (plate->middle, plate->u, u);
  return tarn_patch_vertex (painter->patch, tarn_add_scaled (p, plate->v, v), plate->n, paint);
}

static void
add_ring (const Painter *painter, const Plate *plate, double inner_mm, double outer_mm,
          TarnPatchPaint paint)
{
  int first = painter->patch->vertices;
  for (int k = 0; k < PLATE_SIDES; k++)
    {
      double turn = 2 * TARN_PI * k / PLATE_SIDES;
      plate_point (painter, plate, outer_mm * cos (turn), outer_mm * sin (turn), paint);
      plate_point (painter, plate, inner_mm * cos (turn), inner_mm * sin (turn), paint);
    }
  if (painter->patch->failed)
    return;
  for (int k = 0; k < PLATE_SIDES; k++)
    {
      int here = first + 2 * k, next = first + 2 * ((k + 1) % PLATE_SIDES);
      tarn_patch_triangle (painter->patch, here, next, here + 1);
      if (inner_mm > 0)
        tarn_patch_triangle (painter->patch, next, next + 1, here + 1);
    }
}

static void
add_dash (const Painter *painter, const Plate *plate, double half_u, double half_v,
          TarnPatchPaint paint)
{
  int a = plate_point (painter, plate, -half_u, -half_v, paint);
  int b = plate_point (painter, plate, half_u, -half_v, paint);
  int c = plate_point (painter, plate, half_u, half_v, paint);
  int d = plate_point (painter, plate, -half_u, half_v, paint);
  tarn_patch_triangle (painter->patch, a, b, c);
  tarn_patch_triangle (painter->patch, a, c, d);
}

/* Where the whole plate is of the fate of its middle. */
static bool
plate_fits (const Painter *painter, const Plate *plate, double reach_mm, TarnFate fate)
{
  for (int k = 0; k < 6; k++)
    {
      double turn = TARN_PI * k / 3;
      Corner rim = { .p = tarn_add_scaled (plate->middle, plate->u, reach_mm * cos (turn)),
                     .n = plate->n };
      rim.p = tarn_add_scaled (rim.p, plate->v, reach_mm * sin (turn));
      look_at (painter, &rim);
      if (rim.fate != fate)
        return false;
    }
  return true;
}

static void
add_plate (const Painter *painter, const Corner *seed)
{
  TarnFate fate = seed->fate;
  if (fate == TARN_FATE_CAPTURED || fate == TARN_FATE_EDGE || painter->hidden >> fate & 1)
    return;
  TarnVec3 level = tarn_cross (tarn_vec3 (0, 0, 1), seed->n);
  if (!(tarn_length (level) > 0.1))
    level = tarn_cross (tarn_vec3 (1, 0, 0), seed->n);
  Plate plate = {
    tarn_add_scaled (seed->p, seed->n, PLATE_MM), seed->n, tarn_normalize (level), { 0, 0, 0 }
  };
  plate.v = tarn_cross (plate.n, plate.u);
  double unit = painter->spacing_mm;
  if (!plate_fits (painter, &plate, 0.3 * unit, fate))
    return;
  if (fate == TARN_FATE_BONE)
    add_ring (painter, &plate, 0, 0.25 * unit, mark_paint[fate]);
  else if (fate == TARN_FATE_GAS)
    {
      add_ring (painter, &plate, 0.22 * unit, 0.34 * unit, mark_paint[fate]);
      add_ring (painter, &plate, 0, 0.09 * unit, mark_paint[fate]);
    }
  else
    add_dash (painter, &plate, 0.36 * unit, 0.11 * unit, mark_paint[fate]);
}

/* Pieces. */

/* Unit normals at the vertices: the mean of the faces about them. */
static void
find_normals (const TarnMesh *mesh, Corner *corner)
{
  for (int k = 0; k < mesh->vertices; k++)
    corner[k].n = tarn_vec3 (0, 0, 0);
  for (int t = 0; t < mesh->triangles; t++)
    {
      const int *v = mesh->corner[t];
      TarnVec3 a = corner[v[0]].p, b = corner[v[1]].p, c = corner[v[2]].p;
      TarnVec3 n = tarn_cross (tarn_sub (b, a), tarn_sub (c, a));
      for (int k = 0; k < 3; k++)
        corner[v[k]].n = tarn_add (corner[v[k]].n, n);
    }
  for (int k = 0; k < mesh->vertices; k++)
    corner[k].n = tarn_normalize (corner[k].n);
}

static void
press (const TarnDeform *deform, const TarnVec3 *at_rest, int count, Corner *corner)
{
  enum
  {
    BLOCK = 128
  };
  float x[BLOCK], y[BLOCK], z[BLOCK];
  for (int from = 0; from < count; from += BLOCK)
    {
      int size = count - from < BLOCK ? count - from : BLOCK;
      for (int k = 0; k < BLOCK; k++)
        {
          TarnVec3 p = at_rest[from + (k < size ? k : 0)];
          x[k] = (float)p.x;
          y[k] = (float)p.y;
          z[k] = (float)p.z;
        }
      tarn_deform_forward_many (deform, size, x, y, z);
      for (int k = 0; k < size; k++)
        corner[from + k].p = tarn_vec3 ((double)x[k], (double)y[k], (double)z[k]);
    }
}

static double
area_mm2 (const TarnMesh *mesh, const Corner *corner)
{
  double sum = 0;
  for (int t = 0; t < mesh->triangles; t++)
    {
      const int *v = mesh->corner[t];
      sum += tarn_length (tarn_cross (tarn_sub (corner[v[1]].p, corner[v[0]].p),
                                      tarn_sub (corner[v[2]].p, corner[v[0]].p)))
             / 2;
    }
  return sum;
}

/* The coarsest vertices first: how many of them lie SEED_MM apart or more. */
static int
seeds_of (const TarnMesh *mesh, const Corner *corner, double *spacing_mm)
{
  double area = area_mm2 (mesh, corner);
  int seeds = 12;
  for (int level = 1, count = 42; level <= 5 && count <= mesh->vertices; level++)
    {
      double spacing = sqrt (1.15 * area / count);
      if (spacing >= SEED_MM || level == 1)
        {
          seeds = count;
          *spacing_mm = spacing;
        }
      count = 10 * (1 << 2 * (level + 1)) + 2;
    }
  return seeds;
}

/* @sphere: of the vertices at rest, in its order; triangles whose corners are all @inside are
 * left out. */
static TarnStatus
add_piece (Painter *painter, const TarnMesh *sphere, const TarnVec3 *at_rest,
           const bool *inside)
{
  Corner *corner = calloc ((size_t)sphere->vertices, sizeof *corner);
  if (corner == NULL)
    return TARN_NO_MEMORY;
  press (&painter->rays->view.deform, at_rest, sphere->vertices, corner);
  find_normals (sphere, corner);
  int seeds = seeds_of (sphere, corner, &painter->spacing_mm);
  for (int k = 0; k < sphere->vertices; k++)
    look_at (painter, &corner[k]);
  for (int t = 0; t < sphere->triangles; t++)
    {
      const int *v = sphere->corner[t];
      if (inside == NULL || !(inside[v[0]] && inside[v[1]] && inside[v[2]]))
        paint (painter, (Corner[3]){ corner[v[0]], corner[v[1]], corner[v[2]] }, 0);
    }
  for (int k = 0; k < seeds; k++)
    if (inside == NULL || !inside[k])
      add_plate (painter, &corner[k]);
  free (corner);
  return TARN_OK;
}

static TarnStatus
add_lumen (Painter *painter, const TarnBody *body)
{
  const TarnMesh *lumen = tarn_body_lumen_mesh (body);
  TarnMesh sphere;
  if (!tarn_mesh_init_sphere (&sphere, PIECE_LEVEL))
    return TARN_NO_MEMORY;
  TarnStatus status = TARN_OK;
  if (lumen->vertices >= sphere.vertices)
    status = add_piece (painter, &sphere, lumen->vertex_mm, NULL);
  tarn_mesh_clear (&sphere);
  return status;
}

/* A pouch's wall drawn in to the urine; what lies in the lumen is none of its surface. */
static void
draw_in (const TarnBody *body, TarnVec3 centre_mm, TarnMesh *pouch, bool *inside)
{
  for (int k = 0; k < pouch->vertices; k++)
    {
      TarnVec3 p = pouch->vertex_mm[k], in = tarn_normalize (tarn_sub (centre_mm, p));
      inside[k] = tarn_body_lumen_distance_mm (body, p) < 0;
      for (int step = 0; step < 8 && !inside[k]; step++)
        p = tarn_add_scaled (p, in, tarn_body_urine_distance_mm (body, p));
      pouch->vertex_mm[k] = p;
    }
}

static TarnStatus
add_pouch (Painter *painter, const TarnBody *body, TarnVec3 centre_mm, TarnMesh *pouch)
{
  TarnMesh sphere;
  if (!tarn_mesh_init_sphere (&sphere, POUCH_LEVEL))
    return TARN_NO_MEMORY;
  bool *inside = calloc ((size_t)pouch->vertices, sizeof *inside);
  TarnStatus status = inside != NULL ? TARN_OK : TARN_NO_MEMORY;
  if (status == TARN_OK)
    {
      draw_in (body, centre_mm, pouch, inside);
      status = add_piece (painter, &sphere, pouch->vertex_mm, inside);
    }
  free (inside);
  tarn_mesh_clear (&sphere);
  return status;
}

/* Structures follow each other among the parts in the file's order. */
static TarnStatus
add_pouches (Painter *painter, const TarnBody *body)
{
  const TarnPatient *patient = tarn_body_patient (body);
  TarnStatus status = TARN_OK;
  int part = 0;
  for (int s = 0; s < patient->structures && status == TARN_OK; s++)
    {
      const TarnStructure *structure = &patient->structure[s];
      if (structure->kind != TARN_STRUCTURE_DIVERTICULUM || !structure->counts)
        continue;
      bool found = false;
      for (; part < tarn_body_parts (body) && !found && status == TARN_OK; part++)
        {
          const char *name;
          TarnMesh mesh;
          status = tarn_body_part (body, part, &name, &mesh);
          if (status != TARN_OK)
            break;
          TarnVec3 off = tarn_sub (tarn_mesh_centroid_mm (&mesh), structure->centre_mm);
          found = strcmp (name, tarn_structure_kind_name (structure->kind)) == 0
                  && tarn_length (off) < 1;
          if (found)
            status = add_pouch (painter, body, structure->centre_mm, &mesh);
          tarn_mesh_clear (&mesh);
        }
    }
  return status;
}

TarnStatus
tarn_fates_surface_add (TarnPatch *patch, const TarnBody *body, const TarnFateRays *rays,
                        unsigned hidden)
{
  Painter painter = { .patch = patch, .rays = rays, .hidden = hidden };
  int first_index = patch->indices;
  TarnStatus status = add_lumen (&painter, body);
  if (status == TARN_OK)
    status = add_pouches (&painter, body);
  tarn_patch_end_part (patch, TARN_MATERIAL_BLADDER, first_index);
  return status;
}
