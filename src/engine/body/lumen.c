/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/body/lumen.h"

#include "base/random.h"
#include "base/units.h"

/* The neck begins a little above the middle; at the bottom it has lost half the width. */
#define NECK_TOP  0.3
#define NECK_LOSS 0.5
#define SWELL     0.18

void
tarn_lumen_scale (TarnLumen *lumen, TarnVec3 half_mm)
{
  lumen->half_mm = half_mm;
  lumen->per_half = tarn_vec3 (1 / half_mm.x, 1 / half_mm.y, 1 / half_mm.z);
}

void
tarn_lumen_init (TarnLumen *lumen, const TarnPatient *patient)
{
  const TarnBladder *bladder = &patient->bladder;
  *lumen = (TarnLumen){
    .empty = bladder->volume_ml < TARN_LUMEN_LEAST_ML,
    .neck = NECK_LOSS * bladder->pear,
    .swell = SWELL * bladder->irregular,
    .wall_mm = bladder->wall_mm,
  };
  if (patient->shape.any)
    {
      lumen->shape = &patient->shape;
      lumen->swell = (double)patient->shape.most;
    }
  tarn_lumen_scale (
      lumen, tarn_vec3 (bladder->width_mm / 2, bladder->height_mm / 2, bladder->length_mm / 2));

  /* Directions and weights of the lumps; the weights' magnitudes add up to 1. */
  double sum = 0;
  for (int k = 0; k < TARN_LUMPS; k++)
    {
      uint64_t at = 0x6c756d70u + 8 * (uint64_t)k;
      TarnVec3 axis
          = { tarn_normal_at (patient->seed, at), tarn_normal_at (patient->seed, at + 1),
              tarn_normal_at (patient->seed, at + 2) };
      axis = tarn_normalize (axis);
      lumen->lump[k] = tarn_length (axis) > 0 ? axis : tarn_vec3 (1, 0, 0);
      double weight = 0.4 + 0.6 * tarn_uniform_at (patient->seed, at + 3);
      sum += weight;
      lumen->lump_weight[k] = tarn_uniform_at (patient->seed, at + 4) < 0.5 ? -weight : weight;
    }
  for (int k = 0; k < TARN_LUMPS; k++)
    lumen->lump_weight[k] /= sum;
}

/* A measured shape at a unit direction, as lumps: within ±1. */
static double
measured_at (const TarnLumen *lumen, TarnVec3 m, TarnVec3 *slope)
{
  double part = (tarn_shape_radius (lumen->shape, m, slope) - 1) / lumen->swell;
  if (slope != NULL)
    *slope = tarn_scale (*slope, 1 / lumen->swell);
  return part;
}

/* The lumps at a unit direction: Legendre polynomials of degree 2 and 3 about their axes, which
 * stay within ±1; @slope: out, their gradient; may be NULL. */
static double
lumps_at (const TarnLumen *lumen, TarnVec3 m, TarnVec3 *slope)
{
  double sum = 0;
  if (lumen->shape != NULL)
    return measured_at (lumen, m, slope);
  if (slope != NULL)
    *slope = tarn_vec3 (0, 0, 0);
  for (int k = 0; k < TARN_LUMPS; k++)
    {
      double t = tarn_dot (m, lumen->lump[k]), w = lumen->lump_weight[k];
      bool cubic = k % 2 == 1;
      sum += w * (cubic ? (2.5 * t * t - 1.5) * t : 1.5 * t * t - 0.5);
      if (slope != NULL)
        *slope
            = tarn_add_scaled (*slope, lumen->lump[k], w * (cubic ? 7.5 * t * t - 1.5 : 3 * t));
    }
  return sum;
}

/* What of the width is left at level @z of the round body; @slope: out, d/dz. */
static inline double
neck_at (const TarnLumen *lumen, double z, double *slope)
{
  double t = tarn_clamp ((NECK_TOP - z) * (1 / (1 + NECK_TOP)), 0, 1);
  *slope = lumen->neck * 6 * t * (1 - t) * (1 / (1 + NECK_TOP));
  return 1 - lumen->neck * t * t * (3 - 2 * t);
}

TarnVec3
tarn_lumen_point_mm (const TarnLumen *lumen, TarnVec3 direction)
{
  double rho = 1 + (lumen->swell > 0 ? lumen->swell * lumps_at (lumen, direction, NULL) : 0);
  TarnVec3 q = tarn_scale (direction, rho);
  double slope, width = neck_at (lumen, q.z, &slope);
  return tarn_vec3 (lumen->centre_mm.x + lumen->half_mm.x * width * q.x,
                    lumen->centre_mm.y + lumen->half_mm.y * width * q.y,
                    lumen->centre_mm.z + lumen->half_mm.z * q.z);
}

