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
#include "engine/outline/outline.h"

#define TARN_PLANES_MAX 128 /* in a fan; 76 when the edge is removed from a class-default sweep */

typedef enum
{
  TARN_READING_MEASURE,
  TARN_READING_LOWER_BOUND, /* the bladder runs on where the planes end */
  TARN_READING_NOT_SEEN,    /* no outline: not the same as zero */
} TarnReadingKind;

typedef struct
{
  TarnReadingKind kind;
  double          volume_ml; /* 0 when not seen */
} TarnReading;

/* Hand and patient during a sweep. */
typedef struct
{
  double   tremor_mm;            /* RMS of the face's wander along the skin; 1° of tilt and lean each mm */
  double   breathing_mm;         /* peak to peak, head to feet */
  double   breathing_per_minute;
  double   restless;             /* 0..1 */
  double   duration_s;           /* 3 */
  uint64_t seed;
} TarnMotion;

typedef struct
{
  const TarnBody *body;
  TarnPose        pose;
  TarnMotion      motion;
  TarnGelFilm    *film;     /* in and out; NULL: wet all over */
  double          depth_mm; /* 0: the probe's own */
  double          gain_db;
  int             planes;   /* 0: the probe's own */
  bool            plain;    /* never use AVX2 */
  const TarnParallel *parallel; /* NULL: this thread alone */
} TarnSweepSetup;

typedef struct
{
  double      fan_rad;
  TarnOutline outline;
} TarnSweepPlane;

typedef struct
{
  TarnContact    contact; /* at the nominal pose */
  TarnReading    reading;
  int            planes;
  TarnSweepPlane plane[TARN_PLANES_MAX];
  TarnImageGeometry geometry;
  uint8_t       *grey;   /* planes x lines x samples; NULL unless asked for */
  unsigned       acting; /* causes that can act in this sweep: TARN_WITHOUT_… */
} TarnSweep;

/**
 * Runs one sweep: each plane is shot from where the probe really is and stacked where it
 * should have been.
 *
 * @keep_planes: fill @sweep->grey; tarn_sweep_clear () frees it.
 */
TarnStatus tarn_sweep_run (const TarnSweepSetup *setup, bool keep_planes, TarnSweep *sweep);
void       tarn_sweep_clear (TarnSweep *sweep);

/* Volume of a fan by Pappus: Σ Δθ · ∬ ρ dA over planes at equal steps of @step_rad. */
double tarn_fan_volume_ml (const TarnSweepPlane *plane, int planes, double step_rad);
