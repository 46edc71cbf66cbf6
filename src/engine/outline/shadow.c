/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Shadows.  Behind bone, gas or a dry element a line stays dark down to the depth limit: its
 * tail.  Fluid that runs beyond the depth limit makes a tail too.  What tells them apart:
 *
 * 1. A cap far brighter than tissue, or the face itself, stands above a shadow.  But bone met
 *    aslant may show none.
 * 2. A shadow's flank follows the lines: beside its last line there is tissue all the way.
 *    Where fluid is cut by the depth limit, the line beside either leaves the fluid a little
 *    above the limit or enters it a little above the limit.
 * 3. Fluid is hazy under its near wall; a shadow is as black as the instrument gets.
 *
 * Tails are judged piece by piece, a piece being neighbouring lines whose tails start at
 * about the same depth, by the first of these that decides; but a cap must be very bright to
 * outweigh flanks that are fluid's on either side, for a wall may shine too. */
#include "engine/outline/parts.h"

#include <string.h>

/* All own design values. */
#define SPECK_MM      2.5f
#define TAIL_MM       12.0f /* a shadow is at least so long */
#define JUMP_MM       8.0f  /* between tail starts of neighbouring lines: another piece */
#define ABOVE_MM      2.5f  /* the cap is looked for from so far above the tail */
#define BELOW_MM      1.5f  /* to so far below its start */
#define CAP_OVER_DB   10.0f /* the brightest there, over tissue; of speckle alone it is 7 */
#define CAP_SURE_DB   15.0f /* so bright, it is one, whatever the flanks say */
#define WHITE_DB      -1.5f /* as bright as can be shown */
#define NEAR_FACE_MM  10.0f /* darkness that starts within this of the face is no fluid */
#define BESIDE_LINES  4     /* beyond the beam's blur of a flank */
#define LIMIT_MM      25.0f /* how near to the limit fluid leaves, or enters, beside a piece */
#define RUN_MM        8.0f  /* so much darkness beside is fluid */
#define HAZE_NEAR_MM  2.2f  /* under the start, beyond the smoothing */
#define HAZE_FAR_MM   12.0f
#define HAZE_REACH_MM 4.0f
#define HAZE_DB       2.0f
#define NOISE_OVER_DB 6.0f /* what is within this of a row's noise may be part of a tail */
#define MEDIAN_LINES  4
#define GAP_LINES     10
#define WIDEN_LINES   2

/* Neighbouring lines first..last. */
typedef struct
{
  int first, last;
} Piece;

typedef struct
{
  const DarkMap *map;
  const TarnImage *image;
  int start[TARN_LINES_MAX]; /* row of each line's tail; rows: none */
  int jump;                  /* JUMP_MM in rows */
} Tails;

static int
rows_of (const DarkMap *map, float mm)
{
  return (int)(mm / map->row_pitch_mm + 0.5f);
}

static bool
is_dark (const DarkMap *map, int line, int row)
{
  int cell = row * map->lines + line;
  float noise = map->noise_db[row], over = 0.5f * (map->tissue_db[cell] - noise);

  over = over < NOISE_OVER_DB ? over : NOISE_OVER_DB;
  return map->dark[cell] < 0 || map->level_db[cell] < noise + over;
}

/* The first row of the dark tail at the end of a line; lone bright speckles do not end it. */
static int
tail_start (const DarkMap *map, int line)
{
  int start = map->rows, bright = 0, most = rows_of (map, SPECK_MM);

  for (int row = map->rows - 1; row >= 0 && bright <= most; row--)
    if (is_dark (map, line, row))
      {
        start = row;
        bright = 0;
      }
    else
      bright++;
  return map->rows - start >= rows_of (map, TAIL_MM) ? start : map->rows;
}

/* The median over the lines beside, so that one odd line does not break a piece in two. */
static void
even_starts (Tails *tails)
{
  int raw[TARN_LINES_MAX];

  memcpy (raw, tails->start, sizeof raw);
  for (int line = MEDIAN_LINES; line < tails->map->lines - MEDIAN_LINES; line++)
    {
      int sorted[2 * MEDIAN_LINES + 1];
      for (int k = 0; k <= 2 * MEDIAN_LINES; k++)
        {
          int value = raw[line - MEDIAN_LINES + k], n = k;
          for (; n > 0 && sorted[n - 1] > value; n--)
            sorted[n] = sorted[n - 1];
          sorted[n] = value;
        }
      tails->start[line] = sorted[MEDIAN_LINES];
    }
}

/* How far the brightest place about a tail's start stands over tissue, dB; at least
 * CAP_OVER_DB where it is white. */
static float
cap_over_db (const Tails *tails, int line)
{
  const DarkMap *map = tails->map;
  int row = tails->start[line];
  float pitch = (float)tails->image->geometry.sample_pitch_mm;
  int from = row * map->fold - (int)(ABOVE_MM / pitch);
  int to = row * map->fold + (int)(BELOW_MM / pitch);
  const uint8_t *grey = tails->image->grey + (size_t)line * (size_t)tails->image->stride;
  int most = 0;

  from = from < 0 ? 0 : from;
  to = to > tails->image->geometry.samples - 2 ? tails->image->geometry.samples - 2 : to;
  for (int k = from; k < to; k++)
    {
      int pair = grey[k] + grey[k + 1];
      most = pair > most ? pair : most;
    }
  float level = (0.5f * (float)most - 255) * map->db_per_grey;
  float over = level - map->tissue_db[row * map->lines + line];
  return level > WHITE_DB && over < CAP_OVER_DB ? CAP_OVER_DB : over;
}

