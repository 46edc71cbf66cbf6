/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Speckle: first- and second-order statistics of the simulated echo.
 *
 * Theory: Wagner, Smith, Sandrik & Lopez 1983 (fully developed speckle: Rayleigh envelope,
 * exponential intensity, autocorrelation by the point spread); Kaplan & Ma 1993 (the
 * log-compressed envelope: SD 5.570 dB, mean 2.507 dB under the log of the mean).  The
 * Rayleigh distribution is GSL's. */
#include "engine/acoustic/beam.h"
#include "rig.h"

#include <glib.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics.h>

#define LINES_APART   12
#define SAMPLES_APART 5
#define PLANES        64

static const struct
{
  double from_mm, to_mm;
} band[] = { { 20, 40 }, { 60, 80 }, { 145, 165 } };

/* Independent intensities of a band of depth: far apart in line, sample and plane. */
static GArray *
independent_intensities (int which)
{
  Rig rig;
  TarnPhantom phantom;
  GArray *out = g_array_new (FALSE, FALSE, sizeof (double));
  rig_init (&rig, &phantom, false);
  for (int plane = 0; plane < PLANES; plane++)
    {
      rig.setup.noise_seed = (uint64_t)plane;
      rig_shoot (&rig, tarn_vec3 (410 * (plane / 32), 0, 34 * (plane % 32)));
      for (int line = 0; line < rig.setup.geometry.lines; line += LINES_APART)
        for (int s = rig_sample_at (&rig, band[which].from_mm);
             s < rig_sample_at (&rig, band[which].to_mm); s += SAMPLES_APART)
          {
            double intensity = pow (10, (double)rig_echo_db (&rig, line, s) / 10);
            g_array_append_val (out, intensity);
          }
    }
  rig_clear (&rig);
  return out;
}

static void
test_first_order (gconstpointer data)
{
  GArray *array = independent_intensities (GPOINTER_TO_INT (data));
  double *intensity = (double *)array->data;
  size_t n = array->len;
  g_assert_cmpuint (n, >=, 10000);

  double *envelope = g_new (double, n), *log_db = g_new (double, n);
  for (size_t k = 0; k < n; k++)
    {
      envelope[k] = sqrt (intensity[k]);
      log_db[k] = 10 * log10 (intensity[k]);
    }
  double mean = gsl_stats_mean (intensity, 1, n);
  double envelope_snr = gsl_stats_mean (envelope, 1, n) / gsl_stats_sd (envelope, 1, n);
  double intensity_snr = mean / gsl_stats_sd (intensity, 1, n);
  double log_sd = gsl_stats_sd (log_db, 1, n);
  double offset = gsl_stats_mean (log_db, 1, n) - 10 * log10 (mean);
  g_test_message ("envelope SNR %.3f, intensity SNR %.3f, log SD %.3f dB, offset %.3f dB",
                  envelope_snr, intensity_snr, log_sd, offset);
  g_assert_cmpfloat_with_epsilon (envelope_snr, 1.9131, 0.05);
  g_assert_cmpfloat_with_epsilon (intensity_snr, 1.0, 0.04);
  g_assert_cmpfloat_with_epsilon (log_sd, 5.570, 0.10);
  g_assert_cmpfloat_with_epsilon (offset, -2.507, 0.1);
  g_free (envelope);
  g_free (log_db);
  g_array_unref (array);
}

/* Kolmogorov–Smirnov against Rayleigh on 2,000 independent envelopes; the critical distance
 * for p = 0.01 is 1.628 / √n. */
static void
test_rayleigh (gconstpointer data)
{
  GArray *array = independent_intensities (GPOINTER_TO_INT (data));
  double *value = (double *)array->data;
  size_t n = 2000, apart = array->len / n;
  double mean = gsl_stats_mean (value, 1, array->len);
  for (size_t k = 0; k < n; k++)
    value[k] = sqrt (value[k * apart]);
  gsl_sort (value, 1, n);

  double sigma = sqrt (mean / 2), distance = 0;
  for (size_t k = 0; k < n; k++)
    {
      double expected = gsl_cdf_rayleigh_P (value[k], sigma);
      distance = fmax (distance, fmax (fabs ((double)(k + 1) / (double)n - expected),
                                       fabs ((double)k / (double)n - expected)));
    }
  g_test_message ("distance %.4f", distance);
  g_assert_cmpfloat (distance, <, 1.628 / sqrt ((double)n));
  g_array_unref (array);
}

/* Correlation of intensities between two sets of pictures. */
typedef struct
{
  double sum_a, sum_b, sum_aa, sum_bb, sum_ab;
  double count;
} Pairs;

static void
pairs_add (Pairs *pairs, double a, double b)
{
  pairs->sum_a += a;
  pairs->sum_b += b;
  pairs->sum_aa += a * a;
  pairs->sum_bb += b * b;
  pairs->sum_ab += a * b;
  pairs->count++;
}

static double
pairs_correlation (const Pairs *p)
{
  double n = p->count;
  double cov = p->sum_ab / n - p->sum_a / n * (p->sum_b / n);
  double va = p->sum_aa / n - p->sum_a / n * (p->sum_a / n);
  double vb = p->sum_bb / n - p->sum_b / n * (p->sum_b / n);
  return cov / sqrt (va * vb);
}

