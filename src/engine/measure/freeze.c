/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The two planes to take diameters from.
 *
 * The true best plane is found on the bladder's own mesh, pressed as the probe presses it: of
 * the planes through the Pappus axis, the one whose cut through the mesh reaches furthest
 * across the image. */
#include "engine/measure/calipers.h"

#include "base/units.h"
#include "engine/measure/crew.h"

#include <stdlib.h>

#define TILT_STEPS 71 /* one degree over the class-default fan */

/* How far the mesh's cut by the frame's plane reaches across the image. */
static double
cut_width_mm (const TarnMesh *mesh, const TarnVec3 *pressed_mm, const TarnPlaneFrame *frame)
{
  TarnVec3 normal = tarn_cross (frame->axis, frame->lateral);
  double low = INFINITY, high = -INFINITY;
  for (int t = 0; t < mesh->triangles; t++)
    for (int side = 0; side < 3; side++)
      {
        TarnVec3 a = tarn_sub (pressed_mm[mesh->corner[t][side]], frame->centre_mm);
        TarnVec3 b = tarn_sub (pressed_mm[mesh->corner[t][(side + 1) % 3]], frame->centre_mm);
        double off_a = tarn_dot (a, normal), off_b = tarn_dot (b, normal);
        if ((off_a < 0) == (off_b < 0))
          continue;
        TarnVec3 cut = tarn_add_scaled (a, tarn_sub (b, a), off_a / (off_a - off_b));
        low = fmin (low, tarn_dot (cut, frame->lateral));
        high = fmax (high, tarn_dot (cut, frame->lateral));
      }
  return high > low ? high - low : 0;
}

/* The tilt of the plane in which the bladder is widest. */
static TarnStatus
widest_tilt (const TarnBody *body, const TarnContact *contact, const TarnDeform *deform,
             double *fan_rad)
{
  const TarnMesh *mesh = tarn_body_lumen_mesh (body);
  TarnVec3 *pressed_mm = malloc ((size_t)mesh->vertices * sizeof *pressed_mm);
  if (pressed_mm == NULL)
    return TARN_NO_MEMORY;
  for (int k = 0; k < mesh->vertices; k++)
    pressed_mm[k] = tarn_deform_forward (deform, mesh->vertex_mm[k]);

  double half_rad = tarn_rad_from_deg (tarn_body_patient (body)->probe.fan_deg) / 2;
  double best_mm = -1;
  for (int k = 0; k < TILT_STEPS; k++)
    {
      double tilt_rad = half_rad * (2.0 * k / (TILT_STEPS - 1) - 1);
      TarnPlaneFrame frame = tarn_plane_frame (contact, tilt_rad);
      double width_mm = cut_width_mm (mesh, pressed_mm, &frame);
      if (width_mm > best_mm)
        {
          best_mm = width_mm;
          *fan_rad = tilt_rad;
        }
    }
  free (pressed_mm);
  return TARN_OK;
}

static TarnStatus
shoot_frozen (const TarnSweepSetup *setup, const TarnDeform *deform, TarnFrozenPlane *frozen)
{
  size_t bytes = (size_t)frozen->geometry.lines * (size_t)frozen->geometry.samples;
  frozen->grey = malloc (bytes);
  TarnCrew crew;
  TarnStatus status = tarn_crew_init (&crew, NULL, setup->plain, 0);
  if (frozen->grey == NULL)
    status = TARN_NO_MEMORY;
  if (status == TARN_OK)
    {
      TarnPlaneSetup plane = {
        .body = setup->body,
        .deform = deform,
        .contact = &frozen->contact,
        .frame = tarn_plane_frame (&frozen->contact, frozen->fan_rad),
        .geometry = frozen->geometry,
        .gain_db = setup->gain_db,
        .range_db = TARN_CREW_RANGE_DB,
        .noise_seed = setup->motion.seed,
      };
      status = tarn_plane_simulate (crew.member[0].plane, &plane, 0, frozen->grey, NULL);
    }
  if (status == TARN_OK)
    {
      TarnOutlineHints hints = tarn_crew_hints (setup);
      TarnImage image = { frozen->geometry, frozen->grey, frozen->geometry.samples };
      status = tarn_outline_find (crew.member[0].outline, &image, &hints, &frozen->outline);
    }
  tarn_crew_clear (&crew);
  return status;
}

TarnStatus
tarn_calipers_freeze (const TarnSweepSetup *setup, TarnFrozenPlane *frozen)
{
  *frozen = (TarnFrozenPlane){ 0 };
  TarnStatus status
      = tarn_contact_solve (setup->body, &setup->pose, setup->film, &frozen->contact);
  if (status != TARN_OK)
    return status;
  TarnDeform deform;
  tarn_deform_init (&deform, setup->body, &frozen->contact);
  frozen->geometry
      = tarn_plane_geometry (&tarn_body_patient (setup->body)->probe, setup->depth_mm);
  status = widest_tilt (setup->body, &frozen->contact, &deform, &frozen->fan_rad);
  if (status == TARN_OK)
    status = shoot_frozen (setup, &deform, frozen);
  if (status != TARN_OK)
    tarn_frozen_plane_clear (frozen);
  return status;
}

void
tarn_frozen_plane_clear (TarnFrozenPlane *frozen)
{
  free (frozen->grey);
  *frozen = (TarnFrozenPlane){ 0 };
}
