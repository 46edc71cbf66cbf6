/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * film.h: moving gel about on the skin.  Private to contact/.
 *
 * Gel moves between the grid's cells, the probe and what is lost, and nowhere else. */
#pragma once

#include "engine/contact/contact.h"

/* Brings the grid to a place, so that at least TARN_FILM_MARGIN_MM of it lie all around. */
#define TARN_FILM_MARGIN_MM 45.0
void tarn_film_reach (TarnGelFilm *film, double above_mm, double left_mm);

/* Takes away what is thicker than @leave_mm within @radius_mm of a place; returns mm³. */
double tarn_film_take (TarnGelFilm *film, double above_mm, double left_mm, double radius_mm,
                       double leave_mm);
/* Puts gel on the cell at a place; beyond the grid it is lost. */
void tarn_film_put (TarnGelFilm *film, double above_mm, double left_mm, double volume_mm3);
/* Spreads gel evenly over a ring, [0] its inner and [1] its outer radius; @volume_mm3 >= 0. */
void tarn_film_put_ring (TarnGelFilm *film, double above_mm, double left_mm,
                         const double radius_mm[2], double volume_mm3);
