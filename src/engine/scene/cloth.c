/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * cloth.c: drapes and bed.
 *
 * A drape is a grid: rows along the body, columns across from hem to hem.  The middle columns
 * lie on the body, the next hang down its side, the last lie on the sheet.  Towards the feet
 * the torso goes over into two thighs, of which the cloth shows only that they are two. */
#include "engine/scene/layers.h"

#include "base/units.h"

#define COLUMNS    33
#define LOWER_ROWS 31
#define UPPER_ROWS 17
#define WHOLE_ROWS 26 /* of an upper drape that covers the belly too */

/* Share of the columns that lie on the body, and on the body or its side. */
#define ON_BODY   0.60
#define ON_SIDE   0.86
#define EDGE_RAD  1.36 /* where the cloth leaves the body */
#define FLARE_MM  26.0
#define SPREAD_MM 58.0

static const TarnPaint drape_paint = { { 122, 140, 162, 255 }, 255, 10, 0 };
static const TarnPaint linen_paint = { { 205, 200, 192, 255 }, 255, 6, 0 };

/* The skin below the cloth, from ribs to thighs; @around within ± π/2. */
static TarnVec3
covered_mm (const TarnSkinChart *chart, double around, double z)
{
  const TarnFigure *figure = &chart->figure;
  double s = figure->scale, half = chart->torso.oval[0].half_width_mm;
  TarnVec3 p = tarn_torso_skin_mm (&chart->torso, around, z);

  /* Hips, then thighs that grow slimmer and lower. */
  double legs = tarn_smoothstep (-32 * s, -210 * s, z), far = tarn_clamp (-z / (430 * s), 0, 1);
  double hips = exp (-pow ((z + 70 * s) / (90 * s), 2));
  double chest = tarn_smoothstep (200 * s, 380 * s, z);
  p.x *= 1 + 0.05 * hips - 0.13 * far * legs + 0.05 * chest;
  double high = figure->bed_y_mm - p.y, lower = legs * (0.22 + 0.10 * far);
  double between = exp (-pow (p.x / (0.21 * half), 2));
  double ridges = exp (-pow ((fabs (p.x) - 0.47 * half) / (0.30 * half), 2));
  high *= 1 - lower * (1 - 0.35 * ridges) - 0.17 * legs * between;
  /* The breastbone lies lower than the ribs to its sides. */
  high *= 1 + 0.03 * chest * (ridges - between);
  p.y = figure->bed_y_mm - high;
  return p;
}

/* Folds: how far the cloth stands off, mm. */
static double
fold_mm (double x, double z, double half, double tension)
{
  double u = x / half;
  /* Drawn from the hips towards the middle, each like the next but not the same: broad
   * valleys between narrower ridges. */
  double line = z + 34 * u * u + 12 * sin (2.3 * u + 0.019 * z) + 9 * u;
  double one = sin (line / 13.4 + 1.3 * sin (line / 57 + 2 * u));
  double two = sin ((z - 26 * u) / 21 + 1.7 * sin (z / 83 - 1.4 * u));
  double ridge = one > 0 ? one * one : 0.35 * one;
  double cross = two > 0 ? two * two : 0.3 * two;
  double fade = 0.55 + 0.45 * sin (z / 71 + 2.9 * u + 0.7);
  tension *= 1 - 0.6 * tarn_smoothstep (0.6, 1, fabs (u));
  return tension * (6.4 * ridge * fade + 5.4 * cross * (1 - 0.7 * fade));
}

/* Rows of a drape: at its edge it is folded back over itself. */

typedef struct
{
  double along_mm, off_mm, tension, spread; /* from the edge; of what lies on the sheet */
} EdgeRow;
static const EdgeRow edge[]
    = { { -2, -3, 0, .25 },  { -6.5, 2.5, 0.1, .3 }, { -4, 8, 0.2, .4 }, { 4, 9.5, .4, .6 },
        { 34, 9.0, .6, .9 }, { 39, 8.0, .6, .95 },   { 42, 4, .6, .95 } };
#define EDGE_ROWS (int)(sizeof edge / sizeof *edge)

