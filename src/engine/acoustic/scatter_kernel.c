/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The loop over scatterers; see scatter_kernel.h for how they lie, plane_work.h for the grid.
 */
#include "engine/acoustic/scatter_kernel.h"

/* Fluids scatter less than this, far under noise and haze: they are left silent. */
#define SILENT 2e-3f

typedef float TarnF4 __attribute__ ((vector_size (16)));

/* A block's map from pattern coordinates to the plane's frame: trilinear between its corners.
 * One row each for u, v, w and shift; terms 1, x, y, z, xy, xz, yz, xyz. */
typedef struct
{
  float term[4][8];
  float step[3][3]; /* material mm for each unit of pattern x, y, z */
  float base[3];    /* material place of pattern corner 0 */
} BlockMap;

/* One octant of a block: all eight-lane work shares this. */
typedef struct
{
  const TarnCell *cell;
  const float *sheet;
  int strata;
  float amplitude, fade, inverse_reach2;
  float middle_mm[3]; /* of the cell, material */
} Octant;

TARN_INLINE void
trilinear_terms (const float at[8], float term[8])
{
  term[0] = at[0];
  term[1] = at[1] - at[0];
  term[2] = at[2] - at[0];
  term[3] = at[4] - at[0];
  term[4] = at[3] - at[2] - term[1];
  term[5] = at[5] - at[4] - term[1];
  term[6] = at[6] - at[4] - term[2];
  term[7] = at[7] - at[6] - (at[5] - at[4]) - term[4];
}

static void
map_block (const TarnScatterJob *job, const TarnBlock *block, const int *swap, BlockMap *map)
{
  const float *source[4] = { job->u, job->v, job->w, job->shift };
  for (int k = 0; k < 4; k++)
    {
      float at[8];
      for (int c = 0; c < 8; c++)
        at[c] = source[k][block->corner[swap[c]]];
      trilinear_terms (at, map->term[k]);
    }
  for (int axis = 0; axis < 3; axis++)
    {
      map->base[axis]
          = block->origin_mm[axis] + (float)TARN_BLOCK_MM * (float)(swap[0] >> axis & 1);
      for (int k = 0; k < 3; k++)
        map->step[k][axis] = (float)TARN_BLOCK_MM
                             * (float)((swap[1 << k] >> axis & 1) - (swap[0] >> axis & 1));
    }
}

TARN_INLINE TarnF8
trilinear8 (const float term[8], TarnF8 x, TarnF8 y, TarnF8 z)
{
  TarnF8 along_x = (term[7] * z + term[4]) * y + (term[5] * z + term[1]);
  TarnF8 along_y = term[6] * z + term[2];
  return along_x * x + along_y * y + (term[3] * z + term[0]);
}

TARN_INLINE float
trilinear1 (const float term[8], float x, float y, float z)
{
  float along_x = (term[7] * z + term[4]) * y + (term[5] * z + term[1]);
  float along_y = term[6] * z + term[2];
  return along_x * x + along_y * y + (term[3] * z + term[0]);
}

/* sin (2π turns) for |turns| <= 0.5, within 0.001 (a parabola, corrected once). */
TARN_INLINE TarnF8
sine_of_turns (TarnF8 turns)
{
  TarnF8 y = 8 * turns - 16 * turns * tarn_f8_abs (turns);
  return 0.225f * (y * tarn_f8_abs (y) - y) + y;
}

/* A wave of period 1 between -1 and 1, straight up and down. */
TARN_INLINE TarnF8
zigzag (TarnF8 t)
{
  return 4 * tarn_f8_abs (t - tarn_f8_floor (t) - 0.5f) - 1;
}

/* Thin bright sheets, about parallel to the skin: septa in fat, fascia in muscle.
 * @spacing: mm between them; @thin: their share of it; @gain: amplitude in their middle. */
TARN_INLINE TarnF8
sheets (TarnF8 x, TarnF8 y, TarnF8 z, float spacing, float thin, float gain)
{
  TarnF8 bent
      = y + 1.3f * zigzag (x * 0.031f + z * 0.011f) + 0.9f * zigzag (z * 0.043f - x * 0.017f);
  TarnF8 t = bent * (1 / spacing);
  TarnF8 from_middle = tarn_f8_abs (t - tarn_f8_floor (t) - 0.5f);
  TarnF8 bump = tarn_f8_max (1 - from_middle * (1 / thin), tarn_f8 (0));
  /* Sheets come and go along their length. */
  TarnF8 broken = 0.5f + 0.5f * zigzag (x * 0.021f + z * 0.027f + y * 0.09f);
  return 1 + gain * bump * broken;
}

