/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The true border in a plane, by marching squares.
 *
 * 1. A box of the plane that is sure to hold the section: around the lumen's coarse vertices,
 *    and what surrounds its diverticula, pressed and seen in the plane's frame.
 * 2. A grid over it: each knot is followed back to where it was at rest and asked how far it
 *    lies from the urine.  Lumen and diverticula are one body there, so that they need not be
 *    joined loop by loop.
 * 3. Squares in which that distance changes its sign are chained, urine to the left of the
 *    way, so that areas come out positive.  Where the loops need more points than there is room
 *    for, the grid is made coarser. */
#include "engine/verdict/border.h"

#include <stdlib.h>

#define PITCH_MM    2.0
#define COARSER     1.3
#define MARGIN_MM   8.0
#define KNOTS_MAX   160 /* each way; a multiple of 8 */
#define CORNERS_MAX (642 + 14 * TARN_STRUCTURES_MAX)
#define CORNERS     642 /* of the lumen's mesh: the vertices of a sphere divided three times */

typedef struct
{
  const TarnBody *body;
  const TarnShot *shot;
  TarnPlaneFrame frame;
  double u0, v0, u1, v1, pitch_mm;
  int columns, rows;
  float *level; /* rows x columns: mm, negative in urine */
  uint8_t *met; /* edges that a loop has passed: bit 0 to the right of the knot, bit 1 down */
} Grid;

static void
take_corner (float at[3][CORNERS_MAX + 8], int *count, TarnVec3 p)
{
  at[0][*count] = (float)p.x;
  at[1][*count] = (float)p.y;
  at[2][(*count)++] = (float)p.z;
}

/* Points at rest around all urine. */
static int
corners_at_rest (const TarnBody *body, float at[3][CORNERS_MAX + 8])
{
  const TarnMesh *mesh = tarn_body_lumen_mesh (body);
  const TarnPatient *patient = tarn_body_patient (body);
  int count = 0;
  for (int k = 0; k < mesh->vertices && k < CORNERS; k++)
    take_corner (at, &count, mesh->vertex_mm[k]);
  for (int s = 0; s < patient->structures && count > 0; s++)
    {
      const TarnStructure *structure = &patient->structure[s];
      if (structure->kind != TARN_STRUCTURE_DIVERTICULUM || !structure->counts)
        continue;
      TarnVec3 r = structure->radii_mm;
      double reach = fmax (r.x, fmax (r.y, r.z));
      for (int k = 0; k < 14; k++)
        {
          TarnVec3 way = k < 8 ? tarn_vec3 (k & 1 ? 1 : -1, k & 2 ? 1 : -1, k & 4 ? 1 : -1)
                               : tarn_vec3 (0, 0, 0);
          if (k >= 8)
            *(k < 10 ? &way.x : k < 12 ? &way.y : &way.z) = k & 1 ? 1 : -1;
          take_corner (at, &count, tarn_add_scaled (structure->centre_mm, way, reach));
        }
    }
  return count;
}

/* False when no urine is near the plane. */
static bool
grid_box (Grid *grid)
{
  float at[3][CORNERS_MAX + 8];
  int count = corners_at_rest (grid->body, at);
  for (int k = count; k < (count + 7) / 8 * 8; k++)
    at[0][k] = at[1][k] = at[2][k] = 0;
  tarn_deform_forward_many (&grid->shot->deform, count, at[0], at[1], at[2]);

  TarnVec3 normal = tarn_cross (grid->frame.lateral, grid->frame.axis);
  double least = INFINITY, most = -INFINITY;
  grid->u0 = grid->v0 = INFINITY;
  grid->u1 = grid->v1 = -INFINITY;
  for (int k = 0; k < count; k++)
    {
      TarnVec3 p = { (double)at[0][k], (double)at[1][k], (double)at[2][k] };
      TarnVec3 q = tarn_sub (p, grid->frame.centre_mm);
      double u = tarn_dot (q, grid->frame.lateral), v = tarn_dot (q, grid->frame.axis);
      double off = tarn_dot (q, normal);
      grid->u0 = fmin (grid->u0, u - MARGIN_MM);
      grid->u1 = fmax (grid->u1, u + MARGIN_MM);
      grid->v0 = fmin (grid->v0, v - MARGIN_MM);
      grid->v1 = fmax (grid->v1, v + MARGIN_MM);
      least = fmin (least, off);
      most = fmax (most, off);
    }
  return count > 0 && least < MARGIN_MM && most > -MARGIN_MM;
}

