/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient.c: the default patient, and the small questions one asks of a patient. */
#include "engine/patient/patient.h"

#include "engine/patient/fields.h"

#include <assert.h>
#include <math.h>
#include <string.h>

TarnPatient
tarn_patient_default (void)
{
  TarnPatient patient;
  memset (&patient, 0, sizeof patient);
  memcpy (patient.id, "plain", sizeof "plain");
  tarn_patient_fill_defaults (&patient);
  return patient;
}

double
tarn_pass_tolerance_ml (const TarnPass *pass, double truth_ml)
{
  return fmax (pass->tolerance_percent / 100 * truth_ml, pass->tolerance_ml);
}

const char *
tarn_structure_kind_name (TarnStructureKind kind)
{
  assert (kind < TARN_STRUCTURE_KINDS);
  return tarn_field_find (TARN_GROUP_STRUCTURE, "kind")->word[kind];
}

bool
tarn_structure_is_inside (TarnStructureKind kind)
{
  return kind == TARN_STRUCTURE_BALLOON || kind == TARN_STRUCTURE_CLOT
         || kind == TARN_STRUCTURE_STONE;
}
