/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Thousands of inputs that make sense, and do not: none crashes, what is refused changes
 * nothing and is not logged, gel is conserved, and what was logged plays again. */
#include "bed.h"

#include <math.h>

#define INPUTS 4000
#define SWEEPS 4 /* at most, because they take their time */

static double
odd_number (GRand *random)
{
  static const double odd[]
      = { NAN, INFINITY, -INFINITY, 0,          -0.0, 1e308, -1e308, 5e-324,
          1e6, -1e6,     60.0,      60.0000001, 1.4,  -1.4,  6.2832, -2000.0 };
  return odd[g_rand_int_range (random, 0, G_N_ELEMENTS (odd))];
}

static TarnInput
random_input (GRand *random)
{
  static const double reach[TARN_INPUT_VALUES] = { 160, 120, 1.6, 1.6, 7, 66 };
  TarnInput input = { .kind = (uint8_t)g_rand_int_range (random, 0, TARN_INPUTS + 1),
                      .code = (uint8_t)g_rand_int_range (random, 0, 6),
                      .cause = (uint8_t)g_rand_int_range (random, 0, TARN_VERDICTS + 1),
                      .reading = (int8_t)g_rand_int_range (random, -2, 4) };
  if (g_rand_int_range (random, 0, 20) == 0)
    input.code = (uint8_t)g_rand_int_range (random, 0, 256);
  for (int k = 0; k < TARN_INPUT_VALUES; k++)
    {
      input.value[k] = g_rand_double_range (random, -reach[k], reach[k]);
      if (k == 5)
        input.value[k] = fabs (input.value[k]);
      if (g_rand_int_range (random, 0, 25) == 0)
        input.value[k] = odd_number (random);
    }
  if (input.kind == TARN_INPUT_LIFT && isfinite (input.value[0]))
    input.value[0] /= 100;
  return input;
}

/* Whether every number that a window would draw with is one. */
static void
check_sane (const TarnAttempt *attempt)
{
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  const TarnContact *contact = &bedside->contact;
  const double numbers[]
      = { bedside->pose.above_mm,  bedside->pose.left_mm,  bedside->pose.tilt_rad,
          bedside->pose.lean_rad,  bedside->pose.turn_rad, bedside->pose.force_n,
          contact->face_mm.x,      contact->face_mm.y,     contact->face_mm.z,
          contact->indentation_mm, contact->wet_fraction,  bedside->body_mm.z,
          bedside->unsteady_mm,    bedside->gel_g,         bedside->lift,
          bedside->finger_n_mm,    bedside->depth_mm,      bedside->gain_db,
          bedside->hand.above_mm,  bedside->hand.force_n };
  for (gsize k = 0; k < G_N_ELEMENTS (numbers); k++)
    g_assert_true (isfinite (numbers[k]));
  double laid_g = bedside->gel_laid_g;
  g_assert_cmpfloat_with_epsilon (tarn_gel_mass_g (tarn_attempt_film (attempt)), laid_g,
                                  1e-4 * laid_g + 1e-6);
}

static void
feed (TarnAttempt *attempt, GRand *random)
{
  int taken = 0, refused = 0, sweeps = 0;
  for (int k = 0; k < INPUTS; k++)
    {
      TarnInput input = random_input (random);
      bool sweep = input.kind == TARN_INPUT_SWEEP;
      if (input.kind == TARN_INPUT_FINISH || (sweep && sweeps >= SWEEPS)
          || (input.kind == TARN_INPUT_ABANDON && k % 10 != 0))
        continue;
      int logged = tarn_attempt_inputs (attempt);
      uint64_t before = k % 16 == 0 ? tarn_attempt_digest (attempt) : 0;
      TarnStatus status = tarn_attempt_input (attempt, &input);
      g_assert_cmpint (tarn_attempt_inputs (attempt), ==, logged + (status == TARN_OK));
      if (status != TARN_OK && k % 16 == 0)
        g_assert_cmphex (tarn_attempt_digest (attempt), ==, before);
      taken += status == TARN_OK;
      refused += status != TARN_OK;
      sweeps += sweep && status == TARN_OK;
      for (int tick = g_rand_int_range (random, 0, 3); tick > 0; tick--)
        g_assert_cmpint (tarn_attempt_tick (attempt), ==, TARN_OK);
      if (k % 8 == 0)
        check_sane (attempt);
    }
  g_test_message ("%d taken, %d refused, %d readings", taken, refused,
                  tarn_attempt_readings (attempt));
  g_assert_cmpint (taken, >, INPUTS / 10);
  g_assert_cmpint (refused, >, INPUTS / 10);
}

