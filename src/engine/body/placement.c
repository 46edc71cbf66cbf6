/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/body/placement.h"

#include "base/units.h"

#include <stdlib.h>

/* A step ends within this of the clearance. */
#define CLEARANCE_SLACK_MM 1e-3
#define STEP_MAX_MM        150.0
#define STAND_BACK_MAX_MM  90.0
/* Tissue behind the spine, within the skin's inner fat. */
#define BEHIND_SPINE_MM 12.0
/* Vertices of the sphere that a search starts from; level 4 of the icosphere. */
#define COARSE_VERTICES 2562
/* What is further from bone than the nearest point by more cannot hold a nearer place. */
#define COUNTS_MM 3.0

/* Volume. */

static void
shape_mesh (const TarnLumen *lumen, const TarnMesh *sphere, TarnMesh *mesh)
{
  for (int k = 0; k < sphere->vertices; k++)
    mesh->vertex_mm[k] = tarn_lumen_point_mm (lumen, sphere->vertex_mm[k]);
}

/* The smooth surface's volume: that of meshes converges with the square of the edge, so two of
 * them give it to the fourth order (Richardson). */
static TarnStatus
smooth_volume_mm3 (const TarnLumen *lumen, double fine_mm3, double *volume)
{
  TarnMesh coarse;
  if (!tarn_mesh_init_sphere (&coarse, 4))
    return TARN_NO_MEMORY;
  shape_mesh (lumen, &coarse, &coarse);
  double coarse_mm3 = tarn_mesh_volume_mm3 (&coarse);
  tarn_mesh_clear (&coarse);
  *volume = fine_mm3 + (fine_mm3 - coarse_mm3) / 3;
  return TARN_OK;
}

TarnStatus
tarn_placement_scale (const TarnPatient *patient, const TarnMesh *sphere, TarnLumen *lumen,
                      TarnMesh *mesh)
{
  if (!tarn_mesh_init_copy (mesh, sphere))
    return TARN_NO_MEMORY;
  shape_mesh (lumen, sphere, mesh);
  double fine = tarn_mesh_volume_mm3 (mesh), smooth = 0;
  TarnStatus status = smooth_volume_mm3 (lumen, fine, &smooth);
  if (status != TARN_OK)
    {
      tarn_mesh_clear (mesh);
      return status;
    }

  double wanted = patient->bladder.volume_ml * TARN_MM3_PER_ML;
  double shown = lumen->empty ? TARN_LUMEN_LEAST_ML * TARN_MM3_PER_ML : wanted;
  tarn_lumen_scale (lumen, tarn_scale (lumen->half_mm, cbrt (shown / smooth)));

  /* An empty lumen's mesh has no triangle; otherwise the facets, which cut corners, stand out
   * by a hair so that together they hold the volume. */
  if (lumen->empty)
    mesh->vertices = mesh->triangles = 0;
  double grow = cbrt (wanted / fine);
  for (int k = 0; k < mesh->vertices; k++)
    mesh->vertex_mm[k] = tarn_scale (mesh->vertex_mm[k], grow);
  return TARN_OK;
}

/* Place. */

typedef double Distance (const TarnBones *bones, TarnVec3 p_mm);

typedef struct
{
  const TarnLumen *lumen; /* around 0 */
  const TarnMesh *sphere;
  const TarnVec3 *wall; /* a point of the wall for each vertex of the sphere, around 0 */
  const TarnBones *bones;
  Distance *distance;
  double sign; /* of the bones' way along y: -1 moves them, +1 the bladder */
  /* How near to bone each point can be at most, by what has been moved since it was asked. */
  double least_mm[COARSE_VERTICES];
  int nearest; /* last time */
} Search;

static double
clearance_at (const Search *search, TarnVec3 direction, TarnVec3 centre)
{
  TarnVec3 p = tarn_add (tarn_lumen_wall_point_mm (search->lumen, direction), centre);
  return search->distance (search->bones, p);
}

