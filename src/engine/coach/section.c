/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A section, as an outline would see it.
 *
 * 1. Of each place in the plane, what the picture would tell: dark where there is fluid, tissue
 *    where tissue's echo stands over the noise, nothing behind bone and gas, outside the body,
 *    and on dry lines.
 * 2. Dark places that hang together are a patch (section_patch.h).  Its border is seen where
 * there is tissue beyond, at the edge where the field ends, and unknown elsewhere.
 * 3. What is unknown is bridged as an outline bridges it, by an ellipse through what was seen,
 *    scaled to meet the border at both ends of the gap.
 * 4. What is too small, or shows too little border, is no section. */
#include "engine/coach/section.h"

#include "base/units.h"
#include "engine/coach/section_border.h"
#include "engine/coach/section_patch.h"

/* As the picture and its outline have them (acoustic/finish.c, outline/dark-map.c, dry.c). */
#define NOISE_UNDER_DB    70.0 /* soft tissue at the face */
#define NOISE_GAP_DB      9.0  /* less between tissue and noise tells nothing */
#define DRY_SHARE         0.5  /* with less of its aperture wet a line tells nothing */
#define AREA_LEAST_MM2    60.0
#define SMALL_MM2         400.0
#define SMALL_BRIDGED     0.25
#define SEEN_LEAST        0.2
#define CLOSED_SEEN_LEAST 0.3
#define GEL_STEPS         4 /* air so near the face is gel */
#define FAR_LEAST         0.05
#define FACING            0.5
#define OPEN_EDGE_MOST    0.8
#define OPEN_BRIDGED      0.03

#define POINTS TARN_OUTLINE_POINTS

void
tarn_plane_view_init (TarnPlaneView *view, const TarnRays *rays)
{
  view->rays = rays;
  view->lines = rays->line_bins;
  view->steps = rays->field_steps;
  for (int k = 0; k <= 2 * view->lines; k++)
    {
      double angle = rays->geometry.first_angle_rad + k * rays->line_pitch_rad / 2;
      view->line_sin[k] = sin (angle);
      view->line_cos[k] = cos (angle);
    }
  for (int k = 0; k < POINTS; k++)
    {
      view->turn_cos[k] = (float)cos (2 * TARN_PI * k / POINTS);
      view->turn_sin[k] = (float)sin (2 * TARN_PI * k / POINTS);
    }
}

/* One line: what the picture tells along it. */
static void
look_along (TarnPlaneView *view, int l, const TarnRay *ray)
{
  const TarnRays *rays = view->rays;
  float dim_db = ray->steps == 0 ? 0
                 : ray->wet > 0  ? -40 * log10f (ray->wet)
                                 : 200,
        tissue_db = -dim_db, loss_db = dim_db;
  float gain_db = (float)(rays->depth_gain_db_mm * TARN_RAY_STEP_MM),
        noise_db = -(float)NOISE_UNDER_DB;
  float range_mm = (float)rays->geometry.face_radius_mm;
  bool hidden = ray->steps > 0 && ray->wet < DRY_SHARE;
  view->end_mm[l][0] = range_mm;
  for (int k = 0; k < view->steps; k++)
    {
      TarnTissue tissue = k < ray->steps ? (TarnTissue)ray->tissue[k] : TARN_TISSUE_SOFT;
      TarnMet met = (TarnMet)rays->met[tissue];
      bool dark = met == TARN_MET_URINE || met == TARN_MET_FLUID;
      hidden = hidden || met == TARN_MET_BONE || met == TARN_MET_GAS
               || (met == TARN_MET_AIR && k > GEL_STEPS);
      loss_db += rays->loss_db[tissue] - gain_db;
      noise_db += gain_db;
      if (!dark)
        tissue_db = -loss_db;
      bool lost = tissue_db - noise_db < (float)NOISE_GAP_DB;
      range_mm += (float)TARN_RAY_STEP_MM + rays->shift_mm[tissue];
      view->end_mm[l][k + 1] = range_mm;
      view->met[l][k] = (uint8_t)met;
      view->looks[l][k] = hidden || lost ? TARN_LOOKS_UNKNOWN
                          : dark         ? TARN_LOOKS_DARK
                                         : TARN_LOOKS_TISSUE;
    }
}

