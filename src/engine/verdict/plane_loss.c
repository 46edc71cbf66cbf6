/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Rays in each plane, from the face to where the urine can reach at most, over half a turn: so
 * what lies beside the sector or below the depth limit is met as well.  Urine on a ray is
 * hidden as in geometric.c: by bone or gas before it, a dry aperture, or the field's edge; by
 * several causes: shared among them. */
#include "engine/verdict/plane_loss.h"

#include "base/units.h"

#include <math.h>

#define RAYS        96 /* over half a turn */
#define RAY_STEP_MM 2.0
#define RAY_STEPS   160
#define COUPLED_MIN 0.5
#define LEVER_MM    100.0

/* A cause shows in a plane from this share of the slice on, and this volume (own design
 * values). */
#define SHOWS_SHARE 0.02
#define SHOWS_ML    0.05
#define MOVED_SHARE 0.7 /* of the plane furthest off */
#define MOVED_MM    0.5

typedef struct
{
  const TarnBody *body;
  const TarnSweep *sweep;
  const TarnShot *shot;
  TarnPlaneFrame frame;
  double fan_rad;
} Plane;

/* Mean wet fraction, squared, of the elements around this direction: two-way coupling. */
static double
coupling (const Plane *plane, double line_rad)
{
  const TarnProbe *probe = &tarn_body_patient (plane->body)->probe;
  const TarnContact *contact = &plane->shot->contact;
  double pitch_rad = tarn_face_angle_rad (1) - tarn_face_angle_rad (0), sum = 0;
  int reach = (int)(probe->aperture_mm / 2 / probe->face_radius_mm / pitch_rad), count = 0;
  int row = (int)tarn_clamp ((plane->fan_rad / TARN_FACE_HALF_RAD + 1) / 2 * TARN_FACE_ELEMENTS,
                             0, TARN_FACE_ELEMENTS - 1);
  int column = (int)tarn_clamp ((line_rad / TARN_FACE_HALF_RAD + 1) / 2 * TARN_FACE_ELEMENTS, 0,
                                TARN_FACE_ELEMENTS - 1);
  for (int k = column - reach; k <= column + reach; k++)
    if (k >= 0 && k < TARN_FACE_ELEMENTS)
      {
        sum += contact->wet[row][k];
        count++;
      }
  return sum / count * (sum / count);
}

static bool
is_inside (const TarnOutline *outline, double u_mm, double v_mm)
{
  bool inside = false;
  if (!outline->found)
    return false;
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      const TarnOutlinePoint *a = &outline->point[k];
      const TarnOutlinePoint *b = &outline->point[(k + 1) % TARN_OUTLINE_POINTS];
      if ((a->v_mm > v_mm) != (b->v_mm > v_mm)
          && u_mm < a->u_mm + (v_mm - a->v_mm) * (b->u_mm - a->u_mm) / (b->v_mm - a->v_mm))
        inside = !inside;
    }
  return inside;
}

/* The tissues along one ray, in the middle of each step. */
static void
read_ray (const Plane *plane, double line_rad, TarnTissue tissue[RAY_STEPS])
{
  float x[RAY_STEPS], y[RAY_STEPS], z[RAY_STEPS];
  double radius_mm = plane->sweep->geometry.face_radius_mm;
  for (int k = 0; k < RAY_STEPS; k++)
    {
      double range_mm = radius_mm + (k + 0.5) * RAY_STEP_MM;
      TarnVec3 p = tarn_add_scaled (plane->frame.centre_mm, plane->frame.lateral,
                                    range_mm * sin (line_rad));
      p = tarn_add_scaled (p, plane->frame.axis, range_mm * cos (line_rad));
      x[k] = (float)p.x;
      y[k] = (float)p.y;
      z[k] = (float)p.z;
    }
  tarn_deform_inverse_many (&plane->shot->deform, RAY_STEPS, x, y, z);
  for (int k = 0; k < RAY_STEPS; k++)
    tissue[k] = tarn_body_tissue (plane->body, tarn_vec3 (x[k], y[k], z[k]));
}

