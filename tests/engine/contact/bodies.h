/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bodies.h: bodies and presses for the tests of contact and deformation. */
#pragma once

#include "base/units.h"
#include "engine/contact/contact.h"
#include "engine/patient/fields.h"

#include <glib.h>

/* As if a patient file said `key=value`. */
static inline void
say (TarnPatient *patient, TarnFieldGroup group, const char *key, double value)
{
  const TarnField *field = tarn_field_find (group, key);
  g_assert_nonnull (field);
  tarn_field_set (field, patient, 0, value);
  tarn_field_state (field, patient, NULL, true);
}

static inline TarnBody *
body_with (double fat_mm, double volume_ml, double pannus_mm, double lift)
{
  TarnPatient patient = tarn_patient_default ();
  say (&patient, TARN_GROUP_HABITUS, "fat-mm", fat_mm);
  say (&patient, TARN_GROUP_HABITUS, "pannus-mm", pannus_mm);
  say (&patient, TARN_GROUP_BLADDER, "volume-ml", volume_ml);
  tarn_patient_fill_defaults (&patient);

  TarnBody *body = NULL;
  TarnProblem problem = { "", "" };
  TarnStatus status = tarn_body_new (&patient, lift, &body, &problem);
  if (status != TARN_OK)
    g_test_message ("%s: %s", problem.key, problem.text);
  g_assert_cmpint (status, ==, TARN_OK);
  return body;
}

/* A plain adult. */
static inline TarnBody *
plain_body (void)
{
  return body_with (18, 300, 0, 0);
}

static inline TarnPose
pose_at (double above_mm, double force_n)
{
  return (TarnPose){ .above_mm = above_mm, .force_n = force_n };
}

static inline TarnContact
contact_of (const TarnBody *body, TarnPose pose, TarnGelFilm *film)
{
  TarnContact contact;
  g_assert_cmpint (tarn_contact_solve (body, &pose, film, &contact), ==, TARN_OK);
  return contact;
}
