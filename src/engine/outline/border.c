/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fine border.
 *
 * 1. A beam of two-way amplitude σ shows of a half-space of tissue, at the distance x inside
 *    the fluid beside it, the share Q (√2 x / σ) of its intensity, Q the normal tail: speckle
 *    adds up incoherently.  So the true border is where the mean intensity is half, -3 dB; but
 *    the eye, and any threshold midway in dB, puts it where the level is down by 15 or 20 dB,
 *    which is 0.6 of the beam's -6 dB width further in: nearly 2 mm at 70 mm depth.
 * 2. So a step is not searched for but fitted: the levels along a ray are held against what the
 *    beam there makes of a step (least squares), for every position within a few mm.  Levels
 * are clipped some way under the tissue, in the picture and in the model, so that the haze,
 * side lobes and noise further down do not matter; the model is the mean of clipped speckle.
 * 3. Rays are joined by dynamic programming with a cost on the change of the correction, which
 *    leaves the shape alone, and the position is then taken between the steps by a parabola.
 *
 * Distances x here are along the border's normal; along the ray they are longer by 1/cos. */
#include "engine/outline/parts.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* All own design values. */
#define X_STEP_MM     0.5f
#define X_REACH       26 /* samples each way along the normal */
#define X_COUNT       (2 * X_REACH + 1)
#define X_ROOM        ((X_COUNT + 7) / 8 * 8 + 8)
#define SHIFT_REACH   12 /* positions tried each way, X_STEP_MM apart */
#define SHIFTS        (2 * SHIFT_REACH + 1)
#define SHIFT_ROOM    ((SHIFTS + 7) / 8 * 8)
#define SHIFT_PADDED  (SHIFT_ROOM + 2 * JUMPS)
#define FIT_REACH     (X_REACH - SHIFT_REACH) /* samples fitted each way of a position */
#define CLIP_DB       12.0f
#define CLIP_UP_DB    6.0f /* over tissue: walls shine */
#define SPECKLE_DB    4.0f /* SD of what is sampled: speckle after the axial mean */
#define SPECKLE_SHARE 0.75 /* of the 5.57 dB that it has before */
#define BEND_COST     1.0f /* for a change of one step from ray to ray, squared */
#define JUMPS         3
#define COARSE_AT     1.2f  /* where in the edge, in blurs, the coarse border stands: -10 dB */
#define SLOPE_GAIN    1.25f /* the neighbour is blurred inwards too, so it tells too little */
#define SLOPE_MOST    2.5f
#define SLOPE_PASSES  12
#define COS_LEAST     0.35f
#define INSIDE_MM     6.0f
#define OUTSIDE_MM    6.0f

/* Of the class's probe across the plane: aperture and focus. */
#define SLICE_MM       12.0f
#define SLICE_FOCUS_MM 70.0f

/* One ray's picture and model. */
typedef struct
{
  float level_db[X_ROOM];
  float weight[X_ROOM];
  float stretch;    /* mm along the ray for each mm along the normal */
  float square_mm2; /* of the blur along the normal by the beam in the plane: σ² of intensity */
  float slice_mm;   /* σ of the intensity across the plane */
  float blur_mm;    /* σ of all that along the normal */
  float tissue_db; /* outside */
  float fluid_db;  /* inside */
  float shift_mm;  /* of the border along the normal, so far */
  float known;     /* share of the samples that could be seen */
} Profile;

/* The probe's widths: σ of intensity = 0.3003 of the -6 dB width of a two-way amplitude,
 * since w = 2 √(2 ln 2) σ and intensity has σ / √2. */
typedef struct
{
  float wave_mm, aperture_mm, axial_mm;
} Beam;

/* Mean of speckle of mean level @mean_db after clipping at @floor_db.  The intensity of
 * speckle is exponential, so at the share p of its values its level is 10 log10 (-ln p), of
 * mean -2.507 and SD 5.570 dB (Wagner 1983); the axial mean leaves SPECKLE_SHARE of that. */
