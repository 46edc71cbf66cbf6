/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which scatterers a plane sees: finds the blocks of material space that reach into it, moves
 * their corners with the pressed tissue, and hands them to the kernel. */
#include "engine/acoustic/scatter_kernel.h"

#include "base/random.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

/* Scatterers in a resolution cell: with the even spread of the patterns enough for speckle of
 * full contrast (own measurement); a few more in the deep, where they are cheap. */
#define PER_RESOLUTION_CELL    6.0
#define PER_RESOLUTION_CELL_MM (1 / 35.0)
/* Jitter in shares of an octant: much longer than the wave, or the even spread would answer
 * like a crystal. */
#define JITTER 0.12
/* Reach of the elevation weight (1 − t²)³ in −6 dB widths: half amplitude at t = 0.4543. */
#define REACH_IN_WIDTHS (0.5 / 0.4543)
/* ∫ (1 − t²)⁶ dt over −1…1. */
#define WEIGHT_ENERGY 0.6820
#define PHANTOM_CELLS 160
#define OCTANT_MM3    (TARN_CELL_MM * TARN_CELL_MM * TARN_CELL_MM)

/* Even for any first n: the additive recurrence of the generalised golden ratio (Roberts
 * 2018: x³ … the root of x⁴ = x + 1 gives the three steps), shifted at random, then jittered.
 */
static void
fill_pattern (float *pattern, uint64_t seed)
{
  static const double step[3] = { 0.8191725133961645, 0.6710436067037893, 0.5497004779019703 };
  uint64_t draw = 0;

  for (int octant = 0; octant < 8; octant++)
    for (int axis = 0; axis < 3; axis++)
      {
        double start = tarn_uniform_at (seed, draw++);
        for (int n = 0; n < TARN_STRATA_MAX * TARN_SHEET; n++)
          {
            double first = tarn_uniform_at (seed, draw++);
            double jitter = JITTER * (first - tarn_uniform_at (seed, draw++));
            double at = start + step[axis] * n + jitter;
            at = (at - floor (at) + (octant >> axis & 1)) / 2;
            pattern[((octant * TARN_STRATA_MAX + n / TARN_SHEET) * 3 + axis) * TARN_SHEET
                    + n % TARN_SHEET]
                = (float)at;
          }
      }
}

/* The ways to lay a cube on itself that mirror axes and swap them cyclically. */
static void
fill_swaps (int swap[TARN_TURNS][8])
{
  for (int turn = 0; turn < TARN_TURNS; turn++)
    for (int corner = 0; corner < 8; corner++)
      {
        int cyclic = turn % 3, mirror = turn / 3, out = 0;
        for (int axis = 0; axis < 3; axis++)
          out |= (corner >> axis & 1) << (axis + cyclic) % 3;
        swap[turn][corner] = out ^ mirror;
      }
}

struct TarnScatterTables *
tarn_scatter_tables_new (void)
{
  struct TarnScatterTables *tables = calloc (1, sizeof *tables);
  if (tables == NULL)
    return NULL;
  tables->pattern = malloc (TARN_PATTERNS * TARN_PATTERN_FLOATS * sizeof *tables->pattern);
  if (tables->pattern == NULL)
    {
      free (tables);
      return NULL;
    }
  for (int k = 0; k < TARN_PATTERNS; k++)
    fill_pattern (tables->pattern + (size_t)k * TARN_PATTERN_FLOATS, (uint64_t)k + 1);
  fill_swaps (tables->swap);
  return tables;
}

void
tarn_scatter_tables_free (struct TarnScatterTables *tables)
{
  if (tables == NULL)
    return;
  free (tables->pattern);
  free (tables->block);
  free (tables->x);
  free (tables->y);
  free (tables->z);
  free (tables->shift);
  free (tables->corner_id);
  free (tables->used);
  free (tables);
}

