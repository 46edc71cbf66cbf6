/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_starts.h: bodies to start a new patient from.
 *
 * Floor: app.  Threads: any. */
#pragma once

#include "engine/patient/patient.h"

typedef enum
{
  TARN_START_AVERAGE,
  TARN_START_SLIM,
  TARN_START_LARGE,
  TARN_START_MAN,
  TARN_START_INFANT,
  TARN_START_TODDLER,
  TARN_START_CHILD,
  TARN_START_TEENAGER,
  TARN_START_AFTER_BIRTH,
  TARN_STARTS
} TarnEditorStart;

/* "average" …: for actions. */
const char *tarn_editor_start_name (TarnEditorStart start);
/* "An adult of average build": for people. */
const char *tarn_editor_start_title (TarnEditorStart start);

/* A whole patient of that build, with a title and an id; tarn_patient_clear () it. */
TarnPatient tarn_editor_start_patient (TarnEditorStart start);

/* Half axes for a new structure of @kind, mm; own design values, from the sizes that
 * textbooks give. */
TarnVec3 tarn_editor_start_radii_mm (TarnStructureKind kind);