/* The outermost knots are never in urine, so that no loop is open. */
static void
grid_row (Grid *grid, int row)
{
  float x[KNOTS_MAX], y[KNOTS_MAX], z[KNOTS_MAX];
  for (int k = 0; k < (grid->columns + 7) / 8 * 8; k++)
    {
      TarnVec3 p = tarn_add_scaled (grid->frame.centre_mm, grid->frame.lateral,
                                    grid->u0 + k * grid->pitch_mm);
      p = tarn_add_scaled (p, grid->frame.axis, grid->v0 + row * grid->pitch_mm);
      x[k] = (float)p.x;
      y[k] = (float)p.y;
      z[k] = (float)p.z;
    }
  tarn_deform_inverse_many (&grid->shot->deform, grid->columns, x, y, z);
  for (int k = 0; k < grid->columns; k++)
    {
      double level = tarn_body_urine_distance_mm (
          grid->body, tarn_vec3 ((double)x[k], (double)y[k], (double)z[k]));
      bool rim = row == 0 || row == grid->rows - 1 || k == 0 || k == grid->columns - 1;
      grid->level[row * grid->columns + k] = (float)(rim ? fmax (level, 1e-3) : level);
    }
}

static bool
in_urine (const Grid *grid, int column, int row)
{
  return grid->level[row * grid->columns + column] < 0;
}

/* An edge of the grid, from a knot to the right or down. */
typedef struct
{
  int column, row;
  bool down;
} Edge;

static void
edge_crossing (const Grid *grid, Edge edge, double *u, double *v)
{
  int knot = edge.row * grid->columns + edge.column;
  double a = grid->level[knot], b = grid->level[knot + (edge.down ? grid->columns : 1)];
  double t = a / (a - b);
  *u = grid->u0 + (edge.column + (edge.down ? 0 : t)) * grid->pitch_mm;
  *v = grid->v0 + (edge.row + (edge.down ? t : 0)) * grid->pitch_mm;
}

/* Sides of a square, in the order of u to v: top (least v), right, bottom, left. */
static Edge
side_of (int column, int row, int side)
{
  return (Edge){ column + (side == 1), row + (side == 2), side == 1 || side == 3 };
}

static bool
is_crossed (const Grid *grid, Edge edge)
{
  return in_urine (grid, edge.column, edge.row)
         != in_urine (grid, edge.column + !edge.down, edge.row + edge.down);
}

/* The side by which a way that came in by @side leaves: the only other one, or in a square
 * crossed on all sides the one that keeps to the same knot of urine when the middle is dry, and
 * else goes round the dry one. */
static int
way_out (const Grid *grid, int column, int row, int side)
{
  int crossed = 0, other = -1;
  for (int k = 0; k < 4; k++)
    if (is_crossed (grid, side_of (column, row, k)))
      {
        crossed++;
        other = k != side ? k : other;
      }
  if (crossed == 2)
    return other;
  const float *level = &grid->level[row * grid->columns + column];
  float middle = level[0] + level[1] + level[grid->columns] + level[grid->columns + 1];
  /* Knots of urine at the first and third corner, or at the others. */
  bool first = level[0] < 0, joined = middle < 0;
  return first == joined ? (side ^ 1) : 3 - side;
}

typedef struct
{
  TarnBorder *border;
  double twice_mm2;
  bool full;
} Tracing;

static void
take_point (Tracing *tracing, int *count, double u, double v)
{
  TarnBorder *border = tracing->border;
  int at = border->first[border->loops] + *count;
  if (at >= TARN_BORDER_POINTS_MAX)
    {
      tracing->full = true;
      return;
    }
  border->u_mm[at] = (float)u;
  border->v_mm[at] = (float)v;
  (*count)++;
}