/* A point of a drape.  @q: -1 … 1 from hem to hem. */
static TarnVec3
drape_mm (const TarnSkinChart *chart, double q, double z, const EdgeRow *row)
{
  const TarnFigure *figure = &chart->figure;
  double off_mm = row->off_mm, tension = row->tension;
  double side = q < 0 ? -1 : 1, s = fabs (q), half = chart->torso.oval[0].half_width_mm;
  double around = side * EDGE_RAD * fmin (s / ON_BODY, 1);
  TarnVec3 p = covered_mm (chart, around, z);
  TarnVec3 ahead = covered_mm (chart, around + 0.02, z);
  TarnVec3 behind = covered_mm (chart, around - 0.02, z);
  TarnVec3 across = tarn_normalize (tarn_sub (ahead, behind));
  TarnVec3 out = { across.y, -across.x, 0 };
  double drop = tarn_clamp ((s - ON_BODY) / (ON_SIDE - ON_BODY), 0, 1);
  double folds = fold_mm (p.x, z, half, tension) * (1 - 0.8 * drop);
  TarnVec3 on = tarn_add_scaled (p, out, off_mm * (1 - 0.75 * drop) + folds);
  if (s <= ON_BODY)
    return on;

  /* Down the side, standing off in pleats that deepen towards the bed. */
  double lie = fmax (s - ON_SIDE, 0) / (1 - ON_SIDE);
  double bed = figure->bed_y_mm - 2 - 0.3 * off_mm;
  double pleat = sin (z / 16.4 + 1.4 * sin (z / 61 + side) + 0.6 * side);
  double stand = FLARE_MM * drop * drop * (0.75 + 0.2 * sin (z / 90 + side));
  TarnVec3 hung = on;
  hung.x += side * (stand + tension * 10.5 * pleat * drop * (1 - 0.75 * lie));
  hung.y += (bed - on.y) * (drop * drop * (3 - 2 * drop) * 0.4 + 0.6 * drop);
  hung.x += side * lie * row->spread * (SPREAD_MM + 9 * sin (z / 41 + 2 * side));
  hung.y -= tension * fmax (pleat, 0) * 3.5 * lie * (1 - lie);
  return hung;
}

/* How far a place is lost in the dusk. */
static uint8_t
dusk (const TarnFigure *figure, double x, double z)
{
  double s = figure->scale;
  double feet = 1 - tarn_smoothstep (figure->feet_z_mm, figure->feet_z_mm + 210 * s, z);
  double head = tarn_smoothstep (figure->head_z_mm - 120 * s, figure->head_z_mm, z);
  double side = tarn_smoothstep (190, 400, fabs (x) - 0.3 * s * 100);
  return (uint8_t)(255 * fmin (1, feet + head + side));
}

static void
drape_row (TarnStore *store, const TarnSkinChart *chart, double z, const EdgeRow *row,
           double wave)
{
  double half = chart->torso.oval[0].half_width_mm;
  for (int k = 0; k < COLUMNS; k++)
    {
      double q = 2.0 * k / (COLUMNS - 1) - 1;
      double at = z + wave * (1.6 * sin (5.3 * q + 0.6) + 1.1 * sin (11.7 * q + 2.1));
      TarnVec3 p = drape_mm (chart, q, at, row);
      TarnPaint paint = drape_paint;
      paint.dim = dusk (&chart->figure, p.x, p.z);
      /* Light is lost where the cloth meets the sheet and between the thighs. */
      double low = tarn_smoothstep (ON_BODY, ON_SIDE, fabs (q));
      double legs = tarn_smoothstep (-40, -180, z / chart->figure.scale);
      double between = legs * exp (-pow (p.x / (0.16 * half), 2));
      double fold = fold_mm (p.x, z, half, row->tension);
      paint.shade = (uint8_t)(255 * (1 - 0.35 * low) * (1 - 0.3 * between)
                              * tarn_clamp (0.80 + 0.045 * fold, 0.6, 1));
      if (row->off_mm < 1)
        paint = tarn_paint_darker (paint, 0.6);
      tarn_store_vertex (store, p, paint);
    }
}

