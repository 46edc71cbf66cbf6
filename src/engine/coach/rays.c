/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Rays.  A ray is straight in the pressed body; where it passes at rest is known at knots
 * (bend.h) and taken as straight between them, and what is there by the body's cells. */
#include "engine/coach/rays.h"

#include "base/units.h"
#include "engine/acoustic/beam.h"
#include "engine/acoustic/formulas.h"
#include "engine/acoustic/lookup.h"
#include "engine/coach/bend.h"
#include "engine/verdict/geometric.h"

#include <stdlib.h>
#include <string.h>

#define FAN_BINS     18 /* in the field: planes need not be so many */
#define LINE_BINS    32
#define BEYOND_RAD   1.5 /* rays there are to so far either side */
#define KNOT_STEPS   5
#define BEND_FANS    3 /* bins from node to node */
#define BEND_LINES   4
#define BESIDE       2 /* bins beside urine that are looked at too */
#define BEHIND_STEPS 8

/* As acoustic/march.c and nodes.c have it. */
#define GEL_DB_CM_MHZ 0.05
#define GEL_M_S       1500.0

_Static_assert(TARN_RAY_STEPS_MAX / KNOT_STEPS + 2 <= TARN_KNOTS_MAX, "too few knots");

/* What counts for what, and what it costs. */
static void
fill_tables (TarnRays *rays, const TarnProbe *probe)
{
  TarnBeam beam = tarn_beam (probe);
  rays->depth_gain_db_mm = beam.depth_gain_db_mm;
  for (int k = 0; k < TARN_TISSUES; k++)
    {
      const TarnTissueSound *sound = tarn_tissue_sound ((TarnTissue)k);
      double speed_m_s = sound->opaque ? TARN_ASSUMED_M_S : sound->speed_m_s;
      rays->loss_db[k] = (float)(tarn_beam_loss_db_mm (&beam, k) * TARN_RAY_STEP_MM);
      rays->shift_mm[k]
          = (float)(tarn_shown_length_mm (TARN_RAY_STEP_MM, speed_m_s) - TARN_RAY_STEP_MM);
    }
  /* Between face and skin: gel, as in a plane's march. */
  rays->loss_db[TARN_TISSUE_AIR]
      = (float)(2 * GEL_DB_CM_MHZ * beam.mhz / 10 * TARN_RAY_STEP_MM);
  rays->shift_mm[TARN_TISSUE_AIR]
      = (float)(tarn_shown_length_mm (TARN_RAY_STEP_MM, GEL_M_S) - TARN_RAY_STEP_MM);

  rays->met[TARN_TISSUE_AIR] = TARN_MET_AIR;
  rays->met[TARN_TISSUE_URINE] = TARN_MET_URINE;
  rays->met[TARN_TISSUE_FLUID] = rays->met[TARN_TISSUE_HAEMATOMA] = TARN_MET_FLUID;
  rays->met[TARN_TISSUE_BALLOON] = TARN_MET_FLUID;
  rays->met[TARN_TISSUE_CLOT] = TARN_MET_INSIDE;
  rays->met[TARN_TISSUE_BONE] = rays->met[TARN_TISSUE_STONE] = TARN_MET_BONE;
  rays->met[TARN_TISSUE_GAS] = TARN_MET_GAS;
}

static TarnStatus
put_down (TarnRays *rays, const TarnBody *body, const TarnPose *pose, const TarnGelFilm *film)
{
  TarnGelFilm *pressed = NULL;
  if (film != NULL)
    {
      pressed = malloc (sizeof *pressed);
      if (pressed == NULL)
        return TARN_NO_MEMORY;
      *pressed = *film;
    }
  TarnStatus status = tarn_contact_solve (body, pose, pressed, &rays->contact);
  free (pressed);
  if (status == TARN_OK)
    tarn_deform_init (&rays->deform, body, &rays->contact);
  return status;
}

