/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The aim profile.
 *
 * 1. Tilted in place, the planes are those of the fan: one contact, one pressed body.  Slid,
 *    the probe is put down anew at every place.
 * 2. A section is summed along lines from the face's centre of curvature, which reach to both
 *    sides of the field: ∬ r dr dφ.  The field's edges fall between lines.
 * 3. Of a line, what lies behind the first bone or gas, under an aperture that is dry, or
 *    beyond the depth, is not seen.  The rules are those of verdict/geometric.h. */
#include "engine/coach/aim.h"

#include "base/units.h"
#include "engine/acoustic/lookup.h"

#include <stdlib.h>

#define FIELD_LINES 24
#define FIT         3 /* samples to either side of the largest */
#define LINES_MAX   96
#define STEP_MM     2.0
#define KNOT_STEPS  6 /* the way back to rest is straight between knots */
#define KNOTS_MAX   48
#define ROOM        (KNOTS_MAX + 8)

typedef struct
{
  const TarnBody *body;
  TarnVec3 middle_mm; /* a ball at rest that holds all urine */
  double reach_mm;
  double line_pitch_rad;
  double half_sector_rad, face_radius_mm, depth_limit_mm;
} Aim;

typedef struct
{
  TarnContact contact;
  TarnDeform deform;
} Stand;

static void
take_ball (Aim *aim)
{
  TarnVec3 low, high;
  tarn_body_urine_box (aim->body, &low, &high);
  aim->middle_mm = tarn_scale (tarn_add (low, high), 0.5);
  aim->reach_mm = tarn_distance (low, high) / 2;
}

/* Urine, or what lies in it. */
static bool
is_lumen (TarnTissue tissue)
{
  return tissue == TARN_TISSUE_URINE || tissue == TARN_TISSUE_CLOT
         || tissue == TARN_TISSUE_BALLOON || tissue == TARN_TISSUE_STONE;
}

/* One line's share of the section.  @to_mm: how far there may be urine. */
static void
add_line (const Aim *aim, const Stand *stand, const TarnPlaneFrame *plane, double line_rad,
          double to_mm, TarnAimSample *sample)
{
  const TarnCells *cells = tarn_body_cells (aim->body);
  const TarnProbe *probe = &tarn_body_patient (aim->body)->probe;
  TarnVec3 along = tarn_add_scaled (tarn_scale (plane->axis, cos (line_rad)), plane->lateral,
                                    sin (line_rad));
  float x[ROOM], y[ROOM], z[ROOM];
  int steps = (int)ceil (fmax (to_mm - aim->face_radius_mm, 0) / STEP_MM);
  int knots = steps / KNOT_STEPS + 2;
  if (knots > KNOTS_MAX)
    knots = KNOTS_MAX;
  for (int k = 0; k < (knots + 7) / 8 * 8; k++)
    {
      TarnVec3 p = tarn_add_scaled (plane->centre_mm, along,
                                    aim->face_radius_mm + k * KNOT_STEPS * STEP_MM);
      x[k] = (float)p.x;
      y[k] = (float)p.y;
      z[k] = (float)p.z;
    }
  tarn_deform_inverse_many (&stand->deform, knots, x, y, z);

  bool seen = fabs (line_rad) < aim->half_sector_rad
              && tarn_face_coupling (&stand->contact, probe, plane->fan_rad, line_rad)
                     >= TARN_COUPLED_MIN;
  for (int k = 0; k < steps && k < (knots - 1) * KNOT_STEPS; k++)
    {
      int knot = k / KNOT_STEPS;
      double t = (k - knot * KNOT_STEPS + 0.5) / KNOT_STEPS;
      TarnVec3 p
          = { x[knot] + (x[knot + 1] - x[knot]) * t, y[knot] + (y[knot + 1] - y[knot]) * t,
              z[knot] + (z[knot + 1] - z[knot]) * t };
      TarnTissue tissue = tarn_lookup (aim->body, cells, tarn_cell_place (cells, p));
      seen = seen && tissue != TARN_TISSUE_BONE && tissue != TARN_TISSUE_GAS;
      if (!is_lumen (tissue))
        continue;
      double range_mm = aim->face_radius_mm + (k + 0.5) * STEP_MM;
      double part_mm2 = range_mm * STEP_MM * aim->line_pitch_rad;
      sample->whole_mm2 += part_mm2;
      if (seen && (k + 0.5) * STEP_MM < aim->depth_limit_mm)
        sample->seen_mm2 += part_mm2;
    }
}

static void
take_section (const Aim *aim, const Stand *stand, double fan_rad, TarnAimSample *sample)
{
  TarnPlaneFrame plane = tarn_plane_frame (&stand->contact, fan_rad);
  TarnVec3 q = tarn_sub (tarn_deform_forward (&stand->deform, aim->middle_mm), plane.centre_mm);
  /* Pressed tissue goes no further than the face, so a ball so much larger still holds all. */
  double reach = aim->reach_mm + stand->contact.indentation_mm;
  double off = tarn_dot (q, tarn_cross (plane.lateral, plane.axis));
  double u = tarn_dot (q, plane.lateral), v = tarn_dot (q, plane.axis);
  if (fabs (off) >= reach)
    return;
  double within = sqrt (reach * reach - off * off), away = hypot (u, v);
  for (int k = 0; k < LINES_MAX; k++)
    {
      double line_rad = (k + 0.5 - LINES_MAX / 2) * aim->line_pitch_rad;
      double past = remainder (line_rad - atan2 (u, v), 2 * TARN_PI);
      /* Lines beyond a right angle would go backwards. */
      if (fabs (line_rad) >= TARN_PI / 2)
        continue;
      if (away > within && (fabs (past) >= TARN_PI / 2 || away * fabs (sin (past)) >= within))
        continue;
      add_line (aim, stand, &plane, line_rad, away + within, sample);
    }
}

