/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * plane_loss.h: which planes of a sweep a cause of error acts in, and how much of the bladder's
 * urine each of them lost.
 *
 * Floor: engine.  Pure.  By straight rays, from where each plane was really shot. */
#pragma once

#include "engine/verdict/geometric.h"

/* The slice of the fan that one plane stands for: a step thick, as Pappus sums it. */
typedef struct
{
  double urine_ml;               /* in truth, in the field or out of it */
  double outlined_ml;            /* what the outline made of it */
  double hidden_ml[TARN_CAUSES]; /* of the urine, as in TarnGeometricLoss; OTHER_FLUID: outlined
                                    that is other fluid, or an object in the lumen */
  double off_mm;                 /* how far the face stood from its nominal place and
                                    direction, as seen 100 mm deep */
  unsigned acts;                 /* a bit for each TarnCause that shows here */
} TarnPlaneLoss;

/* outlined_ml less urine_ml: negative where urine is missing. */
double tarn_plane_loss_error_ml (const TarnPlaneLoss *loss);

/* The cause that hides most here, or holds most that is no urine where there is too much;
 * TARN_CAUSE_REST when none of them does. */
TarnCause tarn_plane_loss_main (const TarnPlaneLoss *loss);

/* @loss: out, one for each plane of @sweep. */
void tarn_plane_losses (const TarnBody *body, const TarnSweep *sweep, TarnPlaneLoss *loss);
