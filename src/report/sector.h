/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * sector.h: from lines and samples to the pixels of a sector.
 *
 * Floor: report. */
#pragma once

#include "base/image.h"

#include <cairo.h>

/* Where the plane's frame lies on the paper: x = x0 + u·scale, y = y0 + v·scale. */
typedef struct
{
  double x0, y0, scale;
} TarnSectorPlace;

/* The largest place within the rectangle that shows the whole sector, centred across. */
TarnSectorPlace tarn_sector_fit (const TarnImageGeometry *geometry, double x, double y,
                                 double width, double height);

/* Paints the sector, bilinear between lines and samples, averaged where pixels are coarser
 * than samples, its sides and arcs smooth. */
void tarn_sector_paint (cairo_t *cr, const TarnImage *image, const TarnSectorPlace *place);
