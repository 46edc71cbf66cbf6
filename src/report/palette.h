/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * palette.h: the few colours, each with one meaning.  Colours that tell things apart are from
 * Okabe & Ito's colour-safe set; none is used without a shape or a word beside it.
 *
 * Floor: report. */
#pragma once

#include <cairo.h>

typedef enum
{
  TARN_PALETTE_GROUND,   /* around a sector */
  TARN_PALETTE_TEXT,     /* on the ground */
  TARN_PALETTE_QUIET,    /* axes and safety line on the ground */
  TARN_PALETTE_MEASURED, /* #56B4E9 */
  TARN_PALETTE_HALO,     /* under any mark on an image */
  TARN_PALETTE_TRUTH,    /* #E69F00 */
  TARN_PALETTE_COLOURS
} TarnPalette;

static inline void
tarn_palette_source (cairo_t *cr, TarnPalette colour)
{
  static const unsigned rgb[TARN_PALETTE_COLOURS] = {
    [TARN_PALETTE_GROUND] = 0x141618, [TARN_PALETTE_TEXT] = 0xe9e7e2,
    [TARN_PALETTE_QUIET] = 0xa3a19c,  [TARN_PALETTE_MEASURED] = 0x56b4e9,
    [TARN_PALETTE_HALO] = 0x000000,   [TARN_PALETTE_TRUTH] = 0xe69f00,
  };
  unsigned c = rgb[colour];
  cairo_set_source_rgb (cr, (c >> 16 & 255) / 255.0, (c >> 8 & 255) / 255.0, (c & 255) / 255.0);
}
