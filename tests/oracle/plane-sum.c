/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plane-sum.h"

#include "base/units.h"
#include "engine/acoustic/scatter_kernel.h"

#define STEP_MM       0.1
#define RAYS_BESIDE   20 /* lines beyond the window that have rays */
#define DEEPER_MM     16.0
#define SPREAD_MAX    4.5 /* standard deviations at which pulse and beam are cut off */
#define WIDTH_IN_SD   2.354820045030949 /* 2 √(2 ln 2): a Gaussian's −6 dB width, amplitude */
#define GEL_M_S       1500
#define GEL_DB_CM_MHZ 0.05
#define BOX_MM        16.0

/* At a depth of a ray: the ruler's error up to there, and the loss. */
typedef struct
{
  double shift_mm, loss_db;
} RayStep;

static TarnTissue
tissue_at (const TarnPlaneSetup *setup, double angle_rad, double depth_mm)
{
  if (setup->phantom != NULL)
    return tarn_phantom_tissue (setup->phantom, depth_mm);
  const TarnPlaneFrame *frame = &setup->frame;
  TarnVec3 direction = tarn_add_scaled (tarn_scale (frame->axis, cos (angle_rad)),
                                        frame->lateral, sin (angle_rad));
  TarnVec3 pressed = tarn_add_scaled (frame->centre_mm, direction,
                                      setup->geometry.face_radius_mm + depth_mm);
  return tarn_body_tissue (setup->body, tarn_deform_inverse (setup->deform, pressed));
}

/* What a border takes on the way out and back. */
static double
passage_db (TarnTissue from, TarnTissue to)
{
  double z1 = tarn_tissue_impedance_mrayl (from), z2 = tarn_tissue_impedance_mrayl (to);
  double reflected = (z2 - z1) * (z2 - z1) / ((z2 + z1) * (z2 + z1));
  return -20 * log10 (1 - reflected);
}

static void
trace (PlaneSum *sum, double angle_rad)
{
  RayStep at = { 0 };
  TarnTissue before = TARN_TISSUE_AIR;
  for (int k = 0; k < sum->ray_steps; k++)
    {
      g_array_append_val (sum->ray, at);
      TarnTissue tissue = tissue_at (sum->setup, angle_rad, (k + 0.5) * STEP_MM);
      double speed_m_s = GEL_M_S, loss_db_mm = 2 * GEL_DB_CM_MHZ * sum->beam.mhz / 10;
      if (tissue != TARN_TISSUE_AIR)
        {
          speed_m_s = tarn_tissue_sound (tissue)->speed_m_s;
          loss_db_mm = tarn_beam_loss_db_mm (&sum->beam, tissue);
        }
      if (tissue != before && before != TARN_TISSUE_AIR)
        at.loss_db += passage_db (before, tissue);
      at.shift_mm += (TARN_ASSUMED_M_S / speed_m_s - 1) * STEP_MM;
      at.loss_db += loss_db_mm * STEP_MM;
      before = tissue;
    }
}

/* Between two rays and two steps. */
static RayStep
along_rays (const PlaneSum *sum, double line, double depth_mm)
{
  int rays = sum->window.lines + 2 * RAYS_BESIDE;
  double ray = tarn_clamp (line - sum->window.first_line + RAYS_BESIDE, 0, rays - 1.001);
  double step = tarn_clamp (depth_mm / STEP_MM, 0, sum->ray_steps - 1.001);
  int r = (int)ray, s = (int)step;
  const RayStep *at = &g_array_index (sum->ray, RayStep, r * sum->ray_steps + s);
  double weight[4] = { (1 - (ray - r)) * (1 - (step - s)), (1 - (ray - r)) * (step - s),
                       (ray - r) * (1 - (step - s)), (ray - r) * (step - s) };
  RayStep corner[4] = { at[0], at[1], at[sum->ray_steps], at[sum->ray_steps + 1] };
  RayStep mean = { 0 };
  for (int k = 0; k < 4; k++)
    {
      mean.shift_mm += weight[k] * corner[k].shift_mm;
      mean.loss_db += weight[k] * corner[k].loss_db;
    }
  return mean;
}

