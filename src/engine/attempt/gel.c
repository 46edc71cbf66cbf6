/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gel where the probe is. */
#include "engine/attempt/state.h"

#include <math.h>
#include <string.h>

#define NEAR_MM 20.0 /* from the face's middle: what a touch gathers (contact/) */

TarnStatus
tarn_attempt_dose (TarnAttempt *attempt, double gel_g)
{
  const TarnPose *pose = &attempt->bedside.pose;
  TarnStatus status = tarn_gel_dose (&attempt->film, pose->above_mm, pose->left_mm, gel_g);
  if (status != TARN_OK)
    return status;
  attempt->bedside.gel_laid_g += gel_g;
  attempt->bedside.gel_g = tarn_gel_near_g (&attempt->film, pose);
  return TARN_OK;
}

void
tarn_attempt_wipe (TarnAttempt *attempt)
{
  TarnGelFilm *film = &attempt->film;
  double all_g = tarn_gel_mass_g (film);
  memset (film, 0, sizeof *film);
  film->lost_g = all_g;
  attempt->bedside.gel_g = 0;
}

double
tarn_gel_near_g (const TarnGelFilm *film, const TarnPose *pose)
{
  if (!film->laid)
    return film->on_probe_g;
  double middle = 0.5 * (TARN_FILM_CELLS - 1), reach = NEAR_MM / TARN_FILM_PITCH_MM;
  double row0 = (pose->above_mm - film->above_mm) / TARN_FILM_PITCH_MM + middle;
  double column0 = (pose->left_mm - film->left_mm) / TARN_FILM_PITCH_MM + middle;
  int low_row = (int)tarn_clamp (ceil (row0 - reach), 0, TARN_FILM_CELLS);
  int low_column = (int)tarn_clamp (ceil (column0 - reach), 0, TARN_FILM_CELLS);

  double sum_mm = 0;
  for (int row = low_row; row < TARN_FILM_CELLS && row <= row0 + reach; row++)
    for (int column = low_column; column < TARN_FILM_CELLS && column <= column0 + reach;
         column++)
      {
        double up = row - row0, aside = column - column0;
        if (up * up + aside * aside <= reach * reach)
          sum_mm += (double)film->thickness_mm[row][column];
      }
  return sum_mm * TARN_FILM_PITCH_MM * TARN_FILM_PITCH_MM * TARN_GEL_G_PER_MM3
         + film->on_probe_g;
}
