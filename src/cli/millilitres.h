/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * millilitres.h: volumes as a letter prints them.
 *
 * Floor: cli.  Whole millilitres; below ten, tenths. */
#pragma once

#include <glib.h>

/* "320 mL", "6.4 mL", "0 mL". */
void tarn_append_ml (GString *text, double ml);

/* How many decimals a column takes whose largest magnitude is @largest_ml: 0 or 1. */
int tarn_ml_decimals (double largest_ml);

/* "+14 mL" or "-6.4 mL"; zero without a sign.  @steps: of 10^-@decimals mL.
 * @width: of the number, which stands at its right. */
void tarn_append_signed_ml (GString *text, long steps, int decimals, int width);

/* To the nearest whole number of steps of 10^-@decimals mL. */
long tarn_ml_steps (double ml, int decimals);

/**
 * Rounds a column so that it still adds up: each entry goes down to a whole step, and the
 * steps that are then missing go to the entries with the largest remainders (Hamilton's
 * method).
 *
 * @ml: @count entries that sum to @total_ml.
 * @steps: out, one for each; they sum to tarn_ml_steps (@total_ml, @decimals), and each is less
 *   than a step from its entry.
 */
void tarn_ml_round_column (const double *ml, int count, double total_ml, int decimals,
                           long *steps);
