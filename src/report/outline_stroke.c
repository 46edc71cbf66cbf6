/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/outline_stroke.h"

#include "report/palette.h"

#include <math.h>

/* Times the line's width. */
#define HATCH_PITCH 6.0
#define HATCH_REACH 3.0 /* to either side */

/* Of the true border's diamonds, times the line's width. */
#define DIAMOND_PITCH 14.0
#define DIAMOND_HALF  2.1
#define TRUTH_LINE    0.7

static void
point_xy (const TarnOutline *outline, const TarnSectorPlace *place, int index, double *x,
          double *y)
{
  const TarnOutlinePoint *p = &outline->point[index % TARN_OUTLINE_POINTS];
  *x = place->x0 + p->u_mm * place->scale;
  *y = place->y0 + p->v_mm * place->scale;
}

/* A piece between two points is no better than the weaker of them. */
static TarnEvidence
piece_evidence (const TarnOutline *outline, int index)
{
  int a = outline->point[index % TARN_OUTLINE_POINTS].evidence;
  int b = outline->point[(index + 1) % TARN_OUTLINE_POINTS].evidence;
  return (TarnEvidence)(a > b ? a : b);
}

/* The first piece whose evidence differs from the one before; 0 if all are alike. */
static int
first_change (const TarnOutline *outline)
{
  for (int k = 0; k < TARN_OUTLINE_POINTS; k++)
    if (piece_evidence (outline, k + TARN_OUTLINE_POINTS - 1) != piece_evidence (outline, k))
      return k;
  return 0;
}

/* Short strokes across pieces [from, to), at 60° to each, so that they show on any border. */
static void
add_hatch (cairo_t *cr, const TarnOutline *outline, const TarnSectorPlace *place, int from,
           int to, double line)
{
  double travelled = 0;
  for (int k = from; k < to; k++)
    {
      double x0, y0, x1, y1;
      point_xy (outline, place, k, &x0, &y0);
      point_xy (outline, place, k + 1, &x1, &y1);
      double length = hypot (x1 - x0, y1 - y0);
      if (length <= 0)
        continue;
      double along_x = (x1 - x0) / length, along_y = (y1 - y0) / length;
      double across_x = HATCH_REACH * line * (0.5 * along_x - 0.866 * along_y);
      double across_y = HATCH_REACH * line * (0.5 * along_y + 0.866 * along_x);
      for (double at = HATCH_PITCH * line - travelled; at < length; at += HATCH_PITCH * line)
        {
          double x = x0 + along_x * at, y = y0 + along_y * at;
          cairo_move_to (cr, x - across_x, y - across_y);
          cairo_line_to (cr, x + across_x, y + across_y);
        }
      travelled = fmod (travelled + length, HATCH_PITCH * line);
    }
}

/* The path of pieces [from, to), which share their evidence, in one pass: halo or colour. */
static void
stroke_run (cairo_t *cr, const TarnOutline *outline, const TarnSectorPlace *place, int from,
            int to, double line, double width)
{
  const double dash[2] = { 4 * line, 3 * line };
  TarnEvidence evidence = piece_evidence (outline, from);
  double x, y;

  cairo_new_path (cr);
  point_xy (outline, place, from, &x, &y);
  cairo_move_to (cr, x, y);
  for (int k = from + 1; k <= to; k++)
    {
      point_xy (outline, place, k, &x, &y);
      cairo_line_to (cr, x, y);
    }
  if (evidence == TARN_EVIDENCE_AT_EDGE)
    add_hatch (cr, outline, place, from, to, line);
  cairo_set_dash (cr, dash, evidence == TARN_EVIDENCE_BRIDGED ? 2 : 0, 0);
  cairo_set_line_width (cr, width);
  cairo_stroke (cr);
}

/* Pieces [from, from + pieces), run by run.  A dark halo goes first, so that the colour keeps
 * its contrast on bright tissue. */
static void
stroke_pieces (cairo_t *cr, const TarnOutline *outline, const TarnSectorPlace *place, int first,
               int pieces, double line)
{
  cairo_save (cr);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_BUTT);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  for (int pass = 0; pass < 2; pass++)
    {
      tarn_palette_source (cr, pass == 0 ? TARN_PALETTE_HALO : TARN_PALETTE_MEASURED);
      for (int from = first; from < first + pieces;)
        {
          int to = from + 1;
          while (to < first + pieces
                 && piece_evidence (outline, to) == piece_evidence (outline, from))
            to++;
          stroke_run (cr, outline, place, from, to, line, pass == 0 ? line + 2 : line);
          from = to;
        }
    }
  cairo_restore (cr);
}

