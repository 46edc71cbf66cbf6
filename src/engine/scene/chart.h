/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * chart.h: a map of a body's skin by arc lengths, as it is drawn.  Private to scene/.
 *
 * 1. The map's coordinates are those of a pose: above_mm along the midline, left_mm across at
 *    that level (body.h).  Beyond the flank, where no pose reaches, left_mm goes on around the
 *    back until the bed hides the skin.
 * 2. What is drawn is the engine's skin moved along its normal by a relief that no reading
 *    depends on: waist, rib margin, iliac crests, navel.  So a place on the map is the same
 *    place for both.
 * 3. The torso is the same on both sides, so only the left half is kept. */
#pragma once

#include "base/vec.h"
#include "engine/body/body.h"
#include "engine/body/torso.h"

#include <stdbool.h>

/* Places that follow from the body's size; children have their own, not scaled adults'. */
typedef struct
{
  double scale;     /* bones against an adult's, [0.4, 1.15] */
  double slim;      /* 1 where bones show, 0 under thick fat */
  double child;     /* 1 a small child's shape, 0 grown up */
  double navel_mm;  /* above */
  double hem_mm;    /* level of the lower drape's upper edge */
  double chest_mm;  /* level of the upper drape's lower edge */
  double bed_y_mm;  /* the bed's surface */
  double feet_z_mm; /* where the picture ends towards the feet, and towards the head */
  double head_z_mm;
} TarnFigure;

#define TARN_CHART_COLUMNS 112
#define TARN_CHART_ROWS    256

typedef struct
{
  float p_mm[3];
  float shade; /* 0 … 1 of the key light, folds and hollows taken into account */
} TarnChartPoint;

typedef struct
{
  TarnTorso torso;
  TarnFigure figure;
  int complexion;
  int rows;
  double low_mm, above_pitch_mm; /* of the first row; between rows */
  double left_pitch_mm;
  double left_most_mm; /* how far the map goes to either side */
  TarnChartPoint point[TARN_CHART_ROWS][TARN_CHART_COLUMNS];
} TarnSkinChart;

/* About 15 ms. */
void tarn_chart_init (TarnSkinChart *chart, const TarnBody *body);
/* Levels between the map's rows. */
double tarn_chart_high_mm (const TarnSkinChart *chart);
/* A place on the map, kept within it.  @shade: out, may be NULL. */
TarnVec3 tarn_chart_point (const TarnSkinChart *chart, double above_mm, double left_mm,
                           double *shade);
/* The outward normal there, over 2 mm. */
TarnVec3 tarn_chart_normal (const TarnSkinChart *chart, double above_mm, double left_mm);
/* The place of a point on or near the skin. */
void tarn_chart_place (const TarnSkinChart *chart, TarnVec3 p_mm, double *above_mm,
                       double *left_mm);
