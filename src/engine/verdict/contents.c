/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the outlines of a sweep hold, by looking up the truth at points inside them, from
 * where each plane was really shot. */
#include "engine/verdict/geometric.h"

#include <string.h>

#define PITCH_MM 3.0
#define BLOCK    256 /* points moved at a time; a multiple of 8 */

typedef struct
{
  const TarnBody *body;
  const TarnDeform *deform;
  TarnPlaneFrame frame;
  int count;
  float x[BLOCK], y[BLOCK], z[BLOCK], weight[BLOCK];
  double all, urine, other;
} Tally;

static void
tally_flush (Tally *tally)
{
  for (int k = tally->count; k < (tally->count + 7) / 8 * 8; k++)
    tally->x[k] = tally->y[k] = tally->z[k] = 0;
  tarn_deform_inverse_many (tally->deform, tally->count, tally->x, tally->y, tally->z);
  for (int k = 0; k < tally->count; k++)
    {
      TarnTissue tissue
          = tarn_body_tissue (tally->body, tarn_vec3 (tally->x[k], tally->y[k], tally->z[k]));
      tally->all += tally->weight[k];
      if (tissue == TARN_TISSUE_URINE)
        tally->urine += tally->weight[k];
      else if (tarn_tissue_without_others (tissue) != tissue)
        tally->other += tally->weight[k];
    }
  tally->count = 0;
}

static void
tally_add (Tally *tally, double u_mm, double v_mm)
{
  TarnVec3 p = tarn_add_scaled (tally->frame.centre_mm, tally->frame.lateral, u_mm);
  p = tarn_add_scaled (p, tally->frame.axis, v_mm);
  tally->x[tally->count] = (float)p.x;
  tally->y[tally->count] = (float)p.y;
  tally->z[tally->count] = (float)p.z;
  tally->weight[tally->count++] = (float)v_mm;
  if (tally->count == BLOCK)
    tally_flush (tally);
}

/* Walks level @v_mm from crossing to crossing of the outline. */
static void
tally_level (Tally *tally, const TarnOutline *outline, double v_mm)
{
  double crossing[TARN_OUTLINE_POINTS];
  int crossings = 0;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      const TarnOutlinePoint *a = &outline->point[k];
      const TarnOutlinePoint *b = &outline->point[(k + 1) % TARN_OUTLINE_POINTS];
      if ((a->v_mm > v_mm) == (b->v_mm > v_mm))
        continue;
      double u = a->u_mm + (v_mm - a->v_mm) * (b->u_mm - a->u_mm) / (b->v_mm - a->v_mm);
      int at = crossings++;
      for (; at > 0 && crossing[at - 1] > u; at--)
        crossing[at] = crossing[at - 1];
      crossing[at] = u;
    }
  for (int k = 0; k + 1 < crossings; k += 2)
    for (double u = (floor (crossing[k] / PITCH_MM) + 1) * PITCH_MM; u < crossing[k + 1];
         u += PITCH_MM)
      tally_add (tally, u, v_mm);
}

TarnStatus
tarn_contents_of (const TarnBody *body, const TarnSweep *sweep, TarnContents *contents)
{
  Tally tally = { .body = body };
  for (int plane = 0; plane < sweep->planes; plane++)
    {
      const TarnOutline *outline = &sweep->plane[plane].outline;
      if (!outline->found)
        continue;
      const TarnShot *shot = tarn_shots_at (&sweep->shots, plane, false);
      tally.deform = &shot->deform;
      tally.frame = tarn_plane_frame (&shot->contact, sweep->plane[plane].fan_rad);

      double low = INFINITY, high = -INFINITY;
      for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
        {
          low = fmin (low, outline->point[k].v_mm);
          high = fmax (high, outline->point[k].v_mm);
        }
      for (double v = (floor (low / PITCH_MM) + 0.5) * PITCH_MM; v < high; v += PITCH_MM)
        tally_level (&tally, outline, v);
      tally_flush (&tally);
    }

  *contents = (TarnContents){ 0 };
  if (tally.all > 0)
    *contents = (TarnContents){ tally.urine / tally.all, tally.other / tally.all };
  return TARN_OK;
}
