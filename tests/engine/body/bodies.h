/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bodies.h: patients and bodies for the tests of this folder. */
#pragma once

#include "base/random.h"
#include "base/units.h"
#include "engine/body/body.h"
#include "engine/patient/fields.h"

#include <glib.h>
#include <string.h>

/* As if a patient file said `key=value`. */
static inline void
say (TarnPatient *patient, TarnFieldGroup group, const char *key, double value)
{
  const TarnField *field = tarn_field_find (group, key);
  g_assert_nonnull (field);
  tarn_field_set (field, patient, 0, value);
  tarn_field_state (field, patient, NULL, true);
}

/* A plain adult with that much in the bladder; what depends on it follows. */
static inline TarnPatient
plain_patient (double volume_ml)
{
  TarnPatient patient = tarn_patient_default ();
  say (&patient, TARN_GROUP_BLADDER, "volume-ml", volume_ml);
  tarn_patient_fill_defaults (&patient);
  return patient;
}

static inline TarnStructure *
add_structure (TarnPatient *patient, TarnStructureKind kind, TarnVec3 centre_mm,
               TarnVec3 radii_mm)
{
  g_assert_cmpint (patient->structures, <, TARN_STRUCTURES_MAX);
  TarnStructure *structure = &patient->structure[patient->structures++];
  *structure = (TarnStructure){ .kind = kind, .centre_mm = centre_mm, .radii_mm = radii_mm };
  structure->counts = kind == TARN_STRUCTURE_DIVERTICULUM;
  return structure;
}

static inline TarnBody *
body_with_lift (const TarnPatient *patient, double lift)
{
  TarnBody *body = NULL;
  TarnProblem problem = { "", "" };
  TarnStatus status = tarn_body_new (patient, lift, &body, &problem);
  if (status != TARN_OK)
    g_test_message ("%s: %s", problem.key, problem.text);
  g_assert_cmpint (status, ==, TARN_OK);
  g_assert_nonnull (body);
  return body;
}

static inline TarnBody *
body_of (const TarnPatient *patient)
{
  return body_with_lift (patient, 0);
}

/* [low, high), the @index-th of the stream @seed. */
static inline double
draw (uint64_t seed, uint64_t index, double low, double high)
{
  return low + (high - low) * tarn_uniform_at (seed, index);
}

static inline TarnVec3
draw_in (uint64_t seed, uint64_t index, TarnVec3 low, TarnVec3 high)
{
  return tarn_vec3 (draw (seed, 3 * index, low.x, high.x),
                    draw (seed, 3 * index + 1, low.y, high.y),
                    draw (seed, 3 * index + 2, low.z, high.z));
}
