/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * cells.c: the table of which surfaces matter where.
 *
 * 1. A cell holds a background and candidates: regions, by their bit in the order of
 *    body->region, that may hold some of the cell but not surely all of it.  The first
 * candidate that holds a point gives its tissue; if none does, the background does.
 * 2. A region that surely holds none of a block is dropped; one that surely holds all of it is
 *    the block's background, and every later region is dropped.
 * 3. What is dropped for a block is dropped for all blocks within it, so the table is made by
 *    halving blocks from 32 mm down, asking in each only what its parent left open.
 * "Surely" is by tarn_region_side (), which may say "not known" but is never wrong. */
#include "engine/body/cells.h"

#include <stdlib.h>

#define BLOCK_CELLS 8

/* The part of the torso that planes reach. */
#define FEET_MM     (-88.0)
#define HEAD_MM     300.0
#define BACK_MAX_MM 220.0

typedef struct
{
  uint32_t candidates;
  TarnTissue background;
} Open;

static Open
settle (const TarnBody *body, const TarnBox *box, Open open)
{
  Open left = { 0, open.background };
  for (uint32_t rest = open.candidates; rest != 0; rest &= rest - 1)
    {
      int k = __builtin_ctz (rest);
      TarnTissue tissue;
      int side = tarn_region_side (body, &body->region[k], box, &tissue);
      if (side == 0)
        left.candidates |= 1u << k;
      if (side < 0)
        {
          left.background = tissue;
          break;
        }
    }
  return left;
}

static TarnBox
box_of (const TarnCells *cells, int x, int y, int z, int size)
{
  TarnVec3 low = tarn_add (cells->corner_mm, tarn_scale (tarn_vec3 (x, y, z), TARN_CELL_MM));
  double side = size * TARN_CELL_MM;
  return (TarnBox){ low, tarn_add (low, tarn_vec3 (side, side, side)) };
}

static TarnCell
cell_of (Open open)
{
  return (TarnCell){
    .tissue = open.candidates != 0 ? TARN_CELL_MIXED : (uint8_t)open.background,
    .background = (uint8_t)open.background,
    .candidates = open.candidates,
  };
}

static int
least (int a, int b)
{
  return a < b ? a : b;
}

static void
fill (TarnBody *body, int x0, int y0, int z0, int size, TarnCell cell)
{
  const TarnCells *cells = &body->cells;
  int x1 = least (x0 + size, cells->cells_x), y1 = least (y0 + size, cells->cells_y),
      z1 = least (z0 + size, cells->cells_z);
  for (int z = z0; z < z1; z++)
    for (int y = y0; y < y1; y++)
      {
        TarnCell *row = body->cell + ((size_t)z * cells->cells_y + y) * cells->cells_x;
        for (int x = x0; x < x1; x++)
          row[x] = cell;
      }
}

static void
divide (TarnBody *body, int x, int y, int z, int size, Open open)
{
  const TarnCells *cells = &body->cells;
  if (x >= cells->cells_x || y >= cells->cells_y || z >= cells->cells_z)
    return;
  TarnBox box = box_of (cells, x, y, z, size);
  open = settle (body, &box, open);
  if (size == 1 || open.candidates == 0)
    {
      fill (body, x, y, z, size, cell_of (open));
      return;
    }
  int half = size / 2;
  for (int k = 0; k < 8; k++)
    divide (body, x + (k & 1) * half, y + (k >> 1 & 1) * half, z + (k >> 2) * half, half, open);
}

static int
even_cells (double length_mm)
{
  return 2 * (int)ceil (length_mm / (2 * TARN_CELL_MM));
}

TarnStatus
tarn_cells_build (TarnBody *body)
{
  const TarnOval *skin = &body->torso.oval[0];
  double half_width = 2 * TARN_CELL_MM * ceil (skin->half_width_mm / (2 * TARN_CELL_MM));
  double front = skin->middle_y_mm - skin->half_front_mm - body->torso.pannus_mm;
  front = TARN_CELL_MM * floor (front / TARN_CELL_MM);
  /* A plane reaches 180 mm: to the skin of most backs. */
  double back = fmin (
      fmax (skin->middle_y_mm + skin->half_back_mm, body->lumen.box.high.y + 24), BACK_MAX_MM);

  TarnCells *cells = &body->cells;
  cells->corner_mm = tarn_vec3 (-half_width, front, FEET_MM);
  cells->cells_x = even_cells (2 * half_width);
  cells->cells_y = even_cells (back - front);
  cells->cells_z = even_cells (HEAD_MM - FEET_MM);
  size_t count = (size_t)cells->cells_x * cells->cells_y * cells->cells_z;
  body->cell = malloc (count * sizeof *body->cell);
  if (body->cell == NULL)
    return TARN_NO_MEMORY;
  cells->cell = body->cell;

  uint32_t all = body->regions == 32 ? ~0u : (1u << body->regions) - 1;
  Open open = { all, TARN_TISSUE_SOFT };
  for (int z = 0; z < cells->cells_z; z += BLOCK_CELLS)
    for (int y = 0; y < cells->cells_y; y += BLOCK_CELLS)
      for (int x = 0; x < cells->cells_x; x += BLOCK_CELLS)
        divide (body, x, y, z, BLOCK_CELLS, open);
  return TARN_OK;
}
