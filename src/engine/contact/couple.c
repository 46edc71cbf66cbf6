/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * couple.c: why contact is all or nothing: what a film of air lets pass. */
#include "base/units.h"
#include "engine/contact/contact.h"

#include <math.h>

double
tarn_film_transmission (double outside_mrayl, double film_mrayl, double film_m_s,
                        double film_mm, double mhz)
{
  double phase = 2 * TARN_PI * mhz * 1e3 * film_mm / film_m_s;
  double unlike = outside_mrayl / film_mrayl - film_mrayl / outside_mrayl;
  double swing = unlike * sin (phase);
  return 1 / (1 + 0.25 * swing * swing);
}
