/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * defaults.h: what a patient file leaves unsaid when it depends on age, sex, volume or kind.
 *
 * Floor: engine.  Each reads only fields that have no derived default themselves, so the order
 * of asking does not matter.  @structure is the one asked about, NULL for all other fields.
 * Units are those of the field.  Threads: safe. */
#pragma once

#include "engine/patient/patient.h"

typedef double TarnDefault (const TarnPatient *patient, const TarnStructure *structure);

TarnDefault tarn_default_torso_width_mm;
TarnDefault tarn_default_torso_depth_mm;
TarnDefault tarn_default_skin_mm;
TarnDefault tarn_default_muscle_mm;
TarnDefault tarn_default_prevesical_mm;

TarnDefault tarn_default_symphysis_height_mm;
TarnDefault tarn_default_symphysis_thickness_mm;
TarnDefault tarn_default_ramus_mm;

TarnDefault tarn_default_length_mm;
TarnDefault tarn_default_width_mm;
TarnDefault tarn_default_height_mm;
TarnDefault tarn_default_rise_mm;
TarnDefault tarn_default_wall_mm;

TarnDefault tarn_default_breathing_per_minute;
TarnDefault tarn_default_comfort_n;

/* 1 for a diverticulum, whose urine is the bladder's, else 0. */
TarnDefault tarn_default_counts;
