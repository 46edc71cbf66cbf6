/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The second half of a plane, line by line.  Every line's row is worked on by itself up to
 * the pulse; the beam then mixes neighbouring rows. */
#include "engine/acoustic/finish_kernel.h"

#define ROW_FLOATS (2 * TARN_STRIDE_MAX)

/* Behind gas: what lies before it, falling off, in bands. */
#define GAS_DIRT     0.5f
#define GAS_DIRT_MM  35.0f
#define GAS_BAND_MM  7.5f
#define RING_ECHO    1.6f
#define RING_BAND_MM 1.7f
#define RING_MM      45.0f
#define HAZE_MM      5.0f
/* Bands of a dry element, each a third of the one before. */
#define DRY_BAND_ECHO 14.0f
#define DRY_BAND_FALL 0.36f
#define DRY_BANDS     7
/* Bone answers from its outermost layer. */
#define BONE_CAP_MM 0.8f

/* 2^x for |x| < 126, within 1.3e-7 of the value at x = 0. */
TARN_INLINE Lanes
exp2_lanes (Lanes x)
{
  Lanes whole = lanes_floor (x);
  Lanes f = x - whole;
  Lanes p
      = 1.0f
        + f
              * (0.69315254f
                 + f * (0.24015244f + f * (0.05583660f + f * (0.00897290f + f * 0.00188540f))));
  LaneMask exponent = (lanes_to_int (whole) + 127) << 23;
  return p * (Lanes)exponent;
}

/* log2 of positive normal numbers, within 2e-5. */
TARN_INLINE Lanes
log2_lanes (Lanes x)
{
  LaneMask bits = (LaneMask)x;
  Lanes exponent = lanes_from_int ((bits >> 23) - 127);
  Lanes m = (Lanes)((bits & 0x007fffff) | 0x3f800000) - 1;
  return exponent + 1.43909300e-05f
         + m
               * (1.44159208f
                  + m
                        * (-0.707253434f
                           + m * (0.411561482f + m * (-0.189832447f + m * 0.0439286278f))));
}

void
TARN_KERNEL (tarn_gain_from_loss) (float *loss_db, int count, float depth_gain_db_sample)
{
  const float to_log2 = 0.166096405f; /* log2 (10) / 20 */
  Lanes sample = lanes_ramp ();
  for (int k = 0; k < count; k += LANES, sample += LANES)
    {
      Lanes db = depth_gain_db_sample * sample - lanes_load (loss_db + k);
      db = lanes_max (lanes_min (db, lanes_of (200)), lanes_of (-200));
      lanes_store (loss_db + k, exp2_lanes (db * to_log2));
    }
}

TARN_INLINE int
clamp_int (float value, int low, int high)
{
  return value <= (float)low ? low : value >= (float)high ? high : (int)value;
}

TARN_INLINE void
add_at (float *row, int samples, float sample, float amplitude)
{
  if (!(sample >= 0) || sample >= (float)(samples - 1))
    return;
  int first = (int)sample;
  float later = sample - (float)first;
  row[2 * first] += amplitude * (1 - later);
  row[2 * first + 2] += amplitude * later;
}

/* Near-wall haze: reverberation that mirrors the tissue before the fluid, fading in it. */
static void
add_haze (const TarnFinishJob *job, const TarnLine *line, const TarnLake *lake, float *row)
{
  int first = clamp_int (lake->from + 1, 0, job->samples);
  int last = clamp_int (fminf (lake->to, lake->from + 5 * HAZE_MM / job->sample_mm), 0,
                        job->samples);
  float keep = 1
               / (1 + job->sample_mm / HAZE_MM
                  + 0.5f * job->sample_mm * job->sample_mm / (HAZE_MM * HAZE_MM));
  float level = line->haze;
  for (int s = first; s < last; s++, level *= keep)
    {
      int mirrored = 2 * first - 1 - s;
      if (mirrored < 0)
        break;
      row[2 * s] += level * row[2 * mirrored];
      row[2 * s + 1] += level * row[2 * mirrored + 1];
    }
}

