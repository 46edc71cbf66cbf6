/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Rays.  A ray is straight in the pressed body; where it passes at rest is found at knots
 * KNOT_MM apart and taken as straight between them, and what is there by the body's cells. */
#include "engine/coach/rays.h"

#include "base/units.h"
#include "engine/acoustic/beam.h"
#include "engine/acoustic/formulas.h"
#include "engine/acoustic/lookup.h"

#include <stdlib.h>
#include <string.h>

#define FAN_BINS     18 /* in the field: planes need not be so many */
#define LINE_BINS    32
#define BEYOND_RAD   1.5 /* rays there are to so far either side */
#define KNOT_STEPS   5
#define KNOT_MM      (KNOT_STEPS * TARN_RAY_STEP_MM)
#define KNOTS_MAX    (TARN_RAY_STEPS_MAX / KNOT_STEPS + 2)
#define RAYS_AT_ONCE 32
#define ROOM         (RAYS_AT_ONCE * KNOTS_MAX + 8)

#define GEL_DB_CM_MHZ 0.05
#define GEL_M_S       1500

/* What counts for what, and what it costs. */
typedef struct
{
  uint8_t met[TARN_TISSUES];
  float loss_db[TARN_TISSUES], shift_mm[TARN_TISSUES]; /* in a step */
} Table;

static Table
table_for (const TarnProbe *probe)
{
  TarnBeam beam = tarn_beam (probe);
  double gain_db_mm = beam.depth_gain_db_mm;
  Table table = { { TARN_MET_TISSUE }, { 0 }, { 0 } };
  for (int k = 0; k < TARN_TISSUES; k++)
    {
      double speed_m_s = tarn_tissue_sound ((TarnTissue)k)->speed_m_s;
      bool passes = tarn_tissue_sound ((TarnTissue)k)->opaque == 0;
      if (passes)
        table.shift_mm[k]
            = (float)(tarn_shown_length_mm (TARN_RAY_STEP_MM, speed_m_s) - TARN_RAY_STEP_MM);
      table.loss_db[k] = (float)((tarn_beam_loss_db_mm (&beam, k) - beam.depth_gain_db_mm)
                                 * TARN_RAY_STEP_MM);
    }
  /* Between face and skin: gel, as acoustic/march.c has it. */
  table.loss_db[TARN_TISSUE_AIR]
      = (float)((2 * GEL_DB_CM_MHZ * beam.mhz / 10 - gain_db_mm) * TARN_RAY_STEP_MM);
  table.shift_mm[TARN_TISSUE_AIR]
      = (float)(tarn_shown_length_mm (TARN_RAY_STEP_MM, GEL_M_S) - TARN_RAY_STEP_MM);
  table.met[TARN_TISSUE_AIR] = TARN_MET_AIR;
  table.met[TARN_TISSUE_URINE] = TARN_MET_URINE;
  table.met[TARN_TISSUE_FLUID] = table.met[TARN_TISSUE_HAEMATOMA] = TARN_MET_FLUID;
  table.met[TARN_TISSUE_CLOT] = TARN_MET_INSIDE;
  table.met[TARN_TISSUE_BALLOON] = TARN_MET_FLUID;
  table.met[TARN_TISSUE_BONE] = table.met[TARN_TISSUE_STONE] = TARN_MET_BONE;
  table.met[TARN_TISSUE_GAS] = TARN_MET_GAS;
  return table;
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
  rays->depth_gain_db_mm = tarn_beam (probe).depth_gain_db_mm;
  rays->ray = calloc ((size_t)rays->fan_all * (size_t)rays->line_all, sizeof *rays->ray);
  return rays->ray != NULL ? TARN_OK : TARN_NO_MEMORY;
}

