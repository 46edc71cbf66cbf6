/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers, readings, poses and planes in words. */
#include "app/words.h"

#include "base/units.h"
#include "report/rounding.h"

#include <glib/gi18n.h>
#include <math.h>

#define LIGHT_N 6.0 /* below it, and above HARD_N, pressure has another word (own) */
#define FIRM_N  15.0

/* Smaller offsets and angles of a pose go unsaid. */
#define NEAR_MM  2.5
#define NEAR_DEG 2.5

const char *
tarn_words_volume_unit (const TarnUnits *units)
{
  return units->cubic_cm ? _ ("cm³") : _ ("mL");
}

char *
tarn_words_volume_number (double ml)
{
  return g_strdup_printf ("%.*f", ml == 0 ? 0 : tarn_ml_decimals (fabs (ml)), ml);
}

char *
tarn_words_volume (double ml, const TarnUnits *units)
{
  g_autofree char *number = tarn_words_volume_number (ml);
  /* Translators: a volume: number and unit. */
  return g_strdup_printf (C_ ("volume", "%s %s"), number, tarn_words_volume_unit (units));
}

char *
tarn_words_signed_volume (long steps, int decimals, const TarnUnits *units)
{
  double size = (double)labs (steps) / (decimals > 0 ? 10 : 1);
  g_autofree char *number = g_strdup_printf ("%s%.*f",
                                             steps < 0   ? "−"
                                             : steps > 0 ? "+"
                                                         : "",
                                             steps != 0 ? decimals : 0, size);
  return g_strdup_printf (C_ ("volume", "%s %s"), number, tarn_words_volume_unit (units));
}

char *
tarn_words_length (double mm, const TarnUnits *units)
{
  return units->millimetres ? g_strdup_printf (_ ("%.0f mm"), mm)
                            : g_strdup_printf (_ ("%.1f cm"), mm / 10);
}

char *
tarn_words_time (uint32_t tick)
{
  unsigned seconds = tick / TARN_TICKS_PER_SECOND;
  /* Translators: minutes and seconds since the attempt began. */
  return g_strdup_printf (_ ("%u:%02u"), seconds / 60, seconds % 60);
}

/* ---- Readings and the note ---- */

static char *
at_least (double ml, const TarnUnits *units)
{
  g_autofree char *volume = tarn_words_volume (ml, units);
  return g_strdup_printf (_ ("At least %s"), volume);
}

char *
tarn_words_reading (const TarnReading *reading, const TarnUnits *units)
{
  switch (reading->kind)
    {
    case TARN_READING_MEASURE:
      return tarn_words_volume (reading->volume_ml, units);
    case TARN_READING_LOWER_BOUND:
      return at_least (reading->volume_ml, units);
    case TARN_READING_NOT_SEEN:
    case TARN_READING_KINDS:
      break;
    }
  return g_strdup (_ ("Not seen"));
}

char *
tarn_words_record (TarnRecordKind record, double ml, const TarnUnits *units)
{
  switch (record)
    {
    case TARN_RECORD_NONE:
      break;
    case TARN_RECORD_EXACT:
      return tarn_words_volume (ml, units);
    case TARN_RECORD_AT_LEAST:
      return at_least (ml, units);
    case TARN_RECORD_NOT_SEEN:
      return g_strdup (_ ("Not seen"));
    }
  return g_strdup (_ ("Nothing"));
}

char *
tarn_words_formula (const TarnDiameters *diameters, double coefficient, const TarnUnits *units)
{
  g_autofree char *length = tarn_words_length (diameters->length_mm, units);
  g_autofree char *width = tarn_words_length (diameters->width_mm, units);
  g_autofree char *height = tarn_words_length (diameters->height_mm, units);
  g_autofree char *volume
      = tarn_words_volume (tarn_diameters_volume_ml (diameters, coefficient), units);
  return g_strdup_printf ("%.3g × %s × %s × %s = %s", coefficient, length, width, height,
                          volume);
}

/* The engine's list, in its order, for the translators. */
static const struct
{
  const char *shape, *source;
} coefficients[TARN_COEFFICIENTS] = {
  { N_ ("ellipsoid, exact"), N_ ("derived: pi/6") },
  { N_ ("ellipsoid, rounded"), N_ ("common practice, no source") },
  { N_ ("round"), N_ ("146 children, by shape of bladder (Kuzmic 2003)") },
  { N_ ("triangular"), N_ ("146 children, by shape of bladder (Kuzmic 2003)") },
  { N_ ("all shapes"), N_ ("146 children, by shape of bladder (Kuzmic 2003)") },
  { N_ ("unknown"), N_ ("handbooks; from memory") },
  { N_ ("undefined"), N_ ("146 children, by shape of bladder (Kuzmic 2003)") },
  { N_ ("ellipsoid, measured"), N_ ("146 children, by shape of bladder (Kuzmic 2003)") },
  { N_ ("cuboid"), N_ ("146 children, by shape of bladder (Kuzmic 2003)") },
  { N_ ("handbook"), N_ ("handbooks") },
};

const char *
tarn_words_shape (int index)
{
  g_return_val_if_fail (index >= 0 && index < TARN_COEFFICIENTS, "");
  return _ (coefficients[index].shape);
}

const char *
tarn_words_shape_source (int index)
{
  g_return_val_if_fail (index >= 0 && index < TARN_COEFFICIENTS, "");
  return _ (coefficients[index].source);
}

