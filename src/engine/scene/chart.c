/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/scene/chart.h"

#include "base/units.h"
#include "engine/scene/light.h"

/* Chords that stand for arcs. */
#define WALK_Z_MM      0.5
#define WALK_RAD       0.012
#define AROUND_MAX_RAD 2.9

/* Who it is. */

static TarnFigure
figure_of (const TarnPatient *patient, const TarnTorso *torso)
{
  const TarnHabitus *habitus = &patient->habitus;
  const TarnOval *oval = &torso->oval[0];
  TarnFigure figure = { 0 };
  figure.child = 1 - tarn_smoothstep (3, 15, habitus->age_years);
  /* Fat widens a torso; bones do not. */
  double bones_mm = habitus->torso_width_mm - 1.6 * fmax (habitus->fat_mm - 15, 0);
  figure.scale = tarn_clamp (bones_mm / 300, 0.4, 1.15);
  figure.slim = 1 - tarn_smoothstep (6, 32, habitus->fat_mm);
  figure.navel_mm = tarn_clamp (158 * figure.scale, 40, 175);
  figure.hem_mm = habitus->pannus_mm > 4 ? -15 : -5;
  figure.chest_mm = tarn_clamp (figure.navel_mm + 98 * figure.scale, 90, 300);
  figure.bed_y_mm = oval->middle_y_mm + 0.82 * oval->half_back_mm;
  figure.feet_z_mm = -430 * figure.scale;
  figure.head_z_mm = figure.chest_mm + 190 * figure.scale;
  return figure;
}

static double
bump (double x)
{
  return exp (-x * x);
}

/* How far the skin stands out from the engine's, mm.  @u: |x| of the half-width. */
static double
relief_mm (const TarnFigure *figure, double u, double x, double z, double above, double left)
{
  double s = figure->scale, slim = figure->slim, grown = 1 - figure->child;
  double out = 0;

  /* The waist draws in, the hips stand out; a small child's trunk is a barrel. */
  double side = tarn_smoothstep (0.72, 1.0, u);
  out -= side * (0.35 + 0.65 * slim) * 8 * grown * bump ((z - 178 * s) / (72 * s));
  out += side * 4 * grown * bump ((z - 15 * s) / (55 * s));

  /* Iliac crest: from the front spine up and outwards. */
  double along = (fabs (x) - 108 * s) / (38 * s);
  double ridge = z - (78 + 26 * along) * s;
  out += 4.6 * slim * (0.4 + 0.6 * grown) * bump (along) * bump (ridge / (15 * s));
  out -= 2.4 * slim * (0.4 + 0.6 * grown) * bump (along + 0.9) * bump ((ridge + 8) / (30 * s));

  /* Rib margin: an arch, the belly a little lower than what it bounds. */
  double margin = (285 - 0.0 * x) * s - 0.62 * fabs (x) - 8;
  out += 4.5 * (0.25 + 0.75 * slim) * (tarn_smoothstep (-16, 14, z - margin) - 0.5)
         * tarn_smoothstep (margin - 70, margin - 20, z);

  /* The line between the two straight muscles, and their outer edge. */
  double upper = tarn_smoothstep (0.5, 1.1, z / fmax (figure->navel_mm, 1));
  out -= 1.3 * slim * upper * bump (x / (7 * s));
  out -= 0.9 * slim * grown * bump ((fabs (x) - 62 * s) / (12 * s)) * upper;

  /* Navel: a dimple with a soft rim, wider than high where there is fat. */
  double wide = (6.5 + 3 * (1 - slim)) * (0.6 + 0.4 * s), high = 6.0 * (0.6 + 0.4 * s);
  double r = hypot (left / wide, (above - figure->navel_mm) / high);
  out -= (5.5 + 4 * (1 - slim)) * (0.6 + 0.4 * s) * bump (r);
  out += 0.6 * bump ((r - 2.0) / 0.7);
  return out;
}

/* Walking. */

/* The skin all around: 0 in front, beyond ± π/2 the back. */
static TarnVec3
around_mm (const TarnTorso *torso, const TarnTorso *back, double around, double z)
{
  if (around <= TARN_PI / 2)
    return tarn_torso_skin_mm (torso, around, z);
  TarnVec3 p = tarn_torso_skin_mm (back, TARN_PI - around, z);
  p.y = 2 * torso->oval[0].middle_y_mm - p.y;
  return p;
}

static TarnTorso
back_of (const TarnTorso *torso)
{
  TarnTorso back = *torso;
  back.pannus_mm = 0;
  back.oval[0].half_front_mm = torso->oval[0].half_back_mm;
  return back;
}

