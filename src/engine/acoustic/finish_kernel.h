/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * finish_kernel.h: pulse, beam, noise and display, built plain and for AVX2; private. */
#pragma once

#include "base/simd.h"
#include "engine/acoustic/plane_work.h"

#define TARN_PULSE_TAPS_MAX  9 /* on either side of the middle one */
#define TARN_BROADENINGS     5 /* beams that dry elements have widened */
#define TARN_FRESH_APERTURES 8 /* steps of aperture up to the whole one */
#define TARN_NOISE_SAMPLES   8192

/* Weights of the lines beside one, by depth: each pair of floats alike, as a grid row has
 * real and imaginary parts. */
typedef struct
{
  int reach[TARN_MARGIN + 1]; /* of weight j: floats from the face for which it is not 0 */
  float *weight[TARN_MARGIN + 1];
} TarnBeamWeights;

/* What a line's elements do to it. */
typedef struct
{
  int dry;                          /* 0: all of them are wet */
  int broadening;                   /* index of its weights */
  float gain[TARN_FRESH_APERTURES]; /* amplitude, by aperture in use */
  float bands;                      /* 0..1, how dry the middle of its aperture is */
} TarnRowContact;

typedef struct
{
  const TarnLine *line;
  const TarnRowContact *contact; /* NULL: all wet */
  const float *grid, *gain;
  float *swap;
  int rows, samples, stride;
  int shown; /* samples of the picture, without the tail */
  unsigned without;
  int taps; /* on either side */
  float tap[TARN_PULSE_TAPS_MAX + 1];
  float sample_mm;
  const float *specular;          /* by sample: scale that makes an interface's peak its echo */
  const TarnBeamWeights *weights; /* TARN_BROADENINGS of them */
  const float *noise;             /* TARN_NOISE_SAMPLES complex */
  const float *noise_gain;        /* by sample */
  const int *noise_start;         /* by row */
  float aperture_step_mm;         /* depth for each step of TarnRowContact.gain */
  float offset_db;                /* of the display: dB at which grey is full */
  float inverse_range;
  uint8_t *grey;  /* lines x samples */
  float *echo_db; /* likewise, or NULL */
} TarnFinishJob;

/* From the grid to grey, row by row; both builds give the same bytes. */
void tarn_finish_rows_plain (const TarnFinishJob *job);
void tarn_finish_rows_avx2 (const TarnFinishJob *job);

/* In place: loss in dB at each sample -> amplitude, depth gain included. */
void tarn_gain_from_loss_plain (float *loss_db, int count, float depth_gain_db_sample);
void tarn_gain_from_loss_avx2 (float *loss_db, int count, float depth_gain_db_sample);