char *
tarn_words_coefficient (double coefficient)
{
  int nearest = 0;
  for (int k = 1; k < TARN_COEFFICIENTS; k++)
    if (fabs (tarn_coefficient (k)->k - coefficient)
        < fabs (tarn_coefficient (nearest)->k - coefficient))
      nearest = k;
  if (fabs (tarn_coefficient (nearest)->k - coefficient) > 0.0005)
    return g_strdup_printf (_ ("Coefficient %.3g, chosen freely"), coefficient);
  return g_strdup_printf (_ ("Coefficient %.3g: %s (%s)"), coefficient,
                          tarn_words_shape (nearest), tarn_words_shape_source (nearest));
}

/* ---- Poses and planes ---- */

static void
take_part (GPtrArray *parts, char *part)
{
  g_ptr_array_add (parts, part);
}

static char *
join_parts (GPtrArray *parts)
{
  g_ptr_array_add (parts, NULL);
  /* Translators: between the parts of a list. */
  char *joined = g_strjoinv (C_ ("list", ", "), (char **)parts->pdata);
  g_ptr_array_unref (parts);
  return joined;
}

static void
take_place (GPtrArray *parts, const TarnPose *pose, const TarnUnits *units)
{
  double above_mm = fabs (pose->above_mm), left_mm = fabs (pose->left_mm);
  g_autofree char *above = units->millimetres ? tarn_words_length (above_mm, units)
                                              : g_strdup_printf (_ ("%.0f mm"), above_mm);
  g_autofree char *left = g_strdup_printf (_ ("%.0f mm"), left_mm);

  /* Translators: over or under the upper edge of the pubic bone. */
  take_part (parts, pose->above_mm >= 0 ? g_strdup_printf (_ ("%s above"), above)
                                        : g_strdup_printf (_ ("%s below"), above));
  if (left_mm < NEAR_MM)
    take_part (parts, g_strdup (_ ("on the midline")));
  else
    take_part (parts, pose->left_mm > 0 ? g_strdup_printf (_ ("%s left"), left)
                                        : g_strdup_printf (_ ("%s right"), left));
}

static const char *
pressure_word (double force_n)
{
  if (!(force_n > 0))
    return _ ("off the skin");
  return force_n < LIGHT_N  ? _ ("light pressure")
         : force_n < FIRM_N ? _ ("moderate pressure")
                            : _ ("firm pressure");
}

char *
tarn_words_pose (const TarnPose *pose, const TarnUnits *units)
{
  GPtrArray *parts = g_ptr_array_new_with_free_func (g_free);
  double tilt = tarn_deg_from_rad (pose->tilt_rad), lean = tarn_deg_from_rad (pose->lean_rad);

  take_place (parts, pose, units);
  if (fabs (tilt) >= NEAR_DEG)
    take_part (parts, tilt > 0 ? g_strdup_printf (_ ("tilted %.0f° to the feet"), tilt)
                               : g_strdup_printf (_ ("tilted %.0f° to the head"), -tilt));
  if (fabs (lean) >= NEAR_DEG)
    take_part (parts, lean > 0 ? g_strdup_printf (_ ("leaning %.0f° to the left"), lean)
                               : g_strdup_printf (_ ("leaning %.0f° to the right"), -lean));
  take_part (parts, g_strdup (pressure_word (pose->force_n)));
  return join_parts (parts);
}

/* The way in which a plane leans, to the nearest of eight; as tarn_picture_lean (). */
static const char *
lean_format (double turn_rad, gboolean negative)
{
  static const char *const format[8] = {
    N_ ("Plane %d of %d, %.0f° to the feet"),
    N_ ("Plane %d of %d, %.0f° to the feet and right"),
    N_ ("Plane %d of %d, %.0f° to the patient’s right"),
    N_ ("Plane %d of %d, %.0f° to the right and head"),
    N_ ("Plane %d of %d, %.0f° to the head"),
    N_ ("Plane %d of %d, %.0f° to the head and left"),
    N_ ("Plane %d of %d, %.0f° to the patient’s left"),
    N_ ("Plane %d of %d, %.0f° to the left and feet"),
  };
  int eighth = (int)lround (turn_rad / (TARN_PI / 4)) + (negative ? 0 : 4);
  return _ (format[(eighth % 8 + 8) % 8]);
}

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
char *
tarn_words_plane (int index, int planes, double fan_rad, double turn_rad)
{
  double deg = tarn_deg_from_rad (fan_rad);
  if (fabs (deg) < 0.5)
    return g_strdup_printf (_ ("Plane %d of %d, straight on"), index + 1, planes);
  return g_strdup_printf (lean_format (turn_rad, deg < 0), index + 1, planes, fabs (deg));
}
#pragma GCC diagnostic pop

char *
tarn_words_evidence (const TarnOutline *outline)
{
  if (!outline->found)
    return g_strdup (_ ("nothing outlined"));
  GPtrArray *parts = g_ptr_array_new_with_free_func (g_free);
  take_part (parts, g_strdup_printf (_ ("border seen %.0f %%"), 100 * outline->seen));
  if (outline->bridged > 0.005)
    take_part (parts, g_strdup_printf (_ ("bridged %.0f %%"), 100 * outline->bridged));
  if (outline->at_edge > 0.005)
    take_part (parts, g_strdup_printf (_ ("at the edge %.0f %%"), 100 * outline->at_edge));
  return join_parts (parts);
}
