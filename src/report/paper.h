/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * paper.h: the ground a drawing stands on, and the few inks and marks that mean something on
 * it.  Every mark has a colour (of Okabe & Ito's colour-safe set where it tells a cause), a
 * pattern of its own and an edge that keeps it apart from the ground, so that none depends on
 * colour alone.
 *
 * Floor: report. */
#pragma once

#include <cairo.h>
#include <stdbool.h>

/* Zeroed: light ground, text as large as in print, the sans-serif font. */
typedef struct
{
  bool dark;
  double text_size; /* 0 or 1: as in print; 1.5: half as large again */
  const char *font; /* family; NULL: sans-serif */
} TarnPaper;

typedef enum
{
  TARN_INK_GROUND,
  TARN_INK_TEXT,
  TARN_INK_QUIET,    /* axes and second thoughts */
  TARN_INK_FAINT,    /* tracks and bands, behind everything */
  TARN_INK_MEASURED, /* the measured blue of this ground */
  TARN_INK_TRUTH,
  TARN_INKS
} TarnInk;

typedef enum
{
  TARN_MARK_TRUTH,       /* orange, plain */
  TARN_MARK_MEASURED,    /* blue, plain */
  TARN_MARK_EDGE,        /* vermillion, 45° hatching */
  TARN_MARK_SHADOW,      /* purple, dots */
  TARN_MARK_CONTACT,     /* deep blue, short dashes */
  TARN_MARK_OTHER_FLUID, /* light grey, waves */
  TARN_MARK_MOTION,      /* neutral, zigzag */
  TARN_MARK_REST,        /* neutral, sparse crosses */
  TARN_MARK_CALIPERS,    /* neutral, upright bars with feet */
  TARN_MARK_FORMULA,     /* neutral, a grid */
  TARN_MARKS
} TarnMark;

double tarn_paper_text_size (const TarnPaper *paper);
void tarn_paper_source (cairo_t *cr, const TarnPaper *paper, TarnInk ink);
/* Chooses the paper's font at @size user units, times its text size. */
void tarn_paper_font (cairo_t *cr, const TarnPaper *paper, double size, bool bold);

/* Where a text stands about its x. */
typedef enum
{
  TARN_ALIGN_START,
  TARN_ALIGN_MIDDLE,
  TARN_ALIGN_END,
} TarnAlign;

/* Draws @text on the base line @y with the present font and source.  Returns its width. */
double tarn_paper_text (cairo_t *cr, double x, double y, TarnAlign align, const char *text);
double tarn_paper_text_width (cairo_t *cr, const char *text);

/* Draws @text in lines no wider than @width, the first on base line @y, @line apart.
 * Returns how many lines; draws none of them where @draw is false. */
int tarn_paper_wrapped (cairo_t *cr, double x, double y, double width, double line,
                        const char *text, bool draw);

/* Fills the present path with a mark and keeps no path; the edge is drawn too. */
void tarn_paper_fill_mark (cairo_t *cr, const TarnPaper *paper, TarnMark mark);
