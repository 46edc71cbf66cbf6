/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * lumen.h: the bladder's shape.
 *
 * Floor: engine.  Internal to body/.  Patient frame, mm.
 *
 * The unit sphere is swollen by a few low harmonics (irregular), or as a measured shape says
 * (patient/shape.h), narrowed towards the neck
 * (pear) and stretched by half_mm.  Undoing stretch and neck turns the lumen back into a nearly
 * round body: level = |q| - rho (q / |q|), smooth, below 0 inside.  The distance is
 * level / |grad level|: exact on the surface, on the axes of an ellipsoid, and off by about
 * d² / 2R at a distance d from a surface of curvature radius R.  The wall's outer surface is
 * where that distance is wall_mm.
 *
 * Neighbours then dent that body and a balloon may make it bulge (dent.h); level and bounds are
 * those of the body without them, distance, place and sides know them. */
#pragma once

#include "engine/body/dent.h"
#include "engine/body/torso.h"

#include <stdbool.h>
#include <stdint.h>

/* With less than this there is no lumen; a wall around this much remains. */
#define TARN_LUMEN_LEAST_ML 0.05
/* What an empty lumen keeps as distance from every point. */
#define TARN_EMPTY_REACH_MM 1.0

#define TARN_LUMPS 4

typedef struct
{
  bool empty; /* no lumen; the shape only carries the wall */
  TarnVec3 centre_mm, half_mm;
  TarnVec3 per_half;      /* 1 / half_mm */
  double neck;            /* how much of the width the neck loses */
  double swell;           /* of the lumps; of a measured shape, the most of it */
  const TarnShape *shape; /* the patient's; NULL: none */
  TarnVec3 lump[TARN_LUMPS];
  double lump_weight[TARN_LUMPS];
  double wall_mm;
  int dents, bulges; /* all of them; the bulges among them, which come first */
  TarnDent dent[TARN_STRUCTURES_MAX];
  TarnVec3 heart_mm; /* within the lumen: centre_mm unless a dent holds that */
  /* Bounds for the cell table; see tarn_lumen_side (). */
  double surely_in, surely_off; /* see tarn_lumen_place () */
  double shell_most;            /* bounds hold up to this |q| */
  double slope_most, bend_most; /* of the level, per mm and per mm² */
  double wall_reach_mm;         /* no point of the wall is further from the lumen */
  TarnBox box;                  /* around wall and lumen */
} TarnLumen;

/* The shape with a half-size of @patient's proportions, around 0; not yet scaled. */
void tarn_lumen_init (TarnLumen *lumen, const TarnPatient *patient);
/* Sets half_mm, and what follows from it. */
void tarn_lumen_scale (TarnLumen *lumen, TarnVec3 half_mm);
/* Once shape and place are final. */
void tarn_lumen_bound (TarnLumen *lumen);

/* Where the surface meets the ray that left the unit sphere along the unit @direction. */
TarnVec3 tarn_lumen_point_mm (const TarnLumen *lumen, TarnVec3 direction);
/* The outer surface of the wall over that point. */
TarnVec3 tarn_lumen_wall_point_mm (const TarnLumen *lumen, TarnVec3 direction);

/* @gradient: out, per mm; may be NULL. */
double tarn_lumen_level (const TarnLumen *lumen, TarnVec3 p_mm, TarnVec3 *gradient);
/* @gradient: out, unit; may be NULL. */
double tarn_lumen_distance_mm (const TarnLumen *lumen, TarnVec3 p_mm, TarnVec3 *gradient);

/* Whether dents bend the border too much around @p_mm to be taken as flat. */
bool tarn_lumen_is_bent (const TarnLumen *lumen, TarnVec3 p_mm);

/* What the point is in. */
typedef enum
{
  TARN_IN_LUMEN,
  TARN_IN_WALL,
  TARN_OFF_BLADDER
} TarnBladderPlace;
TarnBladderPlace tarn_lumen_place (const TarnLumen *lumen, TarnVec3 p_mm);

/* -1 or +1: every point within @radius_mm of @p_mm is inside or outside the lumen; 0: not
 * known. */
int tarn_lumen_side (const TarnLumen *lumen, TarnVec3 p_mm, double radius_mm);
/* The same for the wall's outer surface, which never answers -1. */
int tarn_lumen_wall_side (const TarnLumen *lumen, TarnVec3 p_mm, double radius_mm);
