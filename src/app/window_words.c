/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/window_words.h"

#include "app/words.h"
#include "base/units.h"

#include <glib/gi18n.h>
#include <math.h>

char *
tarn_window_words_by_place (const TarnAcousticWindow *window)
{
  double tilt_deg = tarn_deg_from_rad (window->best.tilt_rad);
  if (fabs (tilt_deg) < 0.5)
    return g_strdup (_ ("Not tilted"));
  return g_strdup_printf (tilt_deg > 0 ? _ ("Tilted %.0f° to the feet")
                                       : _ ("Tilted %.0f° to the head"),
                          fabs (tilt_deg));
}

char *
tarn_window_words_by_tilt (const TarnAcousticWindow *window)
{
  double left_mm = window->best.left_mm;
  if (fabs (left_mm) < 0.5)
    return g_strdup (_ ("On the midline"));
  return g_strdup_printf (left_mm > 0 ? _ ("%.0f mm to the patient’s left")
                                      : _ ("%.0f mm to the patient’s right"),
                          fabs (left_mm));
}

void
tarn_window_words (TarnWindowMap *map, const TarnAcousticWindow *window,
                   const TarnPatient *patient, const char *by_place, const char *by_tilt)
{
  *map = (TarnWindowMap){ .window = window,
                          .title = _ ("From where the bladder can be read"),
                          .open = window->lower_bound
                                      ? _ ("Rightly “at least”")
                                      : tarn_words_verdict (TARN_VERDICT_ACCURATE),
                          .above = _ ("mm above the bone"),
                          .left = _ ("mm from the midline"),
                          .right_end = _ ("patient’s right"),
                          .left_end = _ ("left"),
                          .tilt = _ ("degrees"),
                          .head_end = _ ("to the head"),
                          .feet_end = _ ("to the feet"),
                          .by_place = by_place,
                          .by_tilt = by_tilt,
                          .best = window->open ? _ ("best") : NULL,
                          .start = _ ("start"),
                          .start_above_mm = patient->situation.start_above_mm,
                          .start_left_mm = patient->situation.start_left_mm };
  for (int k = 0; k < TARN_VERDICTS; k++)
    if (k != TARN_VERDICT_ACCURATE && k != TARN_VERDICT_NOT_ACCURATE && window->share[k] > 0)
      map->verdict[k] = tarn_words_verdict ((TarnVerdict)k);
}
