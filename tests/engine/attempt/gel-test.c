/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gel through an attempt: laid, squeezed, wiped, cleaned off, and never lost from the books. */
#include "bed.h"

#include <math.h>

static void
check_mass (TarnAttempt *attempt)
{
  double laid_g = tarn_attempt_bedside (attempt)->gel_laid_g;
  g_assert_cmpfloat_with_epsilon (tarn_gel_mass_g (tarn_attempt_film (attempt)), laid_g,
                                  1e-4 * laid_g + 1e-6);
}

static void
test_dose_lies_under_the_probe (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  g_assert_cmpfloat (bedside->gel_g, ==, 0);
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 12 });
  bed_wait (attempt, 0.1);
  g_assert_cmpfloat (bedside->gel_laid_g, ==, 12);
  g_assert_cmpfloat_with_epsilon (bedside->gel_g, 12, 1);
  check_mass (attempt);
  /* Out of reach it is none. */
  bed_hand (attempt, 140, 0, 0, 0);
  bed_wait (attempt, 1);
  g_assert_cmpfloat (bedside->gel_g, ==, 0);
  tarn_attempt_free (attempt);
}

/* A steady hand does not dry out by trembling. */
static void
test_held_for_two_minutes_it_stays_wet (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 20 });
  bed_hand (attempt, 40, 0, 0, 6);
  for (int k = 0; k < 12; k++)
    {
      bed_wait (attempt, 10);
      g_assert_cmpfloat (bedside->contact.wet_fraction, >, 0.95);
      g_assert_cmpfloat (bedside->gel_g, >, 10);
      check_mass (attempt);
    }
  tarn_attempt_free (attempt);
}

static void
test_bare_skin_never_couples (void)
{
  TarnAttempt *attempt = bed_plain ();
  bed_hand (attempt, 40, 0, 0, 8);
  bed_wait (attempt, 1);
  g_assert_true (tarn_attempt_bedside (attempt)->on_skin);
  g_assert_cmpfloat (tarn_attempt_bedside (attempt)->contact.wet_fraction, ==, 0);
  tarn_attempt_free (attempt);
}

/* A little gel is soon rubbed away by sliding to and fro, and put down again it stays so. */
static void
test_sliding_dries (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 4 });
  bed_hand (attempt, 40, 0, 0, 6);
  bed_wait (attempt, 1);
  double wet = bedside->contact.wet_fraction, gel_g = bedside->gel_g;
  for (int k = 0; k < 20; k++)
    {
      bed_hand (attempt, k % 2 == 0 ? 110 : 40, k, 0, 6);
      bed_wait (attempt, 0.6);
      check_mass (attempt);
    }
  bed_wait (attempt, 1);
  g_assert_cmpfloat (bedside->gel_g, <, 0.6 * gel_g);
  g_assert_cmpfloat (bedside->contact.wet_fraction, <, wet);
  tarn_attempt_free (attempt);
}

/* Lifted, carried over and put down elsewhere, the probe wipes nothing on its way. */
static void
test_lifted_it_wipes_nothing (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 20 });
  bed_hand (attempt, 40, 0, 0, 6);
  bed_wait (attempt, 1);
  double gel_g = bedside->gel_g;
  bed_hand (attempt, 40, 0, 0, 0);
  bed_wait (attempt, 1);
  bed_hand (attempt, 120, 0, 0, 0);
  bed_wait (attempt, 1);
  bed_hand (attempt, 40, 0, 0, 0);
  bed_wait (attempt, 1);
  g_assert_cmpfloat_with_epsilon (bedside->gel_g, gel_g, 1);
  check_mass (attempt);
  tarn_attempt_free (attempt);
}

static void
test_wiping_clears_skin_and_face (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  for (int clean = 0; clean < 2; clean++)
    {
      BED (attempt, .kind = TARN_INPUT_GEL, .value = { 20 });
      bed_hand (attempt, 60, 0, 0, 6);
      bed_wait (attempt, 2);
      g_assert_cmpfloat (bedside->contact.wet_fraction, >, 0.5);
      if (clean)
        bed_deed (attempt, TARN_DEED_CLEAN);
      else
        BED (attempt, .kind = TARN_INPUT_WIPE);
      bed_wait (attempt, 0.5);
      g_assert_cmpfloat (bedside->gel_g, ==, 0);
      g_assert_cmpfloat (bedside->contact.wet_fraction, ==, 0);
      check_mass (attempt);
    }
  tarn_attempt_free (attempt);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/gel/dose", test_dose_lies_under_the_probe);
  g_test_add_func ("/gel/held", test_held_for_two_minutes_it_stays_wet);
  g_test_add_func ("/gel/bare", test_bare_skin_never_couples);
  g_test_add_func ("/gel/sliding", test_sliding_dries);
  g_test_add_func ("/gel/lifted", test_lifted_it_wipes_nothing);
  g_test_add_func ("/gel/wiped", test_wiping_clears_skin_and_face);
  return g_test_run ();
}