void
plane_sum_init (PlaneSum *sum, const TarnPlaneSetup *setup, const TarnPatient *patient,
                SumWindow window)
{
  const TarnImageGeometry *geometry = &setup->geometry;
  double deepest_mm = (window.first_sample + window.samples) * geometry->sample_pitch_mm;
  *sum = (PlaneSum){
    .setup = setup,
    .beam = tarn_beam (&patient->probe),
    .window = window,
    .ray = g_array_new (FALSE, FALSE, sizeof (RayStep)),
    .ray_steps = (int)((deepest_mm + DEEPER_MM) / STEP_MM),
    .re = g_new0 (double, window.lines *window.samples),
    .im = g_new0 (double, window.lines *window.samples),
  };
  for (int k = -RAYS_BESIDE; k < window.lines + RAYS_BESIDE; k++)
    trace (sum, tarn_image_angle_rad (geometry, window.first_line + k));
}

void
plane_sum_clear (PlaneSum *sum)
{
  g_array_unref (sum->ray);
  g_free (sum->re);
  g_free (sum->im);
}

double
plane_sum_intensity (const PlaneSum *sum, int line, int sample)
{
  int at = line * sum->window.samples + sample;
  return sum->re[at] * sum->re[at] + sum->im[at] * sum->im[at];
}

double
plane_sum_shift_mm (const PlaneSum *sum, int line, double depth_mm)
{
  return along_rays (sum, sum->window.first_line + line, depth_mm).shift_mm;
}

/* A Gaussian whose energy over whole numbers is 1. */
static double
bell (double off, double sd)
{
  return exp (-off * off / (2 * sd * sd)) / sqrt (sd * sqrt (TARN_PI));
}

/* An echo of one phasor, on every line and sample that it reaches. */
static void
spread (PlaneSum *sum, double line, double shown_mm, double amplitude)
{
  const TarnImageGeometry *geometry = &sum->setup->geometry;
  SumWindow window = sum->window;
  double turn = 2 * TARN_PI * 2 * shown_mm / sum->beam.wavelength_mm;
  double re = amplitude * cos (turn), im = amplitude * sin (turn);
  double sample = shown_mm / geometry->sample_pitch_mm - 0.5;
  double axial_sd = tarn_beam_axial_mm (&sum->beam) / geometry->sample_pitch_mm / WIDTH_IN_SD;
  int met = 0;
  for (int s = 0; s < window.samples; s++)
    {
      double along = window.first_sample + s - sample;
      if (fabs (along) > SPREAD_MAX * axial_sd)
        continue;
      double radius_mm = tarn_image_radius_mm (geometry, window.first_sample + s);
      double width_mm = tarn_beam_lateral_mm (&sum->beam, radius_mm - geometry->face_radius_mm);
      double lateral_sd = width_mm / (radius_mm * geometry->line_pitch_rad) / WIDTH_IN_SD;
      for (int l = 0; l < window.lines; l++)
        {
          double aside = window.first_line + l - line;
          if (fabs (aside) > SPREAD_MAX * lateral_sd)
            continue;
          double weight = bell (along, axial_sd) * bell (aside, lateral_sd);
          sum->re[l * window.samples + s] += weight * re;
          sum->im[l * window.samples + s] += weight * im;
          met = 1;
        }
    }
  sum->scatterers += met;
}

/* Where the beam's weight (1 − t²)³ across the plane ends: half amplitude at half the width. */
static double
reach_mm (const PlaneSum *sum, double depth_mm)
{
  return tarn_beam_elevation_mm (&sum->beam, depth_mm) / 2 / sqrt (1 - cbrt (0.5));
}

/* A place in the plane's frame. */
typedef struct
{
  double line, depth_mm, across_mm;
} Polar;

static Polar
polar (const TarnPlaneSetup *setup, TarnVec3 pressed_mm)
{
  const TarnPlaneFrame *frame = &setup->frame;
  const TarnImageGeometry *geometry = &setup->geometry;
  TarnVec3 q = tarn_sub (pressed_mm, frame->centre_mm);
  double u = tarn_dot (q, frame->lateral), v = tarn_dot (q, frame->axis);
  return (Polar){
    .line = (atan2 (u, v) - geometry->first_angle_rad) / geometry->line_pitch_rad,
    .depth_mm = hypot (u, v) - geometry->face_radius_mm,
    .across_mm = tarn_dot (q, tarn_cross (frame->lateral, frame->axis)),
  };
}

