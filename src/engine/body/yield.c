/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * yield.c: the bladder gives way to its neighbours and keeps its volume.
 *
 * 1. The bladder is placed as if it were alone.  Neighbours that reach into it become dents,
 * the balloon a bulge (dent.h); where none does, nothing changes.
 * 2. Its mesh follows (follow.h), so it stays closed, with a sphere's order of vertices.
 * 3. The bladder's size without dents is sought at which it holds the volume with them, by the
 *    secant; at each size it is placed anew between layers and bones. */
#include "engine/body/yield.h"

#include "base/units.h"
#include "engine/body/follow.h"
#include "engine/body/placement.h"

#include <stdio.h>

/* Contact is not overlap. */
#define TOUCH_MM 0.05
/* An edge is rounded over at most this much, and less where the dent is shallow. */
#define ROUND_MOST_MM   10.0
#define ROUND_LEAST_MM  0.5
#define ROUND_PER_DEPTH 1.2
/* Of urine around a balloon that touches the wall. */
#define AROUND_BALLOON_MM 0.3
/* The bladder alone would hold at most this many times what it holds among its neighbours. */
#define SWALLOWED_MOST 2.0
#define SEARCH_MOST    12
#define VOLUME_OFF     4e-4
#define COARSE_OFF     1e-4
#define HEART_STEPS    24
/* No vertex may be further from the surface. */
#define STRAYS_MM 0.02
/* What pushes from outside is outside somewhere. */
#define LEAST_OUT_MM 2.0

typedef struct
{
  TarnBody *body;
  const TarnMesh *sphere, *look;
  int dents, bulges; /* bulges first */
  TarnDent dent[TARN_STRUCTURES_MAX];
  int structure[TARN_STRUCTURES_MAX];
  TarnVec3 way[TARN_STRUCTURES_MAX]; /* unit; the dent comes from there */
} Yield;

/* Who meets whom. */

static bool
pushes_in (TarnStructureKind kind)
{
  return kind == TARN_STRUCTURE_UTERUS || kind == TARN_STRUCTURE_GRAVID_UTERUS
         || kind == TARN_STRUCTURE_PROSTATE || kind == TARN_STRUCTURE_HAEMATOMA
         || kind == TARN_STRUCTURE_CYST;
}

/* How far any point of its surface lies beyond the lumen's. */
static double
furthest_out_mm (const TarnBody *body, const TarnSolid *solid, const TarnMesh *look)
{
  double out = -INFINITY;
  for (int k = 0; k < look->vertices; k++)
    {
      TarnVec3 p = tarn_solid_point_mm (solid, &solid->outer, look->vertex_mm[k]);
      out = fmax (out, tarn_lumen_distance_mm (&body->lumen, p, NULL));
    }
  return out;
}

/* How far it reaches into the wall's outer surface, or a bulge out of the lumen. */
static double
depth_mm (const TarnBody *body, const TarnSolid *solid, bool bulge, const TarnMesh *look)
{
  if (bulge)
    return furthest_out_mm (body, solid, look);
  double depth = 0;
  for (int k = 0; k < look->vertices; k++)
    {
      TarnVec3 p = tarn_solid_point_mm (solid, &solid->outer, look->vertex_mm[k]);
      depth
          = fmax (depth, body->lumen.wall_mm - tarn_lumen_distance_mm (&body->lumen, p, NULL));
    }
  for (int k = 0; k < body->wall_mesh.vertices; k++)
    depth = fmax (depth,
                  -tarn_solid_outer_distance_mm (solid, body->wall_mesh.vertex_mm[k], NULL));
  return depth;
}

static TarnStatus
blame (const TarnBody *body, int index, TarnProblem *problem, const char *what)
{
  char key[64];
  snprintf (key, sizeof key, "[Structure %d] centre-mm", index + 1);
  return tarn_problem_set (problem, TARN_IMPOSSIBLE, key, "the %s %s",
                           tarn_structure_kind_name (body->solid[index].kind), what);
}

static void
add_dent (Yield *yield, int index, bool bulge)
{
  const TarnBody *body = yield->body;
  const TarnSolid *solid = &body->solid[index];
  int k = yield->dents++;
  yield->bulges += bulge;
  yield->structure[k] = index;
  tarn_lumen_distance_mm (&body->lumen, solid->centre_mm, &yield->way[k]);
  double round = ROUND_PER_DEPTH * depth_mm (body, solid, bulge, yield->look);
  yield->dent[k] = (TarnDent){
    .centre_mm = solid->centre_mm,
    .turn = solid->turn,
    .shape = solid->outer,
    .gap_mm = bulge ? AROUND_BALLOON_MM : body->lumen.wall_mm,
    .round_mm = tarn_clamp (round, ROUND_LEAST_MM, ROUND_MOST_MM),
    .bulge = bulge,
  };
}

