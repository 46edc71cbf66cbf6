/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How dark each place of the picture is.
 *
 * 1. Samples are folded into rows of about 1 mm and smoothed over a patch of about 2.5 mm, or
 *    the width of a speckle where that is more, so that what is left of the speckle's 5.57 dB
 *    (Wagner 1983) is 2 dB or so.
 * 2. The level of tissue is followed down each line.  Whatever is not dark against it moves it
 *    a little, so it follows gain and attenuation down, into the noise too (where then nothing
 *    is dark), but passes unmoved through fluid and shadow, which are too far under it.
 * 3. Darkness is the level against a threshold under the tissue, as a number from -1 to 1.
 *    Deep down, where noise rises towards the tissue, the threshold stays between the two. */
#include "engine/outline/parts.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* All own design values. */
#define ROW_MM           1.1f
#define SPECKLE_SHARE    0.036f /* of the depth: the probe's beam beyond its full aperture */
#define PATCH_MM         2.2f   /* of smoothing */
#define DARK_UNDER_DB    10.0f  /* under tissue, at most */
#define DARK_UNDER_LEAST 6.0f
#define DARK_SOFT_DB     5.0f  /* half-width of the doubt about it */
#define FOLLOW_PER_MM    0.12f /* of the difference */
#define RISE_DB_PER_MM   0.8f  /* at most; behind fluid tissue is brighter */
#define FALL_DB_PER_MM   0.2f  /* slower, so as not to sink into the haze in front of fluid */
#define TRUST_MM         8.0f
#define BRIGHT_OVER_DB   12.0f /* walls and caps, which say nothing of the tissue */
#define START_UNDER_DB   8.0f  /* a line may start so far under the others */
#define DIM_DB           1.5f  /* by less than that, dry elements make no difference */
#define START_OVER_DB    3.0f
#define LEVEL_LINES      6     /* each way, over which the tissue's level is even */
#define NOISE_ROWS       4     /* each way, over which the noise is even */
#define NOISE_GAP_DB     9.0f  /* less than that between tissue and noise tells nothing */
#define NOISE_SHARE      0.5f  /* of the gap, that dark is under tissue */
#define START_MM         20.0f /* below the face: where the tissue's level starts from */
#define EMPTY_DB         8.0f  /* a picture must rise so far above black */

static void
set_geometry (DarkMap *map, const TarnImageGeometry *geometry)
{
  float pitch = (float)geometry->sample_pitch_mm;
  int fold = (int)(ROW_MM / pitch + 0.5f);

  if (fold < 1)
    fold = 1;
  while (geometry->samples / fold > ROWS_MAX)
    fold++;
  map->fold = fold;
  map->lines = geometry->lines;
  map->rows = geometry->samples / fold;
  map->first_angle_rad = (float)geometry->first_angle_rad;
  map->line_pitch_rad = (float)geometry->line_pitch_rad;
  map->row_pitch_mm = pitch * (float)fold;
  map->first_radius_mm = (float)geometry->face_radius_mm + 0.5f * map->row_pitch_mm;
  map->side_low_rad = (float)geometry->first_angle_rad;
  map->side_high_rad = (float)tarn_image_angle_rad (geometry, geometry->lines - 1);
  map->near_mm = (float)geometry->face_radius_mm;
  map->far_mm = map->near_mm + map->row_pitch_mm * (float)map->rows;
}

/* Sums of `fold` grey values, as dB under white; [row][line]. */
static void
fold_rows (const DarkMap *map, const TarnImage *image, float *folded)
{
  float scale = map->db_per_grey / (float)map->fold;
  float white = map->db_per_grey * 255;

  for (int line = 0; line < map->lines; line++)
    {
      const uint8_t *grey = image->grey + (size_t)line * (size_t)image->stride;
      float *out = folded + line;
      for (int row = 0; row < map->rows; row++)
        {
          int sum = 0;
          if (map->fold == 4)
            sum = grey[0] + grey[1] + grey[2] + grey[3];
          else
            for (int k = 0; k < map->fold; k++)
              sum += grey[k];
          *out = (float)sum * scale - white;
          out += map->lines;
          grey += map->fold;
        }
    }
}

int
tarn_lines_within (const DarkMap *map, int row, float width_mm)
{
  float radius = map->first_radius_mm + map->row_pitch_mm * (float)row;
  int lines = (int)(width_mm / (radius * map->line_pitch_rad));
  int most = map->lines / 2 - 1 < BOX_REACH_MAX ? map->lines / 2 - 1 : BOX_REACH_MAX;

  return lines < most ? lines : most;
}

