/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The order of things: darkness, shadows, seeds; then for each seed, nearest first, a coarse
 * border about it, once or twice again about that border's own centre, the fine border, the
 * evidence of each point, and whether all that is a region of fluid. */
#include "engine/outline/outline.h"

#include "base/units.h"
#include "engine/outline/parts.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* All own design values. */
#define AREA_LEAST_MM2    60.0
#define CONTRAST_LEAST_DB 9.0
#define POINT_LEAST_DB    6.0f /* a point with less is carried by its neighbours */
#define SEEN_LEAST        0.3
#define FAR_SEEN_LEAST    0.25
#define EDGE_MM           1.5f /* so near to the sector's side is at it */
#define RECENTRES         2

TarnOutlineWork *
tarn_outline_work_new (void)
{
  TarnOutlineWork *work = malloc (sizeof *work);

  if (work == NULL)
    return NULL;
  memset (work, 0, sizeof *work);
  for (int ray = 0; ray < RAYS; ray++)
    {
      double angle = 2 * TARN_PI * ray / RAYS;
      work->ray_u[ray] = (float)cos (angle);
      work->ray_v[ray] = (float)sin (angle);
    }
  tarn_step_shape_init (&work->step);
  return work;
}

void
tarn_outline_work_free (TarnOutlineWork *work)
{
  free (work);
}

static bool
geometry_is_sound (const TarnImage *image)
{
  const TarnImageGeometry *g = &image->geometry;
  double last = g->first_angle_rad + (g->lines - 1) * g->line_pitch_rad;

  return g->lines >= 8 && g->lines <= TARN_LINES_MAX && g->samples >= 32
         && g->samples <= TARN_SAMPLES_MAX && image->stride >= g->samples
         && g->line_pitch_rad > 0 && g->first_angle_rad > -TARN_PI / 2 && last < TARN_PI / 2
         && g->sample_pitch_mm > 0 && g->sample_pitch_mm < 10 && g->face_radius_mm >= 0
         && g->face_radius_mm < 1000;
}

static void
centroid (const TarnOutlineWork *work, const Path *path, double *area, double *u, double *v)
{
  double sum = 0, sum_u = 0, sum_v = 0;

  for (int ray = 0; ray < RAYS; ray++)
    {
      int next = (ray + 1) % RAYS;
      double au = path->radius_mm[ray] * work->ray_u[ray];
      double av = path->radius_mm[ray] * work->ray_v[ray];
      double bu = path->radius_mm[next] * work->ray_u[next];
      double bv = path->radius_mm[next] * work->ray_v[next];
      double cross = au * bv - bu * av;
      sum += cross;
      sum_u += cross * (au + bu);
      sum_v += cross * (av + bv);
    }
  *area = sum / 2;
  *u = path->u_mm + sum_u / (3 * sum);
  *v = path->v_mm + sum_v / (3 * sum);
}

/* The coarse border, about its own centre. */
static void
find_path (TarnOutlineWork *work, Path *path)
{
  tarn_path_find (work, path);
  for (int turn = 0; turn < RECENTRES; turn++)
    {
      double area, u, v;
      centroid (work, path, &area, &u, &v);
      double moved = hypot (u - path->u_mm, v - path->v_mm);
      float dark = tarn_dark_map_at (&work->map, (float)u, (float)v);
      if (moved < 0.1 * sqrt (area) || !(dark <= 0))
        return;
      path->u_mm = (float)u;
      path->v_mm = (float)v;
      tarn_path_find (work, path);
    }
}

/* Before the fine border moves them: which points stand at the sector's edge. */
static void
mark_edges (Path *path)
{
  for (int ray = 0; ray < RAYS; ray++)
    {
      bool at_edge = path->radius_mm[ray] > path->exit_mm[ray] - EDGE_MM;
      path->evidence[ray] = at_edge ? TARN_EVIDENCE_AT_EDGE : TARN_EVIDENCE_SEEN;
    }
}

/* After: clips at the sector, and tells seen from bridged. */
static void
set_evidence (const TarnOutlineWork *work, Path *path)
{
  for (int ray = 0; ray < RAYS; ray++)
    {
      float r = path->radius_mm[ray];
      if (path->evidence[ray] == TARN_EVIDENCE_AT_EDGE || r > path->exit_mm[ray] - 0.5f)
        {
          path->evidence[ray] = TARN_EVIDENCE_AT_EDGE;
          path->radius_mm[ray] = path->exit_mm[ray];
          continue;
        }
      float u = path->u_mm + r * work->ray_u[ray], v = path->v_mm + r * work->ray_v[ray];
      if (path->contrast_db[ray] < POINT_LEAST_DB || tarn_dark_map_in_shadow (&work->map, u, v))
        path->evidence[ray] = TARN_EVIDENCE_BRIDGED;
    }
}

