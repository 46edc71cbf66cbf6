/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gaps in borders that are known in closed form.  An ellipse about its own centre has the
 * radius a b / √((b cos t)² + (a sin t)²) (handbook; from memory). */
#include "engine/outline/gap.h"

#include <glib.h>
#include <math.h>

#define POINTS TARN_OUTLINE_POINTS

typedef struct
{
  float turn_cos[POINTS], turn_sin[POINTS], radius_mm[POINTS];
  uint8_t evidence[POINTS];
  float guide_mm[POINTS]; /* of 0: none */
  float reach_mm;
} Border;

static double
ellipse_mm (double a, double b, int point)
{
  double t = 2 * G_PI * point / POINTS;
  return a * b / hypot (b * cos (t), a * sin (t));
}

static Border
ellipse (double a, double b)
{
  Border border = { .reach_mm = 1000 };
  for (int k = 0; k < POINTS; k++)
    {
      border.turn_cos[k] = (float)cos (2 * G_PI * k / POINTS);
      border.turn_sin[k] = (float)sin (2 * G_PI * k / POINTS);
      border.radius_mm[k] = (float)ellipse_mm (a, b, k);
      border.evidence[k] = TARN_EVIDENCE_SEEN;
    }
  return border;
}

static void
hide (Border *border, int first, int run)
{
  for (int k = 0; k < run; k++)
    {
      int at = (first + k) % POINTS;
      border->evidence[at] = TARN_EVIDENCE_BRIDGED;
      border->radius_mm[at] = 1;
    }
}

static const float *
guide (void *context, int first, int run)
{
  const Border *border = context;
  (void)first, (void)run;
  return border->guide_mm[0] > 0 ? border->guide_mm : NULL;
}

static float
within (void *context, int point, float radius_mm)
{
  const Border *border = context;
  (void)point;
  return MIN (radius_mm, border->reach_mm);
}

static void
bridge (Border *border)
{
  TarnGapBorder gaps = { .turn_cos = border->turn_cos,
                         .turn_sin = border->turn_sin,
                         .radius_mm = border->radius_mm,
                         .evidence = border->evidence,
                         .guide = guide,
                         .within = within,
                         .context = border };
  tarn_gap_bridge (&gaps);
}

/* A quarter of the border hidden, anywhere.  The pull towards a circle costs something: 5 % of
 * the radius is an own design value. */
static void
an_ellipse_is_carried_on (void)
{
  for (int first = 0; first < POINTS; first += 9)
    {
      Border border = ellipse (40, 28);
      hide (&border, first, POINTS / 4);
      bridge (&border);
      for (int k = 0; k < POINTS; k++)
        g_assert_cmpfloat_with_epsilon (border.radius_mm[k] / ellipse_mm (40, 28, k), 1, 0.05);
    }
}

/* Its shape, at the size of what was seen beside the gap. */
static void
a_guide_is_scaled_to_the_ends (void)
{
  Border border = ellipse (30, 30);
  for (int k = 0; k < POINTS; k++)
    border.guide_mm[k] = (float)ellipse_mm (80, 80, k);
  border.guide_mm[70] = 88;
  hide (&border, 60, 20);
  bridge (&border);
  for (int k = 0; k < POINTS; k++)
    g_assert_cmpfloat_with_epsilon (border.radius_mm[k], k == 70 ? 33 : 30, 1e-3);
}

static void
reaches_no_further_than_it_may (void)
{
  Border border = ellipse (40, 40);
  border.reach_mm = 35;
  hide (&border, 120, 16); /* over the end of the count */
  bridge (&border);
  for (int k = 0; k < POINTS; k++)
    g_assert_cmpfloat_with_epsilon (border.radius_mm[k], k >= 120 || k < 8 ? 35 : 40, 1e-3);
}

static void
all_or_nothing_stays (void)
{
  Border border = ellipse (40, 28), whole = border;
  bridge (&border);
  g_assert_cmpmem (border.radius_mm, sizeof border.radius_mm, whole.radius_mm,
                   sizeof whole.radius_mm);
  hide (&border, 0, POINTS);
  whole = border;
  bridge (&border);
  g_assert_cmpmem (border.radius_mm, sizeof border.radius_mm, whole.radius_mm,
                   sizeof whole.radius_mm);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/outline-gap/an-ellipse-is-carried-on", an_ellipse_is_carried_on);
  g_test_add_func ("/outline-gap/a-guide-is-scaled-to-the-ends", a_guide_is_scaled_to_the_ends);
  g_test_add_func ("/outline-gap/reaches-no-further-than-it-may",
                   reaches_no_further_than_it_may);
  g_test_add_func ("/outline-gap/all-or-nothing-stays", all_or_nothing_stays);
  return g_test_run ();
}