/* Slides from a vertex of the sphere to the place nearest to bone. */
static double
refine (const Search *search, TarnVec3 m, TarnVec3 centre, double best)
{
  for (double step = 0.05; step > 2e-4; step *= 0.5)
    {
      TarnVec3 aside = fabs (m.x) < 0.7 ? tarn_vec3 (1, 0, 0) : tarn_vec3 (0, 1, 0);
      TarnVec3 u = tarn_normalize (tarn_cross (m, aside)), v = tarn_cross (m, u);
      for (int moved = 1, tries = 0; moved && tries < 8; tries++)
        {
          const TarnVec3 way[4] = { u, v, tarn_scale (u, -1), tarn_scale (v, -1) };
          moved = 0;
          for (int k = 0; k < 4; k++)
            {
              TarnVec3 there = tarn_normalize (tarn_add_scaled (m, way[k], step));
              double distance = clearance_at (search, there, centre);
              if (distance < best)
                {
                  best = distance;
                  m = there;
                  moved = 1;
                }
            }
        }
    }
  return best;
}

/* The distances between bone and those points of the wall that may count; else INFINITY. */
static void
ask_points (Search *search, TarnVec3 centre, double at[COARSE_VERTICES])
{
  double nearest = INFINITY;
  for (int n = 0; n < COARSE_VERTICES; n++)
    {
      int k = (search->nearest + n) % COARSE_VERTICES;
      at[k] = INFINITY;
      if (search->least_mm[k] > nearest + COUNTS_MM)
        continue;
      at[k] = search->distance (search->bones, tarn_add (search->wall[k], centre));
      search->least_mm[k] = at[k];
      if (at[k] < nearest)
        nearest = at[k];
    }
}

/* The least distance between wall and bones with the lumen's middle at @centre. */
static double
clearance_mm (Search *search, TarnVec3 centre)
{
  double at[COARSE_VERTICES], best = INFINITY;
  ask_points (search, centre, at);

  /* From the nearest vertex, then from the nearest of those that are not its neighbours, … */
  const TarnVec3 *direction = search->sphere->vertex_mm;
  double nearest = INFINITY;
  for (int starts = 0; starts < 4; starts++)
    {
      int start = 0;
      for (int k = 1; k < COARSE_VERTICES; k++)
        if (at[k] < at[start])
          start = k;
      if (starts == 0)
        {
          nearest = at[start];
          search->nearest = start;
        }
      if (at[start] > nearest + COUNTS_MM)
        break;
      best = fmin (best, refine (search, direction[start], centre, at[start]));
      for (int k = 0; k < COARSE_VERTICES; k++)
        if (tarn_dot (direction[k], direction[start]) > 0.97)
          at[k] = INFINITY;
    }
  return best;
}

/* The distance to bone cannot grow faster than the way moved, so moving by what is missing
 * never goes too far: the first place found is the first there is. */
static double
smallest_step_mm (Search *search, TarnVec3 centre)
{
  double step = 0;
  for (int k = 0; k < COARSE_VERTICES; k++)
    search->least_mm[k] = -INFINITY;
  for (int k = 0; k < 400 && step < STEP_MAX_MM; k++)
    {
      TarnVec3 moved = tarn_add (centre, tarn_vec3 (0, search->sign * step, 0));
      double missing = TARN_BONE_CLEARANCE_MM - clearance_mm (search, moved);
      if (missing < CLEARANCE_SLACK_MM)
        break;
      step += missing;
      for (int point = 0; point < COARSE_VERTICES; point++)
        search->least_mm[point] -= missing;
    }
  return step;
}

static TarnVec3 *
wall_points (const TarnLumen *lumen, const TarnMesh *sphere)
{
  TarnVec3 *wall = malloc ((size_t)sphere->vertices * sizeof *wall);
  for (int k = 0; wall != NULL && k < sphere->vertices; k++)
    wall[k] = tarn_lumen_wall_point_mm (lumen, sphere->vertex_mm[k]);
  return wall;
}