/* Carries the border over runs of bridged points, straight in radius from end to end. */
static void
bridge (Path *path)
{
  int start = 0;

  while (start < RAYS && path->evidence[start] == TARN_EVIDENCE_BRIDGED)
    start++;
  if (start == RAYS)
    return;
  for (int n = 1; n < RAYS; n++)
    {
      int run = 0;
      while (n + run < RAYS
             && path->evidence[(start + n + run) % RAYS] == TARN_EVIDENCE_BRIDGED)
        run++;
      float from = path->radius_mm[(start + n - 1) % RAYS];
      float to = path->radius_mm[(start + n + run) % RAYS];
      for (int k = 0; k < run; k++)
        {
          int ray = (start + n + k) % RAYS;
          float r = from + (to - from) * (float)(k + 1) / (float)(run + 1);
          path->radius_mm[ray] = r < path->exit_mm[ray] ? r : path->exit_mm[ray];
        }
      n += run;
    }
}

/* Writes the path out, and sums it up. */
static void
fill_outline (const TarnOutlineWork *work, const Path *path, TarnOutline *outline)
{
  int count[3] = { 0 };
  double contrast = 0;

  *outline = (TarnOutline){ .found = true, .seed_u_mm = path->u_mm, .seed_v_mm = path->v_mm };
  for (int ray = 0; ray < RAYS; ray++)
    {
      outline->point[ray]
          = (TarnOutlinePoint){ .u_mm = path->u_mm + path->radius_mm[ray] * work->ray_u[ray],
                                .v_mm = path->v_mm + path->radius_mm[ray] * work->ray_v[ray],
                                .evidence = path->evidence[ray] };
      count[path->evidence[ray]]++;
      if (path->evidence[ray] == TARN_EVIDENCE_SEEN)
        contrast += path->contrast_db[ray];
    }
  tarn_outline_measure (outline->point, RAYS, &outline->area_mm2, &outline->moment_mm3);
  outline->seen = (double)count[TARN_EVIDENCE_SEEN] / RAYS;
  outline->bridged = (double)count[TARN_EVIDENCE_BRIDGED] / RAYS;
  outline->at_edge = (double)count[TARN_EVIDENCE_AT_EDGE] / RAYS;
  if (count[TARN_EVIDENCE_SEEN] > 0)
    outline->contrast_db = contrast / count[TARN_EVIDENCE_SEEN];
}

/* A region of fluid has a border on a fair share of its rays, on its far side too. */
static bool
is_believable (const TarnOutlineWork *work, const TarnOutline *outline)
{
  int far = 0, far_seen = 0;

  for (int ray = 0; ray < RAYS; ray++)
    if (work->ray_v[ray] > 0.4f)
      {
        far++;
        far_seen += outline->point[ray].evidence == TARN_EVIDENCE_SEEN;
      }
  return outline->area_mm2 >= AREA_LEAST_MM2 && outline->contrast_db >= CONTRAST_LEAST_DB
         && outline->seen >= SEEN_LEAST && far_seen >= FAR_SEEN_LEAST * far;
}

TarnStatus
tarn_outline_find (TarnOutlineWork *work, const TarnImage *image, const TarnOutlineHints *hints,
                   TarnOutline *outline)
{
  assert (work != NULL && image != NULL && outline != NULL);
  if (!geometry_is_sound (image))
    return TARN_OUT_OF_RANGE;
  *outline = (TarnOutline){ 0 };

  double range_db = hints != NULL && hints->range_db > 0 ? hints->range_db : 60;
  if (!tarn_dark_map_fill (work, image, range_db))
    return TARN_OK;
  tarn_shadow_mark (&work->map);

  /* Where to look first. */
  const TarnOutline *neighbour = hints != NULL ? hints->neighbour : NULL;
  float look_u = 0, look_v = 0.5f * (work->map.near_mm + work->map.far_mm);
  if (neighbour != NULL && neighbour->found)
    {
      look_u = (float)neighbour->seed_u_mm;
      look_v = (float)neighbour->seed_v_mm;
    }

  Seed seed[PATCHES];
  int seeds = tarn_seed_find (work, look_u, look_v, seed);
  for (int k = 0; k < seeds; k++)
    {
      Path path = { .u_mm = seed[k].u_mm, .v_mm = seed[k].v_mm };
      find_path (work, &path);
      mark_edges (&path);
      tarn_border_refine (work, image, hints, &path);
      set_evidence (work, &path);
      bridge (&path);
      fill_outline (work, &path, outline);
      if (is_believable (work, outline))
        return TARN_OK;
    }
  *outline = (TarnOutline){ 0 };
  return TARN_OK;
}
