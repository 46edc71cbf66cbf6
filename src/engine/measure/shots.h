/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * shots.h: where the planes of a sweep are really shot from.
 *
 * Floor: engine.  Pure; thread counts change nothing.  Planes are numbered along the fan; the
 * sweep's own are 0 … planes - 1, those of a widened fan run on to both sides, before its
 * start and after its end in time too. */
#pragma once

#include "base/parallel.h"
#include "base/status.h"
#include "engine/acoustic/plane.h"
#include "engine/measure/motion.h"

#define TARN_FAN_PLANES_MAX 512 /* of a widened fan */

/* One plane's probe and what it presses. */
typedef struct
{
  TarnContact contact;
  TarnDeform deform;
} TarnShot;

typedef struct
{
  int planes;      /* of the sweep */
  int beyond;      /* planes on each side of them */
  double step_rad; /* from plane to plane */
  bool moving;
  TarnShot still;  /* at the nominal pose */
  TarnShot *moved; /* planes + 2 beyond of them, when moving */
} TarnShots;

/* Planes on each side that widen a fan of @planes to 150°, rounded down; fewer where that
 * would be more than TARN_FAN_PLANES_MAX in all. */
int tarn_shots_beyond (const TarnProbe *probe, int planes);

/**
 * Follows hand and body through the sweep.
 *
 * @contact: at the nominal pose.  @film: as that contact left it; NULL: wet all over.
 * @shots: out; tarn_shots_clear () it.
 */
TarnStatus tarn_shots_init (TarnShots *shots, const TarnBody *body, const TarnPose *pose,
                            const TarnContact *contact, const TarnMotion *motion,
                            const TarnGelFilm *film, int planes, int beyond,
                            const TarnParallel *parallel);
void tarn_shots_clear (TarnShots *shots); /* frees and zeroes; a zeroed one is allowed */

/* Where plane @index should stand in the fan. */
double tarn_shots_fan_rad (const TarnShots *shots, int index);
/* @still: as if nothing moved. */
const TarnShot *tarn_shots_at (const TarnShots *shots, int index, bool still);