static TarnStatus
make_room (struct TarnScatterTables *tables, int corner_ids)
{
  if (tables->corner_ids < corner_ids)
    {
      free (tables->corner_id);
      tables->corner_id = calloc ((size_t)corner_ids, sizeof *tables->corner_id);
      tables->corner_ids = tables->corner_id != NULL ? corner_ids : 0;
      if (tables->corner_id == NULL)
        return TARN_NO_MEMORY;
    }
  if (tables->blocks_room < tables->blocks + 1)
    {
      int room = tables->blocks_room > 0 ? 2 * tables->blocks_room : 4096;
      TarnBlock *block = realloc (tables->block, (size_t)room * sizeof *block);
      if (block == NULL)
        return TARN_NO_MEMORY;
      tables->block = block;
      tables->blocks_room = room;
    }
  if (tables->corners_room < tables->corners + 8 + LANES_PAD)
    {
      int room = tables->corners_room > 0 ? 2 * tables->corners_room : 8192;
      float **array[] = { &tables->x, &tables->y, &tables->z, &tables->shift };
      for (int k = 0; k < 4; k++)
        {
          float *grown = realloc (*array[k], (size_t)room * sizeof *grown);
          if (grown == NULL)
            return TARN_NO_MEMORY;
          *array[k] = grown;
        }
      int *used = realloc (tables->used, (size_t)room * sizeof *used);
      if (used == NULL)
        return TARN_NO_MEMORY;
      tables->used = used;
      tables->corners_room = room;
    }
  return TARN_OK;
}

/* Strata, fade, amplitude and reach by depth; see TarnDepthRow. */
static void
fill_depths (TarnPlaneWork *work)
{
  const TarnImageGeometry *geometry = &work->setup.geometry;
  const double per_stratum_mm3 = TARN_SHEET / OCTANT_MM3;

  for (int k = 0; k < TARN_DEPTHS_MAX; k++)
    {
      double depth_mm = k + 0.5;
      double lateral = tarn_beam_lateral_mm (&work->beam, depth_mm);
      double elevation = tarn_beam_elevation_mm (&work->beam, depth_mm);
      double per_cell = PER_RESOLUTION_CELL + PER_RESOLUTION_CELL_MM * depth_mm;
      double wanted = per_cell / (lateral * elevation * tarn_beam_axial_mm (&work->beam));
      double strata = tarn_clamp (wanted / per_stratum_mm3, 1, TARN_STRATA_MAX - 1);

      TarnDepthRow *row = &work->depth[k];
      row->strata = (int)strata;
      double fade = strata - row->strata;
      double density = (row->strata + fade * fade) * per_stratum_mm3;
      double reach = elevation * REACH_IN_WIDTHS;
      double cell_mm2 = geometry->sample_pitch_mm * geometry->line_pitch_rad
                        * (geometry->face_radius_mm + depth_mm);
      row->fade = (float)fade;
      row->reach_mm = (float)reach;
      row->amplitude = (float)(1 / sqrt (density * cell_mm2 * reach * WEIGHT_ENERGY));
    }
}

/* The cut through material space, in block indices. */
typedef struct
{
  TarnPlaneWork *work;
  const TarnCells *cells;
  int count[3]; /* blocks along x, y, z */
  int main;     /* the axis that crosses the plane most squarely */
  TarnVec3 normal;
  double sine_limit, half_extent_mm; /* of a block along the normal */
} Cut;

static double
component (TarnVec3 v, int axis)
{
  return axis == 0 ? v.x : axis == 1 ? v.y : v.z;
}

static int
block_is_silent (const Cut *cut, const int at[3])
{
  const TarnCells *cells = cut->cells;
  for (int k = 0; k < 8; k++)
    {
      int x = 2 * at[0] + (k & 1), y = 2 * at[1] + (k >> 1 & 1), z = 2 * at[2] + (k >> 2);
      uint8_t tissue
          = cells
                ->cell[((size_t)z * (size_t)cells->cells_y + (size_t)y) * (size_t)cells->cells_x
                       + (size_t)x]
                .tissue;
      if (tissue != TARN_TISSUE_AIR)
        return 0;
    }
  return 1;
}

static int
corner_of (struct TarnScatterTables *tables, const Cut *cut, int x, int y, int z)
{
  int *id = &tables->corner_id[(z * (cut->count[1] + 1) + y) * (cut->count[0] + 1) + x];
  if (*id == 0)
    {
      TarnVec3 corner = cut->cells->corner_mm;
      tables->x[tables->corners] = (float)(corner.x + x * TARN_BLOCK_MM);
      tables->y[tables->corners] = (float)(corner.y + y * TARN_BLOCK_MM);
      tables->z[tables->corners] = (float)(corner.z + z * TARN_BLOCK_MM);
      tables->used[tables->corners] = (int)(id - tables->corner_id);
      *id = ++tables->corners;
    }
  return *id - 1;
}

