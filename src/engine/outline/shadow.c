/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Shadows.  Behind bone, gas or a dry element a line stays dark down to the depth limit, and
 * the darkness begins under something brighter than tissue, or right under the face.  Fluid
 * that runs beyond the depth limit also stays dark, but begins under an ordinary wall, whose
 * echo does not stand out of the speckle: that is what the brightness of the cap is there to
 * tell.  A cap that the beam meets aslant is only some dB over tissue, where speckle alone
 * reaches now and then, so caps are judged by their mean over the lines beside. */
#include "engine/outline/parts.h"

#include <string.h>

/* All own design values. */
#define TAIL_MM      15.0f /* a shadow is at least so long */
#define ABOVE_MM     4.0f  /* the cap is looked for from so far above the tail */
#define BELOW_MM     2.0f  /* to so far below its start */
#define CAP_OVER_DB  11.0f /* the brightest there, over tissue; of speckle alone it is 7 */
#define BESIDE_LINES 5
#define BESIDE_MM    4.0f  /* a tail beside belongs to the same shadow if it starts so near */
#define NEAR_FACE_MM 10.0f /* darkness that starts within this of the face is no fluid */
#define GAP_LINES    10
#define WIDEN_LINES  2

/* The first row of the dark tail at the end of a line. */
static int
tail_start (const DarkMap *map, int line)
{
  int row = map->rows;
  while (row > 0 && map->dark[(row - 1) * map->lines + line] < 0)
    row--;
  return row;
}

/* How far the brightest place about a tail's start stands over tissue, dB. */
static float
cap_over_db (const DarkMap *map, const TarnImage *image, int line, int row)
{
  float pitch = (float)image->geometry.sample_pitch_mm;
  int from = row * map->fold - (int)(ABOVE_MM / pitch);
  int to = row * map->fold + (int)(BELOW_MM / pitch);
  const uint8_t *grey = image->grey + (size_t)line * (size_t)image->stride;
  int most = 0;

  from = from < 0 ? 0 : from;
  to = to > image->geometry.samples - 2 ? image->geometry.samples - 2 : to;
  for (int k = from; k < to; k++)
    {
      int pair = grey[k] + grey[k + 1];
      most = pair > most ? pair : most;
    }
  row = row < map->rows ? row : map->rows - 1;
  return (0.5f * (float)most - 255) * map->db_per_grey
         - map->tissue_db[row * map->lines + line];
}

/* Mean over the tails beside that start near this one. */
static float
mean_cap (const DarkMap *map, const int *start, const float *cap, int line)
{
  int near = (int)(BESIDE_MM / map->row_pitch_mm), count = 0;
  float sum = 0;

  for (int k = line - BESIDE_LINES; k <= line + BESIDE_LINES; k++)
    if (k >= 0 && k < map->lines && start[k] < map->rows && start[k] - start[line] <= near
        && start[line] - start[k] <= near)
      {
        sum += cap[k];
        count++;
      }
  return count > 0 ? sum / (float)count : 0;
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
  int start[TARN_LINES_MAX], from[TARN_LINES_MAX];
  float cap[TARN_LINES_MAX];
  int shortest = (int)(TAIL_MM / map->row_pitch_mm);

  for (int line = 0; line < map->lines; line++)
    {
      int row = tail_start (map, line);
      start[line] = map->rows - row >= shortest ? row : map->rows;
      cap[line] = start[line] < map->rows ? cap_over_db (map, image, line, row) : 0;
    }
  for (int line = 0; line < map->lines; line++)
    {
      bool near_face = (float)start[line] * map->row_pitch_mm < NEAR_FACE_MM;
      bool capped = start[line] < map->rows
                    && (near_face || mean_cap (map, start, cap, line) > CAP_OVER_DB);
      from[line] = capped ? start[line] : map->rows;
    }
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
