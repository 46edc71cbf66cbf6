/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/body/torso.h"

#include "base/units.h"

/* The fat's inner face passes this far in front of the symphysis. */
#define BONE_BEHIND_FAT_MM 4.0
#define LINEA_ALBA_MM      3.0
/* Muscle rises from the bone over this height. */
#define MUSCLE_ROOT_MM 12.0
/* The fat that fills the gap of a bladder pushed back fades out over this height. */
#define MOVED_FADE_MM 40.0
/* Fat behind the middle of the symphysis, and how deep fat may reach at all. */
#define FAT_BEHIND_JOINT_MM 4.0
#define FAT_DEPTH_MAX_MM    70.0
#define BACK_FAT_MAX_MM     25.0

/* u^2.5 with one square root: no libm, the same bits everywhere. */
static inline double
power (double u)
{
  return u * u * sqrt (u);
}

/* tarn_smoothstep (), spared its division where the answer is 0 or 1. */
static inline double
step_up (double low, double high, double value)
{
  return value <= low ? 0 : value >= high ? 1 : tarn_smoothstep (low, high, value);
}

static inline TarnRange
range_times (TarnRange a, TarnRange b) /* both >= 0 */
{
  return (TarnRange){ a.low * b.low, a.high * b.high };
}

/* Making one. */

void
tarn_torso_init (TarnTorso *torso, const TarnPatient *patient, double lift)
{
  const TarnHabitus *habitus = &patient->habitus;
  const TarnSymphysis *joint = &patient->symphysis;
  double half_width = habitus->torso_width_mm / 2, half_depth = habitus->torso_depth_mm / 2;
  double skin = habitus->skin_mm, cover = habitus->skin_mm + habitus->fat_mm;
  double front = -(cover + BONE_BEHIND_FAT_MM);

  *torso = (TarnTorso){ 0 };
  double middle = front + half_depth;
  torso->oval[0] = (TarnOval){ half_width, middle, half_depth };
  torso->oval[1] = (TarnOval){ half_width - skin, middle, half_depth - skin };
  /* However fat, half the torso is belly. */
  double belly_front = fmax (half_depth - cover, 0.5 * half_depth);
  torso->oval[2] = (TarnOval){ fmax (half_width - cover, 0.55 * half_width),
                               belly_front - BONE_BEHIND_FAT_MM, belly_front };

  double hang = 1 - lift;
  torso->pannus_mm = habitus->pannus_mm * hang;
  torso->pannus_reach_mm = habitus->pannus_reach_mm;
  torso->pannus_foot_mm = -10;
  torso->pannus_full_mm = torso->pannus_foot_mm + 24 + 0.3 * habitus->pannus_mm;
  torso->pannus_fade_mm = 0.45 * habitus->pannus_reach_mm;
  torso->crease = hang * fmin (1, habitus->pannus_mm / 15);

  torso->muscle_mm = habitus->muscle_mm;
  torso->gap_mm = habitus->prevesical_mm;

  double incline = fmax (tarn_rad_from_deg (joint->inclination_deg), 0.2);
  double half_thick = joint->thickness_mm / 2;
  torso->joint_slope = cos (incline) / sin (incline);
  torso->joint_y_mm = half_thick / sin (incline) + FAT_BEHIND_JOINT_MM;
  torso->joint_top_mm = half_thick * cos (incline);
  tarn_torso_reach_back (torso, patient, middle + half_depth);
}

void
tarn_torso_reach_back (TarnTorso *torso, const TarnPatient *patient, double y_mm)
{
  const TarnHabitus *habitus = &patient->habitus;
  double back = fmax (y_mm, torso->oval[0].middle_y_mm + torso->oval[0].half_front_mm);
  double cover[3]
      = { 0, habitus->skin_mm, habitus->skin_mm + fmin (habitus->fat_mm, BACK_FAT_MAX_MM) };
  for (int k = 0; k < 3; k++)
    {
      TarnOval *oval = &torso->oval[k];
      oval->half_back_mm
          = fmax (back - cover[k] - oval->middle_y_mm, 0.2 * oval->half_front_mm);
      oval->per_width = 1 / oval->half_width_mm;
      oval->per_front = 1 / oval->half_front_mm;
      oval->per_back = 1 / oval->half_back_mm;
    }
}

/* Offsets, and their bounds over a range of |x| and of z. */

static inline double
pannus_mm (const TarnTorso *torso, double x, double z)
{
  if (torso->pannus_mm <= 0 || z <= torso->pannus_foot_mm || z >= torso->pannus_reach_mm)
    return 0;
  double half = torso->oval[0].half_width_mm;
  return torso->pannus_mm * step_up (torso->pannus_foot_mm, torso->pannus_full_mm, z)
         * (1 - step_up (torso->pannus_fade_mm, torso->pannus_reach_mm, z))
         * (1 - step_up (0.4 * half, 0.9 * half, fabs (x)));
}

