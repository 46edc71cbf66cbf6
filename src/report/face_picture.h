/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * face_picture.h: which part of the probe's face is wet, as if seen through the probe from
 * above: the index mark at the left, as in the plane.
 *
 * Floor: report. */
#pragma once

#include "engine/contact/contact.h"
#include "report/paper.h"

/* Draws a disc in the square at (@x, @y) of @side, with the index mark's dot at its left.
 * @wet: as in TarnContact; NULL: the probe is off the skin, an empty ring. */
void tarn_face_picture_draw (cairo_t *cr, double x, double y, double side,
                             const float (*wet)[TARN_FACE_ELEMENTS], const TarnPaper *paper);