static void
test_random_inputs (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.habitus.pannus_mm = 25;
  patient.temper.restless = 0.5;
  g_autoptr (GRand) random = g_rand_new_with_seed (20);
  TarnAttempt *attempt = bed_new (&patient, 11, NULL, false);
  feed (attempt, random);
  BED (attempt, .kind = TARN_INPUT_FINISH);
  TarnTruth truth;
  g_assert_cmpint (tarn_attempt_truth (attempt, &truth), ==, TARN_OK);
  g_assert_cmpfloat (truth.score.total, >=, 0);
  g_assert_cmpfloat (truth.score.total, <=, 100);

  TarnAttempt *again = bed_new (&patient, 11, NULL, false);
  for (int k = 0; k < tarn_attempt_inputs (attempt); k++)
    g_assert_cmpint (tarn_attempt_replay (again, tarn_attempt_logged (attempt, k)), ==,
                     TARN_OK);
  g_assert_cmphex (tarn_attempt_digest (again), ==, tarn_attempt_digest (attempt));
  tarn_attempt_free (again);
  tarn_attempt_free (attempt);
}

/* Each number out of its range, one at a time. */
static void
test_out_of_range_is_refused (void)
{
  static const TarnInput bad[] = {
    { .kind = TARN_INPUTS },
    { .kind = 255 },
    { .kind = TARN_INPUT_HAND, .value = { NAN } },
    { .kind = TARN_INPUT_HAND, .value = { 0, 2001 } },
    { .kind = TARN_INPUT_HAND, .value = { 0, 0, 1.41 } },
    { .kind = TARN_INPUT_HAND, .value = { 0, 0, 0, -1.41 } },
    { .kind = TARN_INPUT_HAND, .value = { 0, 0, 0, 0, 6.3 } },
    { .kind = TARN_INPUT_HAND, .value = { 0, 0, 0, 0, 0, -0.1 } },
    { .kind = TARN_INPUT_HAND, .value = { 0, 0, 0, 0, 0, 60.1 } },
    { .kind = TARN_INPUT_LIFT, .value = { 1.01 } },
    { .kind = TARN_INPUT_LIFT, .value = { NAN } },
    { .kind = TARN_INPUT_GEL, .value = { -1 } },
    { .kind = TARN_INPUT_GEL, .value = { 101 } },
    { .kind = TARN_INPUT_DEPTH, .value = { 19 } },
    { .kind = TARN_INPUT_DEPTH, .value = { 301 } },
    { .kind = TARN_INPUT_GAIN, .value = { 41 } },
    { .kind = TARN_INPUT_FREEZE, .code = 2 },
    { .kind = TARN_INPUT_PALPATE, .value = { 0, INFINITY } },
    { .kind = TARN_INPUT_DEED, .code = TARN_DEEDS },
    { .kind = TARN_INPUT_CALIPER, .code = TARN_CALIPERS },
    { .kind = TARN_INPUT_CALIPER, .value = { 601 } },
    { .kind = TARN_INPUT_MEASURE, .value = { 2.1 } },
    { .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENTS, .reading = -1 },
    { .kind = TARN_INPUT_JUDGE, .code = 1, .cause = TARN_VERDICTS, .reading = -1 },
    { .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_NOT_SEEN + 1, .reading = -1 },
    { .kind = TARN_INPUT_RECORD, .code = 1, .reading = -1, .value = { -5 } },
    { .kind = TARN_INPUT_RECORD, .code = 1, .reading = -2 },
  };
  TarnAttempt *attempt = bed_plain ();
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 1);
  uint64_t digest = tarn_attempt_digest (attempt);
  for (gsize k = 0; k < G_N_ELEMENTS (bad); k++)
    {
      g_assert_cmpint (tarn_attempt_input (attempt, &bad[k]), ==, TARN_OUT_OF_RANGE);
      g_assert_cmphex (tarn_attempt_digest (attempt), ==, digest);
    }
  tarn_attempt_free (attempt);
}

/* What a kind does not use is not logged: replays do not hang on it. */
static void
test_log_keeps_only_what_counts (void)
{
  TarnAttempt *attempt = bed_plain ();
  BED (attempt, .kind = TARN_INPUT_GEL, .code = 9, .cause = 9, .reading = 9, .tick = 1234,
       .value = { 5, NAN, 3, 4, 5, 6 });
  const TarnInput *logged = tarn_attempt_logged (attempt, 0);
  g_assert_cmpuint (logged->tick, ==, 0);
  g_assert_cmpint (logged->code + logged->cause + logged->reading, ==, 0);
  g_assert_cmpfloat (logged->value[0], ==, 5);
  for (int k = 1; k < TARN_INPUT_VALUES; k++)
    g_assert_cmpfloat (logged->value[k], ==, 0);
  tarn_attempt_free (attempt);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/random/inputs", test_random_inputs);
  g_test_add_func ("/random/out-of-range", test_out_of_range_is_refused);
  g_test_add_func ("/random/log", test_log_keeps_only_what_counts);
  return g_test_run ();
}