/* Of the smoothing across. */
static float
half_width_mm (const DarkMap *map, int row)
{
  float depth = map->first_radius_mm + map->row_pitch_mm * (float)row - map->near_mm;
  float speckle = SPECKLE_SHARE * depth;

  return 0.5f * (speckle > PATCH_MM ? speckle : PATCH_MM);
}

/* The box filter of one row, whose values stand in work->padded already. */
static void
box_padded (TarnOutlineWork *work, int half, float *out)
{
  float *row = work->padded + BOX_REACH_MAX;
  int lines = work->map.lines;

  /* Beyond the sector's sides the picture is mirrored. */
  for (int k = 0; k < half; k++)
    {
      row[-1 - k] = row[k];
      row[lines + k] = row[lines - 1 - k];
    }
  work->kernels->box_across (row, lines, half, out);
}

void
tarn_box_across (TarnOutlineWork *work, const float *in, int half, float *out)
{
  memcpy (work->padded + BOX_REACH_MAX, in, (size_t)work->map.lines * sizeof *in);
  box_padded (work, half, out);
}

/* One row: 1-2-1 over the rows above and below, then a box across. */
static void
smooth_row (TarnOutlineWork *work, int row)
{
  DarkMap *map = &work->map;
  int lines = map->lines;
  const float *here = work->folded + row * lines;
  const float *above = row > 0 ? here - lines : here;
  const float *below = row + 1 < map->rows ? here + lines : here;
  float *out = work->padded + BOX_REACH_MAX;

  for (int k = 0; k < lines; k++)
    out[k] = 0.25f * (above[k] + below[k]) + 0.5f * here[k];
  box_padded (work, tarn_lines_within (map, row, half_width_mm (map, row)),
              map->level_db + row * lines);
}

/* The level below the face, @sum over @count, of the lines that dry elements dim least, as if
 * they did not.  False when there is hardly anything but black. */
static bool
undimmed_level (const DarkMap *map, const float *sum, const float *count, int rows,
                float *level)
{
  float best = map->dim_db[0], all = 0, all_count = 0;
  int lines = 0;

  for (int k = 1; k < map->lines; k++)
    best = map->dim_db[k] > best ? map->dim_db[k] : best;
  for (int k = 0; k < map->lines; k++)
    if (map->dim_db[k] >= best - DIM_DB)
      {
        all += sum[k] - map->dim_db[k] * count[k];
        all_count += count[k];
        lines++;
      }
  if (all_count * 8 < (float)(rows * lines))
    return false;
  *level = all / all_count;
  return true;
}

/* Where each line's tissue starts from: what it shows below the face, black left out; where
 * elements are dry, and their bands would mislead, what the others show, dimmed. */
static bool
start_levels (TarnOutlineWork *work, float *start)
{
  const DarkMap *map = &work->map;
  float black = -map->db_per_grey * 255, mean;
  float sum[TARN_LINES_MAX] = { 0 }, count[TARN_LINES_MAX] = { 0 };
  int rows = (int)(START_MM / map->row_pitch_mm);

  rows = rows < map->rows ? rows : map->rows;
  for (int row = 0; row < rows; row++)
    for (int k = 0; k < map->lines; k++)
      {
        float level = map->level_db[row * map->lines + k];
        float seen = level > black + EMPTY_DB ? 1 : 0;
        sum[k] += seen * level;
        count[k] += seen;
      }
  if (!undimmed_level (map, sum, count, rows, &mean))
    return false;
  for (int k = 0; k < map->lines; k++)
    {
      float level = (sum[k] + mean) / (count[k] + 1);
      float least = mean - START_UNDER_DB, most = mean + START_OVER_DB;
      level = level < least ? least : level > most ? most : level;
      start[k] = map->dim_db[k] < -DIM_DB ? mean + map->dim_db[k] : level;
    }
  return true;
}

static int
even_lines (const DarkMap *map)
{
  return LEVEL_LINES < map->lines / 2 - 1 ? LEVEL_LINES : map->lines / 2 - 1;
}