void
tarn_outline_stroke (cairo_t *cr, const TarnOutline *outline, const TarnSectorPlace *place,
                     double line)
{
  if (outline->found)
    stroke_pieces (cr, outline, place, first_change (outline), TARN_OUTLINE_POINTS, line);
}

void
tarn_evidence_stroke (cairo_t *cr, TarnEvidence evidence, double x, double y, double length,
                      double line)
{
  const TarnSectorPlace place = { .x0 = x, .y0 = y, .scale = 1 };
  const TarnOutline piece
      = { .point = { { .evidence = (uint8_t)evidence },
                     { .u_mm = (float)length, .evidence = (uint8_t)evidence } } };
  stroke_pieces (cr, &piece, &place, 0, 1, line);
}

typedef struct
{
  const float *u, *v;
  int points; /* the last is joined to the first when the way is closed */
  bool closed;
} Way;

static void
way_xy (const Way *way, const TarnSectorPlace *place, int index, double *x, double *y)
{
  *x = place->x0 + (double)way->u[index % way->points] * place->scale;
  *y = place->y0 + (double)way->v[index % way->points] * place->scale;
}

static void
add_way (cairo_t *cr, const Way *way, const TarnSectorPlace *place)
{
  for (int k = 0; k < way->points; k++)
    {
      double x, y;
      way_xy (way, place, k, &x, &y);
      cairo_line_to (cr, x, y);
    }
  if (way->closed)
    cairo_close_path (cr);
}

static double
way_length (const Way *way, const TarnSectorPlace *place)
{
  double sum = 0, x0, y0, x1, y1;
  for (int k = 0; k < way->points - !way->closed; k++)
    {
      way_xy (way, place, k, &x0, &y0);
      way_xy (way, place, k + 1, &x1, &y1);
      sum += hypot (x1 - x0, y1 - y0);
    }
  return sum;
}

/* Evenly spread, so that the last is as far from the first as from the one before. */
static void
add_diamonds (cairo_t *cr, const Way *way, const TarnSectorPlace *place, double line)
{
  double length = way_length (way, place), half = DIAMOND_HALF * line;
  double pitch = length / fmax (1, floor (length / (DIAMOND_PITCH * line)));
  double next = pitch / 2, gone = 0, x0, y0, x1, y1;
  for (int k = 0; k < way->points - !way->closed; k++)
    {
      way_xy (way, place, k, &x0, &y0);
      way_xy (way, place, k + 1, &x1, &y1);
      double piece = hypot (x1 - x0, y1 - y0);
      for (; piece > 0 && next < gone + piece; next += pitch)
        {
          double x = x0 + (x1 - x0) * (next - gone) / piece;
          double y = y0 + (y1 - y0) * (next - gone) / piece;
          cairo_move_to (cr, x - half, y);
          cairo_line_to (cr, x, y - half);
          cairo_line_to (cr, x + half, y);
          cairo_line_to (cr, x, y + half);
          cairo_close_path (cr);
        }
      gone += piece;
    }
}

/* Halo first, for line and diamonds together. */
static void
stroke_way (cairo_t *cr, const Way *way, const TarnSectorPlace *place, double line)
{
  cairo_save (cr);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  for (int pass = 0; pass < 2; pass++)
    {
      tarn_palette_source (cr, pass == 0 ? TARN_PALETTE_HALO : TARN_PALETTE_TRUTH);
      cairo_new_path (cr);
      add_way (cr, way, place);
      cairo_set_line_width (cr, TRUTH_LINE * line + (pass == 0 ? 2 : 0));
      cairo_stroke (cr);
      add_diamonds (cr, way, place, line);
      cairo_set_line_width (cr, 2);
      if (pass == 0)
        cairo_stroke (cr);
      else
        cairo_fill (cr);
    }
  cairo_restore (cr);
}

void
tarn_border_stroke (cairo_t *cr, const TarnBorder *border, const TarnSectorPlace *place,
                    double line)
{
  for (int k = 0; k < border->loops; k++)
    {
      int first = border->first[k];
      Way way
          = { border->u_mm + first, border->v_mm + first, border->first[k + 1] - first, true };
      if (way.points > 0)
        stroke_way (cr, &way, place, line);
    }
}

void
tarn_border_sample_stroke (cairo_t *cr, double x, double y, double length, double line)
{
  const TarnSectorPlace place = { .x0 = x, .y0 = y, .scale = 1 };
  const float u[2] = { 0, (float)length }, v[2] = { 0, 0 };
  const Way way = { u, v, 2, false };
  stroke_way (cr, &way, &place, line);
}