/* @beside_lines, @beside_mm: beyond the window's borders. */
static gboolean
near_window (const PlaneSum *sum, Polar at, double beside_lines, double beside_mm)
{
  const SumWindow *window = &sum->window;
  double pitch_mm = sum->setup->geometry.sample_pitch_mm;
  double first_mm = window->first_sample * pitch_mm, length_mm = window->samples * pitch_mm;
  return at.line > window->first_line - beside_lines
         && at.line < window->first_line + window->lines - 1 + beside_lines
         && at.depth_mm > first_mm - beside_mm
         && at.depth_mm < first_mm + length_mm + beside_mm;
}

void
plane_sum_add (PlaneSum *sum, TarnVec3 pressed_mm, double amplitude, const double *shift_mm)
{
  Polar at = polar (sum->setup, pressed_mm);
  double t = at.across_mm / reach_mm (sum, at.depth_mm), inside = 1 - t * t;
  if (inside <= 0 || !near_window (sum, at, 8, 2))
    return;
  RayStep way = along_rays (sum, at.line, at.depth_mm);
  double shown_mm = at.depth_mm + (shift_mm != NULL ? *shift_mm : way.shift_mm);
  double gain_db = sum->beam.depth_gain_db_mm * shown_mm - way.loss_db;
  spread (sum, at.line, shown_mm,
          amplitude * inside * inside * inside * pow (10, gain_db / 20));
}

/* The slow unevenness of tissue: two waves of straight ups and downs between −1 and 1. */
static double
mottle (TarnVec3 p)
{
  double a = p.x * 0.027 + p.y * 0.019 + p.z * 0.008;
  double b = p.y * 0.034 - p.z * 0.024 + p.x * 0.006;
  return 1 + 0.22 * (4 * fabs (a - floor (a) - 0.5) - 1 + 4 * fabs (b - floor (b) - 0.5) - 1);
}

/* A block of material space: 2 × 2 × 2 cells. */
typedef struct
{
  TarnVec3 origin_mm;
  int cyclic, mirror; /* how its pattern lies in it */
  const float *pattern;
  double shift_mm[4]; /* the ruler's error: in its middle, and its rise along x, y, z */
} Block;

static void
fit_ruler (const PlaneSum *sum, Block *block)
{
  const TarnImageGeometry *geometry = &sum->setup->geometry;
  for (int corner = 0; corner < 8; corner++)
    {
      TarnVec3 place_mm = tarn_add_scaled (block->origin_mm,
                                           tarn_vec3 (corner & 1, corner >> 1 & 1, corner >> 2),
                                           TARN_BLOCK_MM);
      Polar at = polar (sum->setup, tarn_deform_forward (sum->setup->deform, place_mm));
      double row = at.line + geometry->first_angle_rad / geometry->line_pitch_rad;
      double shift_mm
          = (double)tarn_nodes_at (sum->ruler, sum->ruler->shift, (float)row,
                                   (float)(at.depth_mm / geometry->sample_pitch_mm));
      block->shift_mm[0] += shift_mm / 8;
      for (int axis = 0; axis < 3; axis++)
        block->shift_mm[1 + axis] += (corner >> axis & 1 ? shift_mm : -shift_mm) / 4;
    }
}

static double
fitted_shift_mm (const Block *block, TarnVec3 material_mm)
{
  TarnVec3 off = tarn_scale (tarn_sub (material_mm, block->origin_mm), 1 / TARN_BLOCK_MM);
  return block->shift_mm[0] + block->shift_mm[1] * (off.x - 0.5)
         + block->shift_mm[2] * (off.y - 0.5) + block->shift_mm[3] * (off.z - 0.5);
}

/* From the pattern's coordinates, [0, 1). */
static TarnVec3
material_place (const Block *block, double x, double y, double z)
{
  double in[3] = { x, y, z }, out[3];
  for (int axis = 0; axis < 3; axis++)
    {
      int to = (axis + block->cyclic) % 3;
      out[to] = block->mirror >> to & 1 ? 1 - in[axis] : in[axis];
    }
  return tarn_add_scaled (block->origin_mm, tarn_vec3 (out[0], out[1], out[2]), TARN_BLOCK_MM);
}

