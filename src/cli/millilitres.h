/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * millilitres.h: volumes as a letter prints them.
 *
 * Floor: cli.  Whole millilitres; below ten, tenths. */
#pragma once

#include "report/rounding.h"

#include <glib.h>

/* "320 mL", "6.4 mL", "0 mL". */
void tarn_append_ml (GString *text, double ml);

/* "+14 mL" or "-6.4 mL"; zero without a sign.  @steps: of 10^-@decimals mL.
 * @width: of the number, which stands at its right. */
void tarn_append_signed_ml (GString *text, long steps, int decimals, int width);