/* The darkest that each row shows, even over rows: noise, where there is fluid or shadow. */
static void
find_noise (TarnOutlineWork *work)
{
  DarkMap *map = &work->map;
  float darkest[ROWS_MAX], even[TARN_LINES_MAX + 8];
  int half = even_lines (map);

  for (int row = 0; row < map->rows; row++)
    {
      tarn_box_across (work, map->level_db + row * map->lines, half, even);
      float least = even[0];
      for (int k = 1; k < map->lines; k++)
        least = even[k] < least ? even[k] : least;
      darkest[row] = least;
    }
  for (int row = 0; row < map->rows; row++)
    {
      float sum = 0, count = 0;
      for (int r = row - NOISE_ROWS; r <= row + NOISE_ROWS; r++)
        if (r >= 0 && r < map->rows)
          {
            sum += darkest[r];
            count += 1;
          }
      map->noise_db[row] = sum / count;
    }
}

/* Steps 2 and 3 of the essay. */
static bool
follow_tissue (TarnOutlineWork *work)
{
  DarkMap *map = &work->map;
  float tissue[TARN_LINES_MAX + 8] = { 0 };
  float trust[TARN_LINES_MAX + 8]; /* share of tissue lately */
  int half = even_lines (map);
  const FollowRules rules = {
    .rate = FOLLOW_PER_MM * map->row_pitch_mm,
    .rise_db = RISE_DB_PER_MM * map->row_pitch_mm,
    .fall_db = FALL_DB_PER_MM * map->row_pitch_mm,
    .forget = map->row_pitch_mm / TRUST_MM,
    .bright_over_db = BRIGHT_OVER_DB,
    .under_db = DARK_UNDER_DB,
    .under_least_db = DARK_UNDER_LEAST,
    .noise_gap_db = NOISE_GAP_DB,
    .noise_share = NOISE_SHARE,
    .soft_db = DARK_SOFT_DB,
  };

  if (!start_levels (work, tissue))
    return false;
  for (int k = 0; k < TARN_LINES_MAX + 8; k++)
    trust[k] = 1;
  for (int row = 0; row < map->rows; row++)
    {
      const float *level = map->level_db + row * map->lines;
      float *even = map->tissue_db + row * map->lines;
      float noise = map->noise_db[row];
      work->kernels->follow (&rules, level, noise, map->lines, tissue, trust);
      tarn_box_across (work, tissue, half, even);
      work->kernels->darkness (&rules, level, even, noise, map->lines,
                               map->dark + row * map->lines);
    }
  return true;
}

bool
tarn_dark_map_fill (TarnOutlineWork *work, const TarnImage *image,
                    const TarnOutlineHints *hints)
{
  DarkMap *map = &work->map;

  set_geometry (map, &image->geometry);
  map->db_per_grey
      = (float)((hints != NULL && hints->range_db > 0 ? hints->range_db : 60) / 255);
  fold_rows (map, image, work->folded);
  for (int row = 0; row < map->rows; row++)
    smooth_row (work, row);
  if (!tarn_dry_mark (map, image, hints))
    return false;
  find_noise (work);
  return follow_tissue (work);
}

void
tarn_dark_map_place (const DarkMap *map, float u_mm, float v_mm, float *line, float *row)
{
  *line = (atan2f (u_mm, v_mm) - map->first_angle_rad) / map->line_pitch_rad;
  *row = (sqrtf (u_mm * u_mm + v_mm * v_mm) - map->first_radius_mm) / map->row_pitch_mm;
}

int
tarn_dark_map_cell (const DarkMap *map, float angle_rad, float radius_mm)
{
  float line = (angle_rad - map->first_angle_rad) / map->line_pitch_rad;
  float row = (radius_mm - map->first_radius_mm) / map->row_pitch_mm;

  if (!(line >= -0.01f && line <= (float)map->lines - 0.99f && row >= -0.5f
        && row <= (float)map->rows - 0.5f))
    return -1;
  int k = (int)(line + 0.5f), r = (int)(row + 0.5f);
  k = k > map->lines - 1 ? map->lines - 1 : k;
  r = r > map->rows - 1 ? map->rows - 1 : r;
  return r * map->lines + k;
}

bool
tarn_dark_map_by_shadow (const DarkMap *map, float u_mm, float v_mm, int lines)
{
  float line, row;

  tarn_dark_map_place (map, u_mm, v_mm, &line, &row);
  for (int k = (int)(line + 0.5f) - lines; k <= (int)(line + 0.5f) + lines; k++)
    if (k >= 0 && k < map->lines && row >= (float)map->shadow_from[k])
      return true;
  return false;
}
