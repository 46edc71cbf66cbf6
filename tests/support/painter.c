/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The picture: scatterers, one complex normal number in each cell, times the root of the
 * backscatter there; filtered along the line, then across the lines with a width that grows
 * with depth; noise; logarithm. */
#include "painter.h"

#include "base/random.h"
#include "base/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define WAVE_MM     (1.54 / 3)
#define APERTURE_MM 12.0
#define DRY_BAND_MM 2.3
#define GAS_BAND_MM 6.0
#define BANDS_MM    2.0 /* each way, whose elements make a line's bands */
#define SLICES      13  /* of the elevation's width, half a σ apart */

typedef struct
{
  float re, im;
} Complex;

Painting
painter_default (void)
{
  int lines = 192, samples = 640;

  return (Painting){
    .geometry = { .lines = lines,
                  .samples = samples,
                  .first_angle_rad = -tarn_rad_from_deg (40),
                  .line_pitch_rad = tarn_rad_from_deg (80) / (lines - 1),
                  .sample_pitch_mm = 180.0 / samples,
                  .face_radius_mm = 15 },
    .tissue_db = -25,
    .fluid_db = -40,
    .haze_db = -100,
    .haze_mm = 5,
    .noise_db = -70,
    .noise_db_mm = 0.25,
    .seed = 1,
  };
}

/* The two-way amplitude's σ, from its -6 dB width 2 √(2 ln 2) σ. */
static double
lateral_sigma_mm (double depth_mm)
{
  double aperture = depth_mm / 2 < APERTURE_MM ? depth_mm / 2 : APERTURE_MM;
  return 0.886 * WAVE_MM * depth_mm / fmax (aperture, 0.5) / 2.3548;
}

static double
elevation_sigma_mm (double depth_mm)
{
  double focus = 0.886 * WAVE_MM * depth_mm / 12, off = 0.6 * 12 * (1 - depth_mm / 70);
  return sqrt (focus * focus + off * off) / 2.3548;
}

/* About how far inside the region a point is, mm; negative outside. */
static double
inside_mm (const PainterRegion *region, double u, double v)
{
  double c = cos (region->turn_rad), s = sin (region->turn_rad);
  double x = (u - region->u_mm) * c + (v - region->v_mm) * s;
  double y = (v - region->v_mm) * c - (u - region->u_mm) * s;
  double narrow = 1 - region->pear * fmax (0, fmin (1, x / region->half_x_mm));
  double px = x / region->half_x_mm, py = y / (region->half_y_mm * narrow);
  double r = hypot (px, py);
  double slope = hypot (px / region->half_x_mm, py / (region->half_y_mm * narrow));
  return slope > 1e-9 ? r * (1 - r) / slope : fmin (region->half_x_mm, region->half_y_mm);
}

static double
power (double db)
{
  return pow (10, db / 10);
}

/* Which obstacle stands before a place on a line; NULL: none. */
static const PainterObstacle *
obstacle_before (const Painting *painting, double angle, double depth_mm)
{
  for (int k = 0; k < painting->obstacles; k++)
    {
      const PainterObstacle *o = &painting->obstacle[k];
      double start = o->kind == PAINTER_DRY ? 0 : o->depth_mm;
      if (!o->shares && angle >= o->from_rad && angle <= o->to_rad && depth_mm >= start)
        return o;
    }
  return NULL;
}

/* Backscatter behind or on an obstacle. */
static double
obstacle_power (const PainterObstacle *obstacle, double depth_mm)
{
  double behind = depth_mm - (obstacle->kind == PAINTER_DRY ? 0 : obstacle->depth_mm);
  double band = behind - GAS_BAND_MM * floor (behind / GAS_BAND_MM);
  double ring = floor (behind / DRY_BAND_MM + 0.5);

  switch (obstacle->kind)
    {
    case PAINTER_BONE:
      return behind < 1 ? power (25) : 0;
    case PAINTER_GAS:
      if (behind < 1)
        return power (25);
      return power (-14 - 0.3 * behind) + (band < 1 ? power (-6 - 0.3 * behind) : 0);
    case PAINTER_DRY:
      /* Bands of a face in air, each a third of the one before. */
      return ring >= 1 && fabs (behind - ring * DRY_BAND_MM) < 0.25 ? power (32 - 9 * ring) : 0;
    }
  return 0;
}

