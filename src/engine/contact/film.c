/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * film.c: the gel on the skin as thicknesses on a grid.
 *
 * Cell (row, column) has its middle at
 *     above_mm + (row - (CELLS - 1) / 2) PITCH,  left_mm + (column - (CELLS - 1) / 2) PITCH. */
#include "engine/contact/film.h"

#include "base/units.h"

#include <math.h>
#include <string.h>

#define CELLS        TARN_FILM_CELLS
#define PITCH        TARN_FILM_PITCH_MM
#define CELL_MM2     (TARN_FILM_PITCH_MM * TARN_FILM_PITCH_MM)
#define DOSE_MAX_G   100.0
#define PLACE_MAX_MM 2000.0 /* farther from the origin than any skin */

/* A mound of gel, own design value: 25 mm across at half its height for 20 g, larger doses of
 * the same shape.  (1 - (r/R)²)² is half at r = 0.541 R. */
#define MOUND_G         20.0
#define MOUND_RADIUS_MM 23.0

/* The grid's row for @above_mm, or column for @left_mm, not yet rounded or held in range. */
static double
cell_at (double place_mm, double middle_mm)
{
  return (place_mm - middle_mm) / PITCH + 0.5 * (CELLS - 1);
}

static double
place_of (int cell, double middle_mm)
{
  return middle_mm + (cell - 0.5 * (CELLS - 1)) * PITCH;
}

double
tarn_gel_mass_g (const TarnGelFilm *film)
{
  double sum_mm = 0;
  for (int row = 0; row < CELLS; row++)
    for (int column = 0; column < CELLS; column++)
      sum_mm += (double)film->thickness_mm[row][column];
  return sum_mm * CELL_MM2 * TARN_GEL_G_PER_MM3 + film->on_probe_g + film->lost_g;
}

/* By how many cells the grid has to move to have room around @place_mm. */
static int
cells_to_move (double place_mm, double middle_mm)
{
  double off = place_mm - middle_mm, room = 0.5 * CELLS * PITCH - TARN_FILM_MARGIN_MM;
  return fabs (off) <= room ? 0 : (int)lround (off / PITCH);
}

void
tarn_film_reach (TarnGelFilm *film, double above_mm, double left_mm)
{
  if (!film->laid)
    {
      film->laid = true;
      film->above_mm = above_mm;
      film->left_mm = left_mm;
      return;
    }
  int rows = cells_to_move (above_mm, film->above_mm);
  int columns = cells_to_move (left_mm, film->left_mm);
  if (rows == 0 && columns == 0)
    return;

  /* Walk against the move, so that no cell is overwritten before it has been read. */
  for (int k = 0; k < CELLS; k++)
    for (int l = 0; l < CELLS; l++)
      {
        int row = rows >= 0 ? k : CELLS - 1 - k, column = columns >= 0 ? l : CELLS - 1 - l;
        int to_row = row - rows, to_column = column - columns;
        float *cell = &film->thickness_mm[row][column], kept = *cell;
        *cell = 0;
        if (to_row >= 0 && to_row < CELLS && to_column >= 0 && to_column < CELLS)
          film->thickness_mm[to_row][to_column] = kept;
        else
          film->lost_g += (double)kept * CELL_MM2 * TARN_GEL_G_PER_MM3;
      }
  film->above_mm += rows * PITCH;
  film->left_mm += columns * PITCH;
}

/* The cells within @radius_mm of a place, as a square of rows and columns held in the grid. */
typedef struct
{
  int row, row_end, column, column_end;
} Window;

static int
held_in_grid (double cell)
{
  return (int)tarn_clamp (cell, 0, CELLS);
}

static Window
window_around (const TarnGelFilm *film, double above_mm, double left_mm, double radius_mm)
{
  double row = cell_at (above_mm, film->above_mm), column = cell_at (left_mm, film->left_mm);
  double reach = radius_mm / PITCH;
  return (Window){ held_in_grid (ceil (row - reach)), held_in_grid (floor (row + reach) + 1),
                   held_in_grid (ceil (column - reach)),
                   held_in_grid (floor (column + reach) + 1) };
}

static double
distance_to_cell_mm (const TarnGelFilm *film, int row, int column, double above_mm,
                     double left_mm)
{
  return hypot (place_of (row, film->above_mm) - above_mm,
                place_of (column, film->left_mm) - left_mm);
}

