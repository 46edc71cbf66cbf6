/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The coarse polar table of a plane (plane_work.h).
 *
 * Columns reach to ±80° whatever the picture's width, so that a picture and a wider one agree;
 * but far outside the picture only the shallow nodes are filled, since blocks of scatterers
 * that lean into the picture from there are near the face. */
#include "engine/acoustic/lookup.h"
#include "engine/acoustic/plane_work.h"

#include "base/units.h"

#include <stdlib.h>
#include <string.h>

#define REACH_RAD      1.4 /* columns go on to here */
#define SPARE_COLUMNS  3   /* beyond the rows, filled to the full depth */
#define SHALLOW_MM     48.0
#define SHIFT_PER_NODE 6 /* the ruler's error is summed in steps of a node's sixth */

void
tarn_nodes_clear (TarnNodes *nodes)
{
  free (nodes->x);
  free (nodes->y);
  free (nodes->z);
  free (nodes->shift);
  *nodes = (TarnNodes){ 0 };
}

static TarnStatus
nodes_resize (TarnNodes *nodes, int columns, int depths)
{
  if (nodes->columns == columns && nodes->depths == depths)
    return TARN_OK;
  tarn_nodes_clear (nodes);
  size_t count = (size_t)columns * (size_t)depths + LANES_PAD;
  nodes->x = malloc (count * sizeof *nodes->x);
  nodes->y = malloc (count * sizeof *nodes->y);
  nodes->z = malloc (count * sizeof *nodes->z);
  nodes->shift = malloc (count * sizeof *nodes->shift);
  if (nodes->x == NULL || nodes->y == NULL || nodes->z == NULL || nodes->shift == NULL)
    {
      tarn_nodes_clear (nodes);
      return TARN_NO_MEMORY;
    }
  nodes->columns = columns;
  nodes->depths = depths;
  nodes->middle = columns / 2;
  return TARN_OK;
}

float
tarn_nodes_at (const TarnNodes *nodes, const float *values, float rows_from_middle,
               float samples_from_face)
{
  float column = rows_from_middle / TARN_NODE_ROWS + (float)nodes->middle;
  float depth = samples_from_face / TARN_NODE_SAMPLES;
  column = fminf (fmaxf (column, 0), (float)(nodes->columns - 1));
  depth = fminf (fmaxf (depth, 0), (float)(nodes->depths - 1));
  int c = (int)column < nodes->columns - 1 ? (int)column : nodes->columns - 2;
  int d = (int)depth < nodes->depths - 1 ? (int)depth : nodes->depths - 2;
  float fc = column - (float)c, fd = depth - (float)d;

  const float *at = values + c * nodes->depths + d;
  float left = at[0] + (at[1] - at[0]) * fd;
  at += nodes->depths;
  float right = at[0] + (at[1] - at[0]) * fd;
  return left + (right - left) * fc;
}

/* How many of a column's nodes are wanted. */
static int
wanted_depths (const TarnPlaneWork *work, int column)
{
  int rows_off = abs (column - work->nodes.middle) * TARN_NODE_ROWS;
  if (rows_off <= (int)work->middle + SPARE_COLUMNS * TARN_NODE_ROWS)
    return work->nodes.depths;
  int shallow
      = (int)(SHALLOW_MM / (TARN_NODE_SAMPLES * work->setup.geometry.sample_pitch_mm)) + 2;
  return shallow < work->nodes.depths ? shallow : work->nodes.depths;
}

/* Speeds against the assumed one; what ends a line keeps the ruler as it is. */
static void
fill_ruler_error (double error_per_mm[TARN_TISSUES])
{
  for (int tissue = 0; tissue < TARN_TISSUES; tissue++)
    {
      const TarnTissueSound *sound = tarn_tissue_sound ((TarnTissue)tissue);
      error_per_mm[tissue] = sound->opaque || tissue == TARN_TISSUE_AIR
                                 ? 0
                                 : TARN_ASSUMED_M_S / sound->speed_m_s - 1;
    }
  /* Between the face and the skin lies gel. */
  error_per_mm[TARN_TISSUE_AIR] = TARN_ASSUMED_M_S / 1500 - 1;
}

