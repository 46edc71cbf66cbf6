/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The split of an error over causes, by arithmetic alone: against all orders of removal by
 * brute force, and against what Shapley (1953) proved of it. */
#include "base/random.h"
#include "engine/verdict/ledger.h"

#include <glib.h>
#include <math.h>

static void
draw_errors (uint64_t seed, double error_ml[TARN_LEDGER_SETS])
{
  for (unsigned set = 0; set < TARN_LEDGER_SETS; set++)
    error_ml[set] = 400 * tarn_uniform_at (seed, set) - 200;
}

static double
sum_of (const TarnLedger *ledger)
{
  double sum = 0;
  for (int cause = 0; cause < TARN_CAUSES; cause++)
    sum += ledger->entry_ml[cause];
  return sum;
}

static void
test_entries_sum_to_the_error (void)
{
  for (unsigned acting = 0; acting < TARN_LEDGER_SETS; acting++)
    {
      double error_ml[TARN_LEDGER_SETS];
      draw_errors (acting, error_ml);
      TarnLedger ledger = tarn_ledger_split (error_ml, acting);
      g_assert_cmpfloat_with_epsilon (sum_of (&ledger), error_ml[0], 1e-9);
    }
}

/* The oracle: three causes, all six orders, written out. */
static void
test_three_causes_by_all_six_orders (void)
{
  static const int order[6][3]
      = { { 0, 1, 2 }, { 0, 2, 1 }, { 1, 0, 2 }, { 1, 2, 0 }, { 2, 0, 1 }, { 2, 1, 0 } };
  static const int cause[3] = { TARN_CAUSE_EDGE, TARN_CAUSE_GAS, TARN_CAUSE_OTHER_FLUID };
  for (uint64_t seed = 0; seed < 50; seed++)
    {
      double error_ml[TARN_LEDGER_SETS], expected[3] = { 0 };
      unsigned acting = 0;
      draw_errors (seed, error_ml);
      for (int o = 0; o < 6; o++)
        {
          unsigned removed = 0;
          for (int k = 0; k < 3; k++)
            {
              unsigned with = removed | 1u << cause[order[o][k]];
              expected[order[o][k]] += (error_ml[removed] - error_ml[with]) / 6;
              removed = with;
            }
          acting = removed;
        }
      TarnLedger ledger = tarn_ledger_split (error_ml, acting);
      for (int k = 0; k < 3; k++)
        g_assert_cmpfloat_with_epsilon (ledger.entry_ml[cause[k]], expected[k], 1e-9);
      g_assert_cmpfloat (ledger.entry_ml[TARN_CAUSE_BONE], ==, 0);
      g_assert_cmpfloat_with_epsilon (ledger.entry_ml[TARN_CAUSE_REST], error_ml[acting], 1e-9);
    }
}

/* Shapley's axioms: a cause that changes nothing gets nothing, equal causes get equal parts. */
static void
test_idle_cause_gets_nothing_and_equal_causes_equal_parts (void)
{
  unsigned acting = 1u << TARN_CAUSE_EDGE | 1u << TARN_CAUSE_BONE | 1u << TARN_CAUSE_MOTION;
  double error_ml[TARN_LEDGER_SETS] = { 0 };
  for (unsigned set = 0; set < TARN_LEDGER_SETS; set++)
    {
      int gone = ((set >> TARN_CAUSE_EDGE) & 1) + ((set >> TARN_CAUSE_BONE) & 1);
      error_ml[set] = gone * gone * 30 - 120;
    }
  TarnLedger ledger = tarn_ledger_split (error_ml, acting);
  g_assert_cmpfloat_with_epsilon (ledger.entry_ml[TARN_CAUSE_MOTION], 0, 1e-12);
  g_assert_cmpfloat_with_epsilon (ledger.entry_ml[TARN_CAUSE_EDGE], -60, 1e-9);
  g_assert_cmpfloat_with_epsilon (ledger.entry_ml[TARN_CAUSE_BONE], -60, 1e-9);
}

/* The sign: a cause that hides fluid enters below zero, one that adds some above. */
static void
test_lost_fluid_is_negative (void)
{
  double error_ml[TARN_LEDGER_SETS] = { 0 };
  error_ml[0] = -60;
  error_ml[1u << TARN_CAUSE_BONE] = -10;
  TarnLedger ledger = tarn_ledger_split (error_ml, 1u << TARN_CAUSE_BONE);
  g_assert_cmpfloat (ledger.entry_ml[TARN_CAUSE_BONE], ==, -50);
  g_assert_cmpfloat (ledger.entry_ml[TARN_CAUSE_REST], ==, -10);
}

static void
test_causes_have_the_names_of_the_json (void)
{
  g_assert_cmpstr (tarn_cause_name (TARN_CAUSE_EDGE), ==, "edge");
  g_assert_cmpstr (tarn_cause_name (TARN_CAUSE_BONE), ==, "bone");
  g_assert_cmpstr (tarn_cause_name (TARN_CAUSE_GAS), ==, "gas");
  g_assert_cmpstr (tarn_cause_name (TARN_CAUSE_CONTACT), ==, "contact");
  g_assert_cmpstr (tarn_cause_name (TARN_CAUSE_MOTION), ==, "motion");
  g_assert_cmpstr (tarn_cause_name (TARN_CAUSE_OTHER_FLUID), ==, "other_fluid");
  g_assert_cmpstr (tarn_cause_name (TARN_CAUSE_REST), ==, "rest");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/split/sums", test_entries_sum_to_the_error);
  g_test_add_func ("/split/three-causes", test_three_causes_by_all_six_orders);
  g_test_add_func ("/split/axioms", test_idle_cause_gets_nothing_and_equal_causes_equal_parts);
  g_test_add_func ("/split/sign", test_lost_fluid_is_negative);
  g_test_add_func ("/split/names", test_causes_have_the_names_of_the_json);
  return g_test_run ();
}