TARN_INLINE TarnF8
texture (int tissue, TarnF8 x, TarnF8 y, TarnF8 z)
{
  if (tissue == TARN_TISSUE_FAT)
    return sheets (x, y, z, 5.7f, 0.11f, 4.5f);
  if (tissue == TARN_TISSUE_MUSCLE)
    return sheets (x, y, z, 2.9f, 0.16f, 2.4f);
  return tarn_f8 (1);
}

/* Material places of eight scatterers. */
TARN_INLINE void
material_places (const BlockMap *map, TarnF8 x, TarnF8 y, TarnF8 z, TarnF8 at[3])
{
  for (int axis = 0; axis < 3; axis++)
    at[axis] = map->base[axis] + map->step[0][axis] * x + map->step[1][axis] * y
               + map->step[2][axis] * z;
}

/* In a cell of several tissues: @weight times the amplitude of what each scatterer lies in. */
TARN_INLINE TarnF8
weigh_mixed (const TarnScatterJob *job, const BlockMap *map, const TarnCell *cell, TarnF8 x,
             TarnF8 y, TarnF8 z, TarnF8 depth, TarnF8 weight)
{
  TarnF8 at[3], amplitude = tarn_f8 (0);
  TarnI8 tissue = { 0 };
  int fat = 0, muscle = 0;
  material_places (map, x, y, z, at);
  for (int k = 0; k < TARN_LANES; k++)
    {
      if (weight[k] == 0)
        continue;
      TarnTissue here = job->phantom != NULL
                            ? tarn_phantom_tissue (job->phantom, depth[k])
                            : tarn_body_tissue_in_cell (
                                job->body, cell, tarn_vec3 (at[0][k], at[1][k], at[2][k]));
      tissue[k] = (int32_t)here;
      amplitude[k] = job->amplitude[here];
      fat |= here == TARN_TISSUE_FAT;
      muscle |= here == TARN_TISSUE_MUSCLE;
    }
  if (fat)
    amplitude *= tarn_f8_select (tissue == TARN_TISSUE_FAT,
                                 texture (TARN_TISSUE_FAT, at[0], at[1], at[2]), tarn_f8 (1));
  if (muscle)
    amplitude
        *= tarn_f8_select (tissue == TARN_TISSUE_MUSCLE,
                           texture (TARN_TISSUE_MUSCLE, at[0], at[1], at[2]), tarn_f8 (1));
  return weight * amplitude;
}

/* Likewise, in a cell whose borders may be taken as flat: eight at a time. */
TARN_INLINE TarnF8
weigh_facets (const TarnScatterJob *job, const BlockMap *map, const Octant *octant, TarnF8 x,
              TarnF8 y, TarnF8 z, TarnF8 weight)
{
  const TarnCell *cell = octant->cell;
  const TarnFacet *facet = job->facet + cell->first_facet;
  TarnF8 at[3];
  material_places (map, x, y, z, at);
  TarnF8 qx = at[0] - octant->middle_mm[0], qy = at[1] - octant->middle_mm[1],
         qz = at[2] - octant->middle_mm[2];
  TarnF8 amplitude = tarn_f8 (job->amplitude[cell->background]);
  TarnI8 tissue = (TarnI8){ 0 } + cell->background;
  unsigned met = 1u << cell->background;
  for (int k = cell->facets - 1; k >= 0; k--)
    {
      TarnF8 distance = facet[k].normal[0] * qx + facet[k].normal[1] * qy
                        + facet[k].normal[2] * qz + facet[k].offset_mm;
      TarnI8 held = distance < 0;
      amplitude = tarn_f8_select (held, tarn_f8 (job->amplitude[facet[k].tissue]), amplitude);
      tissue = (held & facet[k].tissue) | (~held & tissue);
      met |= 1u << facet[k].tissue;
    }
  if (met & 1u << TARN_TISSUE_FAT)
    amplitude *= tarn_f8_select (tissue == TARN_TISSUE_FAT,
                                 texture (TARN_TISSUE_FAT, at[0], at[1], at[2]), tarn_f8 (1));
  if (met & 1u << TARN_TISSUE_MUSCLE)
    amplitude
        *= tarn_f8_select (tissue == TARN_TISSUE_MUSCLE,
                           texture (TARN_TISSUE_MUSCLE, at[0], at[1], at[2]), tarn_f8 (1));
  return weight * amplitude;
}

/* Whether any lane is not 0. */
TARN_INLINE int
any_lane (TarnF8 v)
{
  uint64_t bits[4];
  memcpy (bits, &v, sizeof bits);
  return (bits[0] | bits[1] | bits[2] | bits[3]) != 0;
}

/* Adds eight phasors to the grid, each shared between two neighbouring samples: turns four
 * rows of eight (re0 im0 re1 im1) into eight columns of four. */
