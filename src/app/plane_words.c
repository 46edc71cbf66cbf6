/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The caption of a plane. */
#include "app/plane_words.h"

#include "base/units.h"

#include <glib/gi18n.h>
#include <math.h>

#define FIRM_N_MM 1.5 /* own design value */

char *
tarn_plane_caption (const TarnPose *pose, const TarnImageGeometry *geometry)
{
  /* Which way the mark points, to the nearest of eight. */
  static const char *const name[8] = {
    N_ ("Transverse, mark to the patient’s right. Depth %.0f cm."),
    N_ ("Oblique, mark to the right and head. Depth %.0f cm."),
    N_ ("Sagittal, mark to the head. Depth %.0f cm."),
    N_ ("Oblique, mark to the left and head. Depth %.0f cm."),
    N_ ("Transverse, mark to the patient’s left. Depth %.0f cm."),
    N_ ("Oblique, mark to the left and feet. Depth %.0f cm."),
    N_ ("Sagittal, mark to the feet. Depth %.0f cm."),
    N_ ("Oblique, mark to the right and feet. Depth %.0f cm."),
  };
  int eighth = (int)lround (pose->turn_rad / (TARN_PI / 4)) % 8;

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
  return g_strdup_printf (_ (name[(eighth + 8) % 8]),
                          tarn_image_depth_limit_mm (geometry) / 10);
#pragma GCC diagnostic pop
}

char *
tarn_felt_words (double stiffness_n_mm)
{
  if (stiffness_n_mm >= TARN_FELT_BONE_N_MM)
    return g_strdup (_ ("Under your fingertip: hard, like bone."));
  if (stiffness_n_mm >= FIRM_N_MM)
    return g_strdup (_ ("Under your fingertip: firm, it gives a little."));
  return g_strdup (_ ("Under your fingertip: soft, it gives easily."));
}

const char *
tarn_diameter_word (int which)
{
  static const char *const names[TARN_CALIPERS]
      = { N_ ("Width"), N_ ("Height"), N_ ("Length") };
  return _ (names[which]);
}