TarnStatus
tarn_rays_init (TarnRays *rays, const TarnBody *body, const TarnPose *pose,
                const TarnGelFilm *film, double depth_mm)
{
  const TarnProbe *probe = &tarn_body_patient (body)->probe;
  *rays = (TarnRays){ .fan_bins = FAN_BINS, .line_bins = LINE_BINS };
  if (!(depth_mm == 0 || (depth_mm >= 20 && depth_mm <= 300)))
    return TARN_OUT_OF_RANGE;
  TarnStatus status = put_down (rays, body, pose, film);
  if (status != TARN_OK)
    return status;

  rays->geometry = tarn_plane_geometry (probe, depth_mm);
  rays->half_fan_rad = tarn_rad_from_deg (probe->fan_deg) / 2;
  double half_sector_rad = -rays->geometry.first_angle_rad;
  rays->fan_pitch_rad = 2 * rays->half_fan_rad / FAN_BINS;
  rays->line_pitch_rad = 2 * half_sector_rad / LINE_BINS;
  rays->fan_before
      = (int)ceil (fmax (BEYOND_RAD - rays->half_fan_rad, 0) / rays->fan_pitch_rad);
  rays->line_before = (int)ceil (fmax (BEYOND_RAD - half_sector_rad, 0) / rays->line_pitch_rad);
  int most = (TARN_RAY_BINS_MAX - FAN_BINS) / 2;
  rays->fan_before = rays->fan_before < most ? rays->fan_before : most;
  most = (TARN_RAY_BINS_MAX - LINE_BINS) / 2;
  rays->line_before = rays->line_before < most ? rays->line_before : most;
  rays->fan_all = FAN_BINS + 2 * rays->fan_before;
  rays->line_all = LINE_BINS + 2 * rays->line_before;
  rays->field_steps
      = (int)(tarn_image_depth_limit_mm (&rays->geometry) / TARN_RAY_STEP_MM + 0.5);
  if (rays->field_steps > TARN_RAY_STEPS_MAX)
    rays->field_steps = TARN_RAY_STEPS_MAX;
  fill_tables (rays, probe);
  rays->ray = calloc ((size_t)rays->fan_all * (size_t)rays->line_all, sizeof *rays->ray);
  return rays->ray != NULL ? TARN_OK : TARN_NO_MEMORY;
}

void
tarn_rays_clear (TarnRays *rays)
{
  free (rays->ray);
  free (rays->tissue);
  *rays = (TarnRays){ 0 };
}

TarnRay *
tarn_rays_at (const TarnRays *rays, double fan_rad, double line_rad)
{
  double fan = (fan_rad + rays->half_fan_rad) / rays->fan_pitch_rad + rays->fan_before;
  double line
      = (line_rad - rays->geometry.first_angle_rad) / rays->line_pitch_rad + rays->line_before;
  int f = (int)tarn_clamp (fan, 0, rays->fan_all - 1);
  int l = (int)tarn_clamp (line, 0, rays->line_all - 1);
  return &rays->ray[f * rays->line_all + l];
}

/* Wet share of each column of elements, over the rows that a plane uses. */
static void
wet_columns (const TarnRays *rays, double half_rad, double fan_rad,
             float column[TARN_FACE_ELEMENTS])
{
  for (int c = 0; c < TARN_FACE_ELEMENTS; c++)
    {
      double sum = 0;
      int count = 0;
      for (int r = 0; r < TARN_FACE_ELEMENTS; r++)
        if (fabs (tarn_face_angle_rad (r) - fan_rad) <= half_rad)
          {
            sum += rays->contact.wet[r][c];
            count++;
          }
      column[c] = count > 0 ? (float)(sum / count) : 1;
    }
}

/* Of the aperture of a line. */
static float
wet_share (const float column[TARN_FACE_ELEMENTS], double half_rad, double line_rad)
{
  double angle_rad = tarn_clamp (line_rad, -TARN_FACE_HALF_RAD, TARN_FACE_HALF_RAD), sum = 0;
  int count = 0;
  for (int c = 0; c < TARN_FACE_ELEMENTS; c++)
    if (fabs (tarn_face_angle_rad (c) - angle_rad)
        <= half_rad + TARN_FACE_HALF_RAD / TARN_FACE_ELEMENTS)
      {
        sum += column[c];
        count++;
      }
  return count > 0 ? (float)(sum / count) : 1;
}

/* The middle of a bin. */
static double
fan_angle_rad (const TarnRays *rays, int fan)
{
  return (fan - rays->fan_before + 0.5) * rays->fan_pitch_rad - rays->half_fan_rad;
}

