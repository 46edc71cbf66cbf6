/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * contact.c: from a pose to the probe's frame, its indentation and its wet map. */
#include "engine/contact/contact.h"

#include "base/units.h"
#include "engine/contact/face.h"
#include "engine/contact/pose.h"
#include "engine/contact/press.h"

#include <math.h>

#define FORCE_MAX_N    60.0
#define LEAN_MAX_RAD   1.5 /* of tilt and lean: short of lying on the skin */
#define TURN_MAX_RAD   6.3
#define PLACE_MAX_MM   2000.0
#define CREASE_LOOK_MM 0.0 /* a column's crease is that of the skin it begins at */

bool
tarn_pose_is_valid (const TarnPose *pose)
{
  return fabs (pose->above_mm) <= PLACE_MAX_MM && fabs (pose->left_mm) <= PLACE_MAX_MM
         && fabs (pose->tilt_rad) <= LEAN_MAX_RAD && fabs (pose->lean_rad) <= LEAN_MAX_RAD
         && fabs (pose->turn_rad) <= TURN_MAX_RAD && pose->force_n >= 0
         && pose->force_n <= FORCE_MAX_N;
}

/* The skin's own axes, towards the head and to the left, square to @inward. */
static void
init_skin_axes (TarnFaceSkin *skin, TarnVec3 inward)
{
  skin->left = tarn_normalize (tarn_cross (inward, tarn_vec3 (0, 0, 1)));
  if (tarn_length (skin->left) < 0.5)
    skin->left = tarn_vec3 (1, 0, 0);
  skin->head = tarn_cross (skin->left, inward);
}

static void
sample_crease (TarnFaceSkin *skin, const TarnBody *body, const TarnPose *pose)
{
  for (int k = 0; k < TARN_CREASE_SAMPLES; k++)
    {
      double share = 2.0 * k / (TARN_CREASE_SAMPLES - 1) - 1;
      TarnVec3 point, inward;
      TarnColumn column;
      skin->crease[k] = 0;
      if (!tarn_body_skin_at (body, pose->above_mm + share * TARN_CREASE_REACH_MM,
                              pose->left_mm, &point, &inward))
        continue;
      tarn_body_column (body, point, inward, CREASE_LOOK_MM, &column);
      skin->crease[k] = tarn_clamp (column.crease, 0, 1);
    }
}

/* Tilt about the lateral axis, then lean about the axis that was the skin's head axis, then
 * turn about the beam. */
static void
set_frame (TarnContact *contact, const TarnFaceSkin *skin, const TarnPose *pose)
{
  TarnVec3 axis = tarn_rotate (contact->inward, skin->left, -pose->tilt_rad);
  TarnVec3 head = tarn_rotate (skin->head, skin->left, -pose->tilt_rad);
  axis = tarn_rotate (axis, head, -pose->lean_rad);
  TarnVec3 lateral = tarn_rotate (skin->left, head, -pose->lean_rad);

  contact->axis = tarn_normalize (axis);
  lateral = tarn_rotate (lateral, contact->axis, pose->turn_rad);
  lateral = tarn_add_scaled (lateral, contact->axis, -tarn_dot (lateral, contact->axis));
  contact->lateral = tarn_normalize (lateral);
  contact->elevation = tarn_cross (contact->lateral, contact->axis);
}

TarnStatus
tarn_contact_solve (const TarnBody *body, const TarnPose *pose, TarnGelFilm *film,
                    TarnContact *contact)
{
  if (!tarn_pose_is_valid (pose))
    return TARN_OUT_OF_RANGE;
  TarnContact made = { 0 };
  if (!tarn_body_skin_at (body, pose->above_mm, pose->left_mm, &made.skin_mm, &made.inward))
    return TARN_OFF_BODY;

  const TarnPatient *patient = tarn_body_patient (body);
  TarnFaceSkin skin;
  init_skin_axes (&skin, made.inward);
  set_frame (&made, &skin, pose);

  made.guarding = pose->force_n > patient->temper.comfort_n;
  made.pressure_kpa
      = pose->force_n * 1e3 / (TARN_PI * TARN_FACE_CONTACT_MM * TARN_FACE_CONTACT_MM);
  if (pose->force_n > 0)
    made.indentation_mm
        = tarn_indent_mm (body, &made, pose->force_n, patient->temper.comfort_n);
  made.face_mm = tarn_add_scaled (made.skin_mm, made.axis, made.indentation_mm);
  made.centre_mm = tarn_add_scaled (made.face_mm, made.axis, -patient->probe.face_radius_mm);

  if (film != NULL)
    sample_crease (&skin, body, pose);
  tarn_face_wet (&made, pose, &skin, patient->probe.face_radius_mm,
                 tarn_rad_from_deg (patient->probe.fan_deg), film);
  *contact = made;
  return TARN_OK;
}