/* y of the middle at which the front of the wall touches the gap's inner face. */
static double
start_y_mm (const TarnTorso *torso, const TarnVec3 *wall, int count, double left_mm)
{
  double above = 1000; /* clear of the bone */
  double y = -INFINITY;
  for (int k = 0; k < count; k++)
    if (wall[k].y < 0)
      y = fmax (y, tarn_torso_front_mm (torso, TARN_LAYER_GAP_INNER, left_mm + wall[k].x, above)
                       - wall[k].y);
  return y;
}

static double
highest_mm (const TarnVec3 *p, int count)
{
  double z = -INFINITY;
  for (int k = 0; k < count; k++)
    z = fmax (z, p[k].z);
  return z;
}

/* The lowest point of the lumen itself, around 0. */
static double
lowest_mm (const TarnLumen *lumen, const TarnMesh *sphere)
{
  double z = INFINITY;
  for (int k = 0; k < sphere->vertices; k++)
    z = fmin (z, tarn_lumen_point_mm (lumen, sphere->vertex_mm[k]).z);
  return z;
}

static TarnStatus
check_inside (const TarnTorso *torso, const TarnVec3 *wall, int count, TarnVec3 centre,
              TarnProblem *problem)
{
  for (int k = 0; k < count; k++)
    {
      TarnVec3 p = tarn_add (wall[k], centre);
      if (tarn_torso_level (torso, TARN_LAYER_MUSCLE_INNER, p) > 0
          || p.z > TARN_TORSO_HEAD_MM - 20)
        return tarn_problem_set (problem, TARN_IMPOSSIBLE, "[Bladder] volume-ml",
                                 "a bladder of these proportions does not fit into the torso");
    }
  return TARN_OK;
}

TarnStatus
tarn_placement_place (const TarnPatient *patient, const TarnMesh *sphere, TarnLumen *lumen,
                      TarnTorso *torso, TarnBones *bones, TarnProblem *problem)
{
  TarnVec3 *wall = wall_points (lumen, sphere);
  if (wall == NULL)
    return TARN_NO_MEMORY;
  const TarnLumen around_0 = *lumen;
  Search search = { .lumen = &around_0,
                    .sphere = sphere,
                    .wall = wall,
                    .bones = bones,
                    .distance = tarn_skeleton_front_distance_mm,
                    .sign = 1 };

  TarnVec3 centre = { patient->bladder.left_mm, 0, 0 };
  centre.y = start_y_mm (torso, wall, sphere->vertices, centre.x);
  centre.z = patient->bladder.rise_mm - lowest_mm (lumen, sphere);

  TarnStatus status = TARN_OK;
  torso->moved_mm = smallest_step_mm (&search, centre);
  centre.y += torso->moved_mm;
  torso->dome_mm = centre.z + highest_mm (wall, sphere->vertices);
  if (torso->moved_mm >= STEP_MAX_MM)
    status = tarn_problem_set (problem, TARN_IMPOSSIBLE, "[Bladder] rise-mm",
                               "no place behind the bone keeps the bladder clear of it");

  if (status == TARN_OK)
    {
      search.distance = tarn_skeleton_back_distance_mm;
      search.sign = -1;
      double back = smallest_step_mm (&search, centre);
      tarn_skeleton_push_back (bones, back);
      tarn_torso_reach_back (torso, patient,
                             tarn_skeleton_back_mm (bones) + BEHIND_SPINE_MM
                                 + patient->habitus.skin_mm);
      if (back > STAND_BACK_MAX_MM)
        status = tarn_problem_set (problem, TARN_IMPOSSIBLE, "[Bladder] volume-ml",
                                   "the bladder is too deep for this torso");
    }
  if (status == TARN_OK)
    status = check_inside (torso, wall, sphere->vertices, centre, problem);
  lumen->centre_mm = centre;
  free (wall);
  return status;
}
