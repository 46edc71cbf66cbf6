/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/acoustic/formulas.h"

#include "base/units.h"
#include "base/vec.h"

#include <assert.h>
#include <math.h>

/* Root of sinc(x)² = 1/2, doubled: the two-way -6 dB width in units of λz/D (derived). */
#define WIDTH_FACTOR 0.886

double
tarn_reflection_amplitude (double z1_mrayl, double z2_mrayl)
{
  assert (z1_mrayl > 0 && z2_mrayl > 0);
  return (z2_mrayl - z1_mrayl) / (z2_mrayl + z1_mrayl);
}

double
tarn_reflection_intensity (double z1_mrayl, double z2_mrayl)
{
  double r = tarn_reflection_amplitude (z1_mrayl, z2_mrayl);
  return r * r;
}

double
tarn_transmission_intensity (double z1_mrayl, double z2_mrayl)
{
  assert (z1_mrayl > 0 && z2_mrayl > 0);
  double sum = z1_mrayl + z2_mrayl;
  return 4 * z1_mrayl * z2_mrayl / (sum * sum);
}

double
tarn_refraction_rad (double incidence_rad, double from_m_s, double to_m_s)
{
  assert (incidence_rad >= 0 && incidence_rad <= TARN_PI / 2);
  assert (from_m_s > 0 && to_m_s > 0);
  double sine = sin (incidence_rad) * to_m_s / from_m_s;
  return sine < 1 ? asin (sine) : TARN_PI / 2;
}

double
tarn_critical_angle_rad (double from_m_s, double to_m_s)
{
  assert (from_m_s > 0 && to_m_s > 0);
  return from_m_s < to_m_s ? asin (from_m_s / to_m_s) : TARN_PI / 2;
}

double
tarn_water_speed_m_s (double celsius)
{
  assert (celsius >= 0 && celsius <= 95);
  static const double term[]
      = { 1.402385e3, 5.038813, -5.799136e-2, 3.287156e-4, -1.398845e-6, 2.787860e-9 };
  double sum = 0;
  for (int k = 5; k >= 0; k--)
    sum = sum * celsius + term[k];
  return sum;
}

double
tarn_round_trip_db (double db_cm_mhz, double power, double mhz, double length_mm)
{
  assert (mhz > 0);
  return 2 * db_cm_mhz * pow (mhz, power) * length_mm / 10;
}

double
tarn_enhancement_db (double tissue_db_cm_mhz, double tissue_power, double fluid_db_cm_mhz,
                     double fluid_power, double mhz, double length_mm)
{
  return tarn_round_trip_db (tissue_db_cm_mhz, tissue_power, mhz, length_mm)
         - tarn_round_trip_db (fluid_db_cm_mhz, fluid_power, mhz, length_mm);
}

double
tarn_shown_length_mm (double length_mm, double speed_m_s)
{
  assert (speed_m_s > 0);
  return length_mm * TARN_ASSUMED_M_S / speed_m_s;
}

double
tarn_line_limited_rate_hz (double depth_mm, int lines)
{
  assert (depth_mm > 0 && lines > 0);
  return TARN_ASSUMED_M_S * 1000 / (2 * depth_mm * lines);
}

double
tarn_axial_width_mm (double cycles, double mhz, double speed_m_s)
{
  assert (mhz > 0);
  return cycles * speed_m_s / (mhz * 1000) / 2;
}

double
tarn_active_aperture_mm (double depth_mm, double aperture_mm)
{
  return fmin (aperture_mm, depth_mm / 2);
}

/* λz/D times the factor, D as given. */
static double
diffraction_width_mm (double depth_mm, double aperture_mm, double mhz, double speed_m_s)
{
  assert (depth_mm > 0 && aperture_mm > 0 && mhz > 0 && speed_m_s > 0);
  double wavelength_mm = speed_m_s / (mhz * 1000);
  return WIDTH_FACTOR * wavelength_mm * depth_mm / aperture_mm;
}

double
tarn_lateral_width_mm (double depth_mm, double aperture_mm, double mhz, double speed_m_s)
{
  double active_mm = tarn_active_aperture_mm (depth_mm, aperture_mm);
  return diffraction_width_mm (depth_mm, active_mm, mhz, speed_m_s);
}

double
tarn_elevation_width_mm (double depth_mm, double elevation_mm, double focus_mm, double mhz,
                         double speed_m_s)
{
  assert (focus_mm > 0);
  double wavelength_mm = speed_m_s / (mhz * 1000);
  double defocus
      = elevation_mm * elevation_mm * fabs (1 / depth_mm - 1 / focus_mm) / wavelength_mm;
  double far_kappa = 0.9 - 1.3 / fmax (defocus, 2);
  double kappa = 0.16 + (far_kappa - 0.16) * tarn_smoothstep (2.8, 4.0, defocus);
  double cone_mm = kappa * elevation_mm * (1 - depth_mm / focus_mm);
  return hypot (diffraction_width_mm (depth_mm, elevation_mm, mhz, speed_m_s), cone_mm);
}

double
tarn_wet_gain (const float *weight, const float *wet, int count)
{
  double sum = 0, whole = 0;
  for (int k = 0; k < count; k++)
    {
      sum += (double)weight[k] * wet[k];
      whole += weight[k];
    }
  assert (whole > 0);
  double share = sum / whole;
  return share * share;
}

double
tarn_wet_aperture_mm (const float *weight, const float *wet, int count, double pitch_mm)
{
  double mass = 0, first = 0, second = 0;
  for (int k = 0; k < count; k++)
    {
      double m = (double)weight[k] * wet[k];
      mass += m;
      first += m * k;
      second += m * k * k;
    }
  if (mass <= 0)
    return 0;
  /* An element is itself pitch wide, which adds pitch²/12 to the variance. */
  double mean = first / mass;
  double variance = fmax (second / mass - mean * mean, 0) + 1.0 / 12;
  return fmin (sqrt (12 * variance), count) * pitch_mm;
}

double
tarn_film_transmission (double around_mrayl, double layer_mrayl, double thickness_mm,
                        double mhz, double layer_m_s)
{
  assert (around_mrayl > 0 && layer_mrayl > 0 && layer_m_s > 0);
  double phase = 2 * TARN_PI * mhz * 1000 / layer_m_s * thickness_mm;
  double mismatch = (around_mrayl / layer_mrayl - layer_mrayl / around_mrayl) / 2;
  double s = sin (phase) * mismatch;
  return 1 / (1 + s * s);
}