static void
fill_shift_column (TarnPlaneWork *work, int column, int depths, const double *error_per_mm)
{
  const TarnPlaneSetup *setup = &work->setup;
  TarnNodes *nodes = &work->nodes;
  double angle = (column - nodes->middle) * TARN_NODE_ROWS * setup->geometry.line_pitch_rad;
  double node_mm = TARN_NODE_SAMPLES * setup->geometry.sample_pitch_mm;
  double step_mm = node_mm / SHIFT_PER_NODE;
  TarnVec3 direction = tarn_add_scaled (tarn_scale (setup->frame.axis, cos (angle)),
                                        setup->frame.lateral, sin (angle));
  size_t first = (size_t)column * (size_t)nodes->depths;
  double shift = 0;
  const TarnCells *cells = tarn_body_cells (setup->body);

  nodes->shift[first] = 0;
  for (int d = 1; d < nodes->depths; d++)
    {
      if (d >= depths)
        {
          nodes->shift[first + (size_t)d] = (float)shift;
          continue;
        }
      for (int k = 0; k < SHIFT_PER_NODE; k++)
        {
          double f = (k + 0.5) / SHIFT_PER_NODE;
          double depth = (d - 1 + f) * node_mm;
          size_t at = first + (size_t)d - 1;
          TarnTissue tissue;
          if (setup->phantom != NULL)
            tissue = tarn_phantom_tissue (setup->phantom, depth);
          else
            {
              TarnVec3 p = tarn_add_scaled (setup->frame.centre_mm, direction,
                                            setup->geometry.face_radius_mm + depth);
              p.x += nodes->x[at] + (nodes->x[at + 1] - nodes->x[at]) * f;
              p.y += nodes->y[at] + (nodes->y[at + 1] - nodes->y[at]) * f;
              p.z += nodes->z[at] + (nodes->z[at + 1] - nodes->z[at]) * f;
              tissue = tarn_lookup (setup->body, cells, tarn_cell_place (cells, p));
            }
          shift += error_per_mm[tissue] * step_mm;
        }
      nodes->shift[first + (size_t)d] = (float)shift;
    }
}

/* Pressed points of the wanted nodes, column by column without gaps, then back to rest. */
static void
fill_displacement (TarnPlaneWork *work)
{
  const TarnPlaneSetup *setup = &work->setup;
  TarnNodes *nodes = &work->nodes;
  double node_mm = TARN_NODE_SAMPLES * setup->geometry.sample_pitch_mm;

  for (int c = 0; c < nodes->columns; c++)
    {
      double angle = (c - nodes->middle) * TARN_NODE_ROWS * setup->geometry.line_pitch_rad;
      TarnVec3 direction = tarn_add_scaled (tarn_scale (setup->frame.axis, cos (angle)),
                                            setup->frame.lateral, sin (angle));
      size_t first = (size_t)c * (size_t)nodes->depths;
      int depths = wanted_depths (work, c);
      float x[TARN_NODES_MAX + LANES_PAD], y[TARN_NODES_MAX + LANES_PAD],
          z[TARN_NODES_MAX + LANES_PAD];
      for (int d = 0; d < depths; d++)
        {
          TarnVec3 p = tarn_add_scaled (setup->frame.centre_mm, direction,
                                        setup->geometry.face_radius_mm + d * node_mm);
          nodes->x[first + (size_t)d] = x[d] = (float)p.x;
          nodes->y[first + (size_t)d] = y[d] = (float)p.y;
          nodes->z[first + (size_t)d] = z[d] = (float)p.z;
        }
      for (int d = depths; d < depths + LANES_PAD; d++)
        x[d] = y[d] = z[d] = 1e4f;
      if (setup->deform != NULL && setup->phantom == NULL)
        tarn_deform_inverse_many (setup->deform, depths, x, y, z);
      for (int d = 0; d < nodes->depths; d++)
        {
          int near = d < depths ? d : depths - 1;
          size_t at = first + (size_t)d;
          nodes->x[at] = d < depths ? x[d] - nodes->x[at] : nodes->x[first + (size_t)near];
          nodes->y[at] = d < depths ? y[d] - nodes->y[at] : nodes->y[first + (size_t)near];
          nodes->z[at] = d < depths ? z[d] - nodes->z[at] : nodes->z[first + (size_t)near];
        }
    }
}

TarnStatus
tarn_nodes_fill (TarnPlaneWork *work)
{
  const TarnImageGeometry *geometry = &work->setup.geometry;
  int half = (int)(REACH_RAD / (TARN_NODE_ROWS * geometry->line_pitch_rad));
  int rows_half = (int)(work->middle / TARN_NODE_ROWS) + 1;
  if (half < 1)
    half = 1;
  if (half > rows_half + 64)
    half = rows_half + 64;
  double node_mm = TARN_NODE_SAMPLES * geometry->sample_pitch_mm;
  int spare = (int)ceil (TARN_NODE_SPARE_MM / node_mm);
  int depths = (geometry->samples + TARN_NODE_SAMPLES - 1) / TARN_NODE_SAMPLES + 1
               + (spare < 60 ? spare : 60);
  TarnStatus status = nodes_resize (&work->nodes, 2 * half + 1, depths);
  if (status != TARN_OK)
    return status;

  double error_per_mm[TARN_TISSUES];
  fill_ruler_error (error_per_mm);
  fill_displacement (work);
  for (int c = 0; c < work->nodes.columns; c++)
    fill_shift_column (work, c, wanted_depths (work, c), error_per_mm);
  return TARN_OK;
}
