/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * capacity.h: how much a child's bladder is expected to hold, by published formulas of age.
 *
 * Floor: report.  Threads: any.  mL, ages in years.  NAN where a formula does not speak of
 * such an age.  For orientation; local policy and a licensed practitioner decide. */
#pragma once

/* Up to this age the formulas of childhood are shown (own choice). */
#define TARN_CAPACITY_YEARS_MAX 16.0

/* Koff: 30 (age + 2). */
double tarn_capacity_koff_ml (double age_years);
/* Hjälmås: 30 + 30 age. */
double tarn_capacity_hjalmas_ml (double age_years);
/* Kaefer: 4.5 age^0.40 ounces. */
double tarn_capacity_kaefer_ml (double age_years);
/* Infants in their first year: 38 + 2.5 for each month. */
double tarn_capacity_infant_ml (double age_years);
