/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which planes may start a chain of outlines, and what ends it. */
#include "base/units.h"
#include "engine/measure/chain.h"

#include <glib.h>

static TarnOutline
disc (double u_mm, double v_mm, double radius_mm)
{
  TarnOutline outline = { .found = true, .seed_u_mm = u_mm, .seed_v_mm = v_mm, .seen = 1 };
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    {
      double angle = 2 * TARN_PI * k / TARN_OUTLINE_POINTS;
      outline.point[k].u_mm = (float)(u_mm + radius_mm * cos (angle));
      outline.point[k].v_mm = (float)(v_mm + radius_mm * sin (angle));
    }
  outline.area_mm2 = TARN_PI * radius_mm * radius_mm;
  outline.moment_mm3 = outline.area_mm2 * v_mm;
  return outline;
}

static void
test_starts_are_distinct_planes_of_the_fan (void)
{
  for (int planes = 1; planes <= 128; planes++)
    {
      int seen[128] = { 0 }, index[128];
      for (int tier = 0; tier < TARN_CHAIN_TIERS; tier++)
        {
          int count = tarn_chain_starts (planes, tier, index);
          g_assert_cmpint (count, <=, TARN_CHAIN_STARTS_MAX);
          for (int k = 0; k < count; k++)
            {
              g_assert_cmpint (index[k], >=, 0);
              g_assert_cmpint (index[k], <, planes);
              g_assert_cmpint (seen[index[k]]++, ==, 0);
            }
        }
      g_assert_cmpint (seen[planes / 2], ==, 1);
    }
}

static void
test_three_misses_end_a_chain_and_two_do_not (void)
{
  TarnOutline start = disc (0, 80, 30), none = { 0 }, next = disc (1, 81, 28);
  TarnChain chain = { .last = &start, .last_index = 18 };
  g_assert_false (tarn_chain_take (&chain, 19, &none));
  g_assert_false (tarn_chain_take (&chain, 20, &none));
  g_assert_true (tarn_chain_take (&chain, 21, &next));
  g_assert_true (chain.last == &next);
  for (int k = 22; k < 25; k++)
    {
      g_assert_true (tarn_chain_alive (&chain));
      g_assert_false (tarn_chain_take (&chain, k, &none));
    }
  g_assert_false (tarn_chain_alive (&chain));
}

static void
test_another_thing_elsewhere_does_not_belong (void)
{
  TarnOutline start = disc (0, 80, 30), elsewhere = disc (50, 120, 20);
  TarnChain chain = { .last = &start, .last_index = 18 };
  g_assert_false (tarn_chain_take (&chain, 19, &elsewhere));
  g_assert_true (chain.last == &start);
}

static void
test_hint_knows_how_far_the_neighbour_is (void)
{
  TarnOutline start = disc (0, 80, 30);
  TarnChain chain = { .last = &start, .last_index = 18 };
  TarnOutlineHints hints = { 0 };
  tarn_chain_hint (&chain, 15, 0.1, &hints);
  g_assert_cmpfloat_with_epsilon (hints.fan_step_rad, 0.3, 1e-12);
  g_assert_true (hints.neighbour == &start);
}

static void
test_larger_and_better_seen_starts_have_more_merit (void)
{
  TarnOutline none = { 0 }, small = disc (0, 80, 10), large = disc (0, 80, 30), bridged = large;
  bridged.seen = 0.5;
  bridged.bridged = 0.5;
  g_assert_cmpfloat (tarn_chain_merit (&none), ==, 0);
  g_assert_cmpfloat (tarn_chain_merit (&small), <, tarn_chain_merit (&large));
  g_assert_cmpfloat (tarn_chain_merit (&bridged), <, tarn_chain_merit (&large));
}

/* A sliver that no neighbour confirms is none; a plain section, one of two, or one at the fan's
 * end, where nobody looked beyond, is kept. */
static void
test_a_lone_sliver_is_none (void)
{
  TarnOutline sliver = disc (0, 80, 8), plain = disc (0, 80, 20), none = { 0 };
  const TarnOutline *fan[5] = { &none, NULL, &sliver, &none, &none };

  g_assert_cmpint (tarn_chain_lone (fan, 5), ==, 2);
  fan[3] = &sliver;
  g_assert_cmpint (tarn_chain_lone (fan, 5), ==, -1);
  fan[2] = &none;
  fan[3] = &plain;
  g_assert_cmpint (tarn_chain_lone (fan, 5), ==, -1);
  fan[3] = NULL;
  g_assert_cmpint (tarn_chain_lone (fan, 5), ==, -1);
  fan[4] = &sliver;
  g_assert_cmpint (tarn_chain_lone (fan, 5), ==, -1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/chain/starts", test_starts_are_distinct_planes_of_the_fan);
  g_test_add_func ("/chain/misses", test_three_misses_end_a_chain_and_two_do_not);
  g_test_add_func ("/chain/elsewhere", test_another_thing_elsewhere_does_not_belong);
  g_test_add_func ("/chain/hint", test_hint_knows_how_far_the_neighbour_is);
  g_test_add_func ("/chain/lone", test_a_lone_sliver_is_none);
  g_test_add_func ("/chain/merit", test_larger_and_better_seen_starts_have_more_merit);
  return g_test_run ();
}