static TarnStatus
add_block (const Cut *cut, const int at[3])
{
  struct TarnScatterTables *tables = cut->work->scatter;
  TarnStatus status
      = make_room (tables, (cut->count[0] + 1) * (cut->count[1] + 1) * (cut->count[2] + 1));
  if (status != TARN_OK)
    return status;

  TarnBlock *block = &tables->block[tables->blocks++];
  for (int k = 0; k < 8; k++)
    {
      int dx = k & 1, dy = k >> 1 & 1, dz = k >> 2;
      block->corner[k] = corner_of (tables, cut, at[0] + dx, at[1] + dy, at[2] + dz);
      block->cell[k]
          = ((2 * at[2] + dz) * cut->cells->cells_y + 2 * at[1] + dy) * cut->cells->cells_x
            + 2 * at[0] + dx;
    }
  block->origin_mm[0] = tables->x[block->corner[0]];
  block->origin_mm[1] = tables->y[block->corner[0]];
  block->origin_mm[2] = tables->z[block->corner[0]];
  block->hash = tarn_block_hash (block->origin_mm);
  return TARN_OK;
}

/* The stretch of one row of blocks, along the main axis, that may show in the plane. */
static int
stretch (const Cut *cut, int at[3], int *first, int *last)
{
  const TarnPlaneSetup *setup = &cut->work->setup;
  TarnVec3 corner = cut->cells->corner_mm;
  TarnVec3 middle = tarn_vec3 (corner.x + (at[0] + 0.5) * TARN_BLOCK_MM,
                               corner.y + (at[1] + 0.5) * TARN_BLOCK_MM,
                               corner.z + (at[2] + 0.5) * TARN_BLOCK_MM);

  /* Where the row of blocks crosses the plane, in blocks from index 0. */
  double across = component (cut->normal, cut->main);
  double off = tarn_dot (tarn_sub (middle, setup->frame.centre_mm), cut->normal);
  double crossing = -off / (across * TARN_BLOCK_MM);
  TarnVec3 place = middle;
  *(cut->main == 0   ? &place.x
    : cut->main == 1 ? &place.y
                     : &place.z)
      += crossing * TARN_BLOCK_MM;

  TarnVec3 q = tarn_sub (place, setup->frame.centre_mm);
  double u = tarn_dot (q, setup->frame.lateral), v = tarn_dot (q, setup->frame.axis);
  double r = sqrt (u * u + v * v), depth = r - setup->geometry.face_radius_mm;
  double limit = tarn_image_depth_limit_mm (&setup->geometry);

  /* Pressing moves tissue, most of all near the face. */
  double pressed = setup->deform != NULL ? setup->deform->indentation_mm : 0;
  double moved = pressed * fmin (1.3, 30 / (fmax (depth, 0) + 10));
  int row = (int)tarn_clamp (depth, 0, TARN_DEPTHS_MAX - 1);
  double reach_mm = (cut->work->depth[row].reach_mm + cut->half_extent_mm + 0.6 * moved + 1)
                    / fabs (across);
  double slack = 12 + moved + reach_mm * sqrt (fmax (0, 1 - across * across));
  if (depth < -slack || depth > limit + slack || v < -slack
      || fabs (u) > cut->sine_limit * r + slack)
    return 0;
  *first = (int)ceil (crossing - reach_mm / TARN_BLOCK_MM);
  *last = (int)floor (crossing + reach_mm / TARN_BLOCK_MM);
  *first = *first < 0 ? 0 : *first;
  *last = *last >= cut->count[cut->main] ? cut->count[cut->main] - 1 : *last;
  return *first <= *last;
}