static void
add_ray (const Plane *plane, int index, double line_rad, double pitch_rad, TarnPlaneLoss *loss)
{
  const TarnImageGeometry *g = &plane->sweep->geometry;
  const TarnOutline *outline = &plane->sweep->plane[index].outline;
  TarnTissue tissue[RAY_STEPS];
  bool hidden[TARN_CAUSES]
      = { [TARN_CAUSE_CONTACT] = coupling (plane, line_rad) < COUPLED_MIN };
  bool beside
      = line_rad < g->first_angle_rad || line_rad > tarn_image_angle_rad (g, g->lines - 1);

  read_ray (plane, line_rad, tissue);
  for (int k = 0; k < RAY_STEPS; k++)
    {
      double depth_mm = (k + 0.5) * RAY_STEP_MM, range_mm = g->face_radius_mm + depth_mm;
      double u_mm = range_mm * sin (line_rad), v_mm = range_mm * cos (line_rad);
      /* Pappus: dV = v dA dθ */
      double ml = v_mm * range_mm * pitch_rad * RAY_STEP_MM * plane->sweep->step_rad
                  / TARN_MM3_PER_ML;
      hidden[TARN_CAUSE_EDGE] = beside || depth_mm > tarn_image_depth_limit_mm (g);
      hidden[TARN_CAUSE_BONE] |= tissue[k] == TARN_TISSUE_BONE;
      hidden[TARN_CAUSE_GAS] |= tissue[k] == TARN_TISSUE_GAS;
      if (tissue[k] != TARN_TISSUE_URINE)
        {
          if (tarn_tissue_without_others (tissue[k]) != tissue[k]
              && is_inside (outline, u_mm, v_mm))
            loss->hidden_ml[TARN_CAUSE_OTHER_FLUID] += ml;
          continue;
        }
      int causes = 0;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        causes += hidden[cause];
      loss->urine_ml += ml;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        if (hidden[cause])
          loss->hidden_ml[cause] += ml / causes;
    }
}

/* By its place, and by its direction at a lever's end. */
static double
off_mm (const TarnSweep *sweep, int index)
{
  const TarnContact *still = &tarn_shots_at (&sweep->shots, index, true)->contact;
  const TarnContact *now = &tarn_shots_at (&sweep->shots, index, false)->contact;
  TarnVec3 way = tarn_sub (now->face_mm, still->face_mm);
  TarnVec3 swing = tarn_sub (now->axis, still->axis);
  return tarn_length (tarn_add_scaled (way, swing, LEVER_MM));
}

static unsigned
acting (const TarnSweep *sweep, int index, const TarnPlaneLoss *loss, double furthest_mm)
{
  double least_ml = fmax (SHOWS_ML, SHOWS_SHARE * loss->urine_ml);
  bool at_end = index == 0 || index == sweep->planes - 1;
  unsigned acts = 0;
  for (int cause = 0; cause < TARN_CAUSES; cause++)
    if (loss->hidden_ml[cause] > least_ml)
      acts |= 1u << cause;
  /* Beyond the fan's end more is to be expected. */
  if (sweep->plane[index].outline.at_edge > 0 || (at_end && loss->urine_ml > SHOWS_ML))
    acts |= 1u << TARN_CAUSE_EDGE;
  if (loss->off_mm > fmax (MOVED_MM, MOVED_SHARE * furthest_mm)
      && loss->urine_ml + loss->outlined_ml > 0)
    acts |= 1u << TARN_CAUSE_MOTION;
  return acts;
}

double
tarn_plane_loss_error_ml (const TarnPlaneLoss *loss)
{
  return loss->outlined_ml - loss->urine_ml;
}

TarnCause
tarn_plane_loss_main (const TarnPlaneLoss *loss)
{
  if (tarn_plane_loss_error_ml (loss) > 0)
    return loss->acts & 1u << TARN_CAUSE_OTHER_FLUID ? TARN_CAUSE_OTHER_FLUID : TARN_CAUSE_REST;
  TarnCause most = TARN_CAUSE_REST;
  for (int cause = 0; cause < TARN_CAUSE_MOTION; cause++)
    if ((loss->acts & 1u << cause) != 0 && loss->hidden_ml[cause] > 0
        && (most == TARN_CAUSE_REST || loss->hidden_ml[cause] > loss->hidden_ml[most]))
      most = (TarnCause)cause;
  return most;
}

void
tarn_plane_losses (const TarnBody *body, const TarnSweep *sweep, TarnPlaneLoss *loss)
{
  double furthest_mm = 0, pitch_rad = TARN_PI / RAYS;
  for (int index = 0; index < sweep->planes; index++)
    {
      Plane plane = { .body = body,
                      .sweep = sweep,
                      .shot = tarn_shots_at (&sweep->shots, index, false),
                      .fan_rad = sweep->plane[index].fan_rad };
      plane.frame = tarn_plane_frame (&plane.shot->contact, plane.fan_rad);
      loss[index] = (TarnPlaneLoss){ .off_mm = off_mm (sweep, index) };
      if (sweep->plane[index].outline.found)
        loss[index].outlined_ml
            = sweep->plane[index].outline.moment_mm3 * sweep->step_rad / TARN_MM3_PER_ML;
      for (int ray = 0; ray < RAYS; ray++)
        add_ray (&plane, index, (ray + 0.5) * pitch_rad - TARN_PI / 2, pitch_rad, &loss[index]);
      furthest_mm = fmax (furthest_mm, loss[index].off_mm);
    }
  for (int index = 0; index < sweep->planes; index++)
    loss[index].acts = acting (sweep, index, &loss[index], furthest_mm);
}