static double
clipped_mean (double mean_db, double floor_db)
{
  const int count = 256;
  double sum = 0;

  for (int k = 0; k < count; k++)
    {
      double level = 10 * log10 (-log ((k + 0.5) / count)) + 2.507;
      sum += fmax (mean_db + SPECKLE_SHARE * level, floor_db);
    }
  return sum / count;
}

void
tarn_step_shape_init (StepShape *step)
{
  for (int k = 0; k <= STEP_CELLS; k++)
    {
      double t = ((double)k / STEP_CELLS * 2 - 1) * (double)STEP_REACH;
      double share = 0.5 * erfc (t / sqrt (2.0));
      double level = share > 1e-6 ? 10 * log10 (share) : -60;
      step->level_db[k] = (float)clipped_mean (level, -CLIP_DB);
    }
}

static float
step_level (const StepShape *step, float t)
{
  float at = (t + STEP_REACH) * (STEP_CELLS / (2 * STEP_REACH));

  if (at <= 0)
    return step->level_db[0];
  if (at >= STEP_CELLS)
    return step->level_db[STEP_CELLS];
  int k = (int)at;
  float f = at - (float)k;
  return step->level_db[k] + f * (step->level_db[k + 1] - step->level_db[k]);
}

/* The level at a place: linear between lines, a mean of three samples along them. */
static bool
level_at (const DarkMap *map, const TarnImage *image, float angle_rad, float radius_mm,
          float *level_db)
{
  float line = (angle_rad - map->first_angle_rad) / map->line_pitch_rad;
  float sample = (radius_mm - map->near_mm) / (float)image->geometry.sample_pitch_mm - 0.5f;

  if (!(line >= 0 && line <= (float)(map->lines - 1) && sample >= 1
        && sample <= (float)(image->geometry.samples - 2)))
    return false;
  int k = (int)line, s = (int)(sample + 0.5f);
  k = k > map->lines - 2 ? map->lines - 2 : k;
  s = s > image->geometry.samples - 2 ? image->geometry.samples - 2 : s;
  float f = line - (float)k;
  const uint8_t *a = image->grey + (size_t)k * (size_t)image->stride + s;
  const uint8_t *b = a + image->stride;
  float left = (float)(a[-1] + a[0] + a[1]), right = (float)(b[-1] + b[0] + b[1]);
  *level_db = (left + f * (right - left)) * (map->db_per_grey / 3) - map->db_per_grey * 255;
  return s < map->shadow_from[f < 0.5f ? k : k + 1] * map->fold;
}

/* The border's direction at a ray: cosine between its normal and the ray, and the blur along
 * the normal from the beam's widths there. */
static void
set_blur (const TarnOutlineWork *work, const Path *path, const Beam *beam, int ray,
          Profile *profile)
{
  int before = (ray + RAYS - 2) % RAYS, after = (ray + 2) % RAYS;
  float pu = path->radius_mm[after] * work->ray_u[after]
             - path->radius_mm[before] * work->ray_u[before];
  float pv = path->radius_mm[after] * work->ray_v[after]
             - path->radius_mm[before] * work->ray_v[before];
  float length = sqrtf (pu * pu + pv * pv) + 1e-6f;
  float nu = pv / length, nv = -pu / length; /* outwards for a counter-clockwise path */
  float cosine = nu * work->ray_u[ray] + nv * work->ray_v[ray];
  float u = path->u_mm + path->radius_mm[ray] * work->ray_u[ray];
  float v = path->v_mm + path->radius_mm[ray] * work->ray_v[ray];
  float distance = sqrtf (u * u + v * v) + 1e-6f;
  float depth = distance - work->map.near_mm;
  float aperture = depth / 2 < beam->aperture_mm ? depth / 2 : beam->aperture_mm;
  float lateral = 0.3003f * 0.886f * beam->wave_mm * depth / (aperture > 1 ? aperture : 1);
  float along = (nu * u + nv * v) / distance; /* of the normal on the beam */
  float square = along * along * beam->axial_mm * beam->axial_mm
                 + (1 - along * along) * lateral * lateral;

  profile->stretch = 1 / (cosine > COS_LEAST ? cosine : COS_LEAST);
  profile->square_mm2 = square;
  profile->blur_mm = sqrtf (square);
  float focus = 0.886f * beam->wave_mm * depth / SLICE_MM;
  float off = 0.6f * SLICE_MM * (1 - depth / SLICE_FOCUS_MM);
  profile->slice_mm = 0.3003f * sqrtf (focus * focus + off * off);
}

