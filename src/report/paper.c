/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/paper.h"

#include "base/units.h"

#include <math.h>
#include <string.h>

#define PITCH        7.0 /* of every pattern */
#define PATTERN_LINE 1.4
/* Of a mark's colour behind its pattern. */
#define BODY_ON_LIGHT 0.42
#define BODY_ON_DARK  0.25

double
tarn_paper_text_size (const TarnPaper *paper)
{
  return paper->text_size > 0 ? paper->text_size : 1;
}

static void
source_rgb (cairo_t *cr, unsigned rgb, double alpha)
{
  cairo_set_source_rgba (cr, (rgb >> 16 & 255) / 255.0, (rgb >> 8 & 255) / 255.0,
                         (rgb & 255) / 255.0, alpha);
}

void
tarn_paper_source (cairo_t *cr, const TarnPaper *paper, TarnInk ink)
{
  static const unsigned rgb[TARN_INKS][2] = {
    [TARN_INK_GROUND] = { 0xffffff, 0x25282b },   [TARN_INK_TEXT] = { 0x24262a, 0xe9e7e2 },
    [TARN_INK_QUIET] = { 0x5b5e62, 0xaba9a4 },    [TARN_INK_FAINT] = { 0xe9e6e0, 0x34383c },
    [TARN_INK_MEASURED] = { 0x0072b2, 0x56b4e9 }, [TARN_INK_TRUTH] = { 0xe69f00, 0xe69f00 },
  };
  source_rgb (cr, rgb[ink][paper->dark], 1);
}

