/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * gel.c: the film as a wet mound on the skin, as thick as it is. */
#include "engine/scene/layers.h"

#include <assert.h>

#define LEAST_MM  0.05 /* what is thinner is not drawn */
#define MARGIN_MM 3.0
#define SMOOTH_MM 1.6

static double
cell_place_mm (double middle, double index)
{
  return middle + (index + 0.5 - TARN_FILM_CELLS / 2.0) * TARN_FILM_PITCH_MM;
}

/* Between the film's cells. */
static double
at_mm (const TarnGelFilm *film, double above_mm, double left_mm)
{
  double half = TARN_FILM_CELLS / 2.0;
  double r = (above_mm - film->above_mm) / TARN_FILM_PITCH_MM + half - 0.5;
  double c = (left_mm - film->left_mm) / TARN_FILM_PITCH_MM + half - 0.5;
  if (!(r >= 0 && c >= 0 && r < TARN_FILM_CELLS - 1 && c < TARN_FILM_CELLS - 1))
    return 0;
  int i = (int)r, j = (int)c;
  double fr = r - i, fc = c - j;
  const float *low = &film->thickness_mm[i][j], *high = &film->thickness_mm[i + 1][j];
  return (1 - fr) * ((1 - fc) * (double)low[0] + fc * (double)low[1])
         + fr * ((1 - fc) * (double)high[0] + fc * (double)high[1]);
}

/* Its mean over a little place: gel draws itself smooth. */
static double
thickness_mm (const TarnGelFilm *film, double above_mm, double left_mm)
{
  static const double weight[3] = { 0.25, 0.5, 0.25 };
  double sum = 0;
  for (int r = 0; r < 3; r++)
    for (int c = 0; c < 3; c++)
      sum += weight[r] * weight[c]
             * at_mm (film, above_mm + (r - 1) * SMOOTH_MM, left_mm + (c - 1) * SMOOTH_MM);
  return sum;
}

typedef struct
{
  int low[2], high[2]; /* rows, columns */
} CellBox;

static bool
wet_box (const TarnGelFilm *film, CellBox *box)
{
  *box = (CellBox){ { TARN_FILM_CELLS, TARN_FILM_CELLS }, { -1, -1 } };
  for (int r = 0; r < TARN_FILM_CELLS; r++)
    for (int c = 0; c < TARN_FILM_CELLS; c++)
      if (film->thickness_mm[r][c] > (float)LEAST_MM)
        {
          box->low[0] = r < box->low[0] ? r : box->low[0];
          box->high[0] = r > box->high[0] ? r : box->high[0];
          box->low[1] = c < box->low[1] ? c : box->low[1];
          box->high[1] = c > box->high[1] ? c : box->high[1];
        }
  return box->high[0] >= 0;
}

static TarnPaint
gel_paint (double thick_mm)
{
  /* Clear: a thin film shows by its highlight, a mound by its blue. */
  double much = 1 - exp (-thick_mm / 2.4), edge = tarn_smoothstep (0, 0.5, thick_mm);
  TarnPaint paint = { { 196, 220, 243, 0 }, 255, 0, 0 };
  paint.colour[3] = (uint8_t)(edge * (16 + 100 * much));
  paint.shine = (uint8_t)(110 + 145 * edge);
  return paint;
}

void
tarn_gel_add (TarnStore *store, const TarnSkinChart *chart, const TarnGelFilm *film, int across)
{
  assert (across >= 2 && across <= TARN_GEL_ACROSS);
  CellBox box;
  if (!film->laid || !wet_box (film, &box))
    return;
  double low[2] = { cell_place_mm (film->above_mm, box.low[0]) - MARGIN_MM,
                    cell_place_mm (film->left_mm, box.low[1]) - MARGIN_MM };
  double high[2] = { cell_place_mm (film->above_mm, box.high[0]) + MARGIN_MM,
                     cell_place_mm (film->left_mm, box.high[1]) + MARGIN_MM };

  int first = store->vertices, first_index = store->indices;
  bool wet[TARN_GEL_ACROSS][TARN_GEL_ACROSS];
  for (int r = 0; r < across; r++)
    for (int c = 0; c < across; c++)
      {
        double above = low[0] + (high[0] - low[0]) * r / (across - 1);
        double left = low[1] + (high[1] - low[1]) * c / (across - 1);
        double thick = thickness_mm (film, above, left), shade;
        wet[r][c] = thick > LEAST_MM;
        TarnVec3 p = tarn_chart_point (chart, above, left, &shade);
        p = tarn_add_scaled (p, tarn_chart_normal (chart, above, left), thick);
        tarn_store_vertex (store, p, gel_paint (thick));
      }
  for (int r = 0; r + 1 < across; r++)
    for (int c = 0; c + 1 < across; c++)
      {
        if (!wet[r][c] && !wet[r][c + 1] && !wet[r + 1][c] && !wet[r + 1][c + 1])
          continue;
        int at = first + r * across + c;
        tarn_store_triangle (store, at, at + 1, at + across + 1);
        tarn_store_triangle (store, at, at + across + 1, at + across);
      }
  tarn_store_end_part (store, TARN_MATERIAL_GEL, first_index);
}
