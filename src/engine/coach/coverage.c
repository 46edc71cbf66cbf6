/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Coverage of one pose.
 *
 * 1. The survey's points are moved to where the probe presses them and seen from the face's
 *    centre of curvature: angle in the sweep, angle in the plane, range.
 * 2. Rays are followed in the directions where there are any, and all over the field.  Where a
 *    ray first meets bone, and gas, all behind it is hidden; an aperture that couples less than
 *    half hides what is in front of it.
 * 3. What a point is hidden by is shared among its causes. */
#include "engine/coach/coverage.h"

#include "base/units.h"
#include "engine/coach/forecast.h"
#include "engine/coach/rays.h"
#include "engine/coach/survey.h"

#include <stdlib.h>
#include <string.h>

/* Where a point shows. */
typedef struct
{
  float fan_rad, line_rad, range_mm;
} Sighting;

static Sighting
sight (const TarnContact *contact, float x_mm, float y_mm, float z_mm)
{
  TarnVec3 q = tarn_sub (tarn_vec3 (x_mm, y_mm, z_mm), contact->centre_mm);
  float a = (float)tarn_dot (q, contact->axis), e = (float)tarn_dot (q, contact->elevation);
  float u = (float)tarn_dot (q, contact->lateral), v2 = a * a + e * e;
  return (Sighting){ .fan_rad = atan2f (e, a),
                     .line_rad = atan2f (u, sqrtf (v2)),
                     .range_mm = sqrtf (v2 + u * u) };
}

/* Moves and sees all points, and tells the rays how far to go. */
static TarnStatus
sight_all (const TarnSurvey *survey, TarnRays *rays, Sighting *sighting)
{
  size_t room = (size_t)survey->points + 8;
  float *x = malloc (3 * room * sizeof *x);
  if (x == NULL)
    return TARN_NO_MEMORY;
  float *y = x + room, *z = y + room;
  memcpy (x, survey->x_mm, (size_t)survey->points * sizeof *x);
  memcpy (y, survey->y_mm, (size_t)survey->points * sizeof *x);
  memcpy (z, survey->z_mm, (size_t)survey->points * sizeof *x);
  tarn_deform_forward_many (&rays->deform, survey->points, x, y, z);
  for (int k = 0; k < survey->points; k++)
    {
      Sighting seen = sighting[k] = sight (&rays->contact, x[k], y[k], z[k]);
      TarnRay *ray = tarn_rays_at (rays, seen.fan_rad, seen.line_rad);
      int steps = (int)((seen.range_mm - rays->geometry.face_radius_mm) / TARN_RAY_STEP_MM) + 1;
      ray->furthest = steps > ray->furthest ? steps : ray->furthest;
    }
  free (x);
  return TARN_OK;
}

/* The room on each side of one point; negative outside. */
static void
room_about (const TarnRays *rays, const Sighting *seen, double room[TARN_SIDES])
{
  const TarnImageGeometry *g = &rays->geometry;
  room[TARN_SIDE_MARK] = seen->line_rad - g->first_angle_rad;
  room[TARN_SIDE_OTHER] = tarn_image_angle_rad (g, g->lines - 1) - seen->line_rad;
  room[TARN_SIDE_FIRST] = seen->fan_rad + rays->half_fan_rad;
  room[TARN_SIDE_LAST] = rays->half_fan_rad - seen->fan_rad;
  room[TARN_SIDE_DEEP] = g->face_radius_mm + tarn_image_depth_limit_mm (g) - seen->range_mm;
}

static void
share_out (const TarnSurvey *survey, const TarnRays *rays, const Sighting *sighting,
           TarnCoverage *coverage)
{
  for (int side = 0; side < TARN_SIDES; side++)
    coverage->margin[side] = INFINITY;
  for (int k = 0; k < survey->points; k++)
    {
      const Sighting *seen = &sighting[k];
      const TarnRay *ray = tarn_rays_at (rays, seen->fan_rad, seen->line_rad);
      double room[TARN_SIDES];
      bool hidden[TARN_CAUSES] = { [TARN_CAUSE_BONE] = ray->bone_mm < seen->range_mm,
                                   [TARN_CAUSE_GAS] = ray->gas_mm < seen->range_mm,
                                   [TARN_CAUSE_CONTACT] = ray->coupling < TARN_COUPLED_MIN };
      room_about (rays, seen, room);
      for (int side = 0; side < TARN_SIDES; side++)
        {
          coverage->margin[side] = fmin (coverage->margin[side], room[side]);
          if (room[side] < 0)
            {
              coverage->beyond_ml[side] += survey->point_ml;
              hidden[TARN_CAUSE_EDGE] = true;
            }
        }
      int causes = 0;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        causes += hidden[cause];
      coverage->urine_ml += survey->point_ml;
      if (causes == 0)
        coverage->seen_ml += survey->point_ml;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        if (hidden[cause])
          coverage->hidden_ml[cause] += survey->point_ml / causes;
    }
}

TarnStatus
tarn_coverage_at (const TarnSurvey *survey, const TarnPose *pose, const TarnGelFilm *film,
                  double depth_mm, TarnCoverage *coverage)
{
  const TarnPatient *patient = tarn_body_patient (survey->body);
  TarnRays rays;
  TarnStatus status = tarn_rays_init (&rays, survey->body, pose, film, depth_mm);
  if (status != TARN_OK)
    return status;
  Sighting *sighting = malloc (((size_t)survey->points + 1) * sizeof *sighting);
  status = sighting != NULL ? sight_all (survey, &rays, sighting) : TARN_NO_MEMORY;
  if (status == TARN_OK)
    status = tarn_rays_follow (&rays, survey->body);
  if (status == TARN_OK)
    {
      *coverage = (TarnCoverage){ .wet_fraction = rays.contact.wet_fraction,
                                  .indentation_mm = rays.contact.indentation_mm,
                                  .over_comfort = pose->force_n > patient->temper.comfort_n };
      share_out (survey, &rays, sighting, coverage);
      status = tarn_forecast (&rays, survey->body, coverage);
    }
  free (sighting);
  tarn_rays_clear (&rays);
  return status;
}
