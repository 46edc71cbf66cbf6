/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * section.h: what an outline would make of one plane of a sweep, from what rays meet in it;
 * private to coach/.
 *
 * Floor: engine.  Pure. */
#pragma once

#include "engine/coach/rays.h"
#include "engine/outline/outline.h"

/* What the picture would tell of a place. */
typedef enum
{
  TARN_LOOKS_UNKNOWN, /* shadow, a dry line, or too deep for the echo */
  TARN_LOOKS_TISSUE,
  TARN_LOOKS_DARK,
} TarnLooks;

/* One plane: a place for each line and step. */
typedef struct
{
  const TarnRays *rays;
  int lines, steps;
  double line_sin[2 * TARN_RAY_BINS_MAX + 1]; /* of the bins' sides and middles in turn */
  double line_cos[2 * TARN_RAY_BINS_MAX + 1];
  float turn_cos[TARN_OUTLINE_POINTS], turn_sin[TARN_OUTLINE_POINTS];
  uint8_t looks[TARN_RAY_BINS_MAX][TARN_RAY_STEPS_MAX];
  uint8_t met[TARN_RAY_BINS_MAX][TARN_RAY_STEPS_MAX];
  float end_mm[TARN_RAY_BINS_MAX][TARN_RAY_STEPS_MAX + 1]; /* range at which each step's start
                                                             shows */
  int16_t patch[TARN_RAY_BINS_MAX][TARN_RAY_STEPS_MAX];    /* 0: none */
} TarnPlaneView;

/* The haze under a near wall keeps an outline so far off it: measured over bodies of many
 * kinds, all in sight. */
#define TARN_HAZE_MM 0.5

/* What is in a section, mm³ of its moment. */
typedef struct
{
  double urine, other, all;
} TarnSectionHolds;

/* Fills what all planes share.  @rays: followed, and outlives the view. */
void tarn_plane_view_init (TarnPlaneView *view, const TarnRays *rays);
/* Looks at the plane of one bin of the fan. */
void tarn_plane_view_look (TarnPlaneView *view, int fan);

/**
 * The outline that a picture of this plane would get.
 *
 * @neighbour: the plane's before, or NULL; as in outline.h.
 * @section: out; contrast_db is not filled.
 */
void tarn_section_find (TarnPlaneView *view, const TarnOutline *neighbour, TarnOutline *section,
                        TarnSectionHolds *holds);