/* How far it is along the skin from the middle down to @y_mm behind. */
static double
reach_mm (const TarnTorso *torso, const TarnTorso *back, double z, double y_mm)
{
  TarnVec3 here = around_mm (torso, back, 0, z);
  double length = 0;
  for (double around = WALK_RAD; around < AROUND_MAX_RAD && here.y < y_mm; around += WALK_RAD)
    {
      TarnVec3 next = around_mm (torso, back, around, z);
      length += tarn_distance (here, next);
      here = next;
    }
  return length;
}

/* One row of the map, relief not yet in it. */
static void
walk_row (TarnSkinChart *chart, const TarnTorso *back, double z, TarnVec3 *row)
{
  TarnVec3 here = around_mm (&chart->torso, back, 0, z);
  row[0] = here;
  double gone = 0, around = 0;
  for (int k = 1; k < TARN_CHART_COLUMNS;)
    {
      bool more = around + WALK_RAD < AROUND_MAX_RAD;
      TarnVec3 next = around_mm (&chart->torso, back, around + WALK_RAD, z);
      double chord = tarn_distance (here, next), want = k * chart->left_pitch_mm;
      if (!more)
        {
          row[k++] = here;
          continue;
        }
      if (gone + chord >= want)
        {
          double share = (want - gone) / chord;
          row[k++] = tarn_add (tarn_scale (here, 1 - share), tarn_scale (next, share));
          continue;
        }
      gone += chord;
      around += WALK_RAD;
      here = next;
    }
}

static bool
has_pannus (const TarnTorso *torso, double z)
{
  return torso->pannus_mm > 0 && z > torso->pannus_foot_mm - 1
         && z < torso->pannus_reach_mm + 1;
}

/* Of the key light, how much the fold leaves: the skin towards the light is looked at. */
static double
fold_light (const TarnSkinChart *chart, TarnVec3 p)
{
  const TarnTorso *torso = &chart->torso;
  if (torso->pannus_mm <= 0 || p.z > torso->pannus_reach_mm || p.z < torso->pannus_foot_mm - 90
      || fabs (p.x) > 0.97 * torso->oval[0].half_width_mm
      || p.y > torso->oval[0].middle_y_mm - 10)
    return 1;
  double open = 1;
  for (int k = 1; k <= 6; k++)
    {
      double t = 7.0 * k * k / 3;
      TarnVec3 to = { p.x + t * TARN_LIGHT_X, p.y + t * TARN_LIGHT_Y, p.z + t * TARN_LIGHT_Z };
      if (fabs (to.x) >= torso->oval[0].half_width_mm)
        break;
      double front = tarn_torso_front_mm (torso, TARN_LAYER_SKIN, to.x, to.z);
      double inside = to.y - front;
      open = fmin (open, 1 - tarn_smoothstep (-1 - 0.15 * t, 1 + 0.15 * t, inside));
    }
  double crease = tarn_torso_crease (torso, p.x, p.z);
  return (0.35 + 0.65 * open) * (1 - 0.45 * crease);
}

static void
finish_row (TarnSkinChart *chart, int row, double above, const TarnVec3 *walked)
{
  const TarnTorso *torso = &chart->torso;
  const TarnFigure *figure = &chart->figure;
  for (int k = 0; k < TARN_CHART_COLUMNS; k++)
    {
      TarnVec3 p = walked[k], n;
      double left = k * chart->left_pitch_mm, u = p.x / torso->oval[0].half_width_mm;
      tarn_torso_distance_mm (torso, TARN_LAYER_SKIN, p, &n);
      double out = relief_mm (figure, u, p.x, p.z, above, left);
      TarnVec3 drawn = tarn_add_scaled (p, n, out);
      double hollow = bump (hypot (left, 1.1 * (above - figure->navel_mm)) / 5.5);
      double shade = fold_light (chart, p) * (1 - 0.55 * hollow);
      chart->point[row][k]
          = (TarnChartPoint){ { (float)drawn.x, (float)drawn.y, (float)drawn.z },
                              (float)shade };
    }
}