void
tarn_plane_view_look (TarnPlaneView *view, int fan)
{
  for (int l = 0; l < view->lines; l++)
    look_along (view, l, tarn_rays_bin (view->rays, fan, l));
}

/* 2: bordered on the far side too; 1: runs into the edge; 0: no section. */
static int
belief (const TarnOutline *section)
{
  if (section->area_mm2 < AREA_LEAST_MM2 || section->seen < SEEN_LEAST
      || (section->area_mm2 < SMALL_MM2 && section->bridged > SMALL_BRIDGED))
    return 0;
  int far = 0;
  for (int k = 0; k < POINTS; k++)
    {
      const TarnOutlinePoint *p = &section->point[k];
      const TarnOutlinePoint *before = &section->point[(k + POINTS - 1) % POINTS];
      const TarnOutlinePoint *after = &section->point[(k + 1) % POINTS];
      if (p->evidence != TARN_EVIDENCE_SEEN)
        continue;
      double nu = after->v_mm - before->v_mm, nv = before->u_mm - after->u_mm;
      double facing
          = (nu * p->u_mm + nv * p->v_mm) / (hypot (nu, nv) * hypot (p->u_mm, p->v_mm) + 1e-9);
      far += facing > FACING;
    }
  if (far >= FAR_LEAST * POINTS && section->seen >= CLOSED_SEEN_LEAST)
    return 2;
  return section->at_edge > 0 && section->at_edge < OPEN_EDGE_MOST
         && section->bridged < OPEN_BRIDGED;
}

static int
outline_patch (TarnPlaneView *view, TarnPatch *patch, TarnOutline *section)
{
  tarn_patch_trim (view, patch);
  TarnSectionBorder border = { .u_mm = patch->u_mm, .v_mm = patch->v_mm };
  tarn_section_collect (view, patch->name, &border);
  if (!tarn_section_settle (&border))
    return 0;
  TarnOutline as_seen;
  tarn_section_write (view, &border, &as_seen);
  *section = as_seen;
  if (as_seen.bridged > 0)
    {
      tarn_section_bridge (view, &border);
      tarn_section_write (view, &border, section);
    }
  /* The places are a better sum than the points, but for what is bridged. */
  section->moment_mm3 += patch->moment_mm3 - as_seen.moment_mm3;
  section->area_mm2 += patch->area_mm2 - as_seen.area_mm2;
  return belief (section);
}

void
tarn_section_find (TarnPlaneView *view, const TarnOutline *neighbour, TarnOutline *section,
                   TarnSectionHolds *holds)
{
  const TarnImageGeometry *g = &view->rays->geometry;
  double u_mm = 0, v_mm = g->face_radius_mm + tarn_image_depth_limit_mm (g) / 2;
  TarnPatch patch[TARN_PATCHES_MAX];
  *section = (TarnOutline){ 0 };
  *holds = (TarnSectionHolds){ 0 };
  if (neighbour != NULL)
    {
      u_mm = neighbour->seed_u_mm;
      v_mm = neighbour->seed_v_mm;
    }
  int patches = tarn_patches_find (view, u_mm, v_mm, AREA_LEAST_MM2 / 2, patch);
  for (int k = 0; k < patches; k++)
    {
      TarnOutline fresh;
      int is = outline_patch (view, &patch[k], &fresh);
      if (is == 2 || (is == 1 && !section->found))
        {
          *section = fresh;
          section->found = true;
          *holds = patch[k].holds;
        }
      if (is == 2)
        break;
    }
}
