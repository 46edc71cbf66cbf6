/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_words.h: a patient's texts in the learner's language.
 *
 * Floor: app.  Threads: any. */
#pragma once

#include "engine/patient/patient.h"

/* The text @key (fields.h) in the first of the learner's languages that has it, else as it was
 * written; NULL without one.  Belongs to the patient. */
const char *tarn_patient_words (const TarnPatient *patient, const char *key);
