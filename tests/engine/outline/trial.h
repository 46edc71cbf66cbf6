/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * trial.h: a painting outlined, for the tests of this folder. */
#pragma once

#include "engine/outline/outline.h"
#include "painter.h"

/* Paints and outlines.  @hints may be NULL. */
TarnOutline trial_outline (const Painting *painting, const TarnOutlineHints *hints);

/* The error of the outlined area over several seeds; every one must have been found. */
typedef struct
{
  double mean_percent, worst_percent;
  double seen, bridged, at_edge; /* means */
} TrialErrors;
TrialErrors trial_errors (Painting painting, int seeds);

/* The class's probe and one ellipse. */
Painting trial_ellipse (double u_mm, double v_mm, double half_x_mm, double half_y_mm,
                        double turn_rad);
