/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the outlines of a sweep hold, by looking up the truth at points inside them, from
 * where each plane was really shot.
 *
 * The instrument takes one speed of sound for all, so what it shows behind 40 mm of fat lies
 * some 2.5 mm nearer than shown; for a small bladder that matters.  Each plane's ruler is
 * corrected along the ray through its outline's seed. */
#include "engine/verdict/geometric.h"

#include "base/units.h"

#define PITCH_MM      3.0
#define RULER_STEP_MM 2.0
#define RULER_STEPS   192
#define BLOCK         256 /* points moved at a time; a multiple of 8 */

typedef struct
{
  const TarnBody *body;
  const TarnDeform *deform;
  TarnPlaneFrame frame;
  double face_radius_mm;
  double shown_mm[RULER_STEPS]; /* the depth shown of what lies so many steps deep */
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

/* Speeds along the ray through (u, v) of the plane. */
static void
read_ruler (Tally *tally, double u_mm, double v_mm)
{
  TarnVec3 along = tarn_normalize (
      tarn_add_scaled (tarn_scale (tally->frame.axis, v_mm), tally->frame.lateral, u_mm));
  float x[RULER_STEPS], y[RULER_STEPS], z[RULER_STEPS];
  for (int k = 0; k < RULER_STEPS; k++)
    {
      double range_mm = tally->face_radius_mm + (k + 0.5) * RULER_STEP_MM;
      TarnVec3 p = tarn_add_scaled (tally->frame.centre_mm, along, range_mm);
      x[k] = (float)p.x;
      y[k] = (float)p.y;
      z[k] = (float)p.z;
    }
  tarn_deform_inverse_many (tally->deform, RULER_STEPS, x, y, z);
  double shown_mm = 0;
  for (int k = 0; k < RULER_STEPS; k++)
    {
      TarnTissue tissue = tarn_body_tissue (tally->body, tarn_vec3 (x[k], y[k], z[k]));
      const TarnTissueSound *sound = tarn_tissue_sound (tissue);
      bool trusted = tissue == TARN_TISSUE_AIR || sound->opaque;
      shown_mm += RULER_STEP_MM * (trusted ? 1 : TARN_ASSUMED_M_S / sound->speed_m_s);
      tally->shown_mm[k] = shown_mm;
    }
}

/* Where what is shown at this range lies. */
static double
true_range_mm (const Tally *tally, double range_mm)
{
  double shown_mm = range_mm - tally->face_radius_mm, before = 0;
  for (int k = 0; k < RULER_STEPS; k++)
    {
      if (shown_mm <= tally->shown_mm[k])
        return tally->face_radius_mm
               + RULER_STEP_MM * (k + (shown_mm - before) / (tally->shown_mm[k] - before));
      before = tally->shown_mm[k];
    }
  return range_mm;
}

static void
tally_add (Tally *tally, double u_mm, double v_mm)
{
  double range_mm = hypot (u_mm, v_mm), weight = v_mm;
  double nearer = true_range_mm (tally, range_mm) / range_mm;
  u_mm *= nearer;
  v_mm *= nearer;
  TarnVec3 p = tarn_add_scaled (tally->frame.centre_mm, tally->frame.lateral, u_mm);
  p = tarn_add_scaled (p, tally->frame.axis, v_mm);
  tally->x[tally->count] = (float)p.x;
  tally->y[tally->count] = (float)p.y;
  tally->z[tally->count] = (float)p.z;
  tally->weight[tally->count++] = (float)weight;
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
  Tally tally = { .body = body, .face_radius_mm = sweep->geometry.face_radius_mm };
  for (int plane = 0; plane < sweep->planes; plane++)
    {
      const TarnOutline *outline = &sweep->plane[plane].outline;
      if (!outline->found)
        continue;
      const TarnShot *shot = tarn_shots_at (&sweep->shots, plane, false);
      tally.deform = &shot->deform;
      tally.frame = tarn_plane_frame (&shot->contact, sweep->plane[plane].fan_rad);
      read_ruler (&tally, outline->seed_u_mm, outline->seed_v_mm);

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