void
tarn_chart_init (TarnSkinChart *chart, const TarnBody *body)
{
  const TarnPatient *patient = tarn_body_patient (body);
  TarnTorso *torso = &chart->torso;
  tarn_torso_init (torso, patient, tarn_body_lift (body));
  TarnTorso back = back_of (torso);
  chart->figure = figure_of (patient, torso);
  chart->complexion = patient->habitus.complexion;

  double bed = chart->figure.bed_y_mm + 3, middle = 0;
  chart->left_most_mm = reach_mm (torso, &back, TARN_TORSO_HEAD_MM, bed);
  for (double z = torso->pannus_foot_mm; z < torso->pannus_reach_mm; z += 20)
    chart->left_most_mm = fmax (chart->left_most_mm, reach_mm (torso, &back, z, bed));
  chart->left_pitch_mm = chart->left_most_mm / (TARN_CHART_COLUMNS - 1);

  /* Arc length at either end of the midline, then rows at even steps between. */
  double end[2] = { 0, 0 };
  for (int side = 0; side < 2; side++)
    {
      double limit = side == 0 ? TARN_TORSO_FEET_MM : TARN_TORSO_HEAD_MM;
      double step = copysign (WALK_Z_MM, limit);
      TarnVec3 here = tarn_torso_skin_mm (torso, 0, 0);
      for (double z = step; fabs (z) <= fabs (limit); z += step)
        {
          TarnVec3 next = tarn_torso_skin_mm (torso, 0, z);
          end[side] += copysign (tarn_distance (here, next), limit);
          here = next;
        }
    }
  chart->rows = TARN_CHART_ROWS;
  chart->low_mm = end[0];
  chart->above_pitch_mm = (end[1] - end[0]) / (chart->rows - 1);

  double z = TARN_TORSO_FEET_MM;
  TarnVec3 here = tarn_torso_skin_mm (torso, 0, z), walked[TARN_CHART_COLUMNS];
  bool plain = false;
  for (int row = 0; row < chart->rows; row++)
    {
      double want = row * chart->above_pitch_mm, level = z;
      for (;;)
        {
          TarnVec3 next = tarn_torso_skin_mm (torso, 0, z + WALK_Z_MM);
          double chord = tarn_distance (here, next);
          level = z + WALK_Z_MM * tarn_clamp ((want - middle) / chord, 0, 1);
          if (middle + chord >= want || z >= TARN_TORSO_HEAD_MM)
            break;
          middle += chord;
          z += WALK_Z_MM;
          here = next;
        }
      /* Rows without a fold are all alike. */
      if (plain && !has_pannus (torso, level))
        for (int k = 0; k < TARN_CHART_COLUMNS; k++)
          walked[k].z = level;
      else
        walk_row (chart, &back, level, walked);
      plain = !has_pannus (torso, level);
      finish_row (chart, row, chart->low_mm + want, walked);
    }
}

double
tarn_chart_high_mm (const TarnSkinChart *chart)
{
  return chart->low_mm + (chart->rows - 1) * chart->above_pitch_mm;
}

TarnVec3
tarn_chart_point (const TarnSkinChart *chart, double above_mm, double left_mm, double *shade)
{
  double row
      = tarn_clamp ((above_mm - chart->low_mm) / chart->above_pitch_mm, 0, chart->rows - 1.001);
  double column
      = tarn_clamp (fabs (left_mm) / chart->left_pitch_mm, 0, TARN_CHART_COLUMNS - 1.001);
  int r = (int)row, c = (int)column;
  double fr = row - r, fc = column - c;
  const TarnChartPoint *low = &chart->point[r][c], *high = &chart->point[r + 1][c];
  double weight[4] = { (1 - fr) * (1 - fc), (1 - fr) * fc, fr * (1 - fc), fr * fc };
  double p[3];
  for (int k = 0; k < 3; k++)
    p[k] = weight[0] * (double)low[0].p_mm[k] + weight[1] * (double)low[1].p_mm[k]
           + weight[2] * (double)high[0].p_mm[k] + weight[3] * (double)high[1].p_mm[k];
  if (shade != NULL)
    *shade = weight[0] * (double)low[0].shade + weight[1] * (double)low[1].shade
             + weight[2] * (double)high[0].shade + weight[3] * (double)high[1].shade;
  return tarn_vec3 (copysign (p[0], left_mm), p[1], p[2]);
}

TarnVec3
tarn_chart_normal (const TarnSkinChart *chart, double above_mm, double left_mm)
{
  TarnVec3 right = tarn_chart_point (chart, above_mm, left_mm - 2, NULL);
  TarnVec3 left = tarn_chart_point (chart, above_mm, left_mm + 2, NULL);
  TarnVec3 low = tarn_chart_point (chart, above_mm - 2, left_mm, NULL);
  TarnVec3 high = tarn_chart_point (chart, above_mm + 2, left_mm, NULL);
  return tarn_normalize (tarn_cross (tarn_sub (left, right), tarn_sub (high, low)));
}

void
tarn_chart_place (const TarnSkinChart *chart, TarnVec3 p_mm, double *above_mm, double *left_mm)
{
  int row = 0, column = 0;
  while (row < chart->rows - 1 && (double)chart->point[row + 1][0].p_mm[2] <= p_mm.z)
    row++;
  double best = INFINITY;
  for (int k = 0; k < TARN_CHART_COLUMNS; k++)
    {
      const float *q = chart->point[row][k].p_mm;
      double gap = hypot ((double)q[0] - fabs (p_mm.x), (double)q[1] - p_mm.y);
      if (gap < best)
        {
          best = gap;
          column = k;
        }
    }
  *above_mm = chart->low_mm + row * chart->above_pitch_mm;
  *left_mm = copysign (column * chart->left_pitch_mm, p_mm.x);
}