static bool
is_off_centre (const TarnBody *body, const TarnSolid *solid)
{
  return tarn_lumen_distance_mm (&body->lumen, solid->centre_mm, NULL) > 0;
}

static TarnStatus
find_dents (Yield *yield, TarnProblem *problem)
{
  const TarnBody *body = yield->body;
  for (int k = 0; k < body->solids && !body->lumen.empty; k++)
    {
      const TarnSolid *solid = &body->solid[k];
      if (solid->kind == TARN_STRUCTURE_BALLOON && !is_off_centre (body, solid)
          && furthest_out_mm (body, solid, yield->look) > TOUCH_MM)
        add_dent (yield, k, true);
    }
  for (int k = 0; k < body->solids; k++)
    {
      const TarnSolid *solid = &body->solid[k];
      if (!pushes_in (solid->kind) || !tarn_yield_meets (body, solid, yield->look))
        continue;
      if (body->lumen.empty)
        return blame (body, k, problem, "overlaps the empty bladder");
      if (furthest_out_mm (body, solid, yield->look) < body->lumen.wall_mm + LEAST_OUT_MM)
        return blame (body, k, problem, "lies wholly within the bladder");
      /* A lobe of the prostate may have its middle there, if it comes from outside. */
      if (solid->kind != TARN_STRUCTURE_PROSTATE && !is_off_centre (body, solid))
        return blame (body, k, problem, "has its middle within the bladder");
      add_dent (yield, k, false);
    }
  return TARN_OK;
}

/* The size. */

typedef struct
{
  TarnLumen lumen;
  TarnTorso torso;
  TarnBones bones;
  double volume_mm3, strays_mm;
} Try;

/* The bladder, @size times as long as it would be alone; @mesh: set; as many vertices as one of
 * the two spheres. */
static TarnStatus
try_size (const Yield *yield, double size, TarnMesh *mesh, Try *out, TarnProblem *problem)
{
  const TarnBody *body = yield->body;
  out->lumen = body->lumen;
  out->lumen.dents = out->lumen.bulges = 0;
  out->lumen.centre_mm = tarn_vec3 (0, 0, 0);
  tarn_lumen_scale (&out->lumen, tarn_scale (body->lumen.half_mm, size));
  tarn_torso_init (&out->torso, &body->patient, body->lift);
  tarn_skeleton_init (&out->bones, &body->patient);
  const TarnMesh *sphere
      = mesh->vertices == yield->look->vertices ? yield->look : yield->sphere;
  TarnStatus status = tarn_placement_place (&body->patient, sphere, &out->lumen, &out->torso,
                                            &out->bones, problem);
  if (status != TARN_OK)
    return status;

  for (int k = 0; k < mesh->vertices; k++)
    mesh->vertex_mm[k] = tarn_lumen_point_mm (&out->lumen, sphere->vertex_mm[k]);
  out->strays_mm = tarn_follow_dents (&out->lumen, yield->dent, yield->way, yield->dents,
                                      mesh->vertex_mm, mesh->vertices);
  if (out->strays_mm == INFINITY)
    return TARN_NO_MEMORY;
  return tarn_follow_volume_mm3 (&out->lumen, mesh, &out->volume_mm3);
}

/* Whom to blame: the one that takes most when it is the only one. */
static TarnStatus
blame_largest (const Yield *yield, TarnMesh *mesh, TarnProblem *problem, const char *what)
{
  int largest = yield->dents - 1;
  double least = INFINITY;
  for (int k = yield->bulges; k < yield->dents && yield->dents > 1; k++)
    {
      Yield alone = *yield;
      Try tried;
      alone.dents = 1;
      alone.bulges = 0;
      alone.dent[0] = yield->dent[k];
      alone.way[0] = yield->way[k];
      if (try_size (&alone, 1, mesh, &tried, NULL) == TARN_OK && tried.volume_mm3 < least)
        {
          least = tried.volume_mm3;
          largest = k;
        }
    }
  return blame (yield->body, yield->structure[largest], problem, what);
}