/* The share of the face's elements within @half_mm of a line that is wet. */
static double
wet_share (const Painting *painting, double angle, double half_mm)
{
  double face = painting->geometry.face_radius_mm, at = angle * face, dry = 0;

  for (int k = 0; k < painting->obstacles; k++)
    {
      const PainterObstacle *o = &painting->obstacle[k];
      double from = fmax (o->from_rad * face, at - half_mm);
      double to = fmin (o->to_rad * face, at + half_mm);
      if (o->kind == PAINTER_DRY && o->shares)
        dry += fmax (0, to - from);
    }
  return fmax (0, 1 - dry / (2 * half_mm));
}

/* What the dry elements in its aperture leave of a line's power: the share w of wet ones, there
 * and back, is w² of the amplitude (derived).  The aperture is half the depth, so it may be
 * wetter or drier further down. */
static double
dimmed (const Painting *painting, double angle, double depth_mm)
{
  double half = fmax (0.3, 0.5 * fmin (depth_mm / 2, APERTURE_MM));
  double wet = painting->obstacles == 0 ? 1 : wet_share (painting, angle, half);

  return wet * wet * wet * wet;
}

/* Mean over the slice's width of how much fluid there is at a point, and the wall. */
static double
fluid_share (const Painting *painting, double u, double v, double depth_mm, double *wall)
{
  double sigma = elevation_sigma_mm (depth_mm) / sqrt (2), share = 0, weights = 0;
  int slices = painting->slope != 0 ? SLICES : 1;

  *wall = 0;
  for (int k = 0; k < slices; k++)
    {
      double at = 0.5 * (k - slices / 2), part = exp (-0.5 * at * at), most = -1e9;
      double offset = at * sigma * painting->slope;
      for (int n = 0; n < painting->regions; n++)
        most = fmax (most, inside_mm (&painting->region[n], u, v) + offset);
      share += most > 0 ? part : 0;
      *wall += fabs (most) < 0.15 ? part : 0;
      weights += part;
    }
  *wall /= weights;
  return share / weights;
}

/* Roots of the backscatter down one line. */
static void
fill_line (const Painting *painting, int line, double *root)
{
  const TarnImageGeometry *g = &painting->geometry;
  double angle = tarn_image_angle_rad (g, line), through = 0, haze_from = -1;
  double bands = 1 - wet_share (painting, angle, BANDS_MM);

  for (int k = 0; k < g->samples; k++)
    {
      double radius = tarn_image_radius_mm (g, k), depth = radius - g->face_radius_mm;
      const PainterObstacle *before = obstacle_before (painting, angle, depth);
      if (before != NULL)
        {
          root[k] = sqrt (obstacle_power (before, depth));
          continue;
        }
      double wall;
      double u = radius * sin (angle), v = radius * cos (angle);
      double share = fluid_share (painting, u, v, depth, &wall);
      double tissue = power (painting->enhance_db_mm * through - painting->fade_db_mm * depth);
      double fluid = power (painting->fluid_db);
      if (share > 0.5)
        {
          haze_from = haze_from < 0 ? depth : haze_from;
          through += g->sample_pitch_mm;
          fluid += power (painting->haze_db - 8.686 * (depth - haze_from) / painting->haze_mm);
        }
      double sum = share * fluid + (1 - share) * tissue;
      if (painting->wall_db > 0)
        sum += wall * power (painting->wall_db);
      sum *= dimmed (painting, angle, depth);
      sum += bands * bands * obstacle_power (&(PainterObstacle){ .kind = PAINTER_DRY }, depth);
      root[k] = sqrt (sum);
    }
}

/* A Gaussian of unit energy; returns its half-length. */
static int
gaussian (double sigma_cells, float *tap, int most)
{
  int half = (int)fmin (ceil (3 * sigma_cells), most);
  double energy = 0;

  for (int k = -half; k <= half; k++)
    energy += exp (-(k * k) / (sigma_cells * sigma_cells));
  for (int k = -half; k <= half; k++)
    tap[k + half] = (float)(exp (-0.5 * k * k / (sigma_cells * sigma_cells)) / sqrt (energy));
  return half;
}

