/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The border where it cannot be seen.
 *
 * A gap takes its shape from the neighbouring plane's border where that was seen, else from
 * what was seen here (gap.c). */
#include "engine/outline/gap.h"
#include "engine/outline/parts.h"

#include <string.h>

/* The neighbour must have seen so much on either side of a gap; own design value. */
#define BESIDE_RAYS 3

void
tarn_path_guide (const TarnOutlineWork *work, const TarnOutline *neighbour, Path *path)
{
  memset (path->guide_mm, 0, sizeof path->guide_mm);
  memset (path->guide_seen, 0, sizeof path->guide_seen);
  for (int k = 0; k < RAYS; k++)
    {
      const TarnOutlinePoint *p = &neighbour->point[k], *q = &neighbour->point[(k + 1) % RAYS];
      float pu = p->u_mm - path->u_mm, pv = p->v_mm - path->v_mm;
      float qu = q->u_mm - path->u_mm, qv = q->v_mm - path->v_mm;
      float turn = pu * qv - pv * qu;
      for (int ray = 0; ray < RAYS; ray++)
        {
          float du = work->ray_u[ray], dv = work->ray_v[ray];
          float before = pu * dv - pv * du, after = du * qv - dv * qu;
          if (before < 0 || after <= 0)
            continue;
          float r = turn / (before + after);
          if (r > path->guide_mm[ray])
            {
              path->guide_mm[ray] = r;
              path->guide_seen[ray] = p->evidence == TARN_EVIDENCE_SEEN;
            }
        }
    }
}

/* The neighbour's border, where it saw most of a gap and its ends. */
static const float *
neighbour_guide (void *context, int first, int run)
{
  const Path *path = context;
  int seen = 0;

  for (int k = -BESIDE_RAYS; k < run + BESIDE_RAYS; k++)
    {
      int ray = (first + k + RAYS) % RAYS;
      if (path->guide_mm[ray] <= 1)
        return NULL;
      seen += path->guide_seen[ray];
    }
  return 4 * seen > 3 * (run + 2 * BESIDE_RAYS) ? path->guide_mm : NULL;
}

static float
within_sector (void *context, int ray, float radius_mm)
{
  const Path *path = context;
  return radius_mm < path->exit_mm[ray] ? radius_mm : path->exit_mm[ray];
}

void
tarn_path_bridge (const TarnOutlineWork *work, Path *path)
{
  TarnGapBorder border = { .turn_cos = work->ray_u,
                           .turn_sin = work->ray_v,
                           .radius_mm = path->radius_mm,
                           .evidence = path->evidence,
                           .guide = neighbour_guide,
                           .within = within_sector,
                           .context = path };
  tarn_gap_bridge (&border);
}
