/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Calipers: arithmetic on diameters. */
#include "engine/measure/calipers.h"

#include "base/units.h"

#include <assert.h>

/* Regression of drained volume on L·W·H in 146 children (seen); the citation is from memory. */
#define BY_SHAPE "146 children, by shape of bladder (Kuzmic 2003)"

static const TarnCoefficient coefficients[TARN_COEFFICIENTS] = {
  { "ellipsoid, exact", "derived: pi/6", TARN_COEFFICIENT_ELLIPSOID },
  { "ellipsoid, rounded", "common practice, no source", 0.52 },
  { "round", BY_SHAPE, 0.561 },
  { "triangular", BY_SHAPE, 0.623 },
  { "all shapes", BY_SHAPE, 0.66 },
  { "unknown", "handbooks; from memory", 0.72 },
  { "undefined", BY_SHAPE, 0.749 },
  { "ellipsoid, measured", BY_SHAPE, 0.802 },
  { "cuboid", BY_SHAPE, 0.923 },
  { "handbook", "handbooks", 0.6 },
};

const TarnCoefficient *
tarn_coefficient (int index)
{
  assert (index >= 0 && index < TARN_COEFFICIENTS);
  return &coefficients[index];
}

double
tarn_caliper_mm (const TarnCaliper *caliper)
{
  return hypot (caliper->u1_mm - caliper->u0_mm, caliper->v1_mm - caliper->v0_mm);
}

double
tarn_diameters_volume_ml (const TarnDiameters *diameters, double coefficient)
{
  return coefficient * diameters->length_mm * diameters->width_mm * diameters->height_mm
         / TARN_MM3_PER_ML;
}

TarnDiameters
tarn_calipers_diameters (const TarnCalipers *calipers)
{
  return (TarnDiameters){ .length_mm = tarn_caliper_mm (&calipers->length),
                          .width_mm = tarn_caliper_mm (&calipers->width),
                          .height_mm = tarn_caliper_mm (&calipers->height) };
}

/* The two points furthest apart. */
static TarnCaliper
longest (const TarnOutline *outline)
{
  TarnCaliper best = { 0 };
  double best_mm = -1;
  for (int a = 0; a < TARN_OUTLINE_POINTS; a++)
    for (int b = a + 1; b < TARN_OUTLINE_POINTS; b++)
      {
        const TarnOutlinePoint *p = &outline->point[a], *q = &outline->point[b];
        TarnCaliper pair = { p->u_mm, p->v_mm, q->u_mm, q->v_mm };
        double mm = tarn_caliper_mm (&pair);
        if (mm > best_mm)
          {
            best_mm = mm;
            best = pair;
          }
      }
  return best;
}

TarnCalipers
tarn_calipers_ideal (const TarnOutline *transverse, const TarnOutline *sagittal)
{
  assert (transverse->found && sagittal->found);
  const TarnOutlinePoint *p = transverse->point;
  int left = 0, right = 0, near = 0, far = 0;
  for (int k = 1; k < TARN_OUTLINE_POINTS; k++)
    {
      left = p[k].u_mm < p[left].u_mm ? k : left;
      right = p[k].u_mm > p[right].u_mm ? k : right;
      near = p[k].v_mm < p[near].v_mm ? k : near;
      far = p[k].v_mm > p[far].v_mm ? k : far;
    }

  /* Level and upright, as a careful hand sets them, through the middle of the extremes. */
  double v_mm = (p[left].v_mm + p[right].v_mm) / 2, u_mm = (p[near].u_mm + p[far].u_mm) / 2;
  return (TarnCalipers){ .length = longest (sagittal),
                         .width = { p[left].u_mm, v_mm, p[right].u_mm, v_mm },
                         .height = { u_mm, p[near].v_mm, u_mm, p[far].v_mm } };
}

TarnCaliperReport
tarn_caliper_report (const TarnDiameters *diameters, double coefficient,
                     const TarnDiameters *true_diameters, double truth_ml)
{
  assert (truth_ml > 0 && coefficient > 0);
  double volume_ml = tarn_diameters_volume_ml (diameters, coefficient);
  double true_box_ml = tarn_diameters_volume_ml (true_diameters, 1);
  assert (true_box_ml > 0);
  return (TarnCaliperReport){ .volume_ml = volume_ml,
                              .truth_ml = truth_ml,
                              .coefficient = coefficient,
                              .true_coefficient = truth_ml / true_box_ml,
                              .caliper_error_ml = volume_ml - coefficient * true_box_ml,
                              .formula_error_ml = coefficient * true_box_ml - truth_ml };
}

TarnDecision
tarn_decision (double volume_ml, double truth_ml, double threshold_ml)
{
  bool acts = volume_ml >= threshold_ml, should = truth_ml >= threshold_ml;
  return acts == should ? TARN_DECISION_RIGHT
         : should       ? TARN_DECISION_MISSED
                        : TARN_DECISION_NEEDLESS;
}
