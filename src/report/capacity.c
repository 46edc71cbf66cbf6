/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The formulas as published by their authors. */
#include "report/capacity.h"

#include <math.h>

#define ML_PER_OUNCE 29.5735 /* the fluid ounce of the United States */

static double
of_children (double age_years, double ml)
{
  return age_years >= 0 && age_years <= TARN_CAPACITY_YEARS_MAX ? ml : NAN;
}

double
tarn_capacity_koff_ml (double age_years)
{
  return of_children (age_years, 30 * (age_years + 2));
}

double
tarn_capacity_hjalmas_ml (double age_years)
{
  return of_children (age_years, 30 + 30 * age_years);
}

double
tarn_capacity_kaefer_ml (double age_years)
{
  return of_children (age_years, 4.5 * pow (fmax (age_years, 0), 0.40) * ML_PER_OUNCE);
}

double
tarn_capacity_infant_ml (double age_years)
{
  return age_years >= 0 && age_years < 1 ? 38 + 2.5 * 12 * age_years : NAN;
}