void
tarn_rays_clear (TarnRays *rays)
{
  free (rays->ray);
  free (rays->met);
  free (rays->loss_db);
  free (rays->shift_mm);
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

/* Mean wet share, squared, of the elements around this direction: two-way coupling. */
static float
coupling_at (const TarnRays *rays, double half_rad, double fan_rad, double line_rad)
{
  double pitch_rad = tarn_face_angle_rad (1) - tarn_face_angle_rad (0), sum = 0;
  int reach = (int)(half_rad / pitch_rad), count = 0;
  int row = (int)tarn_clamp ((fan_rad / TARN_FACE_HALF_RAD + 1) / 2 * TARN_FACE_ELEMENTS, 0,
                             TARN_FACE_ELEMENTS - 1);
  int column = (int)tarn_clamp ((line_rad / TARN_FACE_HALF_RAD + 1) / 2 * TARN_FACE_ELEMENTS, 0,
                                TARN_FACE_ELEMENTS - 1);
  for (int k = column - reach; k <= column + reach; k++)
    if (k >= 0 && k < TARN_FACE_ELEMENTS)
      {
        sum += rays->contact.wet[row][k];
        count++;
      }
  return (float)(sum / count * (sum / count));
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

/* Some rays under way together. */
typedef struct
{
  const TarnRays *rays;
  const TarnBody *body;
  const Table *table;
  int count, knots;
  TarnRay *ray[RAYS_AT_ONCE];
  float x[ROOM], y[ROOM], z[ROOM]; /* knots: at rest, in cells of the body's table */
} Flight;

static void
set_knots (Flight *flight, int index, double fan_rad, double line_rad)
{
  const TarnContact *contact = &flight->rays->contact;
  double u = sin (line_rad), v = cos (line_rad);
  TarnVec3 along = tarn_scale (contact->lateral, u);
  along = tarn_add_scaled (along, contact->axis, v * cos (fan_rad));
  along = tarn_add_scaled (along, contact->elevation, v * sin (fan_rad));
  for (int k = 0; k < flight->knots; k++)
    {
      TarnVec3 p = tarn_add_scaled (contact->centre_mm, along,
                                    flight->rays->geometry.face_radius_mm + k * KNOT_MM);
      int at = index * flight->knots + k;
      flight->x[at] = (float)p.x;
      flight->y[at] = (float)p.y;
      flight->z[at] = (float)p.z;
    }
}

/* Back to rest, and into cells. */
static void
settle (Flight *flight)
{
  const TarnCells *cells = tarn_body_cells (flight->body);
  int points = flight->count * flight->knots;
  tarn_deform_inverse_many (&flight->rays->deform, points, flight->x, flight->y, flight->z);
  for (int k = 0; k < points; k++)
    {
      flight->x[k] = (float)((flight->x[k] - cells->corner_mm.x) / TARN_CELL_MM);
      flight->y[k] = (float)((flight->y[k] - cells->corner_mm.y) / TARN_CELL_MM);
      flight->z[k] = (float)((flight->z[k] - cells->corner_mm.z) / TARN_CELL_MM);
    }
}

static void
look_along (const Flight *flight, int index)
{
  const TarnCells *cells = tarn_body_cells (flight->body);
  TarnRay *ray = flight->ray[index];
  const float *x = flight->x + index * flight->knots, *y = flight->y + index * flight->knots,
              *z = flight->z + index * flight->knots;
  float loss = 0, shift = 0, face_mm = (float)flight->rays->geometry.face_radius_mm;
  ray->bone_mm = ray->gas_mm = INFINITY;
  for (int k = 0; k < ray->steps; k++)
    {
      int knot = k / KNOT_STEPS;
      float t = ((float)(k - knot * KNOT_STEPS) + 0.5f) / KNOT_STEPS;
      TarnCellPlace place
          = { x[knot] + (x[knot + 1] - x[knot]) * t, y[knot] + (y[knot + 1] - y[knot]) * t,
              z[knot] + (z[knot + 1] - z[knot]) * t };
      TarnTissue tissue = tarn_lookup (flight->body, cells, place);
      float range_mm = face_mm + ((float)k + 0.5f) * (float)TARN_RAY_STEP_MM;
      ray->met[k] = flight->table->met[tissue];
      loss += flight->table->loss_db[tissue];
      ray->loss_db[k] = loss;
      shift += flight->table->shift_mm[tissue];
      ray->shift_mm[k] = shift;
      if (tissue == TARN_TISSUE_BONE)
        ray->bone_mm = fminf (ray->bone_mm, range_mm);
      if (tissue == TARN_TISSUE_GAS)
        ray->gas_mm = fminf (ray->gas_mm, range_mm);
    }
}

static void
fly (Flight *flight)
{
  settle (flight);
  for (int k = 0; k < flight->count; k++)
    look_along (flight, k);
  flight->count = 0;
}

/* How far each ray goes, and room for all. */
static TarnStatus
plan (TarnRays *rays)
{
  size_t steps = 0;
  for (int f = 0; f < rays->fan_all; f++)
    for (int l = 0; l < rays->line_all; l++)
      {
        TarnRay *ray = &rays->ray[f * rays->line_all + l];
        bool field = f >= rays->fan_before && f < rays->fan_before + rays->fan_bins
                     && l >= rays->line_before && l < rays->line_before + rays->line_bins;
        ray->steps
            = field && ray->furthest < rays->field_steps ? rays->field_steps : ray->furthest;
        if (ray->steps > TARN_RAY_STEPS_MAX)
          ray->steps = TARN_RAY_STEPS_MAX;
        steps += (size_t)ray->steps;
      }
  rays->met = malloc (steps * sizeof *rays->met);
  rays->loss_db = malloc (steps * sizeof *rays->loss_db);
  rays->shift_mm = malloc (steps * sizeof *rays->shift_mm);
  return rays->met != NULL && rays->loss_db != NULL && rays->shift_mm != NULL ? TARN_OK
                                                                              : TARN_NO_MEMORY;
}

/* Sends off the rays of one bin of the fan. */
static void
follow_fan (Flight *flight, TarnRays *rays, int f, const TarnProbe *probe, size_t *used)
{
  double half_rad = probe->aperture_mm / 2 / probe->face_radius_mm;
  double fan_rad = (f - rays->fan_before + 0.5) * rays->fan_pitch_rad - rays->half_fan_rad;
  float column[TARN_FACE_ELEMENTS];
  wet_columns (rays, probe->elevation_mm / 2 / probe->face_radius_mm, fan_rad, column);
  for (int l = 0; l < rays->line_all; l++)
    {
      TarnRay *ray = &rays->ray[f * rays->line_all + l];
      if (ray->steps == 0)
        continue;
      double line_rad = (l - rays->line_before + 0.5) * rays->line_pitch_rad
                        + rays->geometry.first_angle_rad;
      ray->met = rays->met + *used;
      ray->loss_db = rays->loss_db + *used;
      ray->shift_mm = rays->shift_mm + *used;
      *used += (size_t)ray->steps;
      ray->coupling = coupling_at (rays, half_rad, fan_rad, line_rad);
      ray->wet = wet_share (column, half_rad, line_rad);
      int knots = (ray->steps + KNOT_STEPS - 1) / KNOT_STEPS + 1;
      if (flight->count == RAYS_AT_ONCE || (flight->count > 0 && knots != flight->knots))
        fly (flight);
      flight->knots = knots;
      set_knots (flight, flight->count, fan_rad, line_rad);
      flight->ray[flight->count++] = ray;
    }
}

TarnStatus
tarn_rays_follow (TarnRays *rays, const TarnBody *body)
{
  const TarnProbe *probe = &tarn_body_patient (body)->probe;
  TarnStatus status = plan (rays);
  if (status != TARN_OK)
    return status;
  Table table = table_for (probe);
  Flight flight = { .rays = rays, .body = body, .table = &table };
  size_t used = 0;
  for (int f = 0; f < rays->fan_all; f++)
    follow_fan (&flight, rays, f, probe, &used);
  if (flight.count > 0)
    fly (&flight);
  return TARN_OK;
}