TARN_INLINE void
splat (const TarnScatterJob *job, TarnI8 row, TarnI8 sample, TarnF8 re, TarnF8 im, TarnF8 later)
{
  TarnF8 re1 = re * later, im1 = im * later;
  TarnF8 re0 = re - re1, im0 = im - im1;
  TarnF8 a = __builtin_shufflevector (re0, im0, 0, 8, 1, 9, 4, 12, 5, 13);
  TarnF8 b = __builtin_shufflevector (re0, im0, 2, 10, 3, 11, 6, 14, 7, 15);
  TarnF8 c = __builtin_shufflevector (re1, im1, 0, 8, 1, 9, 4, 12, 5, 13);
  TarnF8 d = __builtin_shufflevector (re1, im1, 2, 10, 3, 11, 6, 14, 7, 15);
  TarnF8 four[4] = { __builtin_shufflevector (a, c, 0, 1, 8, 9, 4, 5, 12, 13),
                     __builtin_shufflevector (a, c, 2, 3, 10, 11, 6, 7, 14, 15),
                     __builtin_shufflevector (b, d, 0, 1, 8, 9, 4, 5, 12, 13),
                     __builtin_shufflevector (b, d, 2, 3, 10, 11, 6, 7, 14, 15) };
  int32_t at[TARN_LANES];
  TarnI8 places = (row * job->stride + sample) * 2;
  memcpy (at, &places, sizeof at);
  for (int k = 0; k < TARN_LANES; k++)
    {
      float *to = job->grid + at[k];
      TarnF4 sum, add = k < 4 ? __builtin_shufflevector (four[k & 3], four[k & 3], 0, 1, 2, 3)
                              : __builtin_shufflevector (four[k & 3], four[k & 3], 4, 5, 6, 7);
      memcpy (&sum, to, sizeof sum);
      sum += add;
      memcpy (to, &sum, sizeof sum);
    }
}

TARN_INLINE void
scatter_sheet (const TarnScatterJob *job, const BlockMap *map, const Octant *octant,
               const float *sheet, float amplitude)
{
  TarnF8 x = tarn_f8_load (sheet), y = tarn_f8_load (sheet + 8), z = tarn_f8_load (sheet + 16);

  /* Across the plane: weight (1 − t²)³, near a Gaussian, 0 from reach_mm on. */
  TarnF8 w = trilinear8 (map->term[2], x, y, z);
  TarnF8 t = tarn_f8_max (1 - w * w * octant->inverse_reach2, tarn_f8 (0));
  TarnF8 weight = t * t * t * amplitude;
  if (!any_lane (t))
    return;

  /* In the plane: distance from the centre, and the angle by its half, which stays tame. */
  TarnF8 u = trilinear8 (map->term[0], x, y, z);
  TarnF8 v = trilinear8 (map->term[1], x, y, z);
  TarnF8 r = tarn_f8_sqrt (u * u + v * v);
  TarnF8 h = u / (r + v + 1e-3f);
  TarnF8 h2 = h * h;
  TarnF8 h3 = h2 * h;
  TarnF8 angle
      = h * TARN_ATAN_1
        + h3 * (TARN_ATAN_3 + h2 * (TARN_ATAN_5 + h2 * (TARN_ATAN_7 + h2 * TARN_ATAN_9)));

  TarnF8 depth = r - job->face_radius_mm + trilinear8 (map->term[3], x, y, z);
  TarnF8 row = tarn_f8_floor (angle * job->inverse_pitch + (job->middle_fraction + 0.5f));
  TarnF8 at = depth * job->inverse_sample_mm - 0.5f;
  TarnF8 first = tarn_f8_floor (at);

  /* Outside the grid nothing lands: the weight goes to 0 and the place into it. */
  TarnF8 low = tarn_f8 ((float)-job->middle_row);
  TarnF8 high = tarn_f8 ((float)(job->rows - 1 - job->middle_row));
  TarnF8 last = tarn_f8 ((float)job->samples);
  TarnI8 inside = (row >= low) & (row <= high) & (first >= 0) & (first < last) & (v > 0);
  weight = tarn_f8_select (inside, weight, tarn_f8 (0));
  row = tarn_f8_min (tarn_f8_max (row, low), high);
  first = tarn_f8_min (tarn_f8_max (first, tarn_f8 (0)), last);

  if (!any_lane (weight))
    return;

  /* Tissue. */
  int tissue = octant->cell->tissue;
  if (tissue == TARN_CELL_MIXED && octant->cell->facets > 0)
    weight = weigh_facets (job, map, octant, x, y, z, weight);
  else if (tissue == TARN_CELL_MIXED)
    weight = weigh_mixed (job, map, octant->cell, x, y, z, r - job->face_radius_mm, weight);
  else if (tissue == TARN_TISSUE_FAT || tissue == TARN_TISSUE_MUSCLE)
    {
      TarnF8 p[3];
      material_places (map, x, y, z, p);
      weight *= texture (tissue, p[0], p[1], p[2]);
    }

  /* The carrier's phase at its true place in the picture. */
  TarnF8 cycles = depth * job->cycles_per_mm;
  TarnF8 turns = cycles - tarn_f8_floor (cycles) - 0.5f;
  TarnF8 quarter = turns + 0.25f;
  quarter = tarn_f8_select (quarter > 0.5f, quarter - 1, quarter);
  splat (job, tarn_i8_from_f8 (row) + job->middle_row, tarn_i8_from_f8 (first),
         weight * sine_of_turns (quarter), weight * sine_of_turns (turns), at - first);
}

