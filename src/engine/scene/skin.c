/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * skin.c: the skin as a grid whose lines crowd where something happens. */
#include "engine/scene/layers.h"

#include "base/units.h"

#include <string.h>

/* Our own tones, light to dark, warm. */
static const uint8_t complexions[6][3]
    = { { 244, 211, 192 }, { 230, 187, 160 }, { 209, 160, 126 },
        { 172, 120, 88 },  { 128, 83, 58 },   { 88, 56, 41 } };

TarnPaint
tarn_skin_paint (int complexion, TarnVec3 p_mm)
{
  int tone = complexion < 1 ? 0 : complexion > 6 ? 5 : complexion - 1;
  /* Slow waves that never meet twice alike: skin is not paint. */
  double x = p_mm.x, z = p_mm.z;
  double red = sin (0.031 * x + 0.9 * sin (0.023 * z)) * sin (0.027 * z + 1.3);
  double dark = sin (0.071 * x + 1.7 + 0.8 * sin (0.05 * z)) * sin (0.063 * z + 0.4 * x / 40);
  TarnPaint paint = { .shade = 255, .shine = 46 };
  double tint[3] = { 1 + 0.012 * red + 0.010 * dark, 1 - 0.018 * red + 0.012 * dark,
                     1 - 0.020 * red + 0.012 * dark };
  for (int k = 0; k < 3; k++)
    paint.colour[k] = (uint8_t)tarn_clamp (complexions[tone][k] * tint[k], 0, 255);
  paint.colour[3] = 255;
  return paint;
}

/* Lines of a grid: denser by bumps. */

typedef struct
{
  double centre, width, peak;
} Crowd;

#define STEPS 192

static void
spread (double low, double high, const Crowd *crowd, int crowds, int count, double *line)
{
  double sum[STEPS + 1], step = (high - low) / STEPS;
  sum[0] = 0;
  for (int k = 0; k < STEPS; k++)
    {
      double at = low + (k + 0.5) * step, density = 1;
      for (int j = 0; j < crowds; j++)
        {
          double far = (at - crowd[j].centre) / crowd[j].width;
          density += crowd[j].peak / (1 + far * far * far * far);
        }
      sum[k + 1] = sum[k] + density;
    }
  int k = 0;
  for (int i = 0; i < count; i++)
    {
      double want = sum[STEPS] * i / (count - 1);
      while (k < STEPS - 1 && sum[k + 1] < want)
        k++;
      line[i] = low + step * (k + (want - sum[k]) / (sum[k + 1] - sum[k]));
    }
}

void
tarn_skin_add (TarnStore *store, const TarnSkinChart *chart, bool fine, double above_mm,
               double left_mm, double sunk_mm, float (*place)[2])
{
  const TarnFigure *figure = &chart->figure;
  double press = fine ? 3.8 : 0, fold = chart->torso.pannus_mm > 3 ? 3.5 : 0;
  Crowd up[3] = { { above_mm, 32, press },
                  { figure->navel_mm, 12, 2.2 },
                  { chart->torso.pannus_foot_mm + 16, 22, fold } };
  Crowd aside[2] = { { left_mm, 30, press }, { 0, 12, 1.8 } };

  /* A hand's width under either drape; arcs are longer than levels where there is a fold. */
  double low = fmax (figure->hem_mm - 24 * figure->scale, chart->low_mm);
  double high = tarn_chart_high_mm (chart) - (TARN_TORSO_HEAD_MM - figure->chest_mm)
                + 34 * figure->scale;
  double row[TARN_SKIN_ROWS], column[TARN_SKIN_COLUMNS];
  spread (low, fmin (high, tarn_chart_high_mm (chart)), up, 3, TARN_SKIN_ROWS, row);
  spread (-chart->left_most_mm, chart->left_most_mm, aside, 2, TARN_SKIN_COLUMNS, column);

  int first = store->vertices, first_index = store->indices;
  for (int r = 0; r < TARN_SKIN_ROWS; r++)
    for (int c = 0; c < TARN_SKIN_COLUMNS; c++)
      {
        double shade;
        TarnVec3 p = tarn_chart_point (chart, row[r], column[c], &shade);
        p.y += sunk_mm;
        TarnPaint paint = tarn_skin_paint (chart->complexion, p);
        paint.shade = (uint8_t)(255 * tarn_clamp (shade, 0, 1));
        int at = tarn_store_vertex (store, p, paint);
        place[at - first][0] = (float)row[r];
        place[at - first][1] = (float)column[c];
      }
  tarn_store_grid (store, first, TARN_SKIN_ROWS, TARN_SKIN_COLUMNS, false);
  tarn_store_end_part (store, TARN_MATERIAL_SKIN, first_index);
}
