/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * sweep.h: a fan of planes about the Pappus axis, their outlines, and the volume they make.
 *
 * Floor: engine.  Pure; thread counts change nothing.  Frame: patient. */
#pragma once

#include "base/parallel.h"
#include "base/status.h"
#include "engine/acoustic/plane.h"
#include "engine/contact/contact.h"
#include "engine/measure/motion.h"
#include "engine/measure/shots.h"
#include "engine/outline/outline.h"

#define TARN_PLANES_MAX 128 /* in a sweep */

typedef enum
{
  TARN_READING_MEASURE,
  TARN_READING_LOWER_BOUND, /* the bladder runs on beyond the sector, depth or planes */
  TARN_READING_NOT_SEEN,    /* no outline: not the same as zero */
  TARN_READING_KINDS
} TarnReadingKind;

typedef struct
{
  TarnReadingKind kind;
  double volume_ml; /* 0 when not seen */
} TarnReading;

/* As in the JSON: "lower-bound".  Never NULL. */
const char *tarn_reading_kind_name (TarnReadingKind kind);

/* Start from tarn_sweep_setup (). */
typedef struct
{
  const TarnBody *body;
  TarnPose pose;
  TarnMotion motion;
  TarnGelFilm *film;            /* in and out; NULL: wet all over */
  double depth_mm;              /* [20, 300]; 0: the probe's own */
  double gain_db;               /* [-40, 40] */
  int planes;                   /* 1..TARN_PLANES_MAX; 0: the probe's own */
  bool plain;                   /* never use AVX2 */
  const TarnParallel *parallel; /* NULL: this thread alone */
} TarnSweepSetup;

typedef struct
{
  double fan_rad;
  TarnOutline outline; /* found is false, too, for what is not connected to the rest */
} TarnSweepPlane;

typedef struct
{
  TarnContact contact; /* at the nominal pose */
  TarnReading reading;
  int planes;
  double step_rad; /* from plane to plane */
  TarnSweepPlane plane[TARN_PLANES_MAX];
  TarnImageGeometry geometry;
  TarnShots shots; /* where each plane was really shot from, beyond the fan too */
  uint8_t *grey;   /* planes x lines x samples; NULL unless asked for */
  unsigned acting; /* causes that can act in this sweep: TARN_WITHOUT_… */
} TarnSweep;

/* A steady hand at @pose on @body, which breathes as its patient does. */
TarnSweepSetup tarn_sweep_setup (const TarnBody *body, const TarnPose *pose);

/**
 * Runs one sweep: each plane is shot from where the probe really is and stacked where it
 * should have been.
 *
 * @keep_planes: fill @sweep->grey.
 * @sweep: out, about 300 kB; tarn_sweep_clear () it.
 *
 * Returns TARN_OK, TARN_OFF_BODY, TARN_OUT_OF_RANGE or TARN_NO_MEMORY; on failure @sweep is
 * zeroed and needs no clearing.
 * Threads: uses @setup->parallel.
 */
TarnStatus tarn_sweep_run (const TarnSweepSetup *setup, bool keep_planes, TarnSweep *sweep);
void tarn_sweep_clear (TarnSweep *sweep); /* a zeroed one is allowed */

/* The volume and kind of a reading from the outlines of a fan.
 * @outline: @planes of them; NULL or not found: no section there. */
TarnReading tarn_fan_reading (const TarnOutline *const *outline, int planes, double step_rad);

/* Volume of a fan by Pappus: ∫ ∬ ρ dA dθ over planes at equal steps of @step_rad. */
double tarn_fan_volume_ml (const TarnSweepPlane *plane, int planes, double step_rad);
