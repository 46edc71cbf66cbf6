/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The loop over scatterers; see scatter_kernel.h for how they lie, plane_work.h for the grid.
 */
#include "engine/acoustic/scatter_kernel.h"

#include "base/simd.h"

/* Fluids scatter less than this, far under noise and haze: they are left silent. */
#define SILENT 2e-3f

typedef float Four __attribute__ ((vector_size (16)));

/* A block's map from pattern coordinates to the plane's frame: trilinear between its corners,
 * one row each for u, v and w, terms 1, x, y, z, xy, xz, yz, xyz.  The ruler's error varies so
 * little that the best plane through the corners will do. */
typedef struct
{
  float term[3][8];
  float shift[4];   /* 1, x, y, z */
  float step[3][3]; /* material mm for each unit of pattern x, y, z */
  float base[3];    /* material place of pattern corner 0 */
} BlockMap;

/* A quantity that is linear over an octant, in pattern coordinates: 1, x, y, z. */
typedef struct
{
  float term[4];
} Linear;

/* One octant of a block. */
typedef struct
{
  const TarnCell *cell;
  int strata;
  float amplitude, fade, inverse_reach2;
  /* Far from the face, polar coordinates about the octant's middle: trilinear rows along the
   * line through it and aside of it, and where the middle is. */
  bool far;
  float along[8], aside[8];
  float depth_mm, row, inverse_radius;
  Linear facet[TARN_FACETS_MAX]; /* distance from each of the cell's facets, mm */
  Linear bent_mm;                /* across the sheets of fat and muscle */
  float broken;                  /* 0..1, how much of the sheets there is here */
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

TARN_INLINE void
linear_terms (const float at[8], float term[4])
{
  for (int axis = 0; axis < 3; axis++)
    {
      float rise = 0;
      for (int c = 0; c < 8; c++)
        rise += c >> axis & 1 ? at[c] : -at[c];
      term[1 + axis] = 0.25f * rise;
    }
  float sum = 0;
  for (int c = 0; c < 8; c++)
    sum += at[c];
  term[0] = 0.125f * sum - 0.5f * (term[1] + term[2] + term[3]);
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
      if (k < 3)
        trilinear_terms (at, map->term[k]);
      else
        linear_terms (at, map->shift);
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

TARN_INLINE Lanes
trilinear_lanes (const float term[8], Lanes x, Lanes y, Lanes z)
{
  Lanes along_x = (term[7] * z + term[4]) * y + (term[5] * z + term[1]);
  Lanes along_y = term[6] * z + term[2];
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
TARN_INLINE Lanes
sine_of_turns (Lanes turns)
{
  Lanes y = 8 * turns - 16 * turns * lanes_abs (turns);
  return 0.225f * (y * lanes_abs (y) - y) + y;
}

/* Distance to the nearest whole number, 0 … 0.5. */
TARN_INLINE Lanes
from_whole (Lanes t)
{
  return lanes_abs (t - lanes_round (t));
}

TARN_INLINE Lanes
linear_lanes (const Linear *linear, Lanes x, Lanes y, Lanes z)
{
  return linear->term[0] + linear->term[1] * x + linear->term[2] * y + linear->term[3] * z;
}

/* Thin bright sheets, about parallel to the skin: septa in fat, fascia in muscle.
 * @spacing: mm between them; @thin: their share of it; @gain: amplitude in their middle. */
TARN_INLINE Lanes
sheets (Lanes bent_mm, float broken, float spacing, float thin, float gain)
{
  Lanes bump = lanes_max (1 - from_whole (bent_mm * (1 / spacing)) * (1 / thin), lanes_of (0));
  return 1 + gain * broken * bump;
}

TARN_INLINE Lanes
texture (int tissue, Lanes bent_mm, float broken)
{
  return tissue == TARN_TISSUE_FAT ? sheets (bent_mm, broken, 5.7f, 0.11f, 4.5f)
                                   : sheets (bent_mm, broken, 2.9f, 0.16f, 2.4f);
}

/* Texture where the tissue has one; @met: bit per tissue that is there at all. */
TARN_INLINE Lanes
textured (const Octant *octant, Lanes amplitude, LaneMask tissue, unsigned met, Lanes x,
          Lanes y, Lanes z)
{
  if (!(met & (1u << TARN_TISSUE_FAT | 1u << TARN_TISSUE_MUSCLE)))
    return amplitude;
  Lanes bent_mm = linear_lanes (&octant->bent_mm, x, y, z);
  static const int with_texture[] = { TARN_TISSUE_FAT, TARN_TISSUE_MUSCLE };
  for (int k = 0; k < 2; k++)
    if (met & 1u << with_texture[k])
      amplitude
          *= lanes_select (tissue == with_texture[k],
                           texture (with_texture[k], bent_mm, octant->broken), lanes_of (1));
  return amplitude;
}

/* In a cell of several tissues: @weight times the amplitude of what each scatterer lies in. */
TARN_INLINE Lanes
weigh_mixed (const TarnScatterJob *job, const BlockMap *map, const Octant *octant, Lanes x,
             Lanes y, Lanes z, Lanes depth, Lanes weight)
{
  Lanes at[3], amplitude = lanes_of (0);
  LaneMask tissue = { 0 };
  unsigned met = 0;
  for (int axis = 0; axis < 3; axis++)
    at[axis] = map->base[axis] + map->step[0][axis] * x + map->step[1][axis] * y
               + map->step[2][axis] * z;
  for (int k = 0; k < LANES; k++)
    {
      if (weight[k] == 0)
        continue;
      TarnTissue here
          = job->phantom != NULL
                ? tarn_phantom_tissue (job->phantom, depth[k])
                : tarn_body_tissue_in_cell (job->body, octant->cell,
                                            tarn_vec3 (at[0][k], at[1][k], at[2][k]));
      tissue[k] = (int32_t)here;
      amplitude[k] = job->amplitude[here];
      met |= 1u << here;
    }
  return weight * textured (octant, amplitude, tissue, met, x, y, z);
}

/* Likewise, in a cell whose borders may be taken as flat. */
TARN_INLINE Lanes
weigh_facets (const TarnScatterJob *job, const Octant *octant, Lanes x, Lanes y, Lanes z,
              Lanes weight)
{
  const TarnCell *cell = octant->cell;
  const TarnFacet *facet = job->facet + cell->first_facet;
  Lanes amplitude = lanes_of (job->amplitude[cell->background]);
  LaneMask tissue = (LaneMask){ 0 } + cell->background;
  unsigned met = 1u << cell->background;
  for (int k = cell->facets - 1; k >= 0; k--)
    {
      LaneMask held = linear_lanes (&octant->facet[k], x, y, z) < 0;
      amplitude = lanes_select (held, lanes_of (job->amplitude[facet[k].tissue]), amplitude);
      tissue = (held & facet[k].tissue) | (~held & tissue);
      met |= 1u << facet[k].tissue;
    }
  return weight * textured (octant, amplitude, tissue, met, x, y, z);
}

TARN_INLINE void
add_four (float *to, Four add)
{
  Four sum;
  memcpy (&sum, to, sizeof sum);
  sum += add;
  memcpy (to, &sum, sizeof sum);
}

/* Adds phasors to the grid, each shared between two neighbouring samples: turns rows of lanes
 * (re0 im0 re1 im1) into a column of four for each lane, lane after lane. */
TARN_INLINE void
splat (const TarnScatterJob *job, LaneMask row, LaneMask sample, Lanes re, Lanes im,
       Lanes later)
{
  Lanes re1 = re * later, im1 = im * later;
  Lanes re0 = re - re1, im0 = im - im1;
  LaneMask place = (row * job->stride + sample) * 2;
  int32_t at[LANES];
  memcpy (at, &place, sizeof at);
#if LANES == 8
  Lanes a = __builtin_shufflevector (re0, im0, 0, 8, 1, 9, 4, 12, 5, 13);
  Lanes b = __builtin_shufflevector (re0, im0, 2, 10, 3, 11, 6, 14, 7, 15);
  Lanes c = __builtin_shufflevector (re1, im1, 0, 8, 1, 9, 4, 12, 5, 13);
  Lanes d = __builtin_shufflevector (re1, im1, 2, 10, 3, 11, 6, 14, 7, 15);
  Lanes four[4] = { __builtin_shufflevector (a, c, 0, 1, 8, 9, 4, 5, 12, 13),
                    __builtin_shufflevector (a, c, 2, 3, 10, 11, 6, 7, 14, 15),
                    __builtin_shufflevector (b, d, 0, 1, 8, 9, 4, 5, 12, 13),
                    __builtin_shufflevector (b, d, 2, 3, 10, 11, 6, 7, 14, 15) };
  for (int k = 0; k < 4; k++)
    add_four (job->grid + at[k], __builtin_shufflevector (four[k], four[k], 0, 1, 2, 3));
  for (int k = 0; k < 4; k++)
    add_four (job->grid + at[4 + k], __builtin_shufflevector (four[k], four[k], 4, 5, 6, 7));
#else
  Lanes a = __builtin_shufflevector (re0, im0, 0, 4, 1, 5);
  Lanes b = __builtin_shufflevector (re0, im0, 2, 6, 3, 7);
  Lanes c = __builtin_shufflevector (re1, im1, 0, 4, 1, 5);
  Lanes d = __builtin_shufflevector (re1, im1, 2, 6, 3, 7);
  add_four (job->grid + at[0], __builtin_shufflevector (a, c, 0, 1, 4, 5));
  add_four (job->grid + at[1], __builtin_shufflevector (a, c, 2, 3, 6, 7));
  add_four (job->grid + at[2], __builtin_shufflevector (b, d, 0, 1, 4, 5));
  add_four (job->grid + at[3], __builtin_shufflevector (b, d, 2, 3, 6, 7));
#endif
}

/* Depth from the face and row from the middle, by the angle's half, which stays tame. */
TARN_INLINE void
place_near (const TarnScatterJob *job, const BlockMap *map, Lanes x, Lanes y, Lanes z,
            Lanes *depth, Lanes *row)
{
  Lanes u = trilinear_lanes (map->term[0], x, y, z);
  Lanes v = trilinear_lanes (map->term[1], x, y, z);
  Lanes r = lanes_sqrt (u * u + v * v);
  Lanes h = u / (r + v + 1e-3f);
  Lanes h2 = h * h, h3 = h2 * h;
  Lanes angle
      = h * TARN_ATAN_1
        + h3 * (TARN_ATAN_3 + h2 * (TARN_ATAN_5 + h2 * (TARN_ATAN_7 + h2 * TARN_ATAN_9)));
  *depth = r - job->face_radius_mm;
  *row = angle * job->inverse_pitch;
}

/* The same, to second order about the octant's middle: a root and a quotient less to wait for.
 * At TARN_FAR_RADIUS_MM, 3.5 mm off, the third order is 0.027 mm. */
TARN_INLINE void
place_far (const TarnScatterJob *job, const Octant *octant, Lanes x, Lanes y, Lanes z,
           Lanes *depth, Lanes *row)
{
  Lanes along = trilinear_lanes (octant->along, x, y, z);
  Lanes aside = trilinear_lanes (octant->aside, x, y, z);
  Lanes turn = aside * octant->inverse_radius;
  *depth = octant->depth_mm + along + 0.5f * aside * turn;
  *row = octant->row + (turn - along * turn * octant->inverse_radius) * job->inverse_pitch;
}

/* As many scatterers as there are lanes: where they lie, what they weigh, on to the grid. */
TARN_INLINE void
scatter_lanes (const TarnScatterJob *job, const BlockMap *map, const Octant *octant,
               const float *sheet, float amplitude)
{
  Lanes x = lanes_load (sheet), y = lanes_load (sheet + 8), z = lanes_load (sheet + 16);

  /* Across the plane: weight (1 − t²)³, near a Gaussian, 0 from reach_mm on. */
  Lanes w = trilinear_lanes (map->term[2], x, y, z);
  Lanes t = lanes_max (1 - w * w * octant->inverse_reach2, lanes_of (0));
  if (!lanes_any (t > 0))
    return;
  Lanes weight = t * t * t * amplitude;

  /* In the plane. */
  Lanes true_depth, true_row;
  if (octant->far)
    place_far (job, octant, x, y, z, &true_depth, &true_row);
  else
    place_near (job, map, x, y, z, &true_depth, &true_row);

  Lanes shift = map->shift[0] + map->shift[1] * x + map->shift[2] * y + map->shift[3] * z;
  Lanes depth = true_depth + shift;
  Lanes row = lanes_round (true_row + job->middle_fraction);
  Lanes at = depth * job->inverse_sample_mm - 0.5f;
  Lanes first = lanes_round (at - 0.5f);

  /* Outside the grid nothing lands: the weight goes to 0 and the place into it. */
  Lanes low = lanes_of ((float)-job->middle_row);
  Lanes high = lanes_of ((float)(job->rows - 1 - job->middle_row));
  Lanes last = lanes_of ((float)job->samples - 1);
  Lanes row_inside = lanes_min (lanes_max (row, low), high);
  Lanes first_inside = lanes_min (lanes_max (first, lanes_of (0)), last);
  LaneMask inside = (row == row_inside) & (first == first_inside);
  weight = lanes_select (inside, weight, lanes_of (0));
  if (!lanes_any (inside))
    return;

  /* Tissue. */
  int tissue = octant->cell->tissue;
  if (tissue == TARN_CELL_MIXED && octant->cell->facets > 0)
    weight = weigh_facets (job, octant, x, y, z, weight);
  else if (tissue == TARN_CELL_MIXED)
    weight = weigh_mixed (job, map, octant, x, y, z, true_depth, weight);
  else if (tissue == TARN_TISSUE_FAT || tissue == TARN_TISSUE_MUSCLE)
    weight *= texture (tissue, linear_lanes (&octant->bent_mm, x, y, z), octant->broken);

  /* The carrier's phase at its true place in the picture; cos (2πt) = sin (2π(¼ − |t|)). */
  Lanes cycles = depth * job->cycles_per_mm;
  Lanes turns = cycles - lanes_round (cycles);
  splat (job, lanes_to_int (row_inside) + job->middle_row, lanes_to_int (first_inside),
         weight * sine_of_turns (0.25f - lanes_abs (turns)), weight * sine_of_turns (turns),
         at - first_inside);
}

TARN_INLINE void
scatter_sheet (const TarnScatterJob *job, const BlockMap *map, const Octant *octant,
               const float *sheet, float amplitude)
{
  for (int k = 0; k < TARN_SHEET; k += LANES)
    scatter_lanes (job, map, octant, sheet + k, amplitude);
}

/* A wave of period 1 between -1 and 1, straight up and down; @slope: out, of t. */
TARN_INLINE float
zigzag (float t, float *slope)
{
  float off = t - floorf (t) - 0.5f;
  *slope = off < 0 ? -4.0f : 4.0f;
  return 4 * fabsf (off) - 1;
}

/* No tissue is alike everywhere: a slow unevenness of about ±1.5 dB, fixed to the tissue. */
TARN_INLINE float
mottle (const float at[3])
{
  float slope;
  float a = zigzag (at[0] * 0.027f + at[1] * 0.019f + at[2] * 0.008f, &slope);
  float b = zigzag (at[1] * 0.034f - at[2] * 0.024f + at[0] * 0.006f, &slope);
  return 1 + 0.22f * (a + b);
}

/* A direction of material space in pattern coordinates: value 0 at @middle. */
TARN_INLINE Linear
linear_of (const BlockMap *map, const float direction[3], const float middle_mm[3])
{
  Linear linear = { { 0 } };
  for (int axis = 0; axis < 3; axis++)
    {
      linear.term[0] += direction[axis] * (map->base[axis] - middle_mm[axis]);
      for (int k = 0; k < 3; k++)
        linear.term[1 + k] += direction[axis] * map->step[k][axis];
    }
  return linear;
}

/* The sheets of fat and muscle lie at even distances of y, bent by two slow waves; over an
 * octant the waves are straight. */
TARN_INLINE void
lay_sheets (const BlockMap *map, const float at[3], Octant *octant)
{
  float a_slope, b_slope, c_slope;
  float a = zigzag (at[0] * 0.031f + at[2] * 0.011f, &a_slope);
  float b = zigzag (at[2] * 0.043f - at[0] * 0.017f, &b_slope);
  const float direction[3] = { 1.3f * 0.031f * a_slope - 0.9f * 0.017f * b_slope, 1,
                               1.3f * 0.011f * a_slope + 0.9f * 0.043f * b_slope };
  octant->bent_mm = linear_of (map, direction, at);
  octant->bent_mm.term[0] += at[1] + 1.3f * a + 0.9f * b;
  /* They come and go along their length. */
  octant->broken
      = 0.5f + 0.5f * zigzag (at[0] * 0.021f + at[2] * 0.027f + at[1] * 0.09f, &c_slope);
}

/* What the octant's tissue needs, in pattern coordinates. */
TARN_INLINE void
prepare_tissue (const TarnScatterJob *job, const BlockMap *map, const float middle_mm[3],
                Octant *octant)
{
  const TarnCell *cell = octant->cell;
  if (cell->tissue == TARN_TISSUE_FAT || cell->tissue == TARN_TISSUE_MUSCLE
      || cell->tissue == TARN_CELL_MIXED)
    lay_sheets (map, middle_mm, octant);
  if (cell->tissue != TARN_CELL_MIXED)
    return;
  const TarnFacet *facet = job->facet + cell->first_facet;
  for (int k = 0; k < cell->facets; k++)
    {
      octant->facet[k] = linear_of (map, facet[k].normal, middle_mm);
      octant->facet[k].term[0] += facet[k].offset_mm;
    }
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

/* Turns the block's rows for u and v towards the octant's middle, which lies at (u, v). */
TARN_INLINE void
face_octant (const TarnScatterJob *job, const BlockMap *map, float u, float v, float r,
             Octant *octant)
{
  float sine = u / r, cosine = v / r;
  for (int k = 0; k < 8; k++)
    {
      octant->along[k] = sine * map->term[0][k] + cosine * map->term[1][k];
      octant->aside[k] = cosine * map->term[0][k] - sine * map->term[1][k];
    }
  octant->along[0] -= sine * u + cosine * v;
  octant->aside[0] -= cosine * u - sine * v;
  octant->depth_mm = r - job->face_radius_mm;
  octant->row = tarn_angle_rad (u, v) * job->inverse_pitch;
  octant->inverse_radius = 1 / r;
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
  int far = depth > (float)TARN_NEAR_MM;
  if (depth < -4 || fabsf (u) * job->edge_cosine[far] - v * job->edge_sine[far] > 3.5f)
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
  float middle_mm[3];
  for (int axis = 0; axis < 3; axis++)
    middle_mm[axis] = block->origin_mm[axis]
                      + (float)TARN_CELL_MM * (0.5f + (float)(swap[index] >> axis & 1));
  octant->far = r > TARN_FAR_RADIUS_MM && v > 0;
  if (octant->far)
    face_octant (job, map, u, v, r, octant);
  octant->strata = row->strata;
  octant->amplitude = row->amplitude * of_tissue;
  if (job->phantom == NULL)
    {
      octant->amplitude *= mottle (middle_mm);
      prepare_tissue (job, map, middle_mm, octant);
    }
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