static TarnStatus
find_blocks (TarnPlaneWork *work, const TarnCells *cells)
{
  const TarnPlaneFrame *frame = &work->setup.frame;
  Cut cut = {
    .work = work,
    .cells = cells,
    .count = { cells->cells_x / 2, cells->cells_y / 2, cells->cells_z / 2 },
    .normal = tarn_cross (frame->lateral, frame->axis),
    .sine_limit = sin (fmin (1.55, tarn_row_angle_rad (work, work->rows - 1))),
  };
  double size[3] = { fabs (cut.normal.x), fabs (cut.normal.y), fabs (cut.normal.z) };
  cut.main = size[0] > size[1] ? (size[0] > size[2] ? 0 : 2) : (size[1] > size[2] ? 1 : 2);
  cut.half_extent_mm = TARN_BLOCK_MM / 2 * (size[0] + size[1] + size[2]);

  int other[2] = { cut.main == 0 ? 1 : 0, cut.main == 2 ? 1 : 2 };
  for (int b = 0; b < cut.count[other[1]]; b++)
    for (int a = 0; a < cut.count[other[0]]; a++)
      {
        int at[3] = { 0 }, first, last;
        at[other[0]] = a;
        at[other[1]] = b;
        if (!stretch (&cut, at, &first, &last))
          continue;
        for (at[cut.main] = first; at[cut.main] <= last; at[cut.main]++)
          {
            if (work->setup.phantom == NULL && block_is_silent (&cut, at))
              continue;
            TarnStatus status = add_block (&cut, at);
            if (status != TARN_OK)
              return status;
          }
      }
  return TARN_OK;
}

/* Corners: pressed, then into the plane's frame, then the ruler's error there. */
static void
place_corners (TarnPlaneWork *work)
{
  struct TarnScatterTables *tables = work->scatter;
  const TarnPlaneSetup *setup = &work->setup;
  const TarnPlaneFrame *frame = &setup->frame;

  for (int k = tables->corners; k < tables->corners + LANES_PAD; k++)
    tables->x[k] = tables->y[k] = tables->z[k] = 1e4f;
  if (setup->deform != NULL && setup->phantom == NULL)
    tarn_deform_forward_many (setup->deform, tables->corners, tables->x, tables->y, tables->z);

  TarnVec3 normal = tarn_cross (frame->lateral, frame->axis);
  float rows_per_rad = (float)(1 / setup->geometry.line_pitch_rad);
  float samples_per_mm = (float)(1 / setup->geometry.sample_pitch_mm);
  for (int k = 0; k < tables->corners; k++)
    {
      TarnVec3 q
          = tarn_sub (tarn_vec3 (tables->x[k], tables->y[k], tables->z[k]), frame->centre_mm);
      float u = (float)tarn_dot (q, frame->lateral), v = (float)tarn_dot (q, frame->axis);
      float depth = sqrtf (u * u + v * v) - (float)setup->geometry.face_radius_mm;
      tables->x[k] = u;
      tables->y[k] = v;
      tables->z[k] = (float)tarn_dot (q, normal);
      tables->shift[k] = tarn_nodes_at (&work->nodes, work->nodes.shift,
                                        tarn_angle_rad (u, fmaxf (v, 0)) * rows_per_rad,
                                        depth * samples_per_mm);
    }
}

/* Linear amplitudes re soft tissue. */
static void
fill_amplitudes (const TarnPlaneWork *work, unsigned without, float amplitude[TARN_TISSUES])
{
  for (int k = 0; k < TARN_TISSUES; k++)
    {
      TarnTissue tissue = (TarnTissue)k;
      if (without & TARN_WITHOUT_OTHERS)
        tissue = tarn_tissue_without_others (tissue);
      /* The march hides what bone and gas hide, and may be told not to. */
      if (tissue == TARN_TISSUE_BONE || tissue == TARN_TISSUE_GAS)
        tissue = TARN_TISSUE_SOFT;
      double db = tarn_tissue_sound (tissue)->backscatter_db;
      amplitude[k] = (float)pow (10, db / 20);
      if (tissue == TARN_TISSUE_AIR
          || (work->setup.phantom != NULL && !work->setup.phantom->speckle))
        amplitude[k] = 0;
    }
}

/* Where each line has ended for good, and with it all the lines that an octant there can
 * touch; the march's ends are in samples as the instrument shows them. */
static void
fill_dark (const TarnPlaneWork *work, unsigned without, float dark_from_mm[TARN_ROWS_MAX])
{
  const TarnImageGeometry *geometry = &work->setup.geometry;
  float ends[TARN_ROWS_MAX];
  int near = (int)(TARN_DARK_MM / (TARN_DARK_MIN_RADIUS_MM * geometry->line_pitch_rad)) + 2;
  for (int row = 0; row < work->rows; row++)
    {
      const TarnLine *line = &work->line[row];
      float end = line->end_sample;
      if (!(without & TARN_WITHOUT_BONE))
        end = fminf (end, line->bone_sample);
      if (!(without & TARN_WITHOUT_GAS))
        end = fminf (end, line->gas_sample);
      ends[row] = (float)geometry->sample_pitch_mm * end + 3 * TARN_DARK_MM;
    }
  for (int row = 0; row < work->rows; row++)
    {
      int first = row < near ? 0 : row - near;
      int last = row + near >= work->rows ? work->rows - 1 : row + near;
      dark_from_mm[row] = ends[first];
      for (int k = first + 1; k <= last; k++)
        dark_from_mm[row] = fmaxf (dark_from_mm[row], ends[k]);
    }
}

