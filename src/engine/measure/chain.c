/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The rules of chain.h. */
#include "engine/measure/chain.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>

#define SPREAD_SHARE   9   /* the first candidates stand a ninth of the fan apart */
#define FAR_COSINE     0.4 /* points so squarely behind the seed are its far wall */
#define FAR_WALL_LEAST 0.6 /* less of it seen makes a start doubtful */
#define DOUBTFUL_WORTH 0.01
#define SLIVER_MM2     300.0 /* a smaller section is no sure start */
#define BRIDGED_WORTH  0.5   /* a bridged point of border against a seen one */

int
tarn_chain_starts (int planes, int tier, int *index)
{
  int middle = planes / 2, count = 0;
  int apart = planes / SPREAD_SHARE > 1 ? planes / SPREAD_SHARE : 1;

  if (tier == 0)
    {
      for (int k = -2; k <= 2; k++)
        if (middle + k * apart >= 0 && middle + k * apart < planes)
          index[count++] = middle + k * apart;
      return count;
    }
  for (int k = middle % 2; k < planes; k += 2)
    if ((k - middle) % apart != 0 || k < middle - 2 * apart || k > middle + 2 * apart)
      index[count++] = k;
  return count;
}

/* How much of the border behind the seed is seen.  Fluid has a far wall; a shadow has none. */
static double
far_wall_seen (const TarnOutline *outline)
{
  int far = 0, seen = 0;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      const TarnOutlinePoint *point = &outline->point[k];
      double du = point->u_mm - outline->seed_u_mm, dv = point->v_mm - outline->seed_v_mm;
      if (dv < FAR_COSINE * hypot (du, dv))
        continue;
      far++;
      seen += point->evidence == TARN_EVIDENCE_SEEN;
    }
  return far > 0 ? (double)seen / far : 0;
}

double
tarn_chain_merit (const TarnOutline *outline)
{
  if (!outline->found)
    return 0;
  double worth = outline->moment_mm3 * (outline->seen + BRIDGED_WORTH * outline->bridged);
  return far_wall_seen (outline) >= FAR_WALL_LEAST ? worth : worth * DOUBTFUL_WORTH;
}

bool
tarn_chain_sure (const TarnOutline *outline)
{
  return outline->found && outline->area_mm2 >= SLIVER_MM2
         && far_wall_seen (outline) >= FAR_WALL_LEAST;
}

bool
tarn_chain_alive (const TarnChain *chain)
{
  return chain->last != NULL && chain->misses < TARN_CHAIN_MISSES_MAX;
}

void
tarn_chain_hint (const TarnChain *chain, int index, double step_rad, TarnOutlineHints *hints)
{
  hints->neighbour = chain->last;
  hints->fan_step_rad = step_rad * fabs ((double)(index - chain->last_index));
}

/* Whether the point lies in the polygon: an odd number of edges to its right. */
static bool
inside (const TarnOutline *outline, double u_mm, double v_mm)
{
  bool odd = false;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      const TarnOutlinePoint *a = &outline->point[k];
      const TarnOutlinePoint *b = &outline->point[(k + 1) % TARN_OUTLINE_POINTS];
      if ((a->v_mm > v_mm) != (b->v_mm > v_mm)
          && u_mm < a->u_mm + (v_mm - a->v_mm) * (b->u_mm - a->u_mm) / (b->v_mm - a->v_mm))
        odd = !odd;
    }
  return odd;
}

static void
middle (const TarnOutline *outline, double *u_mm, double *v_mm)
{
  *u_mm = *v_mm = 0;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      *u_mm += outline->point[k].u_mm / TARN_OUTLINE_POINTS;
      *v_mm += outline->point[k].v_mm / TARN_OUTLINE_POINTS;
    }
}

/* Rule 3: the middle of one lies in the other. */
static bool
overlap (const TarnOutline *a, const TarnOutline *b)
{
  double u_mm, v_mm;
  middle (a, &u_mm, &v_mm);
  if (inside (b, u_mm, v_mm))
    return true;
  middle (b, &u_mm, &v_mm);
  return inside (a, u_mm, v_mm);
}

bool
tarn_chain_take (TarnChain *chain, int index, const TarnOutline *outline)
{
  assert (tarn_chain_alive (chain));
  if (!outline->found || !overlap (chain->last, outline))
    {
      chain->misses++;
      return false;
    }
  *chain = (TarnChain){ .last = outline, .last_index = index };
  return true;
}

int
tarn_chain_lone (const TarnOutline *const *outline, int planes)
{
  int lone = -1;
  for (int k = 0; k < planes; k++)
    if (outline[k] != NULL && outline[k]->found)
      {
        if (lone >= 0)
          return -1;
        lone = k;
      }
  bool between = lone > 0 && lone < planes - 1;
  return between && !tarn_chain_sure (outline[lone]) ? lone : -1;
}
