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
#define SEEN_LEAST        0.2
#define CLOSED_SEEN_LEAST 0.3
#define SMALL_MM2         400.0
#define SMALL_CONTRAST_DB 12.0
#define SMALL_BRIDGED     0.25
#define FACING            0.5f  /* cosine to the line from which a border faces the probe */
#define FAR_LEAST         0.05  /* share of the points that must be a far border */
#define ALONG             0.17f /* cosine under which a border runs along the lines */
#define ALONG_MOST        0.4
#define OPEN_EDGE_MOST    0.8
#define OPEN_BRIDGED      0.03
#define OPEN_CONTRAST_DB  13.0
#define EDGE_MM           1.5f /* so near to the sector's side is at it */
#define FLANK_LINES       4    /* beside a shadow its own edge may pass for a border */
#define RECENTRES         2

static TarnOutlineWork *
work_new (const OutlineKernels *kernels)
{
  TarnOutlineWork *work = calloc (1, sizeof *work);

  if (work == NULL)
    return NULL;
  work->kernels = kernels;
  for (int ray = 0; ray < RAYS; ray++)
    {
      double angle = 2 * TARN_PI * ray / RAYS;
      work->ray_u[ray] = (float)cos (angle);
      work->ray_v[ray] = (float)sin (angle);
    }
  tarn_step_shape_init (&work->step);
  return work;
}

TarnOutlineWork *
tarn_outline_work_new_plain (void)
{
  return work_new (&outline_kernels_plain);
}

TarnOutlineWork *
tarn_outline_work_new (void)
{
#ifdef TARN_HAVE_AVX2
  if (__builtin_cpu_supports ("avx2"))
    return work_new (&outline_kernels_avx2);
#endif
  return tarn_outline_work_new_plain ();
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
      int cell = tarn_dark_map_cell (&work->map, (float)atan2 (u, v), (float)hypot (u, v));
      if (moved < 0.1 * sqrt (area) || cell < 0 || work->map.dark[cell] >= 0)
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
      float exit = path->exit_mm[ray], r = path->radius_mm[ray];
      bool at_edge = path->evidence[ray] == TARN_EVIDENCE_AT_EDGE || r > exit - 0.5f;
      r = at_edge ? exit : r;
      path->radius_mm[ray] = r;
      /* A shadow at the edge hides whether the region went so far. */
      float inner = at_edge ? fmaxf (0, exit - 1) : r;
      float u = path->u_mm + inner * work->ray_u[ray],
            v = path->v_mm + inner * work->ray_v[ray];
      if (tarn_dark_map_by_shadow (&work->map, u, v, FLANK_LINES)
          || (!at_edge && path->contrast_db[ray] < POINT_LEAST_DB))
        path->evidence[ray] = TARN_EVIDENCE_BRIDGED;
      else
        path->evidence[ray] = at_edge ? TARN_EVIDENCE_AT_EDGE : TARN_EVIDENCE_SEEN;
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

/* How far to believe an outline. */
typedef enum
{
  BELIEF_NONE,
  BELIEF_OPEN,   /* runs into the sector's edge and shows no far border */
  BELIEF_CLOSED, /* bordered on the far side too */
} Belief;

/* A region of fluid has a border on a fair share of its rays, on its far side too; or it runs
 * into the edge and its flanks do not follow the lines, as those of a shadow do. */
static Belief
believe (const TarnOutline *outline)
{
  int seen = 0, far = 0, along = 0;

  if (outline->area_mm2 < AREA_LEAST_MM2 || outline->contrast_db < CONTRAST_LEAST_DB
      || outline->seen < SEEN_LEAST)
    return BELIEF_NONE;
  /* What is small must be plain. */
  if (outline->area_mm2 < SMALL_MM2
      && (outline->contrast_db < SMALL_CONTRAST_DB || outline->bridged > SMALL_BRIDGED))
    return BELIEF_NONE;
  for (int ray = 0; ray < RAYS; ray++)
    {
      const TarnOutlinePoint *p = &outline->point[ray];
      const TarnOutlinePoint *before = &outline->point[(ray + RAYS - 1) % RAYS];
      const TarnOutlinePoint *after = &outline->point[(ray + 1) % RAYS];
      if (p->evidence != TARN_EVIDENCE_SEEN)
        continue;
      float nu = after->v_mm - before->v_mm, nv = before->u_mm - after->u_mm;
      float facing = (nu * p->u_mm + nv * p->v_mm)
                     / sqrtf ((nu * nu + nv * nv) * (p->u_mm * p->u_mm + p->v_mm * p->v_mm));
      seen++;
      far += facing > FACING;
      along += fabsf (facing) < ALONG;
    }
  if (far >= FAR_LEAST * RAYS && outline->seen >= CLOSED_SEEN_LEAST)
    return BELIEF_CLOSED;
  bool is_open = outline->at_edge > 0 && outline->at_edge < OPEN_EDGE_MOST
                 && outline->bridged < OPEN_BRIDGED && outline->contrast_db > OPEN_CONTRAST_DB
                 && along < ALONG_MOST * seen;
  return is_open ? BELIEF_OPEN : BELIEF_NONE;
}

/* Whether the region lies over the neighbour's: the middle of one in the other. */
static bool
lies_over (const Path *path, const TarnOutline *neighbour)
{
  int hit = 0;

  for (int ray = 0; ray < RAYS; ray++)
    hit += path->guide_mm[ray] > 0;
  if (hit > 3 * RAYS / 4)
    return true;
  double u = neighbour->seed_u_mm - path->u_mm, v = neighbour->seed_v_mm - path->v_mm;
  double turn = atan2 (v, u) / (2 * TARN_PI);
  int ray = (int)((turn < 0 ? turn + 1 : turn) * RAYS) % RAYS;
  return hypot (u, v) < path->radius_mm[ray];
}

/* One region, from its seed to its outline. */
static void
outline_region (TarnOutlineWork *work, const TarnImage *image, const TarnOutlineHints *hints,
                const Seed *seed, TarnOutline *outline)
{
  Path path = { .u_mm = seed->u_mm, .v_mm = seed->v_mm };

  *outline = (TarnOutline){ 0 };
  find_path (work, &path);
  mark_edges (&path);
  if (hints != NULL && hints->neighbour != NULL && hints->neighbour->found)
    {
      tarn_path_guide (work, hints->neighbour, &path);
      if (!lies_over (&path, hints->neighbour))
        return;
    }
  tarn_border_refine (work, image, hints, &path);
  set_evidence (work, &path);
  tarn_path_bridge (work, &path);
  fill_outline (work, &path, outline);
}

TarnStatus
tarn_outline_find (TarnOutlineWork *work, const TarnImage *image, const TarnOutlineHints *hints,
                   TarnOutline *outline)
{
  assert (work != NULL && image != NULL && outline != NULL);
  if (!geometry_is_sound (image))
    return TARN_OUT_OF_RANGE;
  *outline = (TarnOutline){ 0 };

  if (!tarn_dark_map_fill (work, image, hints))
    return TARN_OK;
  tarn_shadow_mark (&work->map, image);

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
  TarnOutline fresh;
  for (int k = 0; k < seeds; k++)
    {
      outline_region (work, image, hints, &seed[k], &fresh);
      Belief belief = believe (&fresh);
      if (belief == BELIEF_CLOSED || (belief == BELIEF_OPEN && !outline->found))
        *outline = fresh;
      if (belief == BELIEF_CLOSED)
        break;
    }
  return TARN_OK;
}