/* A phantom has no cells: room all around the probe, of mixed ones. */
static TarnCells
cells_of (const TarnPlaneSetup *setup)
{
  static const TarnCell mixed = { .tissue = TARN_CELL_MIXED };
  if (setup->phantom == NULL)
    return *tarn_body_cells (setup->body);
  /* Whole blocks from the origin, so that the scatterers stay when the probe moves. */
  TarnVec3 centre = setup->frame.centre_mm;
  TarnVec3 corner = {
    (floor (centre.x / TARN_BLOCK_MM) - PHANTOM_CELLS / 4) * TARN_BLOCK_MM,
    (floor (centre.y / TARN_BLOCK_MM) - PHANTOM_CELLS / 4) * TARN_BLOCK_MM,
    (floor (centre.z / TARN_BLOCK_MM) - PHANTOM_CELLS / 4) * TARN_BLOCK_MM,
  };
  return (TarnCells){
    .corner_mm = corner,
    .cells_x = PHANTOM_CELLS,
    .cells_y = PHANTOM_CELLS,
    .cells_z = PHANTOM_CELLS,
    .cell = &mixed,
  };
}

TarnStatus
tarn_scatter (TarnPlaneWork *work, unsigned without)
{
  struct TarnScatterTables *tables = work->scatter;
  const TarnPlaneSetup *setup = &work->setup;
  TarnCells cells = cells_of (setup);

  fill_depths (work);
  memset (work->grid, 0, (size_t)work->rows * (size_t)work->stride * 2 * sizeof *work->grid);
  tables->blocks = tables->corners = 0;
  TarnStatus status = find_blocks (work, &cells);
  if (status == TARN_OK)
    place_corners (work);
  for (int k = 0; k < tables->corners; k++)
    tables->corner_id[tables->used[k]] = 0;
  if (status != TARN_OK)
    return status;

  double edge_rad = fmin (1.55, tarn_row_angle_rad (work, work->rows - 1));
  double far_edge_rad
      = fmin (1.55, tarn_row_angle_rad (work, work->rows - 1 - TARN_MARGIN + work->far_margin));
  TarnScatterJob job = {
    .block = tables->block,
    .blocks = tables->blocks,
    .u = tables->x,
    .v = tables->y,
    .w = tables->z,
    .shift = tables->shift,
    .cell = cells.cell,
    .facet = cells.facet,
    .body = setup->body,
    .phantom = setup->phantom,
    .pattern = tables->pattern,
    .depth = work->depth,
    .depths = TARN_DEPTHS_MAX,
    .face_radius_mm = (float)setup->geometry.face_radius_mm,
    .inverse_pitch = (float)(1 / setup->geometry.line_pitch_rad),
    .middle_row = (int)work->middle,
    .middle_fraction = (float)(work->middle - (int)work->middle),
    .inverse_sample_mm = (float)(1 / setup->geometry.sample_pitch_mm),
    .cycles_per_mm = (float)(2 / work->beam.wavelength_mm),
    .rows = work->rows,
    .samples = work->samples,
    .stride = work->stride,
    .edge_sine = { (float)sin (edge_rad), (float)sin (far_edge_rad) },
    .edge_cosine = { (float)cos (edge_rad), (float)cos (far_edge_rad) },
    .grid = work->grid,
  };
  memcpy (job.swap, tables->swap, sizeof job.swap);
  float dark_from_mm[TARN_ROWS_MAX];
  fill_dark (work, without, dark_from_mm);
  job.dark_from_mm = dark_from_mm;
  fill_amplitudes (work, without, job.amplitude);
#ifdef TARN_HAVE_AVX2
  if (!work->plain)
    tarn_scatter_blocks_avx2 (&job);
  else
#endif
    tarn_scatter_blocks_plain (&job);
  if (setup->phantom != NULL)
    tarn_phantom_add_points (work);
  return TARN_OK;
}