/* A wave of period 1 from 1 down to 0 and up again, for positive @t. */
TARN_INLINE float
band_wave (float t)
{
  return 2 * fabsf (t - (float)(int)t - 0.5f);
}

/* Dirty shadow: what lies before the gas comes again and again behind it, turned back and
 * forth, weaker and in bands; where it rings, a streak of close bands. */
static void
add_gas_shadow (const TarnFinishJob *job, const TarnLine *line, float *row)
{
  int first = clamp_int (line->gas_sample + 1, 0, job->samples);
  float keep = 1 / (1 + job->sample_mm / GAS_DIRT_MM),
        ring_keep = 1 / (1 + job->sample_mm / RING_MM);
  float level = GAS_DIRT, ring = first < job->samples ? RING_ECHO * line->ring : 0;
  for (int s = first; s < job->samples && first > 0; s++, level *= keep, ring *= ring_keep)
    {
      int turn = (s - first) % (2 * first);
      int source = turn < first ? first - 1 - turn : turn - first;
      float depth_mm = (float)(s - first) * job->sample_mm;
      float dirt = level * (0.35f + 0.65f * band_wave (depth_mm / GAS_BAND_MM));
      float streak = ring * (0.3f + 0.7f * band_wave (depth_mm / RING_BAND_MM));
      row[2 * s] = dirt * row[2 * source] + streak * job->specular[s];
      row[2 * s + 1] = dirt * row[2 * source + 1];
    }
}

/* Losses, shadows, interfaces, haze and dry bands on one row of the grid. */
static void
dress_row (const TarnFinishJob *job, int index, float *row)
{
  const TarnLine *line = &job->line[index];
  const TarnRowContact *contact = job->contact != NULL ? &job->contact[index] : NULL;
  const float *grid = job->grid + (size_t)index * (size_t)job->stride * 2;
  const float *gain = job->gain + (size_t)index * (size_t)job->stride;

  for (int s = 0; s < job->samples; s++)
    {
      row[2 * s] = grid[2 * s] * gain[s];
      row[2 * s + 1] = grid[2 * s + 1] * gain[s];
    }
  memset (row + 2 * job->samples, 0, sizeof (float) * 2 * (size_t)(job->stride - job->samples));

  for (int k = 0; k < line->lakes; k++)
    add_haze (job, line, &line->lake[k], row);

  /* Interfaces, as far as the sound gets. */
  float bone = job->without & TARN_WITHOUT_BONE ? 1e9f : line->bone_sample;
  float gas = job->without & TARN_WITHOUT_GAS ? 1e9f : line->gas_sample;
  float end = fminf (bone, fminf (gas, line->end_sample));
  for (int k = 0; k < line->echoes; k++)
    {
      const TarnEcho *echo = &line->echo[k];
      if ((echo->needs & job->without) == 0 && echo->sample <= end && echo->sample >= 0
          && echo->sample < (float)(job->samples - 1))
        add_at (row, job->samples, echo->sample,
                echo->echo * gain[(int)echo->sample] * job->specular[(int)echo->sample]);
    }

  /* Shadows: dirty behind gas, black behind all else. */
  if (gas <= end && gas < (float)job->samples)
    add_gas_shadow (job, line, row);
  float cap = gas <= end ? 1e9f : end + BONE_CAP_MM / job->sample_mm;
  int dark = clamp_int (cap + 1, 0, job->samples);
  memset (row + 2 * dark, 0, sizeof (float) * 2 * (size_t)(job->samples - dark));

  if (contact == NULL || !contact->dry)
    return;
  for (int s = 0; s < job->samples; s++)
    {
      int step = clamp_int ((float)s * job->sample_mm / job->aperture_step_mm, 0,
                            TARN_FRESH_APERTURES - 1);
      row[2 * s] *= contact->gain[step];
      row[2 * s + 1] *= contact->gain[step];
    }
  float level = DRY_BAND_ECHO * contact->bands;
  for (int k = 1; k <= DRY_BANDS; k++, level *= DRY_BAND_FALL)
    {
      float at = (float)k * (float)TARN_DRY_BAND_MM / job->sample_mm;
      if (at < (float)(job->samples - 1))
        add_at (row, job->samples, at, level * job->specular[(int)at]);
    }
}

