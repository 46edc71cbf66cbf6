/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Prepares the second half of a plane: the pulse's taps, the beam's weights, noise, and what
 * dry elements do to each line. */
#include "engine/acoustic/finish_kernel.h"

#include "base/random.h"

#include <stdlib.h>
#include <string.h>

/* Electronic noise under the speckle of soft tissue at the face, before depth gain. */
#define NOISE_DB -70.0
/* Soft tissue's mean intensity stands this much below full white. */
#define TISSUE_BELOW_WHITE_DB 32.0
/* A Gaussian's −6 dB full width in standard deviations: 2 √(2 ln 2). */
#define WIDTH_IN_SD 2.35482

static const double broadening[TARN_BROADENINGS] = { 1, 1.3, 1.7, 2.2, 2.8 };

struct TarnFinishTables
{
  TarnImageGeometry geometry; /* of the tables below */
  TarnBeam beam;
  int stride;
  float *storage;
  TarnBeamWeights weights[TARN_BROADENINGS];
  int taps;
  float tap[TARN_PULSE_TAPS_MAX + 1];
  float specular[TARN_STRIDE_MAX];
  float noise_gain[TARN_STRIDE_MAX];
  float noise[2 * TARN_NOISE_SAMPLES]; /* white, then through the pulse */
  float white[2 * TARN_NOISE_SAMPLES];
  int noise_start[TARN_ROWS_MAX];
  TarnRowContact contact[TARN_ROWS_MAX];
};

struct TarnFinishTables *
tarn_finish_tables_new (void)
{
  struct TarnFinishTables *tables = calloc (1, sizeof *tables);
  if (tables == NULL)
    return NULL;
  for (int k = 0; k < 2 * TARN_NOISE_SAMPLES; k++)
    tables->white[k] = (float)(tarn_normal_at (0x6e6f697365, (uint64_t)k) * 0.70710678);
  return tables;
}

void
tarn_finish_tables_free (struct TarnFinishTables *tables)
{
  if (tables == NULL)
    return;
  free (tables->storage);
  free (tables);
}

/* Taps of a Gaussian whose width, together with the splat's, is the pulse's.  Energy 1: a
 * scatterer splatted at f between two samples leaves Σ((1−f)t(s) + f t(s−1))²; its mean over f
 * is ⅔ Σt² + ⅓ Σt(s)t(s−1). */
static void
fill_pulse (struct TarnFinishTables *tables, double axial_samples)
{
  double sd = axial_samples / WIDTH_IN_SD;
  double variance = fmax (0.12, sd * sd - 1.0 / 6);
  int taps = (int)ceil (2.8 * sqrt (variance));
  if (taps > TARN_PULSE_TAPS_MAX)
    taps = TARN_PULSE_TAPS_MAX;

  double tap[TARN_PULSE_TAPS_MAX + 2] = { 0 }, energy = 0;
  for (int k = 0; k <= taps; k++)
    tap[k] = exp (-k * k / (2 * variance));
  for (int k = -taps; k <= taps + 1; k++)
    {
      double here = abs (k) <= taps ? tap[abs (k)] : 0,
             before = abs (k - 1) <= taps ? tap[abs (k - 1)] : 0;
      energy += 2.0 / 3 * here * here + 1.0 / 3 * here * before;
    }
  tables->taps = taps;
  for (int k = 0; k <= taps; k++)
    tables->tap[k] = (float)(tap[k] / sqrt (energy));
}

double
tarn_beam_variance_lines (const TarnImageGeometry *geometry, double radius_mm, double width_mm)
{
  double sd = width_mm / (radius_mm * geometry->line_pitch_rad) / WIDTH_IN_SD;
  return fmax (0.05, sd * sd - 1.0 / 12);
}

/* Weight of each neighbouring line at each depth: a Gaussian of the beam's width, less what
 * rounding a scatterer to the nearest line has spread it already; energy 1. */
