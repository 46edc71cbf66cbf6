/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Area and moment of polygons.  All values derived: closed forms of the regular polygon, the
 * ellipse and the triangle. */
#include "base/units.h"
#include "engine/outline/outline.h"

#include <glib.h>
#include <math.h>

#define POINTS TARN_OUTLINE_POINTS

/* Points at equal parameters on an ellipse, counter-clockwise. */
static void
ellipse (TarnOutlinePoint *point, double u, double v, double a, double b)
{
  for (int k = 0; k < POINTS; k++)
    {
      double t = 2 * TARN_PI * k / POINTS;
      point[k] = (TarnOutlinePoint){ .u_mm = (float)(u + a * cos (t)),
                                     .v_mm = (float)(v + b * sin (t)) };
    }
}

/* An inscribed regular polygon of n corners has the area ½ n R² sin (2π/n); an affine map
 * stretches it into the ellipse's by b / R. */
static double
inscribed_mm2 (double a, double b)
{
  return 0.5 * POINTS * a * b * sin (2 * TARN_PI / POINTS);
}

static void
test_circle (void)
{
  TarnOutlinePoint point[POINTS];
  double area, moment;

  ellipse (point, -12, 90, 30, 30);
  tarn_outline_measure (point, POINTS, &area, &moment);
  g_assert_cmpfloat_with_epsilon (area / inscribed_mm2 (30, 30), 1, 1e-6);
  /* By symmetry the centroid is the centre, so the moment is 90 times the area. */
  g_assert_cmpfloat_with_epsilon (moment / (90 * inscribed_mm2 (30, 30)), 1, 1e-6);
}

static void
test_ellipse (void)
{
  TarnOutlinePoint point[POINTS];
  double area, moment;

  ellipse (point, 25, 60, 45, 14);
  tarn_outline_measure (point, POINTS, &area, &moment);
  g_assert_cmpfloat_with_epsilon (area / inscribed_mm2 (45, 14), 1, 1e-6);
  g_assert_cmpfloat_with_epsilon (moment / (60 * inscribed_mm2 (45, 14)), 1, 1e-6);
  /* And near the true ellipse's: 128 corners fall short by 0.04 %. */
  g_assert_cmpfloat_with_epsilon (area / (TARN_PI * 45 * 14), 1, 5e-4);
}

static void
test_triangle (void)
{
  const TarnOutlinePoint point[] = { { 0, 10, 0 }, { 6, 10, 0 }, { 0, 14, 0 } };
  double area, moment;

  tarn_outline_measure (point, 3, &area, &moment);
  g_assert_cmpfloat_with_epsilon (area, 12, 1e-12);
  /* Centroid at (10 + 10 + 14) / 3. */
  g_assert_cmpfloat_with_epsilon (moment, 12 * 34.0 / 3, 1e-9);
}

static void
test_clockwise_is_negative (void)
{
  const TarnOutlinePoint point[] = { { 0, 10, 0 }, { 0, 14, 0 }, { 6, 10, 0 } };
  double area, moment;

  tarn_outline_measure (point, 3, &area, &moment);
  g_assert_cmpfloat_with_epsilon (area, -12, 1e-12);
  g_assert_cmpfloat (moment, <, 0);
  tarn_outline_measure (NULL, 0, &area, &moment);
  g_assert_cmpfloat (area, ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/polygon/circle", test_circle);
  g_test_add_func ("/polygon/ellipse", test_ellipse);
  g_test_add_func ("/polygon/triangle", test_triangle);
  g_test_add_func ("/polygon/clockwise-is-negative", test_clockwise_is_negative);
  return g_test_run ();
}
