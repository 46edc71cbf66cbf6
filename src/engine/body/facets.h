/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * facets.h: the flat pieces of border in the cells.
 *
 * Floor: engine.  Internal to body/. */
#pragma once

#include "engine/body/region.h"

/* Fills the facets of every mixed cell; after tarn_cells_build (). */
TarnStatus tarn_facets_build (TarnBody *body);