static void
fill_weights (struct TarnFinishTables *tables, int index)
{
  const TarnImageGeometry *geometry = &tables->geometry;
  TarnBeamWeights *weights = &tables->weights[index];

  for (int j = 0; j <= TARN_MARGIN; j++)
    weights->reach[j] = 0;
  for (int s = 0; s < tables->stride; s++)
    {
      double radius_mm = tarn_image_radius_mm (geometry, s);
      double width_mm
          = broadening[index]
            * tarn_beam_lateral_mm (&tables->beam, radius_mm - geometry->face_radius_mm);
      double variance = tarn_beam_variance_lines (geometry, radius_mm, width_mm), energy = 0;
      double weight[TARN_MARGIN + 1];
      for (int j = 0; j <= TARN_MARGIN; j++)
        {
          double exponent = j * j / (2 * variance);
          weight[j] = exponent < TARN_BEAM_EXPONENT_MAX ? exp (-exponent) : 0;
          energy += (j > 0 ? 2 : 1) * weight[j] * weight[j];
        }
      double sum = 0;
      for (int j = 0; j <= TARN_MARGIN; j++)
        {
          float w = (float)(weight[j] / sqrt (energy));
          weights->weight[j][2 * s] = weights->weight[j][2 * s + 1] = w;
          sum += (j > 0 ? 2 : 1) * (double)w;
          if (w > 0)
            weights->reach[j] = (2 * s / LANES_PAD + 1) * LANES_PAD;
        }
      if (index == 0)
        tables->specular[s] = (float)(1 / (sum * (tables->tap[0] + tables->tap[1]) / 1.33));
    }
}

static TarnStatus
fill_for_geometry (TarnPlaneWork *work)
{
  struct TarnFinishTables *tables = work->finish;
  const TarnImageGeometry *geometry = &work->setup.geometry;
  if (memcmp (&tables->geometry, geometry, sizeof *geometry) == 0
      && memcmp (&tables->beam, &work->beam, sizeof work->beam) == 0)
    return TARN_OK;

  size_t each = (size_t)work->stride * 2;
  float *storage = malloc (sizeof *storage * each * TARN_BROADENINGS * (TARN_MARGIN + 1));
  if (storage == NULL)
    return TARN_NO_MEMORY;
  free (tables->storage);
  tables->storage = storage;
  for (int k = 0; k < TARN_BROADENINGS; k++)
    for (int j = 0; j <= TARN_MARGIN; j++, storage += each)
      tables->weights[k].weight[j] = storage;

  tables->geometry = *geometry;
  tables->beam = work->beam;
  tables->stride = work->stride;
  fill_pulse (tables, tarn_beam_axial_mm (&work->beam) / geometry->sample_pitch_mm);
  for (int k = 0; k < TARN_BROADENINGS; k++)
    fill_weights (tables, k);

  for (int s = 0; s < work->stride; s++)
    tables->noise_gain[s] = (float)pow (
        10,
        (NOISE_DB + work->beam.depth_gain_db_mm * (s + 0.5) * geometry->sample_pitch_mm) / 20);
  /* Noise passes the receiver's filter; its energy stays 1. */
  double energy = 0;
  for (int t = -tables->taps; t <= tables->taps; t++)
    energy += (double)tables->tap[abs (t)] * tables->tap[abs (t)];
  for (int k = 0; k < 2 * TARN_NOISE_SAMPLES; k++)
    {
      double sum = 0;
      for (int t = -tables->taps; t <= tables->taps; t++)
        sum += tables->tap[abs (t)]
               * tables->white[(k + 2 * t + 2 * TARN_NOISE_SAMPLES) % (2 * TARN_NOISE_SAMPLES)];
      tables->noise[k] = (float)(sum / sqrt (energy));
    }
  return TARN_OK;
}

/* The wet share of each column of elements, over the rows that this plane's lines use. */
static void
wet_columns (const TarnPlaneWork *work, float column[TARN_FACE_ELEMENTS])
{
  const TarnContact *contact = work->setup.contact;
  double half_rad = work->beam.elevation_mm / (2 * work->beam.face_radius_mm);
  for (int c = 0; c < TARN_FACE_ELEMENTS; c++)
    {
      double sum = 0;
      int count = 0;
      for (int r = 0; r < TARN_FACE_ELEMENTS; r++)
        if (fabs (tarn_face_angle_rad (r) - work->setup.frame.fan_rad) <= half_rad)
          {
            sum += contact->wet[r][c];
            count++;
          }
      column[c] = count > 0 ? (float)(sum / count) : 1;
    }
}

/* One aperture: the gain is the square of the mean wetness (out and back), and the beam is
 * wider as the wet part is narrower (RMS widths). */