/* The pulse: a symmetric filter along the line. */
static void
pulse_row (const TarnFinishJob *job, const float *padded, float *out)
{
  int floats = 2 * job->stride;
  for (int k = 0; k < floats; k += LANES)
    {
      Lanes sum = job->tap[0] * lanes_load (padded + k);
      for (int t = 1; t <= job->taps; t++)
        sum += job->tap[t]
               * (lanes_load (padded + k - 2 * t) + lanes_load (padded + k + 2 * t));
      lanes_store (out + k, sum);
    }
}

/* The beam: each line hears its neighbours. */
static void
beam_row (const TarnFinishJob *job, int row, float *sum)
{
  int broadening = job->contact != NULL ? job->contact[row].broadening : 0;
  const TarnBeamWeights *weights = &job->weights[broadening];
  size_t pitch = (size_t)job->stride * 2;
  const float *middle = job->swap + (size_t)row * pitch;

  for (int k = 0; k < 2 * job->stride; k += LANES)
    lanes_store (sum + k, lanes_load (weights->weight[0] + k) * lanes_load (middle + k));
  for (int j = 1; j <= TARN_MARGIN; j++)
    {
      const float *left = middle - (size_t)j * pitch, *right = middle + (size_t)j * pitch;
      const float *weight = weights->weight[j];
      for (int k = 0; k < weights->reach[j]; k += LANES)
        lanes_store (sum + k, lanes_load (sum + k)
                                  + lanes_load (weight + k)
                                        * (lanes_load (left + k) + lanes_load (right + k)));
    }
}

/* Noise, envelope, logarithm, grey. */
static void
show_row (const TarnFinishJob *job, int line, float *sum)
{
  const float *noise = job->noise + 2 * (size_t)job->noise_start[line + TARN_MARGIN];
  float power[TARN_STRIDE_MAX];
  for (int s = 0; s < job->shown; s++)
    {
      float re = sum[2 * s] + noise[2 * s] * job->noise_gain[s];
      float im = sum[2 * s + 1] + noise[2 * s + 1] * job->noise_gain[s];
      power[s] = re * re + im * im + 1e-20f;
    }
  for (int s = job->shown; s < job->stride; s++)
    power[s] = 1;

  int32_t shown[TARN_STRIDE_MAX];
  float db[TARN_STRIDE_MAX];
  for (int s = 0; s < job->stride; s += LANES)
    {
      Lanes level = 3.01029996f * log2_lanes (lanes_load (power + s));
      Lanes grey = 255 * (1 + (level - job->offset_db) * job->inverse_range);
      grey = lanes_min (lanes_max (grey, lanes_of (0)), lanes_of (255));
      LaneMask rounded = lanes_to_int (grey + 0.5f);
      memcpy (shown + s, &rounded, sizeof rounded);
      lanes_store (db + s, level);
    }
  size_t first = (size_t)line * (size_t)job->shown;
  for (int s = 0; s < job->shown; s++)
    job->grey[first + (size_t)s] = (uint8_t)shown[s];
  if (job->echo_db != NULL)
    memcpy (job->echo_db + first, db, sizeof *db * (size_t)job->shown);
}

void
TARN_KERNEL (tarn_finish_rows) (const TarnFinishJob *job)
{
  float buffer[2 * TARN_PULSE_TAPS_MAX + ROW_FLOATS + 2 * TARN_PULSE_TAPS_MAX + 2 * LANES_PAD];
  float *row = buffer + 2 * TARN_PULSE_TAPS_MAX;
  memset (buffer, 0, sizeof buffer);
  for (int k = 0; k < job->rows; k++)
    {
      dress_row (job, k, row);
      pulse_row (job, row, job->swap + (size_t)k * (size_t)job->stride * 2);
    }
  for (int line = 0; line < job->rows - 2 * TARN_MARGIN; line++)
    {
      beam_row (job, line + TARN_MARGIN, buffer);
      show_row (job, line, buffer);
    }
}