static void
sample_ray (const TarnOutlineWork *work, const TarnImage *image, const Path *path, int ray,
            Profile *profile)
{
  float du = work->ray_u[ray], dv = work->ray_v[ray];
  float step = X_STEP_MM * profile->stretch, first = path->radius_mm[ray] - X_REACH * step;
  float angle[X_ROOM], radius[X_ROOM];
  int known = 0;

  work->kernels->places (path->u_mm + first * du, path->v_mm + first * dv, step * du, step * dv,
                         X_ROOM, angle, radius);
  for (int k = 0; k < X_COUNT; k++)
    {
      float level = 0;
      bool seen = first + (float)k * step > 0
                  && level_at (&work->map, image, angle[k], radius[k], &level);
      profile->level_db[k] = level;
      profile->weight[k] = seen ? 1 : 0;
      known += seen && k >= X_REACH - 6 && k <= X_REACH + 6;
    }
  for (int k = X_COUNT; k < X_ROOM; k++)
    profile->level_db[k] = profile->weight[k] = 0;
  profile->known = (float)known / 13;
}

/* Mean level over [from, to] mm along the normal, clipped above; @fallback where nothing. */
static float
mean_level (const Profile *profile, float from_mm, float to_mm, float most_db,
            float fallback_db)
{
  int from = X_REACH + (int)floorf (from_mm / X_STEP_MM + 0.5f);
  int to = X_REACH + (int)floorf (to_mm / X_STEP_MM + 0.5f);
  float sum = 0, weight = 0;

  for (int k = from > 0 ? from : 0; k <= to && k < X_COUNT; k++)
    {
      float level = profile->level_db[k] < most_db ? profile->level_db[k] : most_db;
      sum += profile->weight[k] * level;
      weight += profile->weight[k];
    }
  return weight > 0 ? sum / weight : fallback_db;
}

static float
clamp (float value, float least, float most)
{
  return value < least ? least : value > most ? most : value;
}

/* Levels on either side of where the border is thought to be. */
static void
measure_sides (Profile *profile, float tissue_db)
{
  float x = profile->shift_mm, blur = profile->blur_mm;
  float most = tissue_db + 15;

  profile->tissue_db
      = mean_level (profile, x + 0.5f + blur, x + blur + OUTSIDE_MM, most, tissue_db);
  profile->fluid_db = mean_level (profile, x - 2 * blur - INSIDE_MM, x - 2 * blur - 0.5f, most,
                                  profile->tissue_db);
}

/* The sum of squares against the model at each position; see 2 in the essay. */
static void
fit_ray (const TarnOutlineWork *work, const Profile *profile, float *cost)
{
  float clipped[X_ROOM], model[2 * FIT_REACH + 1];
  float floor = profile->tissue_db - CLIP_DB, top = profile->tissue_db + CLIP_UP_DB;
  float depth = profile->fluid_db - profile->tissue_db;
  float share = 0.5f * X_STEP_MM / (float)(SPECKLE_DB * SPECKLE_DB)
                / (1 + 2 * sqrtf (profile->square_mm2));

  for (int k = 0; k < X_ROOM; k++)
    {
      float level = profile->level_db[k];
      level = level < floor ? floor : level > top ? top : level;
      clipped[k] = level - profile->tissue_db;
    }
  for (int k = 0; k <= 2 * FIT_REACH; k++)
    {
      float x = (float)(k - FIT_REACH) * X_STEP_MM;
      float level = step_level (&work->step, -x / profile->blur_mm);
      model[k] = level > depth ? level : depth;
    }
  work->kernels->match (clipped, profile->weight, model, 2 * FIT_REACH + 1, SHIFT_ROOM, share,
                        cost);
  for (int s = SHIFTS; s < SHIFT_ROOM; s++)
    cost[s] = FORBIDDEN_COST;
}

