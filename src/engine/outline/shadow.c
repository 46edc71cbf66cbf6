/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Shadows.  Behind bone, gas or a dry element a line stays dark down to the depth limit, and
 * the darkness begins under something far brighter than tissue, or right under the face.  Fluid
 * that runs beyond the depth limit also stays dark, but begins under an ordinary wall: that is
 * what the brightness of the cap is there to tell. */
#include "engine/outline/parts.h"

#include <string.h>

/* All own design values. */
#define TAIL_MM      15.0f /* a shadow is at least so long */
#define CAP_MM       4.0f  /* where the cap is looked for, above the tail */
#define CAP_OVER_DB  9.0f  /* over tissue */
#define NEAR_FACE_MM 10.0f /* darkness that starts within this of the face is no fluid */
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

static bool
has_cap (const DarkMap *map, int line, int row)
{
  int first = row - (int)(CAP_MM / map->row_pitch_mm);

  if ((float)row * map->row_pitch_mm < NEAR_FACE_MM)
    return true;
  for (int r = first > 0 ? first : 0; r <= row && r < map->rows; r++)
    if (map->level_db[r * map->lines + line] > map->tissue_db[r] + CAP_OVER_DB)
      return true;
  return false;
}

void
tarn_shadow_mark (DarkMap *map)
{
  int from[TARN_LINES_MAX];
  int shortest = (int)(TAIL_MM / map->row_pitch_mm);

  for (int line = 0; line < map->lines; line++)
    {
      int row = tail_start (map, line);
      from[line] = map->rows - row >= shortest && has_cap (map, line, row) ? row : map->rows;
    }
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