/* The intensity autocorrelation across lines is half at half the −6 dB width (derived). */
static void
test_autocorrelation_width (gconstpointer data)
{
  int which = GPOINTER_TO_INT (data);
  Rig rig;
  TarnPhantom phantom;
  rig_init (&rig, &phantom, false);
  Pairs pairs[16] = { 0 };
  for (int plane = 0; plane < 12; plane++)
    {
      rig_shoot (&rig, tarn_vec3 (0, 0, 34 * plane));
      for (int line = 0; line + 15 < rig.setup.geometry.lines; line += 2)
        for (int s = rig_sample_at (&rig, band[which].from_mm);
             s < rig_sample_at (&rig, band[which].to_mm); s += 3)
          for (int lag = 0; lag < 16; lag++)
            pairs_add (&pairs[lag], pow (10, (double)rig_echo_db (&rig, line, s) / 10),
                       pow (10, (double)rig_echo_db (&rig, line + lag, s) / 10));
    }
  double half = 0;
  for (int lag = 1; lag < 16 && half == 0; lag++)
    {
      double before = pairs_correlation (&pairs[lag - 1]),
             here = pairs_correlation (&pairs[lag]);
      if (here < 0.5)
        half = lag - 1 + (before - 0.5) / (before - here);
    }
  double depth_mm = (band[which].from_mm + band[which].to_mm) / 2;
  TarnBeam beam = tarn_beam (&tarn_body_patient (rig.body)->probe);
  double width_lines = tarn_beam_lateral_mm (&beam, depth_mm)
                       / ((depth_mm + beam.face_radius_mm) * rig.setup.geometry.line_pitch_rad);
  g_test_message ("half at %.2f lines, −6 dB width %.2f lines", half, width_lines);
  g_assert_cmpfloat (fabs (2 * half / width_lines - 1), <, 0.15);
  rig_clear (&rig);
}

/* Mean correlation at the focus between a picture and one from a probe moved by @shift_mm. */
static double
correlation_after (TarnVec3 shift_mm)
{
  Rig rig;
  TarnPhantom phantom;
  Pairs pairs = { 0 };
  rig_init (&rig, &phantom, false);
  int middle = rig.setup.geometry.lines / 2, samples = rig.setup.geometry.samples;
  int first = rig_sample_at (&rig, 65), last = rig_sample_at (&rig, 75);
  float *before = g_new (float, rig.setup.geometry.lines *samples);
  for (int plane = 0; plane < 24; plane++)
    {
      TarnVec3 at = tarn_vec3 (0, 0, 34 * plane);
      rig_shoot (&rig, at);
      memcpy (before, rig.echo_db,
              sizeof *before * (size_t)(rig.setup.geometry.lines * samples));
      rig_shoot (&rig, tarn_add (at, shift_mm));
      for (int line = middle - 12; line < middle + 12; line++)
        for (int s = first; s < last; s++)
          pairs_add (&pairs, pow (10, (double)before[line * samples + s] / 10),
                     pow (10, (double)rig_echo_db (&rig, line, s) / 10));
    }
  g_free (before);
  rig_clear (&rig);
  return pairs_correlation (&pairs);
}

/* exp (−Δ²/2σ²) for a Gaussian two-way profile of σ = −6 dB width / 2.355 (derived). */
static void
check_decorrelation (TarnVec3 shift_mm, double width_mm)
{
  double sigma = width_mm / 2.35482,
         expected = exp (-tarn_dot (shift_mm, shift_mm) / (2 * sigma * sigma));
  double found = correlation_after (shift_mm);
  g_test_message ("shift %.2f mm: %.3f, expected %.3f", tarn_length (shift_mm), found,
                  expected);
  g_assert_cmpfloat_with_epsilon (found, expected, 0.06);
}

static void
test_elevation_shift (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBeam beam = tarn_beam (&patient.probe);
  for (double shift = 0.25; shift <= 2; shift *= 2)
    check_decorrelation (tarn_vec3 (0, 0, shift), tarn_beam_elevation_mm (&beam, 70));
}

static void
test_lateral_shift (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBeam beam = tarn_beam (&patient.probe);
  check_decorrelation (tarn_vec3 (0.25, 0, 0), tarn_beam_lateral_mm (&beam, 70));
}

/* How many scatterers make a resolution cell: at least five at the focus and everywhere. */
int
main (int argc, char **argv)
{
  static const char *const name[] = { "near", "focus", "far" };
  g_test_init (&argc, &argv, NULL);
  for (int k = 0; k < 3; k++)
    {
      g_autofree char *first = g_strdup_printf ("/speckle/first-order/%s", name[k]);
      g_test_add_data_func (first, GINT_TO_POINTER (k), test_first_order);
      g_autofree char *rayleigh = g_strdup_printf ("/speckle/rayleigh/%s", name[k]);
      g_test_add_data_func (rayleigh, GINT_TO_POINTER (k), test_rayleigh);
      g_autofree char *width = g_strdup_printf ("/speckle/autocorrelation-width/%s", name[k]);
      g_test_add_data_func (width, GINT_TO_POINTER (k), test_autocorrelation_width);
    }
  g_test_add_func ("/speckle/elevation-shift", test_elevation_shift);
  g_test_add_func ("/speckle/lateral-shift", test_lateral_shift);
  return g_test_run ();
}