/* Of a point: where it is in the round body, and what the way there did to it. */
typedef struct
{
  TarnVec3 q;
  double width, narrow, slope; /* left by the neck; its inverse; its change with q.z */
} Round;

static inline Round
round_of (const TarnLumen *lumen, TarnVec3 p_mm)
{
  TarnVec3 q = tarn_sub (p_mm, lumen->centre_mm);
  q.z *= lumen->per_half.z;
  Round r = { .width = 1, .narrow = 1 };
  if (lumen->neck > 0 && q.z < NECK_TOP)
    {
      r.width = neck_at (lumen, q.z, &r.slope);
      r.narrow = 1 / r.width;
    }
  q.x *= lumen->per_half.x * r.narrow;
  q.y *= lumen->per_half.y * r.narrow;
  r.q = q;
  return r;
}

/* Level and slope at a place in the round body, |q| = @length > 0. */
static inline double
level_at (const TarnLumen *lumen, const Round *r, double length, TarnVec3 *gradient)
{
  TarnVec3 q = r->q, m = tarn_scale (q, 1 / length), g = m;
  double level = length - 1;
  if (lumen->swell > 0)
    {
      TarnVec3 s;
      level -= lumen->swell * lumps_at (lumen, m, gradient != NULL ? &s : NULL);
      if (gradient != NULL)
        {
          s = tarn_add_scaled (s, m, -tarn_dot (s, m));
          g = tarn_add_scaled (g, s, -lumen->swell / length);
        }
    }
  /* Through neck and stretch by the chain rule. */
  if (gradient != NULL)
    *gradient = tarn_vec3 (
        g.x * lumen->per_half.x * r->narrow, g.y * lumen->per_half.y * r->narrow,
        (g.z - (q.x * g.x + q.y * g.y) * r->slope * r->narrow) * lumen->per_half.z);
  return level;
}

#define CORE 1e-6 /* of the round body, where there is no direction */

double
tarn_lumen_level (const TarnLumen *lumen, TarnVec3 p_mm, TarnVec3 *gradient)
{
  Round r = round_of (lumen, p_mm);
  double length = tarn_length (r.q);
  if (length >= CORE)
    return level_at (lumen, &r, length, gradient);
  if (gradient != NULL)
    *gradient = tarn_vec3 (0, 0, lumen->per_half.z);
  return -1;
}

/* Where two surfaces meet at an edge so sharp, the distance says less than it should. */
#define STEEP_LEAST 0.35

/* What the dents make of a distance and its unit gradient: again a distance to first order, and
 * a unit gradient. */
static double
dented_mm (const TarnLumen *lumen, TarnVec3 p_mm, double distance_mm, TarnVec3 *gradient)
{
  TarnVec3 g = *gradient;
  double distance = tarn_dents_blend_mm (lumen->dent, lumen->dents, p_mm, distance_mm, &g);
  double steep = tarn_length (g);
  if (steep > 1e-6)
    *gradient = tarn_scale (g, 1 / steep);
  return distance / fmax (steep, STEEP_LEAST);
}

static TarnBladderPlace
dented_place (const TarnLumen *lumen, TarnVec3 p_mm)
{
  double distance = tarn_lumen_distance_mm (lumen, p_mm, NULL);
  return distance < 0                ? TARN_IN_LUMEN
         : distance < lumen->wall_mm ? TARN_IN_WALL
                                     : TARN_OFF_BLADDER;
}

TarnBladderPlace
tarn_lumen_place (const TarnLumen *lumen, TarnVec3 p_mm)
{
  /* Far inside or outside needs no root. */
  Round r = round_of (lumen, p_mm);
  double square = tarn_dot (r.q, r.q);
  if (square > lumen->surely_off && lumen->bulges == 0)
    return TARN_OFF_BLADDER;
  if (lumen->dents > 0)
    return dented_place (lumen, p_mm);
  if (square < lumen->surely_in)
    return lumen->empty ? TARN_IN_WALL : TARN_IN_LUMEN;

  TarnVec3 g;
  double level = level_at (lumen, &r, sqrt (square), &g);
  if (level < 0 && !lumen->empty)
    return TARN_IN_LUMEN;
  double reach = lumen->wall_mm * lumen->wall_mm * tarn_dot (g, g);
  return level < 0 || level * level < reach ? TARN_IN_WALL : TARN_OFF_BLADDER;
}

double
tarn_lumen_distance_mm (const TarnLumen *lumen, TarnVec3 p_mm, TarnVec3 *gradient)
{
  TarnVec3 g;
  double level = tarn_lumen_level (lumen, p_mm, &g);
  double steep = tarn_length (g), distance = level / steep;
  if (gradient == NULL && lumen->dents == 0)
    return distance;
  g = tarn_scale (g, 1 / steep);
  if (lumen->dents > 0)
    distance = dented_mm (lumen, p_mm, distance, &g);
  if (gradient != NULL)
    *gradient = g;
  return distance;
}

