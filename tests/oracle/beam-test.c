/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The beam widths of the simulator against the sound field of the same aperture: the first
 * Rayleigh-Sommerfeld integral (Goodman, Introduction to Fourier Optics, eq. 3-41), by the
 * Gauss-Legendre rules of the GNU Scientific Library.
 *
 * Echo amplitude is the square of the one-way field (same aperture out and back).  In the
 * plane one frequency is enough, since the focus follows the depth.  Across the plane the
 * fixed focus leaves a near field of ripples that a real, short pulse smooths: there the
 * echo's envelope is summed over the spectrum of a two-cycle Gaussian pulse. */
#include "base/units.h"
#include "engine/acoustic/formulas.h"

#include <complex.h>
#include <glib.h>
#include <gsl/gsl_integration.h>
#include <math.h>

#define APERTURE_MM  12.0
#define FOCUS_MM     70.0
#define MHZ          3.0
#define SPEED_M_S    1540.0
#define WIDE_NODES   32
#define HIGH_NODES   48
#define FREQUENCIES  37
#define TIMES        97
#define PULSE_CYCLES 2.0

static const double mm_per_us = SPEED_M_S / 1000;

/* The aperture's nodes: weights, and delays that focus it in the plane at @depth_mm and across
 * it at FOCUS_MM, as extra path. */
typedef struct
{
  double x_mm[WIDE_NODES], y_mm[HIGH_NODES];
  double wx[WIDE_NODES], wy[HIGH_NODES];
  double lead_x_mm[WIDE_NODES], lead_y_mm[HIGH_NODES];
} Aperture;

static void
place_nodes (int count, double half_mm, double focus_mm, double *at_mm, double *weight,
             double *lead_mm)
{
  gsl_integration_glfixed_table *rule = gsl_integration_glfixed_table_alloc ((size_t)count);
  for (int k = 0; k < count; k++)
    {
      gsl_integration_glfixed_point (-half_mm, half_mm, (size_t)k, &at_mm[k], &weight[k], rule);
      lead_mm[k] = hypot (at_mm[k], focus_mm) - focus_mm;
    }
  gsl_integration_glfixed_table_free (rule);
}

static void
aperture_init (Aperture *aperture, double width_mm, double depth_mm)
{
  place_nodes (WIDE_NODES, width_mm / 2, depth_mm, aperture->x_mm, aperture->wx,
               aperture->lead_x_mm);
  place_nodes (HIGH_NODES, APERTURE_MM / 2, FOCUS_MM, aperture->y_mm, aperture->wy,
               aperture->lead_y_mm);
}

/* The one-way field at (x, y, depth) for @count frequencies from @first_mhz in steps of
 * @step_mhz: ∬ z/r² · f · exp (ik (r - lead)) dS, up to a constant. */
static void
field (const Aperture *aperture, double x_mm, double y_mm, double depth_mm, int count,
       double first_mhz, double step_mhz, double complex *pressure)
{
  for (int f = 0; f < count; f++)
    pressure[f] = 0;
  for (int i = 0; i < WIDE_NODES; i++)
    for (int j = 0; j < HIGH_NODES; j++)
      {
        double dx = aperture->x_mm[i] - x_mm, dy = aperture->y_mm[j] - y_mm;
        double r_mm = sqrt (dx * dx + dy * dy + depth_mm * depth_mm);
        double path_us
            = (r_mm - aperture->lead_x_mm[i] - aperture->lead_y_mm[j] - depth_mm) / mm_per_us;
        double weight = aperture->wx[i] * aperture->wy[j] * depth_mm / (r_mm * r_mm);
        double complex turn = weight * cexp (I * 2 * TARN_PI * first_mhz * path_us);
        double complex step = cexp (I * 2 * TARN_PI * step_mhz * path_us);
        for (int f = 0; f < count; f++, turn *= step)
          pressure[f] += (first_mhz + f * step_mhz) * turn;
      }
}

/* Echo amplitude at one frequency. */
static double
echo_steady (const Aperture *aperture, double x_mm, double y_mm, double depth_mm)
{
  double complex pressure;
  field (aperture, x_mm, y_mm, depth_mm, 1, MHZ, 0, &pressure);
  return cabs (pressure) * cabs (pressure);
}

