/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * volume.h: from the sections of a body to its volume, by Pappus.
 *
 * Floor: engine.  Pure.  A plane that turns about an axis in it sweeps dV = ρ dA dθ, ρ the
 * distance from the axis; so V = ∫ M dθ with M = ∬ ρ dA, the section's moment. */
#pragma once

#include "engine/outline/outline.h"

#include <stdbool.h>

/**
 * Integrates moments at equal steps over the run of planes that have one.
 *
 * Between the first and the last section: the trapezoid rule with Euler and Maclaurin's
 * correction at its ends.  Beyond them: to where the parabola through the last three moments
 * falls to zero, at most one step away, where a plane saw nothing.  Planes without a section
 * inside the run are bridged linearly.
 *
 * @moment_mm3: @planes of them; negative: no section.
 * @open_first, @open_last: the body runs on where the planes end; then the last section
 *   stands for half a step beyond it.
 *
 * Returns mm³; 0 without a section.
 */
double tarn_moments_volume_mm3 (const double *moment_mm3, int planes, double step_rad,
                                bool open_first, bool open_last);

/**
 * The volume of a body from planes at equal angles over half a turn about the axis u = 0 of
 * each: Σ π/planes · ∬ |u| dA.
 *
 * @point: @planes polygons of @points_each, one after another, counter-clockwise in (u, v).
 */
double tarn_rotation_volume_ml (const TarnOutlinePoint *point, int points_each, int planes);