/* No tissue is alike everywhere: a slow unevenness of about ±1.5 dB, fixed to the tissue. */
TARN_INLINE float
mottle (const float at[3])
{
  float a = at[0] * 0.027f + at[1] * 0.019f + at[2] * 0.008f;
  float b = at[1] * 0.034f - at[2] * 0.024f + at[0] * 0.006f;
  a = fabsf (a - floorf (a) - 0.5f);
  b = fabsf (b - floorf (b) - 0.5f);
  return 0.56f + 0.88f * (a + b);
}

/* Whether all the lines near an octant have ended before it. */
TARN_INLINE int
is_dark (const TarnScatterJob *job, float u, float v, float r, float depth)
{
  if (r < TARN_DARK_MIN_RADIUS_MM || v <= 0)
    return 0;
  int row = job->middle_row + (int)(tarn_angle_rad (u, v) * job->inverse_pitch);
  row = row < 0 ? 0 : row >= job->rows ? job->rows - 1 : row;
  return depth > job->dark_from_mm[row];
}

/* Whether the octant can show, and with what weight. */
static int
look_at_octant (const TarnScatterJob *job, const BlockMap *map, const TarnBlock *block,
                const int *swap, int index, Octant *octant)
{
  octant->cell = job->phantom != NULL ? &job->cell[0] : &job->cell[block->cell[swap[index]]];
  float of_tissue = 1;
  if (job->phantom == NULL && octant->cell->tissue != TARN_CELL_MIXED)
    of_tissue = job->amplitude[octant->cell->tissue];
  if (of_tissue < SILENT)
    return 0;

  float x = (index & 1) ? 0.75f : 0.25f, y = (index & 2) ? 0.75f : 0.25f,
        z = (index & 4) ? 0.75f : 0.25f;
  float u = trilinear1 (map->term[0], x, y, z), v = trilinear1 (map->term[1], x, y, z),
        w = trilinear1 (map->term[2], x, y, z);
  float r = sqrtf (u * u + v * v);
  float depth = r - job->face_radius_mm;
  if (depth < -4 || fabsf (u) * job->edge_cosine - v * job->edge_sine > 3.5f)
    return 0;
  int at = depth < 0 ? 0 : (int)depth;
  if (at >= job->depths)
    return 0;
  const TarnDepthRow *row = &job->depth[at];
  /* Half an octant's extent across the plane. */
  float half
      = 0.25f * (fabsf (map->term[2][1]) + fabsf (map->term[2][2]) + fabsf (map->term[2][3]));
  if (fabsf (w) > row->reach_mm + half + 0.1f || is_dark (job, u, v, r, depth))
    return 0;
  for (int axis = 0; axis < 3; axis++)
    octant->middle_mm[axis] = block->origin_mm[axis]
                              + (float)TARN_CELL_MM * (0.5f + (float)(swap[index] >> axis & 1));
  octant->strata = row->strata;
  octant->amplitude = row->amplitude * of_tissue;
  if (job->phantom == NULL)
    octant->amplitude *= mottle (octant->middle_mm);
  octant->fade = row->fade;
  octant->inverse_reach2 = 1 / (row->reach_mm * row->reach_mm);
  return 1;
}

void
TARN_KERNEL (tarn_scatter_blocks) (const TarnScatterJob *job)
{
  for (int b = 0; b < job->blocks; b++)
    {
      const TarnBlock *block = &job->block[b];
      const int *swap = job->swap[block->hash % TARN_TURNS];
      const float *pattern
          = job->pattern
            + (size_t)(block->hash / TARN_TURNS % TARN_PATTERNS) * TARN_PATTERN_FLOATS;
      BlockMap map;
      map_block (job, block, swap, &map);
      for (int index = 0; index < 8; index++)
        {
          Octant octant;
          if (!look_at_octant (job, &map, block, swap, index, &octant))
            continue;
          const float *sheet = pattern + (size_t)index * TARN_STRATA_MAX * TARN_SHEET_FLOATS;
          for (int k = 0; k < octant.strata; k++, sheet += TARN_SHEET_FLOATS)
            scatter_sheet (job, &map, &octant, sheet, octant.amplitude);
          if (octant.fade > 0)
            scatter_sheet (job, &map, &octant, sheet, octant.amplitude * octant.fade);
        }
    }
}