/* Peak of the echo's envelope for the pulse. */
static double
echo_pulsed (const Aperture *aperture, double x_mm, double y_mm, double depth_mm)
{
  const double first_mhz = 1.2, step_mhz = 0.1;
  const double sigma_mhz = 2.3548 / (2 * TARN_PI * PULSE_CYCLES / MHZ);
  double complex pressure[FREQUENCIES];
  field (aperture, x_mm, y_mm, depth_mm, FREQUENCIES, first_mhz, step_mhz, pressure);
  for (int f = 0; f < FREQUENCIES; f++)
    {
      double off = (first_mhz + f * step_mhz - MHZ) / sigma_mhz;
      pressure[f] *= pressure[f] * exp (-off * off / 2);
    }

  double peak = 0;
  for (int t = 0; t < TIMES; t++)
    {
      double time_us = (t - TIMES / 2) / 16.0;
      double complex sum = 0;
      for (int f = 0; f < FREQUENCIES; f++)
        sum += pressure[f] * cexp (-I * 2 * TARN_PI * (f * step_mhz) * time_us);
      peak = MAX (peak, cabs (sum));
    }
  return peak;
}

typedef double (*Echo) (const Aperture *aperture, double x_mm, double y_mm, double depth_mm);

/* Twice the offset at which the echo falls for good below half of its greatest. */
static double
measure_width_mm (Echo echo, double active_mm, double depth_mm, gboolean across,
                  double reach_mm)
{
  enum
  {
    STEPS = 160
  };
  double amplitude[STEPS + 1], greatest = 0;
  Aperture aperture;
  aperture_init (&aperture, active_mm, depth_mm);
  for (int k = 0; k <= STEPS; k++)
    {
      double offset_mm = reach_mm * k / STEPS;
      amplitude[k] = echo (&aperture, across ? 0 : offset_mm, across ? offset_mm : 0, depth_mm);
      greatest = MAX (greatest, amplitude[k]);
    }
  int last = STEPS;
  while (amplitude[last] < greatest / 2)
    last--;
  g_assert_cmpint (last, <, STEPS);
  double part = (amplitude[last] - greatest / 2) / (amplitude[last] - amplitude[last + 1]);
  return 2 * reach_mm * (last + part) / STEPS;
}

static void
compare_width (const char *which, double depth_mm, double formula_mm, double integral_mm)
{
  g_test_message ("%s at %.0f mm: formula %.3f, integral %.3f, ratio %.3f", which, depth_mm,
                  formula_mm, integral_mm, formula_mm / integral_mm);
  g_assert_cmpfloat (fabs (formula_mm / integral_mm - 1), <, 0.10);
}

static void
test_lateral_width (void)
{
  for (double depth_mm = 20; depth_mm <= 180; depth_mm += 10)
    {
      double active_mm = tarn_active_aperture_mm (depth_mm, APERTURE_MM);
      double integral_mm = measure_width_mm (echo_steady, active_mm, depth_mm, FALSE, 8);
      compare_width ("lateral", depth_mm,
                     tarn_lateral_width_mm (depth_mm, APERTURE_MM, MHZ, SPEED_M_S),
                     integral_mm);
    }
}

static void
test_elevation_width (void)
{
  static const double depths_mm[]
      = { 10, 15, 20, 25, 30, 35, 40, 50, 60, 70, 85, 100, 120, 140, 160, 180 };
  for (guint k = 0; k < G_N_ELEMENTS (depths_mm); k++)
    {
      double active_mm = tarn_active_aperture_mm (depths_mm[k], APERTURE_MM);
      double integral_mm = measure_width_mm (echo_pulsed, active_mm, depths_mm[k], TRUE, 8);
      compare_width (
          "elevation", depths_mm[k],
          tarn_elevation_width_mm (depths_mm[k], APERTURE_MM, FOCUS_MM, MHZ, SPEED_M_S),
          integral_mm);
    }
}

/* Derived: the sinc's first side lobe, -13.26 dB, twice. */
static void
test_first_side_lobe (void)
{
  Aperture aperture;
  aperture_init (&aperture, APERTURE_MM, FOCUS_MM);
  double middle = echo_steady (&aperture, 0, 0, FOCUS_MM), lobe = 0;
  double unit_mm = mm_per_us / MHZ * FOCUS_MM / APERTURE_MM;
  for (double x = 1.1; x < 1.9; x += 0.01)
    lobe = MAX (lobe, echo_steady (&aperture, x * unit_mm, 0, FOCUS_MM));
  g_assert_cmpfloat_with_epsilon (20 * log10 (lobe / middle), -26.5, 1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/beam/lateral-width-agrees-with-the-aperture-integral", test_lateral_width);
  g_test_add_func ("/beam/elevation-width-agrees-with-the-aperture-integral",
                   test_elevation_width);
  g_test_add_func ("/beam/first-side-lobe", test_first_side_lobe);
  return g_test_run ();
}
