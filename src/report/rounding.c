/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/rounding.h"

#include <math.h>

#define TENTHS_BELOW_ML 10.0

int
tarn_ml_decimals (double largest_ml)
{
  return round (largest_ml * 10) < TENTHS_BELOW_ML * 10 ? 1 : 0;
}

static double
steps_per_ml (int decimals)
{
  return decimals > 0 ? 10 : 1;
}

long
tarn_ml_steps (double ml, int decimals)
{
  return lround (ml * steps_per_ml (decimals));
}

void
tarn_ml_round_column (const double *ml, int count, double total_ml, int decimals, long *steps)
{
  double scale = steps_per_ml (decimals);
  long missing = tarn_ml_steps (total_ml, decimals);
  for (int k = 0; k < count; k++)
    {
      steps[k] = (long)floor (ml[k] * scale);
      missing -= steps[k];
    }
  for (; missing > 0; missing--)
    {
      /* An entry that got its step is now above its value, so it is not taken again. */
      int most = 0;
      for (int k = 1; k < count; k++)
        if (ml[k] * scale - (double)steps[k] > ml[most] * scale - (double)steps[most])
          most = k;
      steps[most]++;
    }
}

double
tarn_tick_step (double most, int ticks)
{
  static const double nice[3] = { 1, 2, 5 };
  if (!(most > 0) || !isfinite (most) || ticks < 1)
    return 1;
  for (int power = (int)floor (log10 (most / ticks)) - 1;; power++)
    for (int k = 0; k < 3; k++)
      {
        double step = nice[k] * pow (10, power);
        if (floor (most / step * (1 + 1e-9)) <= ticks)
          return step;
      }
}
