/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * cells.h: the table of which surfaces matter where.
 *
 * Floor: engine.  Internal to body/. */
#pragma once

#include "engine/body/region.h"

/* Fills body->cells once the regions are listed; body->cell is owned by the body. */
TarnStatus tarn_cells_build (TarnBody *body);
