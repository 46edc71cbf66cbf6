/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * outline_stroke.h: an outline drawn so that its evidence shows: seen solid, bridged dashed,
 * at the edge hatched; and the true border beside it, thin with diamonds, in the truth's
 * orange.
 *
 * Floor: report. */
#pragma once

#include "engine/outline/outline.h"
#include "engine/verdict/border.h"
#include "report/sector.h"

/* A level piece of such a line, for a legend. */
void tarn_evidence_stroke (cairo_t *cr, TarnEvidence evidence, double x, double y,
                           double length, double line);

/* @line: width of the line, in the context's units. */
void tarn_outline_stroke (cairo_t *cr, const TarnOutline *outline, const TarnSectorPlace *place,
                          double line);

/* The truth: every loop of @border, with a diamond every few millimetres.  The picture shows
 * what lies behind fat up to some 2.5 mm too near, for it takes one speed of sound for all; the
 * border lies where it really is. */
void tarn_border_stroke (cairo_t *cr, const TarnBorder *border, const TarnSectorPlace *place,
                         double line);

/* A level piece of such a line, for a legend. */
void tarn_border_sample_stroke (cairo_t *cr, double x, double y, double length, double line);