static TarnRange
pannus_range (const TarnTorso *torso, TarnRange x, TarnRange z)
{
  if (torso->pannus_mm <= 0)
    return (TarnRange){ 0, 0 };
  double half = torso->oval[0].half_width_mm;
  double foot = torso->pannus_foot_mm, full = torso->pannus_full_mm;
  double fade = torso->pannus_fade_mm, reach = torso->pannus_reach_mm;
  TarnRange rise = { step_up (foot, full, z.low), step_up (foot, full, z.high) };
  TarnRange fall = { 1 - step_up (fade, reach, z.high), 1 - step_up (fade, reach, z.low) };
  TarnRange side = { 1 - step_up (0.4 * half, 0.9 * half, x.high),
                     1 - step_up (0.4 * half, 0.9 * half, x.low) };
  TarnRange out = range_times (range_times (rise, fall), side);
  return (TarnRange){ out.low * torso->pannus_mm, out.high * torso->pannus_mm };
}

/* Everything behind the fat thins out towards the flanks. */
static inline double
flank (const TarnTorso *torso, double x)
{
  double half = torso->oval[2].half_width_mm;
  return 1 - step_up (0.55 * half, 0.95 * half, x);
}

static inline double
muscle_root (double z)
{
  return step_up (0, MUSCLE_ROOT_MM, z);
}

static inline double
muscle_across (const TarnTorso *torso, double x)
{
  double linea = fmin (LINEA_ALBA_MM, torso->muscle_mm);
  return linea + (torso->muscle_mm - linea) * step_up (3, 12, x);
}

static inline double
muscle_mm (const TarnTorso *torso, double x, double z)
{
  return z <= 0 ? 0 : muscle_root (z) * muscle_across (torso, x) * flank (torso, x);
}

static TarnRange
muscle_range (const TarnTorso *torso, TarnRange x, TarnRange z)
{
  TarnRange root = { muscle_root (z.low), muscle_root (z.high) };
  TarnRange across = { muscle_across (torso, x.low), muscle_across (torso, x.high) };
  TarnRange side = { flank (torso, x.high), flank (torso, x.low) };
  return range_times (range_times (root, across), side);
}

/* How deep the fat in front of the bladder reaches: muscle and gap, the way that bone pushed
 * the bladder, and over the bone at least to its middle.  Never rises with z. */
static inline double
gap_depth (const TarnTorso *torso, double z)
{
  double moved
      = torso->moved_mm * (1 - step_up (torso->dome_mm, torso->dome_mm + MOVED_FADE_MM, z));
  double depth = torso->muscle_mm + torso->gap_mm + moved;
  if (z < torso->joint_top_mm)
    {
      double joint = torso->joint_y_mm + BONE_BEHIND_FAT_MM - z * torso->joint_slope;
      depth = fmax (depth, fmin (joint, FAT_DEPTH_MAX_MM));
    }
  return depth;
}

static inline double
offset_mm (const TarnTorso *torso, TarnLayer layer, double x, double z)
{
  switch (layer)
    {
    case TARN_LAYER_SKIN:
    case TARN_LAYER_SKIN_INNER:
      return -pannus_mm (torso, x, z);
    case TARN_LAYER_MUSCLE_INNER:
      return muscle_mm (torso, fabs (x), z);
    case TARN_LAYER_GAP_INNER:
      return gap_depth (torso, z) * flank (torso, fabs (x));
    default:
      return 0;
    }
}

static TarnRange
offset_range (const TarnTorso *torso, TarnLayer layer, TarnRange x, TarnRange z)
{
  switch (layer)
    {
    case TARN_LAYER_SKIN:
    case TARN_LAYER_SKIN_INNER:
      {
        TarnRange pannus = pannus_range (torso, x, z);
        return (TarnRange){ -pannus.high, -pannus.low };
      }
    case TARN_LAYER_MUSCLE_INNER:
      return muscle_range (torso, x, z);
    case TARN_LAYER_GAP_INNER:
      return range_times ((TarnRange){ gap_depth (torso, z.high), gap_depth (torso, z.low) },
                          (TarnRange){ flank (torso, x.high), flank (torso, x.low) });
    default:
      return (TarnRange){ 0, 0 };
    }
}

static inline const TarnOval *
oval_of (const TarnTorso *torso, TarnLayer layer)
{
  return &torso->oval[layer < TARN_LAYER_FAT_INNER ? (int)layer : 2];
}

/* Borders. */

double
tarn_torso_level (const TarnTorso *torso, TarnLayer layer, TarnVec3 p_mm)
{
  const TarnOval *oval = oval_of (torso, layer);
  double v = p_mm.y - oval->middle_y_mm;
  if (v < 0)
    v = fmax (offset_mm (torso, layer, p_mm.x, p_mm.z) - v, 0) * oval->per_front;
  else
    v *= oval->per_back;
  return power (fabs (p_mm.x) * oval->per_width) + power (v) - 1;
}