static TarnStatus
put_down (const Aim *aim, const TarnPose *pose, const TarnGelFilm *film, TarnGelFilm *scratch,
          Stand *stand)
{
  if (film != NULL)
    *scratch = *film;
  TarnStatus status
      = tarn_contact_solve (aim->body, pose, film != NULL ? scratch : NULL, &stand->contact);
  if (status == TARN_OK)
    tarn_deform_init (&stand->deform, aim->body, &stand->contact);
  return status;
}

/* Positive along elevation: transverse to the head, sagittal to the patient's left. */
static TarnPose
slid (const TarnPose *pose, double by_mm)
{
  TarnPose to = *pose;
  to.above_mm += by_mm * cos (pose->turn_rad);
  to.left_mm += by_mm * sin (pose->turn_rad);
  return to;
}

/* Where the largest section is: the top of the parabola that fits the seven samples about the
 * largest, for sums along lines are not quite even; of equal ones the nearest to the middle.
 * @share: of the middle one. */
static double
best_offset (const TarnAimSample sample[TARN_AIM_SAMPLES], double *share)
{
  int middle = TARN_AIM_SAMPLES / 2, best = middle;
  for (int away = 1; away <= middle; away++)
    for (int side = -1; side <= 1; side += 2)
      if (sample[middle + side * away].whole_mm2 > sample[best].whole_mm2)
        best = middle + side * away;
  double most = sample[best].whole_mm2, offset = sample[best].offset;
  *share = most > 0 ? sample[middle].whole_mm2 / most : 0;
  if (!(most > 0) || best < FIT || best >= TARN_AIM_SAMPLES - FIT)
    return offset;
  double slope = 0, bend = 0;
  for (int k = -FIT; k <= FIT; k++)
    {
      slope += k * sample[best + k].whole_mm2 / 28;          /* Σ k² */
      bend += (k * k - 4) * sample[best + k].whole_mm2 / 84; /* Σ (k² - 4)² */
    }
  double step = sample[1].offset - sample[0].offset;
  return bend < 0 ? offset + step * tarn_clamp (-slope / (2 * bend), -1.5, 1.5) : offset;
}

static void
fill (const Aim *aim, const Stand *chosen, const TarnPose *pose, const TarnGelFilm *film,
      TarnGelFilm *scratch, TarnAimProfile *profile)
{
  for (int k = 0; k < TARN_AIM_SAMPLES; k++)
    {
      double share = 2.0 * k / (TARN_AIM_SAMPLES - 1) - 1;
      TarnAimSample *tilt = &profile->tilt[k], *slide = &profile->slide[k];
      tilt->offset = share * TARN_AIM_TILT_RAD;
      slide->offset = share * TARN_AIM_SLIDE_MM;
      take_section (aim, chosen, tilt->offset, tilt);
      TarnPose to = slid (pose, slide->offset);
      Stand there;
      if (put_down (aim, &to, film, scratch, &there) == TARN_OK)
        take_section (aim, &there, 0, slide);
    }
  profile->best_tilt_rad = best_offset (profile->tilt, &profile->tilt_share);
  profile->best_slide_mm = best_offset (profile->slide, &profile->slide_share);
}

TarnStatus
tarn_aim_profile (const TarnSurvey *survey, const TarnPose *pose, const TarnGelFilm *film,
                  double depth_mm, TarnAimProfile *profile)
{
  TarnCoverage coverage;
  TarnStatus status = tarn_coverage_at (survey, pose, film, depth_mm, &coverage);
  if (status != TARN_OK)
    return status;
  Aim aim = { .body = tarn_survey_body (survey) };
  TarnImageGeometry geometry
      = tarn_plane_geometry (&tarn_body_patient (aim.body)->probe, depth_mm);
  aim.half_sector_rad = -geometry.first_angle_rad;
  aim.line_pitch_rad = 2 * aim.half_sector_rad / FIELD_LINES;
  aim.face_radius_mm = geometry.face_radius_mm;
  aim.depth_limit_mm = tarn_image_depth_limit_mm (&geometry);
  take_ball (&aim);

  TarnGelFilm *scratch = NULL;
  if (film != NULL && (scratch = malloc (sizeof *scratch)) == NULL)
    return TARN_NO_MEMORY;
  Stand chosen;
  status = put_down (&aim, pose, film, scratch, &chosen);
  if (status == TARN_OK)
    {
      *profile = (TarnAimProfile){ 0 };
      fill (&aim, &chosen, pose, film, scratch, profile);
      for (int side = 0; side < TARN_SIDES; side++)
        profile->margin[side] = coverage.margin[side];
    }
  free (scratch);
  return status;
}
