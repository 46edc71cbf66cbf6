/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * wipe.c: sliding the face through the gel.
 *
 * The face takes up the film in its way but for a smear, pushes it along, and loses some of
 * what it carries for each millimetre, to both sides of its track. */
#include "engine/contact/film.h"
#include "engine/contact/pose.h"

#include <math.h>

/* Own design values. */
#define WIPE_STEP_MM   1.5
#define WIPE_RADIUS_MM 13.0
#define WIPE_SMEAR_MM  0.02 /* too thin to couple */
#define WIPE_ASIDE_MM  16.0 /* where the ridges beside the track lie */
#define WIPE_CARRY_MM  65.0 /* the load falls by a factor e over this way */

TarnStatus
tarn_gel_wipe (TarnGelFilm *film, const TarnBody *body, const TarnPose *from,
               const TarnPose *to)
{
  TarnVec3 skin, inward;
  if (!tarn_pose_is_valid (from) || !tarn_pose_is_valid (to))
    return TARN_OUT_OF_RANGE;
  if (!tarn_body_skin_at (body, from->above_mm, from->left_mm, &skin, &inward)
      || !tarn_body_skin_at (body, to->above_mm, to->left_mm, &skin, &inward))
    return TARN_OFF_BODY;
  double up = to->above_mm - from->above_mm, aside = to->left_mm - from->left_mm;
  double way = hypot (up, aside);
  bool lifted = from->force_n == 0 || to->force_n == 0;
  if (!film->laid || lifted || way == 0)
    return TARN_OK;

  int steps = (int)ceil (way / WIPE_STEP_MM);
  double kept = exp (-way / steps / WIPE_CARRY_MM);
  double load = film->on_probe_g / TARN_GEL_G_PER_MM3;
  for (int k = 0; k <= steps; k++)
    {
      double above = from->above_mm + up * k / steps, left = from->left_mm + aside * k / steps;
      tarn_film_reach (film, above, left);
      load += tarn_film_take (film, above, left, WIPE_RADIUS_MM, WIPE_SMEAR_MM);
      if (k == 0)
        continue;

      double shed = load * (1 - kept), across = WIPE_ASIDE_MM / way;
      load -= shed;
      tarn_film_put (film, above + aside * across, left - up * across, shed / 2);
      tarn_film_put (film, above - aside * across, left + up * across, shed / 2);
    }
  film->on_probe_g = load * TARN_GEL_G_PER_MM3;
  return TARN_OK;
}