static void
drape_add (TarnStore *store, const TarnSkinChart *chart, double edge_z, double end_z, int rows,
           double lift_mm)
{
  int first = store->vertices, first_index = store->indices;
  double way = end_z > edge_z ? 1 : -1, s = 0.5 + 0.5 * chart->figure.scale;
  double begin = edge_z + way * edge[EDGE_ROWS - 1].along_mm * s;
  for (int r = 0; r < rows; r++)
    {
      /* Rows always run from feet to head. */
      int k = way > 0 ? r : rows - 1 - r;
      EdgeRow row = { 0, 4, 1, 1 };
      double z;
      if (k < EDGE_ROWS)
        {
          row = edge[k];
          z = edge_z + way * row.along_mm * s;
        }
      else
        z = begin + (end_z - begin) * (k - EDGE_ROWS + 1) / (rows - EDGE_ROWS);
      row.off_mm = row.off_mm * s + lift_mm;
      drape_row (store, chart, z, &row, k < EDGE_ROWS ? 1 : 0);
    }
  tarn_store_grid (store, first, rows, COLUMNS, false);
  tarn_store_end_part (store, TARN_MATERIAL_DRAPE, first_index);
}

void
tarn_drapes_add (TarnStore *store, const TarnSkinChart *chart, bool uncovered)
{
  const TarnFigure *figure = &chart->figure;
  drape_add (store, chart, figure->hem_mm, figure->feet_z_mm, LOWER_ROWS, 0);
  double edge_z = uncovered ? figure->chest_mm : figure->hem_mm - 24;
  drape_add (store, chart, edge_z, figure->head_z_mm, uncovered ? UPPER_ROWS : WHOLE_ROWS,
             uncovered ? 0 : 5);
}

/* The bed: its top, then over a rounded edge down its side. */

#define BED_ROWS   15
#define BED_ACROSS 19

static void
bed_profile (double t, double half_mm, double *x, double *drop)
{
  double s = fabs (t), top = 0.80;
  if (s <= top)
    {
      /* Closer together beside the body. */
      *x = half_mm * s / top;
      *drop = 0;
    }
  else
    {
      double turn = fmin ((s - top) / 0.12, 1) * TARN_PI / 2;
      double down = fmax (s - top - 0.12, 0) / 0.08;
      *x = half_mm + 22 * sin (turn) + 4 * down;
      *drop = 22 * (1 - cos (turn)) + 150 * down;
    }
  *x = copysign (*x, t);
}

void
tarn_bed_add (TarnStore *store, const TarnSkinChart *chart)
{
  const TarnFigure *figure = &chart->figure;
  double body = chart->torso.oval[0].half_width_mm;
  double half = fmax (360, body + 170);
  double low = figure->feet_z_mm - 40, high = figure->head_z_mm + 20;
  int first = store->vertices, first_index = store->indices;
  for (int r = 0; r < BED_ROWS; r++)
    for (int c = 0; c < BED_ACROSS; c++)
      {
        double z = low + (high - low) * r / (BED_ROWS - 1), x, drop;
        bed_profile (2.0 * c / (BED_ACROSS - 1) - 1, half, &x, &drop);
        double beside = tarn_smoothstep (body * 0.9, half, fabs (x));
        double wave = 1.8 * sin (z / 58 + x / 90) * sin (x / 47 + 0.8)
                      + 1.2 * sin (z / 31 + 2.2 * sin (x / 130));
        TarnVec3 p = { x, figure->bed_y_mm + drop - wave * beside, z };
        TarnPaint paint = linen_paint;
        double gap = fmax (fabs (x) - body, 0);
        double shade = (1 - 0.6 * exp (-gap / 42)) * (1 - 0.75 * fmin (drop / 90, 1));
        paint.shade = (uint8_t)(255 * shade);
        paint = tarn_paint_darker (paint, (1 - 0.30 * exp (-gap / 60)));
        uint8_t lost = dusk (figure, fmax (p.x, -60), z);
        double down = 1 - tarn_smoothstep (0, 150, drop);
        paint.dim = (uint8_t)(255 - (255 - lost) * down);
        tarn_store_vertex (store, p, paint);
      }
  tarn_store_grid (store, first, BED_ROWS, BED_ACROSS, false);
  tarn_store_end_part (store, TARN_MATERIAL_LINEN, first_index);
}