void
tarn_paper_font (cairo_t *cr, const TarnPaper *paper, double size, bool bold)
{
  cairo_select_font_face (cr, paper->font != NULL ? paper->font : "sans-serif",
                          CAIRO_FONT_SLANT_NORMAL,
                          bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size (cr, size * tarn_paper_text_size (paper));
}

double
tarn_paper_text_width (cairo_t *cr, const char *text)
{
  cairo_text_extents_t extents;
  cairo_text_extents (cr, text, &extents);
  return extents.x_advance;
}

double
tarn_paper_text (cairo_t *cr, double x, double y, TarnAlign align, const char *text)
{
  double width = tarn_paper_text_width (cr, text);
  x -= align == TARN_ALIGN_END ? width : align == TARN_ALIGN_MIDDLE ? width / 2 : 0;
  cairo_move_to (cr, x, y);
  cairo_show_text (cr, text);
  return width;
}

/* Where the line that starts at @text ends: before the last blank that still fits, or after
 * the first word. */
static size_t
line_end (cairo_t *cr, const char *text, double width)
{
  char line[256];
  size_t end = 0;
  for (size_t at = 0;; at++)
    {
      if (text[at] != ' ' && text[at] != '\0')
        continue;
      size_t length = at < sizeof line ? at : sizeof line - 1;
      memcpy (line, text, length);
      line[length] = '\0';
      if (end > 0 && tarn_paper_text_width (cr, line) > width)
        return end;
      end = at;
      if (text[at] == '\0' || at >= sizeof line - 1)
        return end;
    }
}

int
tarn_paper_wrapped (cairo_t *cr, double x, double y, double width, double line,
                    const char *text, bool draw)
{
  int lines = 0;
  while (*text != '\0')
    {
      char piece[256];
      size_t end = line_end (cr, text, width);
      size_t length = end < sizeof piece ? end : sizeof piece - 1;
      memcpy (piece, text, length);
      piece[length] = '\0';
      if (draw)
        tarn_paper_text (cr, x, y + lines * line, TARN_ALIGN_START, piece);
      lines++;
      text += end;
      text += *text == ' ';
    }
  return lines;
}

/* The patterns.  Each covers the box (0, 0) to (width, height) with strokes or dots. */

static void
add_hatching (cairo_t *cr, double width, double height)
{
  for (double at = PITCH / 2; at < width + height; at += PITCH)
    {
      cairo_move_to (cr, at, 0);
      cairo_line_to (cr, at - height, height);
    }
}

/* Every second row stands half a pitch aside. */
static void
add_dots (cairo_t *cr, double width, double height)
{
  int row = 0;
  for (double y = PITCH / 2; y < height; y += 0.75 * PITCH, row++)
    for (double x = PITCH / 2 * (1 + row % 2); x < width; x += PITCH)
      {
        cairo_move_to (cr, x, y);
        cairo_close_path (cr);
      }
}

static void
add_dashes (cairo_t *cr, double width, double height)
{
  int row = 0;
  for (double y = PITCH / 2; y < height; y += 0.75 * PITCH, row++)
    for (double x = row % 2 * PITCH * 0.75; x < width; x += 1.5 * PITCH)
      {
        cairo_move_to (cr, x, y);
        cairo_rel_line_to (cr, 0.75 * PITCH, 0);
      }
}

static void
add_waves (cairo_t *cr, double width, double height)
{
  double rise = PITCH * 0.4;
  for (double y = PITCH / 2; y < height + rise; y += PITCH)
    {
      cairo_move_to (cr, 0, y);
      for (double x = 0; x < width; x += 2 * PITCH)
        {
          cairo_rel_curve_to (cr, PITCH / 2, -rise, PITCH / 2, -rise, PITCH, 0);
          cairo_rel_curve_to (cr, PITCH / 2, rise, PITCH / 2, rise, PITCH, 0);
        }
    }
}

static void
add_zigzag (cairo_t *cr, double width, double height)
{
  double rise = PITCH * 0.6;
  for (double y = PITCH * 0.8; y < height + rise; y += 1.2 * PITCH)
    {
      cairo_move_to (cr, 0, y);
      for (double x = 0; x < width; x += 1.2 * PITCH)
        {
          cairo_rel_line_to (cr, 0.6 * PITCH, -rise);
          cairo_rel_line_to (cr, 0.6 * PITCH, rise);
        }
    }
}

static void
add_crosses (cairo_t *cr, double width, double height)
{
  double arm = PITCH * 0.22;
  int row = 0;
  for (double y = PITCH * 0.6; y < height; y += PITCH, row++)
    for (double x = PITCH * (0.6 + 0.7 * (row % 2)); x < width; x += 1.4 * PITCH)
      {
        cairo_move_to (cr, x - arm, y - arm);
        cairo_rel_line_to (cr, 2 * arm, 2 * arm);
        cairo_move_to (cr, x - arm, y + arm);
        cairo_rel_line_to (cr, 2 * arm, -2 * arm);
      }
}

static void
add_uprights (cairo_t *cr, double width, double height)
{
  for (double x = PITCH / 2; x < width; x += 1.5 * PITCH)
    {
      cairo_move_to (cr, x, 0);
      cairo_line_to (cr, x, height);
    }
}

static void
add_grid (cairo_t *cr, double width, double height)
{
  add_uprights (cr, width, height);
  for (double y = PITCH / 2; y < height; y += PITCH)
    {
      cairo_move_to (cr, 0, y);
      cairo_line_to (cr, width, y);
    }
}

typedef void (*AddPattern) (cairo_t *cr, double width, double height);

/* A colour on light and on dark ground, its pattern, and how the pattern's strokes end. */
typedef struct
{
  unsigned light, dark;
  AddPattern add;
  double line;
} Mark;

static const Mark marks[TARN_MARKS] = {
  [TARN_MARK_TRUTH] = { 0xe69f00, 0xe69f00, NULL, 0 },
  [TARN_MARK_MEASURED] = { 0x0072b2, 0x56b4e9, NULL, 0 },
  [TARN_MARK_EDGE] = { 0xd55e00, 0xd55e00, add_hatching, 2.2 },
  [TARN_MARK_SHADOW] = { 0xcc79a7, 0xcc79a7, add_dots, 3.2 },
  [TARN_MARK_CONTACT] = { 0x0072b2, 0x0072b2, add_dashes, 2.2 },
  [TARN_MARK_OTHER_FLUID] = { 0xbbbbbb, 0xbbbbbb, add_waves, PATTERN_LINE },
  [TARN_MARK_MOTION] = { 0x8c8a86, 0x9a9893, add_zigzag, PATTERN_LINE },
  [TARN_MARK_REST] = { 0x8c8a86, 0x9a9893, add_crosses, PATTERN_LINE },
  [TARN_MARK_CALIPERS] = { 0x8c8a86, 0x9a9893, add_uprights, PATTERN_LINE },
  [TARN_MARK_FORMULA] = { 0x8c8a86, 0x9a9893, add_grid, PATTERN_LINE },
};

/* Half way from the mark's colour to the text's. */
static unsigned
edge_colour (unsigned rgb, bool dark)
{
  unsigned text = dark ? 0xe9e7e2 : 0x24262a, mixed = 0;
  for (int shift = 0; shift < 24; shift += 8)
    mixed |= (((rgb >> shift & 255) + (text >> shift & 255)) / 2) << shift;
  return mixed;
}

/* Light strokes on a solid body would drown; so the body is thin and the strokes are full.
 * Only the other fluid is a full grey with dark waves. */
void
tarn_paper_fill_mark (cairo_t *cr, const TarnPaper *paper, TarnMark mark)
{
  const Mark *m = &marks[mark];
  unsigned rgb = paper->dark ? m->dark : m->light;
  bool full = m->add == NULL || mark == TARN_MARK_OTHER_FLUID;
  double x0, y0, x1, y1;
  cairo_path_t *outline = cairo_copy_path (cr);

  cairo_save (cr);
  cairo_path_extents (cr, &x0, &y0, &x1, &y1);
  source_rgb (cr, rgb, full ? 1 : paper->dark ? BODY_ON_DARK : BODY_ON_LIGHT);
  cairo_fill_preserve (cr);
  cairo_clip (cr);
  if (m->add != NULL)
    {
      cairo_translate (cr, x0, y0);
      cairo_new_path (cr);
      m->add (cr, x1 - x0, y1 - y0);
      source_rgb (cr, full ? 0x3c3b39 : rgb, 1);
      cairo_set_line_width (cr, m->line);
      cairo_set_line_cap (cr, mark == TARN_MARK_SHADOW ? CAIRO_LINE_CAP_ROUND
                                                       : CAIRO_LINE_CAP_BUTT);
      cairo_stroke (cr);
    }
  cairo_restore (cr);

  cairo_save (cr);
  cairo_new_path (cr);
  cairo_append_path (cr, outline);
  source_rgb (cr, edge_colour (rgb, paper->dark), 1);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);
  cairo_restore (cr);
  cairo_path_destroy (outline);
}
