/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * presses.h: bodies, random presses and random points for the tests of this folder. */
#pragma once

#include "base/random.h"
#include "base/units.h"
#include "engine/deform/deform.h"
#include "engine/patient/fields.h"

#include <glib.h>

static inline void
say (TarnPatient *patient, TarnFieldGroup group, const char *key, double value)
{
  const TarnField *field = tarn_field_find (group, key);
  g_assert_nonnull (field);
  tarn_field_set (field, patient, 0, value);
  tarn_field_state (field, patient, NULL, true);
}

static inline TarnBody *
body_with (double fat_mm, double volume_ml)
{
  TarnPatient patient = tarn_patient_default ();
  say (&patient, TARN_GROUP_HABITUS, "fat-mm", fat_mm);
  say (&patient, TARN_GROUP_BLADDER, "volume-ml", volume_ml);
  tarn_patient_fill_defaults (&patient);
  TarnBody *body = NULL;
  TarnProblem problem = { "", "" };
  TarnStatus status = tarn_body_new (&patient, 0, &body, &problem);
  if (status != TARN_OK)
    g_test_message ("%s: %s", problem.key, problem.text);
  g_assert_cmpint (status, ==, TARN_OK);
  return body;
}

/* Three builds. */
static const double fat_of_build_mm[] = { 8, 18, 50 };
#define BUILDS 3

static inline TarnContact
press (const TarnBody *body, TarnPose pose, TarnDeform *deform)
{
  TarnContact contact;
  g_assert_cmpint (tarn_contact_solve (body, &pose, NULL, &contact), ==, TARN_OK);
  tarn_deform_init (deform, body, &contact);
  return contact;
}

/* Any place and direction a probe may take, any force. */
static inline TarnContact
random_press (const TarnBody *body, uint64_t seed, TarnDeform *deform)
{
  TarnPose pose = { .above_mm = 130 * tarn_uniform_at (seed, 0) - 20,
                    .left_mm = 120 * tarn_uniform_at (seed, 1) - 60,
                    .tilt_rad = 1.2 * tarn_uniform_at (seed, 2) - 0.5,
                    .lean_rad = 1.0 * tarn_uniform_at (seed, 3) - 0.5,
                    .force_n = 0.5 + 29 * tarn_uniform_at (seed, 4) };
  return press (body, pose, deform);
}

/* Anywhere in the part of the body that pressing concerns. */
static inline TarnVec3
random_point (uint64_t seed, uint64_t k)
{
  return tarn_vec3 (180 * tarn_uniform_at (seed, 3 * k) - 90,
                    220 * tarn_uniform_at (seed, 3 * k + 1) - 60,
                    260 * tarn_uniform_at (seed, 3 * k + 2) - 80);
}
