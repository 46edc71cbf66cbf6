/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bed.h: what the tests of attempts share: a learner's few moves in one line each. */
#pragma once

#include "engine/attempt/attempt.h"

#include <glib.h>

/* An attempt with @patient in practice mode; aborts the test where that fails. */
TarnAttempt *bed_new (const TarnPatient *patient, uint64_t seed, const TarnParallel *parallel,
                      bool plain);
/* The default patient, seed 1. */
TarnAttempt *bed_plain (void);
/* A shipped patient, as written. */
TarnAttempt *bed_shipped (const char *file);

/* Takes an input that must be taken. */
#define BED(attempt, ...)                                                                      \
  g_assert_cmpint (tarn_attempt_input ((attempt), &(TarnInput){ __VA_ARGS__ }), ==, TARN_OK)

void bed_hand (TarnAttempt *attempt, double above_mm, double left_mm, double turn_deg,
               double force_n);
void bed_deed (TarnAttempt *attempt, TarnDeed deed);
void bed_wait (TarnAttempt *attempt, double seconds);
/* Gel, down, and a whole sweep at a place. */
void bed_sweep (TarnAttempt *attempt, double above_mm);
void bed_finish (TarnAttempt *attempt, TarnTruth *truth);
