/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A learner's moves. */
#include "bed.h"

#include "base/units.h"
#include "store/patient_file.h"

#define QUICK_PLANES 12

TarnAttempt *
bed_new (const TarnPatient *patient, uint64_t seed, const TarnParallel *parallel, bool plain)
{
  TarnAttemptSetup setup = tarn_attempt_setup_default ();
  setup.seed = seed;
  setup.parallel = parallel;
  setup.plain = plain;
  TarnAttempt *attempt = NULL;
  TarnProblem problem = { 0 };
  TarnPatient quick = *patient;
  /* Where instrumented code is looked at rather than figures, a third of the planes do. */
  if (g_getenv ("TARN_TEST_QUICK") != NULL)
    quick.probe.planes = MIN (quick.probe.planes, QUICK_PLANES);
  if (tarn_attempt_new (&quick, &setup, &attempt, &problem) != TARN_OK)
    g_error ("%s: %s", problem.key, problem.text);
  return attempt;
}

TarnAttempt *
bed_plain (void)
{
  TarnPatient patient = tarn_patient_default ();
  return bed_new (&patient, 1, NULL, false);
}

TarnAttempt *
bed_shipped (const char *name)
{
  g_autofree char *path = g_build_filename (g_getenv ("TARN_ANATOMIES"), name, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file = tarn_patient_file_load (path, &error);
  g_assert_no_error (error);
  return bed_new (&file->patient, 0, NULL, false);
}

void
bed_hand (TarnAttempt *attempt, double above_mm, double left_mm, double turn_deg,
          double force_n)
{
  BED (attempt, .kind = TARN_INPUT_HAND,
       .value = { above_mm, left_mm, tarn_rad_from_deg (5), 0, tarn_rad_from_deg (turn_deg),
                  force_n });
}

void
bed_deed (TarnAttempt *attempt, TarnDeed deed)
{
  BED (attempt, .kind = TARN_INPUT_DEED, .code = (uint8_t)deed);
}

void
bed_wait (TarnAttempt *attempt, double seconds)
{
  for (int k = 0; k < seconds * TARN_TICKS_PER_SECOND; k++)
    g_assert_cmpint (tarn_attempt_tick (attempt), ==, TARN_OK);
}

void
bed_sweep (TarnAttempt *attempt, double above_mm)
{
  bed_hand (attempt, above_mm, 0, 0, 0);
  bed_wait (attempt, 0.5);
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 20 });
  bed_hand (attempt, above_mm, 0, 0, 5);
  bed_wait (attempt, 1.5);
  BED (attempt, .kind = TARN_INPUT_SWEEP);
  bed_wait (attempt, TARN_SWEEP_SECONDS);
}

void
bed_finish (TarnAttempt *attempt, TarnTruth *truth)
{
  BED (attempt, .kind = TARN_INPUT_FINISH);
  g_assert_cmpint (tarn_attempt_truth (attempt, truth), ==, TARN_OK);
}