static double
line_angle_rad (const TarnRays *rays, int line)
{
  return (line - rays->line_before + 0.5) * rays->line_pitch_rad
         + rays->geometry.first_angle_rad;
}

static int
knots_for (int steps)
{
  return (steps + KNOT_STEPS - 1) / KNOT_STEPS + 1;
}

/* Whether fluid may lie where no urine is. */
static bool
has_fluid (const TarnPatient *patient)
{
  for (int k = 0; k < patient->structures; k++)
    switch (patient->structure[k].kind)
      {
      case TARN_STRUCTURE_CYST:
      case TARN_STRUCTURE_ASCITES:
      case TARN_STRUCTURE_GRAVID_UTERUS:
      case TARN_STRUCTURE_HAEMATOMA:
        return true;
      default:
        break;
      }
  return false;
}

/* How far a ray of the field goes: to the depth limit where any fluid may be, else a little
 * beyond the urine in front of it and beside it. */
static int
field_steps (const TarnRays *rays, int fan, int line, bool fluid)
{
  if (fluid)
    return rays->field_steps;
  int furthest = 0;
  for (int f = fan - BESIDE; f <= fan + BESIDE; f++)
    for (int l = line - BESIDE; l <= line + BESIDE; l++)
      if (f >= 0 && f < rays->fan_all && l >= 0 && l < rays->line_all)
        {
          int its = rays->ray[f * rays->line_all + l].furthest;
          furthest = its > furthest ? its : furthest;
        }
  if (furthest == 0)
    return 0;
  return furthest + BEHIND_STEPS < rays->field_steps ? furthest + BEHIND_STEPS
                                                     : rays->field_steps;
}

/* How far each ray goes, and room for all. */
static TarnStatus
plan (TarnRays *rays, TarnBend *bend, bool fluid)
{
  size_t steps = 1;
  for (int f = 0; f < rays->fan_all; f++)
    for (int l = 0; l < rays->line_all; l++)
      {
        TarnRay *ray = &rays->ray[f * rays->line_all + l];
        bool field = f >= rays->fan_before && f < rays->fan_before + rays->fan_bins
                     && l >= rays->line_before && l < rays->line_before + rays->line_bins;
        int least = field ? field_steps (rays, f, l, fluid) : 0;
        ray->steps = ray->furthest > least ? ray->furthest : least;
        if (ray->steps > TARN_RAY_STEPS_MAX)
          ray->steps = TARN_RAY_STEPS_MAX;
        steps += (size_t)ray->steps;
        if (ray->steps > 0)
          tarn_bend_want (bend, fan_angle_rad (rays, f), line_angle_rad (rays, l),
                          knots_for (ray->steps));
      }
  rays->tissue = malloc (steps);
  return rays->tissue != NULL ? TARN_OK : TARN_NO_MEMORY;
}

static TarnStatus
bend_init (TarnBend *bend, const TarnRays *rays)
{
  *bend = (TarnBend){
    .contact = &rays->contact,
    .deform = &rays->deform,
    .fans = rays->fan_all / BEND_FANS + 2,
    .lines = rays->line_all / BEND_LINES + 2,
    .first_fan_rad = fan_angle_rad (rays, 0),
    .first_line_rad = line_angle_rad (rays, 0),
    .fan_pitch_rad = BEND_FANS * rays->fan_pitch_rad,
    .line_pitch_rad = BEND_LINES * rays->line_pitch_rad,
    .face_mm = rays->geometry.face_radius_mm,
    .knot_mm = KNOT_STEPS * TARN_RAY_STEP_MM,
  };
  size_t nodes = (size_t)bend->fans * (size_t)bend->lines;
  bend->knots = calloc (nodes, sizeof *bend->knots);
  bend->away_mm = malloc (nodes * 3 * TARN_KNOTS_MAX * sizeof *bend->away_mm);
  return bend->knots != NULL && bend->away_mm != NULL ? TARN_OK : TARN_NO_MEMORY;
}

static void
bend_clear (TarnBend *bend)
{
  free (bend->knots);
  free (bend->away_mm);
}