/* One row (all lines at one depth) through the beam. */
static void
filter_across (const Complex *in, Complex *out, int lines, int stride, double sigma_lines)
{
  float tap[2 * 64 + 1];
  int half = gaussian (sigma_lines, tap, 64);

  for (int line = 0; line < lines; line++)
    {
      Complex sum = { 0, 0 };
      for (int k = -half; k <= half; k++)
        {
          /* The tissue goes on beside the sector: mirrored. */
          int from = line + k;
          from = from < 0 ? -from : from >= lines ? 2 * lines - 2 - from : from;
          sum.re += tap[k + half] * in[(size_t)from * (size_t)stride].re;
          sum.im += tap[k + half] * in[(size_t)from * (size_t)stride].im;
        }
      out[(size_t)line * (size_t)stride] = sum;
    }
}

static void
filter_along (Complex *line, int samples, double sigma_samples)
{
  float tap[2 * 16 + 1];
  int half = gaussian (sigma_samples, tap, 16);
  Complex *copy = malloc ((size_t)samples * sizeof *copy);

  memcpy (copy, line, (size_t)samples * sizeof *copy);
  for (int k = 0; k < samples; k++)
    {
      Complex sum = { 0, 0 };
      for (int n = -half; n <= half; n++)
        if (k + n >= 0 && k + n < samples)
          {
            sum.re += tap[n + half] * copy[k + n].re;
            sum.im += tap[n + half] * copy[k + n].im;
          }
      line[k] = sum;
    }
  free (copy);
}

static uint8_t
display (const Painting *painting, Complex echo, double noise_re, double noise_im, int sample)
{
  double depth = (sample + 0.5) * painting->geometry.sample_pitch_mm;
  double noise = sqrt (0.5 * power (painting->noise_db + painting->noise_db_mm * depth));
  double re = echo.re * sqrt (0.5) + noise * noise_re,
         im = echo.im * sqrt (0.5) + noise * noise_im;
  double db = 10 * log10 (re * re + im * im + 1e-30) + painting->tissue_db;
  double grey = 255 * (1 + db / 60);
  return (uint8_t)fmin (255, fmax (0, floor (grey + 0.5)));
}

void
painter_paint (const Painting *painting, uint8_t *grey)
{
  const TarnImageGeometry *g = &painting->geometry;
  size_t cells = (size_t)g->lines * (size_t)g->samples;
  Complex *in = malloc (cells * sizeof *in), *out = malloc (cells * sizeof *out);
  double *root = malloc ((size_t)g->samples * sizeof *root);

  for (int line = 0; line < g->lines; line++)
    {
      Complex *to = in + (size_t)line * (size_t)g->samples;
      fill_line (painting, line, root);
      for (int k = 0; k < g->samples; k++)
        {
          uint64_t at = (uint64_t)(to - in + k);
          to[k].re = (float)(root[k] * tarn_normal_at (painting->seed, 4 * at));
          to[k].im = (float)(root[k] * tarn_normal_at (painting->seed, 4 * at + 1));
        }
      /* Half of a pulse of two cycles: 0.51 mm at -6 dB. */
      filter_along (to, g->samples, WAVE_MM / 2.3548 / g->sample_pitch_mm);
    }
  for (int k = 0; k < g->samples; k++)
    {
      double radius = tarn_image_radius_mm (g, k);
      double sigma
          = lateral_sigma_mm (radius - g->face_radius_mm) / (radius * g->line_pitch_rad);
      filter_across (in + k, out + k, g->lines, g->samples, sigma);
    }
  for (size_t k = 0; k < cells; k++)
    grey[k]
        = display (painting, out[k], tarn_normal_at (painting->seed, 4 * k + 2),
                   tarn_normal_at (painting->seed, 4 * k + 3), (int)(k % (size_t)g->samples));
  free (root);
  free (out);
  free (in);
}

void
painter_truth (const Painting *painting, double *area_mm2, double *moment_mm3)
{
  const TarnImageGeometry *g = &painting->geometry;
  double first = g->first_angle_rad, last = tarn_image_angle_rad (g, g->lines - 1);
  double far = g->face_radius_mm + tarn_image_depth_limit_mm (g), step = 0.1;

  *area_mm2 = *moment_mm3 = 0;
  const PainterRegion *region = &painting->region[0];
  double reach = fmax (region->half_x_mm, region->half_y_mm);
  for (double u = region->u_mm - reach; u < region->u_mm + reach; u += step)
    for (double v = region->v_mm - reach; v < region->v_mm + reach; v += step)
      {
        double angle = atan2 (u, v), radius = hypot (u, v);
        if (inside_mm (region, u, v) > 0 && angle >= first && angle <= last && radius <= far)
          {
            *area_mm2 += step * step;
            *moment_mm3 += step * step * v;
          }
      }
}