/* Of lines beside a piece, whether one is cut out of the same fluid: see 2 in the essay. */
static bool
fluid_goes_on (const Tails *tails, int edge, int beside)
{
  const DarkMap *map = tails->map;
  int limit = map->rows - rows_of (map, LIMIT_MM), bottom = map->rows;
  int run = 0;

  /* It enters a little above the limit. */
  if (tails->start[edge] > limit)
    return true;
  /* It leaves a little above the limit, and entered where the piece did. */
  while (bottom > limit && !is_dark (map, beside, bottom - 1))
    bottom--;
  if (bottom == limit)
    return false;
  while (bottom - run > 0 && is_dark (map, beside, bottom - run - 1))
    run++;
  int entered = bottom - run - tails->start[edge];
  return run >= rows_of (map, RUN_MM) && bottom < map->rows && entered < 2 * tails->jump
         && entered > -tails->jump;
}

/* How much brighter the tails are near their start than further down, dB. */
static float
haze_db (const Tails *tails, Piece piece)
{
  const DarkMap *map = tails->map;
  int near = rows_of (map, HAZE_NEAR_MM), far = rows_of (map, HAZE_FAR_MM);
  int reach = rows_of (map, HAZE_REACH_MM);
  float sum = 0, count = 0;

  for (int line = piece.first; line <= piece.last; line++)
    for (int k = 0; k < reach && tails->start[line] + far + k < map->rows; k++)
      {
        const float *level = map->level_db + (tails->start[line] + k) * map->lines + line;
        sum += level[near * map->lines] - level[far * map->lines];
        count += 1;
      }
  return count > 0 ? sum / count : 0;
}

/* Counts a flank, and whether it speaks for fluid.  Beside the sector's side, or beside a tail
 * that is dark all along this one, nothing can be told. */
static void
judge_flank (const Tails *tails, int edge, int beside, int *flanks, int *fluid)
{
  if (beside < 0 || beside >= tails->map->lines
      || tails->start[beside] <= tails->start[edge] + tails->jump)
    return;
  *flanks += 1;
  *fluid += fluid_goes_on (tails, edge, beside);
}

static bool
is_shadow (const Tails *tails, Piece piece)
{
  const DarkMap *map = tails->map;
  float cap = 0, depth = 0, count = (float)(piece.last - piece.first + 1);
  int least = map->rows;

  for (int line = piece.first; line <= piece.last; line++)
    {
      cap += cap_over_db (tails, line) / count;
      depth += (float)tails->start[line] * map->row_pitch_mm / count;
      least = tails->start[line] < least ? tails->start[line] : least;
    }
  if (depth < NEAR_FACE_MM)
    return true;
  /* Too little of it to tell. */
  if (least > map->rows - rows_of (map, LIMIT_MM))
    return true;

  int flanks = 0, fluid = 0;
  judge_flank (tails, piece.first, piece.first - BESIDE_LINES, &flanks, &fluid);
  judge_flank (tails, piece.last, piece.last + BESIDE_LINES, &flanks, &fluid);
  if (cap >= (fluid > 0 && fluid == flanks ? CAP_SURE_DB : CAP_OVER_DB))
    return true;
  if (flanks > 0 && fluid == 0)
    return true;
  if (fluid > 0 && fluid == flanks)
    return false;
  return haze_db (tails, piece) < HAZE_DB;
}

/* Closes small gaps between shadowed lines: gas rings down here and there as a bright streak.
 */
static void
close_gaps (const DarkMap *map, int *from)
{
  int last = -1;

  for (int line = 0; line < map->lines; line++)
    {
      if (from[line] >= map->rows)
        continue;
      if (last >= 0 && line - last > 1 && line - last <= GAP_LINES)
        for (int k = last + 1; k < line; k++)
          from[k] = from[last] > from[line] ? from[last] : from[line];
      last = line;
    }
}

void
tarn_shadow_mark (DarkMap *map, const TarnImage *image)
{
  Tails tails = { .map = map, .image = image, .jump = rows_of (map, JUMP_MM) };
  int from[TARN_LINES_MAX];

  for (int line = 0; line < map->lines; line++)
    {
      tails.start[line] = map->is_dry[line] ? 0 : tail_start (map, line);
      from[line] = map->rows;
    }
  even_starts (&tails);
  for (int line = 0; line < map->lines; line++)
    {
      if (tails.start[line] == map->rows)
        continue;
      Piece piece = { line, line };
      while (piece.last + 1 < map->lines && tails.start[piece.last + 1] < map->rows
             && tails.start[piece.last + 1] - tails.start[piece.last] <= tails.jump
             && tails.start[piece.last] - tails.start[piece.last + 1] <= tails.jump)
        piece.last++;
      if (is_shadow (&tails, piece))
        for (int k = piece.first; k <= piece.last; k++)
          from[k] = tails.start[k];
      line = piece.last;
    }
  for (int line = 0; line < map->lines; line++)
    if (map->is_dry[line])
      from[line] = 0;
  close_gaps (map, from);
  /* The edge of a shadow is blurred by the beam. */
  for (int line = 0; line < map->lines; line++)
    {
      int least = from[line];
      for (int k = line - WIDEN_LINES; k <= line + WIDEN_LINES; k++)
        if (k >= 0 && k < map->lines && from[k] < least)
          least = from[k];
      map->shadow_from[line] = least;
      for (int row = least; row < map->rows; row++)
        map->dark[row * map->lines + line] = 0;
    }
}
