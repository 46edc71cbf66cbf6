/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * rounding.h: volumes rounded for people, so that a printed column still adds up.
 *
 * Floor: report.  Whole millilitres; below ten, tenths. */
#pragma once

/* How many decimals a column takes whose largest magnitude is @largest_ml: 0 or 1. */
int tarn_ml_decimals (double largest_ml);

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

/* The distance between the ticks of an axis that reaches @most: 1, 2 or 5 times a power of ten,
 * the least that makes at most @ticks of them beside the one at 0.  1 when @most is not > 0. */
double tarn_tick_step (double most, int ticks);