double
tarn_film_take (TarnGelFilm *film, double above_mm, double left_mm, double radius_mm,
                double leave_mm)
{
  Window window = window_around (film, above_mm, left_mm, radius_mm);
  double taken_mm = 0;
  for (int row = window.row; row < window.row_end; row++)
    for (int column = window.column; column < window.column_end; column++)
      {
        float *cell = &film->thickness_mm[row][column], leave = (float)leave_mm;
        if (*cell <= leave
            || distance_to_cell_mm (film, row, column, above_mm, left_mm) > radius_mm)
          continue;
        taken_mm += (double)*cell - (double)leave;
        *cell = leave;
      }
  return taken_mm * CELL_MM2;
}

/* What a float cannot hold of the new thickness is lost, and so accounted for. */
static void
put_on_cell (TarnGelFilm *film, int row, int column, double volume_mm3)
{
  float *cell = &film->thickness_mm[row][column];
  double before = *cell;
  *cell = (float)(before + volume_mm3 / CELL_MM2);
  film->lost_g += (volume_mm3 - ((double)*cell - before) * CELL_MM2) * TARN_GEL_G_PER_MM3;
}

void
tarn_film_put (TarnGelFilm *film, double above_mm, double left_mm, double volume_mm3)
{
  double row = floor (cell_at (above_mm, film->above_mm) + 0.5);
  double column = floor (cell_at (left_mm, film->left_mm) + 0.5);
  if (row >= 0 && row < CELLS && column >= 0 && column < CELLS)
    put_on_cell (film, (int)row, (int)column, volume_mm3);
  else
    film->lost_g += volume_mm3 * TARN_GEL_G_PER_MM3;
}

/* A profile over the distance from a mound's or a ring's middle; 0 beyond its outer radius. */
typedef double (*Profile) (const double radius_mm[2], double distance_mm);

static double
mound_profile (const double radius_mm[2], double distance_mm)
{
  double share = distance_mm / radius_mm[1];
  return share < 1 ? (1 - share * share) * (1 - share * share) : 0;
}

static double
ring_profile (const double radius_mm[2], double distance_mm)
{
  return distance_mm >= radius_mm[0] && distance_mm <= radius_mm[1] ? 1 : 0;
}

/* Spreads @volume_mm3 over the grid in proportion to a profile; what has no cell is lost. */
static void
put_profile (TarnGelFilm *film, double above_mm, double left_mm, Profile profile,
             const double radius_mm[2], double volume_mm3)
{
  Window window = window_around (film, above_mm, left_mm, radius_mm[1]);
  double sum = 0;
  for (int row = window.row; row < window.row_end; row++)
    for (int column = window.column; column < window.column_end; column++)
      sum += profile (radius_mm, distance_to_cell_mm (film, row, column, above_mm, left_mm));
  if (!(sum > 0))
    {
      film->lost_g += volume_mm3 * TARN_GEL_G_PER_MM3;
      return;
    }
  for (int row = window.row; row < window.row_end; row++)
    for (int column = window.column; column < window.column_end; column++)
      {
        double distance = distance_to_cell_mm (film, row, column, above_mm, left_mm);
        double share = profile (radius_mm, distance) / sum;
        if (share > 0)
          put_on_cell (film, row, column, volume_mm3 * share);
      }
}

void
tarn_film_put_ring (TarnGelFilm *film, double above_mm, double left_mm,
                    const double radius_mm[2], double volume_mm3)
{
  put_profile (film, above_mm, left_mm, ring_profile, radius_mm, volume_mm3);
}

TarnStatus
tarn_gel_dose (TarnGelFilm *film, double above_mm, double left_mm, double gel_g)
{
  if (!(gel_g >= 0 && gel_g <= DOSE_MAX_G) || !(fabs (above_mm) <= PLACE_MAX_MM)
      || !(fabs (left_mm) <= PLACE_MAX_MM))
    return TARN_OUT_OF_RANGE;
  if (gel_g == 0)
    return TARN_OK;

  tarn_film_reach (film, above_mm, left_mm);
  double radius_mm[2] = { 0, MOUND_RADIUS_MM * cbrt (gel_g / MOUND_G) };
  radius_mm[1] = fmax (radius_mm[1], PITCH);
  put_profile (film, above_mm, left_mm, mound_profile, radius_mm, gel_g / TARN_GEL_G_PER_MM3);
  return TARN_OK;
}
