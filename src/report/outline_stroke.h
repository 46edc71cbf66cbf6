/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * outline_stroke.h: an outline drawn so that its evidence shows: seen solid, bridged dashed,
 * at the edge hatched.
 *
 * Floor: report. */
#pragma once

#include "engine/outline/outline.h"
#include "report/sector.h"

/* A level piece of such a line, for a legend. */
void tarn_evidence_stroke (cairo_t *cr, TarnEvidence evidence, double x, double y,
                           double length, double line);

/* @line: width of the line, in the context's units. */
void tarn_outline_stroke (cairo_t *cr, const TarnOutline *outline, const TarnSectorPlace *place,
                          double line);
