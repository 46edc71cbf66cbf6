/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/millilitres.h"

void
tarn_append_ml (GString *text, double ml)
{
  int decimals = ml == 0 ? 0 : tarn_ml_decimals (ml);
  g_string_append_printf (text, "%.*f mL", decimals, ml);
}

void
tarn_append_signed_ml (GString *text, long steps, int decimals, int width)
{
  if (steps == 0)
    g_string_append_printf (text, "%*d mL", width, 0);
  else
    g_string_append_printf (text, "%+*.*f mL", width, decimals,
                            (double)steps / (decimals > 0 ? 10 : 1));
}