bool
tarn_lumen_is_bent (const TarnLumen *lumen, TarnVec3 p_mm)
{
  if (lumen->dents == 0)
    return false;
  TarnVec3 g;
  double level = tarn_lumen_level (lumen, p_mm, &g);
  return tarn_dents_are_bent (lumen->dent, lumen->dents, p_mm, level / tarn_length (g));
}

TarnVec3
tarn_lumen_wall_point_mm (const TarnLumen *lumen, TarnVec3 direction)
{
  TarnVec3 p = tarn_lumen_point_mm (lumen, direction), n;
  double missing = lumen->wall_mm - tarn_lumen_distance_mm (lumen, p, &n);
  for (int k = 0; k < 4; k++)
    {
      p = tarn_add_scaled (p, n, missing);
      missing = lumen->wall_mm - tarn_lumen_distance_mm (lumen, p, &n);
    }
  return p;
}

/* Bounds. */

/* Shells of the round body on which slope and bend are sampled, and the part of them in which
 * the bend's bound holds. */
#define SHELL_LOW 0.5
#define SHELLS    12
#define AROUND    12

static TarnVec3
shell_point_mm (const TarnLumen *lumen, double radius, int up, int around)
{
  double z = (up + 0.5) / AROUND * 2 - 1, turn = around * (2 * TARN_PI / AROUND);
  double r = radius * sqrt (1 - z * z), slope;
  double width = neck_at (lumen, radius * z, &slope);
  return tarn_vec3 (lumen->centre_mm.x + lumen->half_mm.x * width * r * cos (turn),
                    lumen->centre_mm.y + lumen->half_mm.y * width * r * sin (turn),
                    lumen->centre_mm.z + lumen->half_mm.z * radius * z);
}

static double
bend_at (const TarnLumen *lumen, TarnVec3 p, TarnVec3 g)
{
  static const TarnVec3 axis[3] = { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } };
  double step = 0.02 * fmin (lumen->half_mm.x, fmin (lumen->half_mm.y, lumen->half_mm.z));
  double sum = 0;
  for (int k = 0; k < 3; k++)
    {
      TarnVec3 there;
      tarn_lumen_level (lumen, tarn_add_scaled (p, axis[k], step), &there);
      TarnVec3 change = tarn_sub (there, g);
      sum += tarn_dot (change, change);
    }
  return sqrt (sum) / step;
}

static void
bound_box (TarnLumen *lumen)
{
  double margin = 0;
  lumen->box = (TarnBox){ lumen->centre_mm, lumen->centre_mm };
  for (int up = 0; up < 2 * AROUND; up++)
    for (int around = 0; around < 2 * AROUND; around++)
      {
        double z = (up + 0.5) / AROUND - 1, turn = around * (TARN_PI / AROUND);
        double r = sqrt (1 - z * z);
        TarnVec3 m = { r * cos (turn), r * sin (turn), z };
        TarnVec3 inner = tarn_lumen_point_mm (lumen, m),
                 p = tarn_lumen_wall_point_mm (lumen, m);
        margin = fmax (margin, tarn_distance (inner, p));
        lumen->box.low = tarn_vec3 (fmin (lumen->box.low.x, p.x), fmin (lumen->box.low.y, p.y),
                                    fmin (lumen->box.low.z, p.z));
        lumen->box.high
            = tarn_vec3 (fmax (lumen->box.high.x, p.x), fmax (lumen->box.high.y, p.y),
                         fmax (lumen->box.high.z, p.z));
      }
  lumen->wall_reach_mm = 1.1 * margin;

  /* Samples miss the outermost point by less than this. */
  double slack = 0.03 * fmax (lumen->half_mm.x, fmax (lumen->half_mm.y, lumen->half_mm.z)) + 1;
  lumen->box.low = tarn_add (lumen->box.low, tarn_vec3 (-slack, -slack, -slack));
  lumen->box.high = tarn_add (lumen->box.high, tarn_vec3 (slack, slack, slack));
}

static void
bound_bulge (TarnBox *box, const TarnDent *bulge, double wall_mm)
{
  TarnVec3 half = bulge->shape.half_mm, c = bulge->centre_mm;
  double r = fmax (half.x, fmax (half.y, half.z)) + 2 * (bulge->gap_mm + wall_mm)
             + 0.5 * bulge->round_mm;
  box->low = tarn_vec3 (fmin (box->low.x, c.x - r), fmin (box->low.y, c.y - r),
                        fmin (box->low.z, c.z - r));
  box->high = tarn_vec3 (fmax (box->high.x, c.x + r), fmax (box->high.y, c.y + r),
                         fmax (box->high.z, c.z + r));
}

