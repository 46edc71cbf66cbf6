/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * palpate.c: what a fingertip feels.
 *
 * A finger feels the stiffness of more than the column below its middle: the softer and
 * thicker the layers between, the wider.  So columns around the place are weighed by a bell
 * that widens with the depth of fat: a bone's edge under thick fat is felt as a blur. */
#include "engine/contact/press.h"

#include <math.h>

/* Own design values. */
#define FINGER_MM    7.0
#define LIGHT_N      10.0 /* stiffness is felt between these two forces */
#define FIRM_N       15.0
#define BELL_MM      2.5 /* SD of the bell on bare bone */
#define BELL_PER_FAT 0.15
#define REACH_MM     150.0
#define PLACE_MAX_MM 2000.0

/* The column under the finger's middle when it comes down at a place; false off the body. */
static bool
finger_column (const TarnBody *body, double above_mm, double left_mm, TarnColumn *column)
{
  TarnVec3 point, inward;
  if (!tarn_body_skin_at (body, above_mm, left_mm, &point, &inward))
    return false;
  tarn_body_column (body, point, inward, REACH_MM, column);
  return true;
}

static double
column_n_mm (const TarnColumn *column)
{
  double light = tarn_press_depth_mm (column, FINGER_MM, LIGHT_N, INFINITY);
  double firm = tarn_press_depth_mm (column, FINGER_MM, FIRM_N, INFINITY);
  return (FIRM_N - LIGHT_N) / fmax (firm - light, 0.05);
}

double
tarn_contact_palpate_n_mm (const TarnBody *body, double above_mm, double left_mm)
{
  TarnColumn column;
  if (!(fabs (above_mm) <= PLACE_MAX_MM) || !(fabs (left_mm) <= PLACE_MAX_MM)
      || !finger_column (body, above_mm, left_mm, &column))
    return 0;

  double bell_mm = BELL_MM + BELL_PER_FAT * column.fat_mm, sum = 0, weights = 0;
  for (int k = -6; k <= 6; k++)
    for (int l = -1; l <= 1; l++)
      {
        double weight = exp (-(k * k / 18.0 + l * l / 2.0));
        if (!finger_column (body, above_mm + k * bell_mm / 3, left_mm + l * bell_mm, &column))
          continue;
        sum += weight * column_n_mm (&column);
        weights += weight;
      }
  return sum / weights;
}
