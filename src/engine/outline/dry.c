/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dry lines.  Where elements of the face stand in air, sound hardly leaves them: it runs to and
 * fro in the face and shows as bright bands, equally spaced, on black, which fade within some
 * 15 mm.  Further down a line is dim by the share of dry elements in its aperture, and where
 * these are many it is as black as fluid.
 *
 * 1. The bands tell it: their pitch is the instrument's own, and known to it.  A line is
 *    measured by how far the first of them stand over what lies between them.  In tissue
 *    speckle makes that a few dB, and lines are pooled to keep it there; layers, walls and
 *    caps are not spaced so.
 * 2. Near the face the aperture is small.  With w the share of its elements that are wet, the
 *    bands' amplitude goes with 1 - w, and that of tissue between them with w², there and back
 *    (derived); so their ratio tells w.
 * 3. Further down the aperture is the mean over many lines' places: what is dry there dims the
 *    picture by w² once more.  That is the level which tissue starts from.  Lines that are too
 *    dim tell nothing, and are treated as shadows from the face on.
 * 4. Where no line's elements are dry by half, all is in contact.  A picture of nearly nothing
 *    but dry lines shows nothing. */
#include "engine/outline/parts.h"

#include <math.h>
#include <string.h>

/* All own design values. */
#define RING_BANDS   3    /* of those that show */
#define RING_MM      2.3f /* of the class's probe */
#define APERTURE_MM  12.0f
#define RING_HALF_MM 0.3f  /* about a band, or the middle between two */
#define RING_LEAST   12.0f /* dB; in contact one line in 500 reaches it */
#define SURE_SHARE   0.5f  /* more than that everywhere: speckle, none is dry */
#define RING_EVEN    14.0f /* where bands and what is between go as 1 - w and w² */
#define POOLED_LINES 3     /* each way: speckle must not decide */
#define DRY_SHARE    0.5f  /* with less of its aperture wet a line tells nothing */
#define WET_LEAST    0.1f  /* of the lines, or there is nothing to see */

/* Mean over the samples within RING_HALF_MM of a depth, or the greatest of them. */
static float
about (const float *level, const TarnImageGeometry *g, float depth_mm, bool greatest)
{
  float pitch = (float)g->sample_pitch_mm;
  int from = (int)((depth_mm - RING_HALF_MM) / pitch),
      to = (int)((depth_mm + RING_HALF_MM) / pitch);
  float sum = 0, most = 0;

  from = from > 0 ? from : 0;
  to = to < g->samples - 1 ? to : g->samples - 1;
  for (int k = from; k <= to; k++)
    {
      sum += level[k];
      most = level[k] > most ? level[k] : most;
    }
  return greatest ? most : sum / (float)(to >= from ? to - from + 1 : 1);
}

/* How far the bands stand over what lies between them, dB. */
static float
ring_db (const float *level, const TarnImageGeometry *g, float ring_mm)
{
  float sum = 0;

  for (int k = 1; k <= RING_BANDS; k++)
    {
      float at = ring_mm * (float)k;
      sum += about (level, g, at, true) - 0.5f * about (level, g, at - 0.5f * ring_mm, false)
             - 0.5f * about (level, g, at + 0.5f * ring_mm, false);
    }
  return sum / RING_BANDS;
}

/* See 2 in the essay: q = (1 - w) / w². */
static float
wet_share (float ring)
{
  if (ring < RING_LEAST)
    return 1;
  float q = powf (10, (ring - RING_EVEN) / 20);
  return (sqrtf (1 + 4 * q) - 1) / (2 * q);
}

/* Adds a line's values to a sum, or with @sign -1 takes them away. */
static void
pool_line (const TarnImage *image, int line, int samples, int sign, int *sum)
{
  const uint8_t *grey = image->grey + (size_t)line * (size_t)image->stride;

  for (int k = 0; k < samples; k++)
    sum[k] += sign * grey[k];
}

/* The wet share about each line's place on the face, its neighbours pooled; returns the least.
 */
static float
wet_shares (const DarkMap *map, const TarnImage *image, float ring_mm, float *share)
{
  const TarnImageGeometry *g = &image->geometry;
  int sum[TARN_SAMPLES_MAX] = { 0 }, pooled = 0;
  float level[TARN_SAMPLES_MAX], least = 1;
  int samples = (int)((RING_BANDS + 1) * ring_mm / (float)g->sample_pitch_mm) + 1;

  samples = samples < g->samples ? samples : g->samples;
  for (int line = -POOLED_LINES; line < map->lines; line++)
    {
      int enters = line + POOLED_LINES, leaves = line - POOLED_LINES - 1;
      if (enters < map->lines)
        pool_line (image, enters, samples, 1, sum);
      if (leaves >= 0)
        pool_line (image, leaves, samples, -1, sum);
      pooled += (enters < map->lines) - (leaves >= 0);
      if (line < 0)
        continue;
      for (int k = 0; k < samples; k++)
        level[k] = (float)sum[k] * map->db_per_grey / (float)pooled;
      for (int k = samples; k < g->samples; k++)
        level[k] = 0;
      share[line] = wet_share (ring_db (level, g, ring_mm));
      least = share[line] < least ? share[line] : least;
    }
  return least;
}

bool
tarn_dry_mark (DarkMap *map, const TarnImage *image, const TarnOutlineHints *hints)
{
  float share[TARN_LINES_MAX];
  float ring_mm = hints != NULL && hints->ring_mm > 0 ? (float)hints->ring_mm : RING_MM;
  float aperture_mm
      = hints != NULL && hints->aperture_mm > 0 ? (float)hints->aperture_mm : APERTURE_MM;
  int half = (int)(aperture_mm / (2 * map->near_mm * map->line_pitch_rad) + 0.5f);
  int last = map->lines - 1, wet = 0;

  memset (map->is_dry, 0, sizeof map->is_dry);
  memset (map->dim_db, 0, sizeof map->dim_db);
  if (wet_shares (map, image, ring_mm, share) > SURE_SHARE)
    return true;
  for (int line = 0; line <= last; line++)
    {
      float sum = 0;
      for (int k = line - half; k <= line + half; k++)
        sum += share[k < 0 ? 0 : k > last ? last : k];
      float mean = sum / (float)(2 * half + 1);
      map->is_dry[line] = mean < DRY_SHARE;
      map->dim_db[line] = 40 * log10f (mean);
      wet += !map->is_dry[line];
    }
  return (float)wet >= WET_LEAST * (float)map->lines;
}