static void
wet_aperture (const float *column, double angle_rad, double half_rad, double *gain,
              double *narrower)
{
  double sum = 0, moment = 0, square = 0, all = 0, all_moment = 0, all_square = 0;
  for (int c = 0; c < TARN_FACE_ELEMENTS; c++)
    {
      double off = tarn_face_angle_rad (c) - angle_rad;
      if (fabs (off) > half_rad + TARN_FACE_HALF_RAD / TARN_FACE_ELEMENTS)
        continue;
      sum += column[c];
      moment += column[c] * off;
      square += column[c] * off * off;
      all += 1;
      all_moment += off;
      all_square += off * off;
    }
  *gain = *narrower = 1;
  if (all == 0)
    return;
  *gain = sum / all * (sum / all);
  if (sum < 1e-6)
    return;
  double variance = square / sum - moment / sum * (moment / sum);
  double whole = all_square / all - all_moment / all * (all_moment / all);
  if (whole > 1e-9)
    *narrower = sqrt (fmax (variance, 0.02 * whole) / whole);
}

/* Returns whether any line is dry at all. */
static int
fill_contact (TarnPlaneWork *work)
{
  struct TarnFinishTables *tables = work->finish;
  float column[TARN_FACE_ELEMENTS];
  int any = 0;

  wet_columns (work, column);
  for (int row = 0; row < work->rows; row++)
    {
      TarnRowContact *contact = &tables->contact[row];
      double angle = tarn_clamp (tarn_row_angle_rad (work, row), -TARN_FACE_HALF_RAD,
                                 TARN_FACE_HALF_RAD);
      double gain = 1, narrower = 1, near_gain, near_narrower;
      *contact = (TarnRowContact){ 0 };
      for (int k = 0; k < TARN_FRESH_APERTURES; k++)
        {
          double aperture = work->beam.aperture_mm * (k + 1) / TARN_FRESH_APERTURES;
          wet_aperture (column, angle, aperture / (2 * work->beam.face_radius_mm), &gain,
                        &narrower);
          contact->gain[k] = (float)gain;
          contact->dry |= gain < 0.9999;
        }
      wet_aperture (column, angle, 2.0 / work->beam.face_radius_mm, &near_gain, &near_narrower);
      contact->bands = (float)(1 - sqrt (near_gain));
      while (contact->broadening < TARN_BROADENINGS - 1
             && broadening[contact->broadening + 1] * narrower < 1.1)
        contact->broadening++;
      any |= contact->dry;
    }
  return any;
}

TarnStatus
tarn_finish (TarnPlaneWork *work, unsigned without, uint8_t *grey, float *echo_db)
{
  struct TarnFinishTables *tables = work->finish;
  const TarnPlaneSetup *setup = &work->setup;
  TarnStatus status = fill_for_geometry (work);
  if (status != TARN_OK)
    return status;

  /* Noise depends on the plane and on the line's place, counted in half lines from the
   * middle, so that it is the same in a wider picture. */
  for (int row = 0; row < work->rows; row++)
    {
      uint64_t place = (uint64_t)(int64_t)lround (2 * (row - work->middle));
      tables->noise_start[row] = (int)(tarn_hash_at (setup->noise_seed, place)
                                       % (uint64_t)(TARN_NOISE_SAMPLES - TARN_SAMPLES_MAX));
    }
  int dry = !(without & TARN_WITHOUT_DRY) && (work->acting & TARN_WITHOUT_DRY)
            && fill_contact (work);

  TarnFinishJob job = {
    .line = work->line,
    .contact = dry ? tables->contact : NULL,
    .grid = work->grid,
    .gain = work->gain,
    .swap = work->swap,
    .rows = work->rows,
    .samples = work->samples,
    .shown = setup->geometry.samples,
    .stride = work->stride,
    .without = without,
    .taps = tables->taps,
    .sample_mm = (float)setup->geometry.sample_pitch_mm,
    .specular = tables->specular,
    .weights = tables->weights,
    .noise = tables->noise,
    .noise_gain = tables->noise_gain,
    .noise_start = tables->noise_start,
    .aperture_step_mm = (float)(2 * work->beam.aperture_mm / TARN_FRESH_APERTURES),
    .offset_db = (float)(TISSUE_BELOW_WHITE_DB - setup->gain_db),
    .inverse_range = (float)(1 / setup->range_db),
    .grey = grey,
    .echo_db = echo_db,
  };
  memcpy (job.tap, tables->tap, sizeof job.tap);
#ifdef TARN_HAVE_AVX2
  if (!work->plain)
    tarn_finish_rows_avx2 (&job);
  else
#endif
    tarn_finish_rows_plain (&job);
  return TARN_OK;
}