/* Closed dynamic programming over positions, as in path.c. */
static void
join_rays (const OutlineKernels *kernels, float cost[RAYS][SHIFT_ROOM], int *chosen)
{
  float best[LAPS_RAYS][SHIFT_PADDED];
  int8_t from[LAPS_RAYS][SHIFT_ROOM];

  for (int n = 0; n < LAPS_RAYS; n++)
    {
      for (int k = 0; k < JUMPS; k++)
        best[n][k] = best[n][JUMPS + SHIFT_ROOM + k] = NEVER_COST;
      if (n == 0)
        memcpy (best[0] + JUMPS, cost[0], sizeof cost[0]);
      else
        kernels->advance (best[n - 1] + JUMPS, cost[n % RAYS], SHIFT_ROOM, JUMPS, BEND_COST,
                          best[n] + JUMPS, from[n]);
    }
  const float *last = best[LAPS_RAYS - 1] + JUMPS;
  int s = 0;
  for (int k = 1; k < SHIFTS; k++)
    s = last[k] < last[s] ? k : s;
  for (int n = LAPS_RAYS - 1; n >= LAP_FIRST; n--)
    {
      if (n < LAP_FIRST + RAYS)
        chosen[n % RAYS] = s;
      s += from[n][s];
    }
}

/* The vertex of the parabola through the costs about a position, in steps. */
static float
between_steps (const float *cost, int s)
{
  if (s == 0 || s == SHIFTS - 1)
    return 0;
  float bend = cost[s - 1] - 2 * cost[s] + cost[s + 1];
  float lean = 0.5f * (cost[s - 1] - cost[s + 1]);
  if (bend <= 1e-6f || fabsf (lean) > bend)
    return 0;
  return lean / bend;
}

static void
smooth_ring (float *value, int passes)
{
  for (int pass = 0; pass < passes; pass++)
    {
      float first = value[0], before = value[RAYS - 1];
      for (int k = 0; k < RAYS; k++)
        {
          float after = k + 1 < RAYS ? value[k + 1] : first, here = value[k];
          value[k] = 0.25f * (before + after) + 0.5f * here;
          before = here;
        }
    }
}

/* One pass: fit, join, sub-step. */
static void
fit_all (const TarnOutlineWork *work, Profile *profile)
{
  float cost[RAYS][SHIFT_ROOM], shift[RAYS];
  int chosen[RAYS];

  for (int ray = 0; ray < RAYS; ray++)
    fit_ray (work, &profile[ray], cost[ray]);
  join_rays (work->kernels, cost, chosen);
  for (int ray = 0; ray < RAYS; ray++)
    shift[ray] = (float)(chosen[ray] - SHIFT_REACH) + between_steps (cost[ray], chosen[ray]);
  smooth_ring (shift, 1);
  for (int ray = 0; ray < RAYS; ray++)
    profile[ray].shift_mm = shift[ray] * X_STEP_MM;
}

