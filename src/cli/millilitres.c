/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/millilitres.h"

#include <math.h>

#define TENTHS_BELOW_ML 10.0

int
tarn_ml_decimals (double largest_ml)
{
  return round (largest_ml * 10) < TENTHS_BELOW_ML * 10 ? 1 : 0;
}

void
tarn_append_ml (GString *text, double ml)
{
  int decimals = ml == 0 ? 0 : tarn_ml_decimals (ml);
  g_string_append_printf (text, "%.*f mL", decimals, ml);
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
tarn_append_signed_ml (GString *text, long steps, int decimals, int width)
{
  if (steps == 0)
    g_string_append_printf (text, "%*d mL", width, 0);
  else
    g_string_append_printf (text, "%+*.*f mL", width, decimals,
                            (double)steps / steps_per_ml (decimals));
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