static TarnRange
absolute_range (double low, double high)
{
  double a = fabs (low), b = fabs (high);
  return (TarnRange){ low <= 0 && high >= 0 ? 0 : fmin (a, b), fmax (a, b) };
}

TarnRange
tarn_torso_level_range (const TarnTorso *torso, TarnLayer layer, const TarnBox *box)
{
  const TarnOval *oval = oval_of (torso, layer);
  TarnRange x = absolute_range (box->low.x, box->high.x);
  double low = box->low.y - oval->middle_y_mm, high = box->high.y - oval->middle_y_mm;
  TarnRange v = { INFINITY, 0 };

  /* The front half, as far as the block lies in it, then the back half. */
  if (low < 0)
    {
      TarnRange offset = offset_range (torso, layer, x, (TarnRange){ box->low.z, box->high.z });
      v.low = fmax (offset.low - fmin (high, 0), 0) * oval->per_front;
      v.high = fmax (offset.high - low, 0) * oval->per_front;
    }
  if (high >= 0)
    {
      v.low = fmin (v.low, fmax (low, 0) * oval->per_back);
      v.high = fmax (v.high, high * oval->per_back);
    }

  /* A hair of slack for rounding. */
  return (TarnRange){ power (x.low * oval->per_width) + power (v.low) - 1 - 1e-9,
                      power (x.high * oval->per_width) + power (v.high) - 1 + 1e-9 };
}

double
tarn_torso_distance_mm (const TarnTorso *torso, TarnLayer layer, TarnVec3 p_mm,
                        TarnVec3 *gradient)
{
  const TarnOval *oval = oval_of (torso, layer);
  double ahead = oval->middle_y_mm - p_mm.y, half = oval->half_front_mm, sign = -1;
  double slope_x = 0, slope_z = 0, v;
  if (ahead > 0)
    {
      double x = p_mm.x, z = p_mm.z, step = 0.25;
      v = fmax (ahead + offset_mm (torso, layer, x, z), 0) / half;
      slope_x = (offset_mm (torso, layer, x + step, z) - offset_mm (torso, layer, x - step, z))
                / (2 * step);
      slope_z = (offset_mm (torso, layer, x, z + step) - offset_mm (torso, layer, x, z - step))
                / (2 * step);
    }
  else
    {
      half = oval->half_back_mm;
      v = -ahead / half;
      sign = 1;
    }

  /* n = (u^2.5 + v^2.5)^0.4 is 1 on the border and grows in proportion along every ray. */
  double u = fabs (p_mm.x) / oval->half_width_mm;
  double sum = power (u) + power (v);
  double n = pow (sum, 0.4), scale = sum > 1e-12 ? n / sum : 0;
  double in_y = scale * v * sqrt (v) / half;
  TarnVec3 slope
      = { copysign (scale * u * sqrt (u) / oval->half_width_mm, p_mm.x), sign * in_y, 0 };
  if (sign < 0)
    {
      slope.x += in_y * slope_x;
      slope.z += in_y * slope_z;
    }
  double length = tarn_length (slope);
  if (length < 1e-9)
    {
      if (gradient != NULL)
        *gradient = tarn_vec3 (0, -1, 0);
      return -fmin (oval->half_width_mm, oval->half_front_mm);
    }
  if (gradient != NULL)
    *gradient = tarn_scale (slope, 1 / length);
  return (n - 1) / length;
}

double
tarn_torso_front_mm (const TarnTorso *torso, TarnLayer layer, double x_mm, double z_mm)
{
  const TarnOval *oval = oval_of (torso, layer);
  double left = fmax (1 - power (fmin (fabs (x_mm) / oval->half_width_mm, 1)), 0);
  return oval->middle_y_mm - oval->half_front_mm * pow (left, 0.4)
         + offset_mm (torso, layer, x_mm, z_mm);
}

TarnVec3
tarn_torso_skin_mm (const TarnTorso *torso, double around_rad, double z_mm)
{
  const TarnOval *oval = &torso->oval[0];
  double s = sin (around_rad), c = fmax (cos (around_rad), 0);
  double radius
      = pow (power (fabs (s) / oval->half_width_mm) + power (c / oval->half_front_mm), -0.4);
  double x = radius * s;
  return tarn_vec3 (x, oval->middle_y_mm - radius * c - pannus_mm (torso, x, z_mm), z_mm);
}

double
tarn_torso_crease (const TarnTorso *torso, double x_mm, double z_mm)
{
  if (torso->crease <= 0)
    return 0;
  /* Deepest just above the foot of the fold; closed 8 mm below, open by half the way up. */
  double half = torso->oval[0].half_width_mm, foot = torso->pannus_foot_mm;
  double middle = 0.5 * (foot + torso->pannus_full_mm);
  return torso->crease * step_up (foot - 8, foot + 2, z_mm)
         * (1 - step_up (foot + 2, middle, z_mm))
         * (1 - step_up (0.4 * half, 0.9 * half, fabs (x_mm)));
}