static void
measure_all (const Path *path, const DarkMap *map, const TarnOutlineWork *work,
             Profile *profile)
{
  float tissue[RAYS];

  for (int ray = 0; ray < RAYS; ray++)
    {
      float u = path->u_mm + path->radius_mm[ray] * work->ray_u[ray];
      float v = path->v_mm + path->radius_mm[ray] * work->ray_v[ray];
      float line, row;
      tarn_dark_map_place (map, u, v, &line, &row);
      int k = (int)clamp (line + 0.5f, 0, (float)(map->lines - 1));
      int r = (int)clamp (row + 0.5f, 0, (float)(map->rows - 1));
      measure_sides (&profile[ray], map->tissue_db[r * map->lines + k]);
      tissue[ray] = profile[ray].tissue_db;
    }
  smooth_ring (tissue, 6);
  for (int ray = 0; ray < RAYS; ray++)
    profile[ray].tissue_db = tissue[ray];
}

/* How steeply the border runs across the slice, from the neighbouring plane's border: mm along
 * the normal for each mm across; it blurs this border by so much of the slice's width. */
static void
set_slopes (const TarnOutlineWork *work, const TarnOutlineHints *hints, const Path *path,
            Profile *profile)
{
  float moved[RAYS], weight[RAYS];

  for (int ray = 0; ray < RAYS; ray++)
    {
      const Profile *here = &profile[ray];
      float r = path->radius_mm[ray] + here->shift_mm * here->stretch;
      float across = (path->v_mm + r * work->ray_v[ray]) * (float)fabs (hints->fan_step_rad);
      bool known = path->guide_seen[ray] && here->known > 0.5f && across > 0.1f;
      weight[ray] = known ? 1 : 0;
      moved[ray] = known ? (path->guide_mm[ray] - r) / (here->stretch * across) : 0;
    }
  smooth_ring (moved, SLOPE_PASSES);
  smooth_ring (weight, SLOPE_PASSES);
  for (int ray = 0; ray < RAYS; ray++)
    {
      float slope = weight[ray] > 0.1f ? SLOPE_GAIN * fabsf (moved[ray] / weight[ray]) : 0;
      float part = profile[ray].slice_mm * (slope < SLOPE_MOST ? slope : SLOPE_MOST);
      profile[ray].blur_mm = sqrtf (profile[ray].square_mm2 + part * part);
    }
}

void
tarn_border_refine (TarnOutlineWork *work, const TarnImage *image,
                    const TarnOutlineHints *hints, Path *path)
{
  Profile profile[RAYS];
  float mhz = hints != NULL && hints->mhz > 0 ? (float)hints->mhz : 3;
  float sample = 3 * (float)image->geometry.sample_pitch_mm; /* the mean of three */
  Beam beam = { .wave_mm = 1.54f / mhz,
                .aperture_mm
                = hints != NULL && hints->aperture_mm > 0 ? (float)hints->aperture_mm : 12 };

  /* Two cycles long, so half of that for the echo; a box of b blurs as σ = b / √12. */
  float pulse = 0.3003f * beam.wave_mm;
  beam.axial_mm = sqrtf (pulse * pulse + sample * sample / 12);

  smooth_ring (path->radius_mm, 3);
  for (int ray = 0; ray < RAYS; ray++)
    {
      /* The coarse border stands where the level is down by 10 dB. */
      set_blur (work, path, &beam, ray, &profile[ray]);
      profile[ray].shift_mm = COARSE_AT * profile[ray].blur_mm;
      sample_ray (work, image, path, ray, &profile[ray]);
    }
  bool guided = hints != NULL && hints->neighbour != NULL && hints->fan_step_rad != 0;
  int passes = guided ? 3 : 2;
  for (int pass = 0; pass < passes; pass++)
    {
      if (guided && pass > 0)
        set_slopes (work, hints, path, profile);
      measure_all (path, &work->map, work, profile);
      fit_all (work, profile);
    }
  measure_all (path, &work->map, work, profile);
  for (int ray = 0; ray < RAYS; ray++)
    {
      float radius = path->radius_mm[ray] + profile[ray].shift_mm * profile[ray].stretch;
      path->radius_mm[ray] = radius > 0.5f ? radius : 0.5f;
      path->contrast_db[ray]
          = profile[ray].known < 0.5f ? 0 : profile[ray].tissue_db - profile[ray].fluid_db;
    }
}
