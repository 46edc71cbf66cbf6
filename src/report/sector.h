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

/* Which samples make each pixel: bilinear between lines and samples, averaged where pixels are
 * coarser than samples, sides and arcs smooth.  Worked out once for many pictures of one
 * geometry in one place. */
typedef struct TarnSectorMap TarnSectorMap;

/* @geometry: at least two lines and samples.  NULL when memory runs out. */
TarnSectorMap *tarn_sector_map_new (const TarnImageGeometry *geometry,
                                    const TarnSectorPlace *place);
void tarn_sector_map_free (TarnSectorMap *map); /* NULL is allowed */

/* Paints @image, of the map's geometry, at the map's place moved by whole pixels.
 * A @map of NULL paints nothing and leaves @cr in an error of memory. */
void tarn_sector_paint (cairo_t *cr, const TarnSectorMap *map, const TarnImage *image,
                        int right, int down);

/* The same straight into the pixels of @paper, an RGB24 image, over what stands there; several
 * times as fast. */
void tarn_sector_write (cairo_surface_t *paper, const TarnSectorMap *map,
                        const TarnImage *image);