/* One scatterer; amplitude as makes the mean intensity of many 1. */
static void
add_scatterer (PlaneSum *sum, const Block *block, TarnVec3 material_mm, double per_mm3,
               double fade, TarnTissue tissue)
{
  const TarnImageGeometry *geometry = &sum->setup->geometry;
  TarnVec3 pressed_mm = tarn_deform_forward (sum->setup->deform, material_mm);
  Polar at = polar (sum->setup, pressed_mm);
  double reach = reach_mm (sum, at.depth_mm);
  if (fabs (at.across_mm) > reach || !near_window (sum, at, 8, 2))
    return;
  g_assert_cmpint (tarn_body_tissue (sum->setup->body, material_mm), ==, tissue);
  /* ∫ (1 − t²)⁶ dt over −1…1 is 2048/3003. */
  double cell_mm3 = geometry->sample_pitch_mm * geometry->line_pitch_rad
                    * (geometry->face_radius_mm + at.depth_mm) * reach * 2048 / 3003;
  double shift_mm = fitted_shift_mm (block, material_mm);
  plane_sum_add (sum, pressed_mm, fade * mottle (material_mm) / sqrt (per_mm3 * cell_mm3),
                 sum->ruler != NULL ? &shift_mm : NULL);
}

/* The scatterers of an eighth of a block: as many sheets of its pattern as its depth wants. */
static void
add_octant (PlaneSum *sum, const TarnPlaneWork *work, const Block *block, int octant,
            TarnTissue tissue)
{
  TarnVec3 middle = material_place (block, octant & 1 ? 0.75 : 0.25, octant & 2 ? 0.75 : 0.25,
                                    octant & 4 ? 0.75 : 0.25);
  Polar at = polar (sum->setup, tarn_deform_forward (sum->setup->deform, middle));
  const TarnDepthRow *depth
      = &work->depth[(int)tarn_clamp (at.depth_mm, 0, TARN_DEPTHS_MAX - 1)];
  double fade = (double)depth->fade;
  double cell_mm3 = TARN_CELL_MM * TARN_CELL_MM * TARN_CELL_MM;
  double per_mm3 = TARN_SHEET * (depth->strata + fade * fade) / cell_mm3;
  for (int stratum = 0; stratum <= depth->strata; stratum++)
    {
      const float *sheet
          = block->pattern + (octant * TARN_STRATA_MAX + stratum) * TARN_SHEET_FLOATS;
      for (int k = 0; k < TARN_SHEET; k++)
        add_scatterer (sum, block,
                       material_place (block, (double)sheet[k], (double)sheet[k + TARN_SHEET],
                                       (double)sheet[k + 2 * TARN_SHEET]),
                       per_mm3, stratum < depth->strata ? 1 : fade, tissue);
    }
}

void
plane_sum_add_body (PlaneSum *sum, const TarnPlaneWork *work, TarnTissue tissue)
{
  const TarnCells *cells = tarn_body_cells (sum->setup->body);
  for (int z = 0; z < cells->cells_z / 2; z++)
    for (int y = 0; y < cells->cells_y / 2; y++)
      for (int x = 0; x < cells->cells_x / 2; x++)
        {
          Block block = { .origin_mm = tarn_add_scaled (cells->corner_mm, tarn_vec3 (x, y, z),
                                                        TARN_BLOCK_MM) };
          TarnVec3 middle = material_place (&block, 0.5, 0.5, 0.5);
          Polar at = polar (sum->setup, tarn_deform_forward (sum->setup->deform, middle));
          if (fabs (at.across_mm) > BOX_MM || !near_window (sum, at, 24, BOX_MM))
            continue;
          const float origin_mm[3] = { (float)block.origin_mm.x, (float)block.origin_mm.y,
                                       (float)block.origin_mm.z };
          uint32_t hash = tarn_block_hash (origin_mm);
          block.cyclic = hash % TARN_TURNS % 3;
          block.mirror = hash % TARN_TURNS / 3;
          block.pattern = work->scatter->pattern
                          + hash / TARN_TURNS % TARN_PATTERNS * TARN_PATTERN_FLOATS;
          if (sum->ruler != NULL)
            fit_ruler (sum, &block);
          for (int octant = 0; octant < 8; octant++)
            add_octant (sum, work, &block, octant, tissue);
        }
}
