/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * calipers.h: a volume from three diameters on two frozen planes.
 *
 * Floor: engine.  Pure.  Volume = k · L · W · H.  Three errors are told apart: that of the
 * calipers (diameters against the body's own), that of the formula (k against the body's own
 * k = V / LWH) and that of the decision which the number leads to. */
#pragma once

#include "engine/measure/sweep.h"

/* The coefficient of an ellipsoid, π/6, and the default. */
#define TARN_COEFFICIENT_ELLIPSOID 0.52359877559829887

typedef struct
{
  const char *name;   /* of the shape, lower case */
  const char *source; /* where the value comes from */
  double k;
} TarnCoefficient;

#define TARN_COEFFICIENTS 10
/* @index: 0..TARN_COEFFICIENTS - 1.  Never NULL. */
const TarnCoefficient *tarn_coefficient (int index);

/* One pair of calipers in a plane's frame. */
typedef struct
{
  double u0_mm, v0_mm, u1_mm, v1_mm;
} TarnCaliper;

/* From one end to the other. */
double tarn_caliper_mm (const TarnCaliper *caliper);

typedef struct
{
  double length_mm, width_mm, height_mm; /* head-foot, left-right, front-back */
} TarnDiameters;

/* @coefficient times length, width and height. */
double tarn_diameters_volume_ml (const TarnDiameters *diameters, double coefficient);

/* The three pairs: width and height on the transverse plane, length on the sagittal one. */
typedef struct
{
  TarnCaliper length, width, height;
} TarnCalipers;

/* What each pair spans. */
TarnDiameters tarn_calipers_diameters (const TarnCalipers *calipers);

/* Where an unerring hand would set them on the outlines: width and height at the outline's
 * extremes across and along the beam, length between the two points furthest apart.
 * Both outlines must be found. */
TarnCalipers tarn_calipers_ideal (const TarnOutline *transverse, const TarnOutline *sagittal);

typedef struct
{
  double volume_ml, truth_ml;
  double coefficient, true_coefficient; /* as chosen; the body's own */
  double caliper_error_ml; /* the chosen coefficient times what the diameters are off */
  double formula_error_ml; /* the true diameters times what the coefficient is off */
} TarnCaliperReport;       /* caliper + formula error = volume - truth */

/* @coefficient: (0, 2].  @truth_ml, @true_diameters: > 0. */
TarnCaliperReport tarn_caliper_report (const TarnDiameters *diameters, double coefficient,
                                       const TarnDiameters *true_diameters, double truth_ml);

typedef enum
{
  TARN_DECISION_RIGHT,
  TARN_DECISION_MISSED,   /* the truth asks for action, the number does not */
  TARN_DECISION_NEEDLESS, /* the other way round */
} TarnDecision;

/* Action is due from @threshold_ml on (local policy). */
TarnDecision tarn_decision (double volume_ml, double truth_ml, double threshold_ml);

/* A frozen plane. */
typedef struct
{
  TarnContact contact;
  double fan_rad; /* tilt of the plane about the Pappus axis */
  TarnImageGeometry geometry;
  uint8_t *grey; /* lines x samples; tarn_frozen_plane_clear () frees it */
  TarnOutline outline;
} TarnFrozenPlane;

/**
 * Freezes the plane in which the bladder is truly widest across the image, among those that
 * tilting the probe in place passes through.
 *
 * @setup: its pose's turn says which plane: 0 transverse, 90° sagittal.  Motion plays no part.
 * @frozen: out.
 *
 * Returns as tarn_sweep_run ().
 */
TarnStatus tarn_calipers_freeze (const TarnSweepSetup *setup, TarnFrozenPlane *frozen);
void tarn_frozen_plane_clear (TarnFrozenPlane *frozen); /* a zeroed one is allowed */