/* Fills one ray.  Where no gas can lie behind bone, all behind it counts as bone. */
static void
look_along (const TarnRays *rays, const TarnBody *body, TarnRay *ray, float *x, float *y,
            float *z, bool gas)
{
  const TarnCells *cells = tarn_body_cells (body);
  float cx = (float)cells->corner_mm.x, cy = (float)cells->corner_mm.y,
        cz = (float)cells->corner_mm.z;
  int knots = knots_for (ray->steps);
  for (int k = 0; k < knots; k++)
    {
      x[k] = (x[k] - cx) * (float)(1 / TARN_CELL_MM);
      y[k] = (y[k] - cy) * (float)(1 / TARN_CELL_MM);
      z[k] = (z[k] - cz) * (float)(1 / TARN_CELL_MM);
    }
  ray->bone_mm = ray->gas_mm = INFINITY;
  for (int k = 0; k < ray->steps; k++)
    {
      int knot = k / KNOT_STEPS;
      float t = ((float)(k - knot * KNOT_STEPS) + 0.5f) / KNOT_STEPS;
      TarnCellPlace place
          = { x[knot] + (x[knot + 1] - x[knot]) * t, y[knot] + (y[knot + 1] - y[knot]) * t,
              z[knot] + (z[knot + 1] - z[knot]) * t };
      TarnTissue tissue = tarn_lookup (body, cells, place);
      ray->tissue[k] = (uint8_t)tissue;
      float range_mm = (float)(rays->geometry.face_radius_mm + (k + 0.5) * TARN_RAY_STEP_MM);
      if (tissue == TARN_TISSUE_GAS)
        ray->gas_mm = fminf (ray->gas_mm, range_mm);
      if (tissue != TARN_TISSUE_BONE)
        continue;
      ray->bone_mm = fminf (ray->bone_mm, range_mm);
      if (!gas)
        {
          memset (ray->tissue + k, TARN_TISSUE_BONE, (size_t)(ray->steps - k));
          break;
        }
    }
}

static bool
has_gas (const TarnPatient *patient)
{
  for (int k = 0; k < patient->structures; k++)
    if (patient->structure[k].kind == TARN_STRUCTURE_BOWEL_GAS)
      return true;
  return false;
}

/* The rays of one bin of the fan. */
static void
follow_fan (TarnRays *rays, const TarnBody *body, const TarnBend *bend, int f, size_t *used)
{
  const TarnPatient *patient = tarn_body_patient (body);
  const TarnProbe *probe = &patient->probe;
  double half_rad = probe->aperture_mm / 2 / probe->face_radius_mm;
  double fan_rad = fan_angle_rad (rays, f);
  float column[TARN_FACE_ELEMENTS];
  wet_columns (rays, probe->elevation_mm / 2 / probe->face_radius_mm, fan_rad, column);
  for (int l = 0; l < rays->line_all; l++)
    {
      TarnRay *ray = &rays->ray[f * rays->line_all + l];
      if (ray->steps == 0)
        continue;
      double line_rad = line_angle_rad (rays, l);
      float x[TARN_KNOTS_MAX], y[TARN_KNOTS_MAX], z[TARN_KNOTS_MAX];
      ray->tissue = rays->tissue + *used;
      *used += (size_t)ray->steps;
      ray->coupling = (float)tarn_face_coupling (&rays->contact, probe, fan_rad, line_rad);
      ray->wet = wet_share (column, half_rad, line_rad);
      tarn_bend_ray (bend, fan_rad, line_rad, knots_for (ray->steps), x, y, z);
      look_along (rays, body, ray, x, y, z, has_gas (patient));
    }
}

TarnStatus
tarn_rays_follow (TarnRays *rays, const TarnBody *body)
{
  TarnBend bend;
  TarnStatus status = bend_init (&bend, rays);
  if (status == TARN_OK)
    status = plan (rays, &bend, has_fluid (tarn_body_patient (body)));
  if (status == TARN_OK)
    {
      size_t used = 0;
      tarn_bend_fill (&bend);
      for (int f = 0; f < rays->fan_all; f++)
        follow_fan (rays, body, &bend, f, &used);
    }
  bend_clear (&bend);
  return status;
}