/* By the secant from @size on, until the volume is right within @off of it. */
static TarnStatus
find_size (const Yield *yield, double *size, double off, TarnMesh *mesh, Try *tried,
           TarnProblem *problem)
{
  static const char *const swallows = "would take more than half of the bladder's room";
  double wanted = yield->body->patient.bladder.volume_ml * TARN_MM3_PER_ML;
  double most = cbrt (SWALLOWED_MOST), before = 0, gap_before = 0;
  for (int k = 0; k < SEARCH_MOST; k++)
    {
      TarnStatus status = try_size (yield, *size, mesh, tried, problem);
      if (status == TARN_IMPOSSIBLE)
        return blame_largest (yield, mesh, problem, "leaves the bladder no room in the torso");
      if (status != TARN_OK)
        return status;
      double gap = tried->volume_mm3 / wanted - 1;
      if (fabs (gap) < off)
        return TARN_OK;
      if (*size >= most && gap < 0)
        return blame_largest (yield, mesh, problem, swallows);
      double slope = k > 0 && gap != gap_before ? (gap - gap_before) / (*size - before) : 3;
      before = *size;
      gap_before = gap;
      *size = tarn_clamp (*size - gap / tarn_clamp (slope, 1, 8), 0.3, most);
      if (*size == before)
        break;
    }
  return blame_largest (yield, mesh, problem, "leaves the bladder no room that it can fill");
}

/* A place well within the lumen. */
static void
find_heart (TarnLumen *lumen, const TarnMesh *mesh)
{
  lumen->heart_mm = lumen->centre_mm;
  double best = tarn_lumen_distance_mm (lumen, lumen->heart_mm, NULL);
  if (best < 0)
    return;
  TarnVec3 low, high;
  tarn_mesh_bounds (mesh, &low, &high);
  TarnVec3 step = tarn_scale (tarn_sub (high, low), 1.0 / HEART_STEPS);
  for (int z = 0; z < HEART_STEPS; z++)
    for (int y = 0; y < HEART_STEPS; y++)
      for (int x = 0; x < HEART_STEPS; x++)
        {
          TarnVec3 p = { low.x + (x + 0.5) * step.x, low.y + (y + 0.5) * step.y,
                         low.z + (z + 0.5) * step.z };
          double distance = tarn_lumen_distance_mm (lumen, p, NULL);
          if (distance < best)
            {
              best = distance;
              lumen->heart_mm = p;
            }
        }
}

/* First with few vertices, then with all. */
static TarnStatus
find_shape (const Yield *yield, TarnMesh *mesh, Try *tried, TarnProblem *problem)
{
  TarnMesh coarse;
  if (!tarn_mesh_init_copy (&coarse, yield->look))
    return TARN_NO_MEMORY;
  double size = 1;
  TarnStatus status = find_size (yield, &size, COARSE_OFF, &coarse, tried, problem);
  tarn_mesh_clear (&coarse);
  if (status == TARN_OK)
    status = find_size (yield, &size, VOLUME_OFF, mesh, tried, problem);
  if (status == TARN_OK && !(tried->strays_mm < STRAYS_MM))
    status = blame_largest (yield, mesh, problem, "would cut the bladder in two");
  return status;
}

TarnStatus
tarn_yield_bladder (TarnBody *body, const TarnMesh *sphere, const TarnMesh *look,
                    TarnProblem *problem)
{
  Yield yield = { .body = body, .sphere = sphere, .look = look };
  TarnStatus status = find_dents (&yield, problem);
  if (status != TARN_OK || yield.dents == 0)
    return status;

  TarnMesh *mesh = &body->lumen_mesh;
  Try tried;
  status = find_shape (&yield, mesh, &tried, problem);
  if (status != TARN_OK)
    return status;
  body->lumen = tried.lumen;
  body->torso = tried.torso;
  body->bones = tried.bones;
  tarn_lumen_bound (&body->lumen);
  tarn_follow_hold_volume (&body->lumen, mesh,
                           body->patient.bladder.volume_ml * TARN_MM3_PER_ML);
  find_heart (&body->lumen, mesh);
  for (int k = 0; k < body->wall_mesh.vertices; k++)
    {
      body->wall_mesh.vertex_mm[k] = mesh->vertex_mm[k];
      tarn_follow_settle (&body->lumen, &body->wall_mesh.vertex_mm[k], body->lumen.wall_mm,
                          1e-4);
    }
  return TARN_OK;
}