void
tarn_lumen_bound (TarnLumen *lumen)
{
  TarnVec3 per = lumen->per_half;
  double thick = lumen->wall_mm * fmax (per.x, fmax (per.y, per.z));
  lumen->shell_most = fmax (2.2, 1.4 + 1.2 * thick);
  lumen->slope_most = lumen->bend_most = 0;
  for (int shell = 0; shell < SHELLS; shell++)
    for (int up = 0; up < AROUND; up++)
      for (int around = 0; around < AROUND; around++)
        {
          double radius = SHELL_LOW + (lumen->shell_most - SHELL_LOW) * shell / (SHELLS - 1);
          TarnVec3 g, p = shell_point_mm (lumen, radius, up, around);
          tarn_lumen_level (lumen, p, &g);
          lumen->slope_most = fmax (lumen->slope_most, tarn_length (g));
          lumen->bend_most = fmax (lumen->bend_most, bend_at (lumen, p, g));
        }
  lumen->slope_most *= 1.15;
  lumen->bend_most *= 1.4;

  /* Squares of |q|, for tarn_lumen_place (). */
  double in = 1 - lumen->swell, off = 1 + lumen->swell + lumen->wall_mm * lumen->slope_most;
  lumen->surely_in = in * in;
  lumen->surely_off = off * off;

  int dents = lumen->dents;
  lumen->dents = 0;
  bound_box (lumen);
  lumen->dents = dents;
  for (int k = 0; k < lumen->bulges; k++)
    bound_bulge (&lumen->box, &lumen->dent[k], lumen->wall_mm);
}

/* From a point to the surface the level changes by |level|, and between the first and the last
 * shell by no more than slope_most a millimetre; near the surface the slope at hand and the
 * bend say it more sharply. */
static bool
may_cross (const TarnLumen *lumen, double level, double steep, double radius_mm)
{
  double away = fmin (fabs (level), level < 0 ? 1 - SHELL_LOW : lumen->shell_most - 1);
  if (away > lumen->slope_most * radius_mm)
    return false;
  double room = lumen->slope_most * radius_mm;
  bool near = 1 + level - room > SHELL_LOW + lumen->swell
              && 1 + level + room < lumen->shell_most - lumen->swell;
  return !near || away <= (steep + 0.5 * lumen->bend_most * radius_mm) * radius_mm;
}

static int
side_at (const TarnLumen *lumen, TarnVec3 p_mm, double radius_mm)
{
  TarnVec3 g;
  double level = tarn_lumen_level (lumen, p_mm, &g);
  if (may_cross (lumen, level, tarn_length (g), radius_mm))
    return 0;
  return level < 0 ? -1 : 1;
}

static bool
is_off_box (const TarnBox *box, TarnVec3 p, double r)
{
  return p.x < box->low.x - r || p.x > box->high.x + r || p.y < box->low.y - r
         || p.y > box->high.y + r || p.z < box->low.z - r || p.z > box->high.z + r;
}

/* By how much a distance to first order may fall short of the true one, within the lumen. */
#define FALLS_SHORT 1.6

static int
dented_side (const TarnLumen *lumen, TarnVec3 p_mm, double radius_mm)
{
  if (tarn_dents_hold (lumen->dent, lumen->dents, p_mm, radius_mm))
    return 1;
  int side = side_at (lumen, p_mm, radius_mm);
  if (side > 0)
    return tarn_dents_do_not_add (lumen->dent, lumen->dents, p_mm, radius_mm, 0);
  if (side == 0)
    return 0;
  TarnVec3 g;
  double level = tarn_lumen_level (lumen, p_mm, &g);
  double depth = tarn_dents_depth_mm (lumen->dent, lumen->dents, p_mm, radius_mm,
                                      level / tarn_length (g));
  return depth == 0
                 || (depth < INFINITY
                     && side_at (lumen, p_mm, radius_mm + FALLS_SHORT * depth) < 0)
             ? -1
             : 0;
}

int
tarn_lumen_side (const TarnLumen *lumen, TarnVec3 p_mm, double radius_mm)
{
  if (lumen->empty || is_off_box (&lumen->box, p_mm, radius_mm))
    return 1;
  if (lumen->dents > 0)
    return dented_side (lumen, p_mm, radius_mm);
  return side_at (lumen, p_mm, radius_mm);
}

int
tarn_lumen_wall_side (const TarnLumen *lumen, TarnVec3 p_mm, double radius_mm)
{
  if (is_off_box (&lumen->box, p_mm, radius_mm))
    return 1;
  if (tarn_dents_hold (lumen->dent, lumen->dents, p_mm, radius_mm))
    return 1;
  return side_at (lumen, p_mm, radius_mm + lumen->wall_reach_mm) > 0
         && tarn_dents_do_not_add (lumen->dent, lumen->dents, p_mm, radius_mm, lumen->wall_mm);
}
