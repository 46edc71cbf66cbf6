/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * random-patient.h: any valid patient at all. */
#pragma once

#include "engine/patient/patient.h"

#include <glib.h>

/* @seed: the same, the same patient.  Numbers have all their 53 bits, texts hold what files
 * find awkward.  tarn_patient_clear () it. */
TarnPatient random_patient (guint32 seed);