/* Marks the edge; false when it had been. */
static bool
meet (Grid *grid, Edge edge)
{
  uint8_t *met = &grid->met[edge.row * grid->columns + edge.column];
  uint8_t bit = edge.down ? 2 : 1;
  bool fresh = !(*met & bit);
  *met |= bit;
  return fresh;
}

/* The loop that enters the square by @side. */
static void
trace (Grid *grid, int column, int row, int side, Tracing *tracing)
{
  static const int step_column[] = { 0, 1, 0, -1 }, step_row[] = { -1, 0, 1, 0 };
  TarnBorder *border = tracing->border;
  int count = 0;
  double u, v, u0, v0, before_u, before_v, twice = 0;
  edge_crossing (grid, side_of (column, row, side), &u0, &v0);
  before_u = u0;
  before_v = v0;
  while (meet (grid, side_of (column, row, side)))
    {
      edge_crossing (grid, side_of (column, row, side), &u, &v);
      twice += before_u * v - u * before_v;
      before_u = u;
      before_v = v;
      take_point (tracing, &count, u, v);
      int out = way_out (grid, column, row, side);
      column += step_column[out];
      row += step_row[out];
      side = (out + 2) % 4;
    }
  tracing->twice_mm2 += twice + before_u * v0 - u0 * before_v;
  if (count >= 3 && border->loops < TARN_BORDER_LOOPS_MAX)
    {
      border->loops++;
      border->first[border->loops] = border->first[border->loops - 1] + count;
    }
}

/* Loops start on the side of a square where urine lies to the left of the way in. */
static bool
trace_all (Grid *grid, TarnBorder *border)
{
  Tracing tracing = { .border = border };
  border->loops = 0;
  border->first[0] = 0;
  for (int k = 0; k < grid->rows * grid->columns; k++)
    grid->met[k] = 0;
  for (int row = 0; row + 1 < grid->rows; row++)
    for (int column = 0; column + 1 < grid->columns; column++)
      {
        /* In through the top, along v: to its left lies what has the lesser u. */
        Edge top = side_of (column, row, 0);
        bool enters = in_urine (grid, column, row) && !in_urine (grid, column + 1, row);
        if (enters && !(grid->met[top.row * grid->columns + top.column] & 1))
          trace (grid, column, row, 0, &tracing);
      }
  border->area_mm2 = tracing.twice_mm2 / 2;
  return !tracing.full;
}

TarnStatus
tarn_border_in_plane (const TarnBody *body, const TarnShot *shot, double fan_rad,
                      TarnBorder *border)
{
  Grid grid
      = { .body = body, .shot = shot, .frame = tarn_plane_frame (&shot->contact, fan_rad) };
  border->loops = 0;
  border->first[0] = 0;
  border->area_mm2 = 0;
  if (!grid_box (&grid))
    return TARN_OK;

  grid.level = malloc ((size_t)KNOTS_MAX * KNOTS_MAX * sizeof *grid.level);
  grid.met = malloc ((size_t)KNOTS_MAX * KNOTS_MAX);
  TarnStatus status = grid.level == NULL || grid.met == NULL ? TARN_NO_MEMORY : TARN_OK;
  double size = fmax (grid.u1 - grid.u0, grid.v1 - grid.v0);
  bool fits = status != TARN_OK;
  for (grid.pitch_mm = fmax (PITCH_MM, size / (KNOTS_MAX - 8)); !fits; grid.pitch_mm *= COARSER)
    {
      grid.columns = (int)((grid.u1 - grid.u0) / grid.pitch_mm) + 2;
      grid.rows = (int)((grid.v1 - grid.v0) / grid.pitch_mm) + 2;
      for (int row = 0; row < grid.rows; row++)
        grid_row (&grid, row);
      fits = trace_all (&grid, border);
    }
  free (grid.level);
  free (grid.met);
  return status;
}

TarnStatus
tarn_border_of_sweep (const TarnBody *body, const TarnSweep *sweep, int index,
                      TarnBorder *border)
{
  return tarn_border_in_plane (body, tarn_shots_at (&sweep->shots, index, false),
                               tarn_shots_fan_rad (&sweep->shots, index), border);
}
