/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/acoustic/finish_kernel.h"
#include "engine/acoustic/plane_work.h"

#include "base/units.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

TarnPlaneFrame
tarn_plane_frame (const TarnContact *contact, double fan_rad)
{
  return (TarnPlaneFrame){
    .centre_mm = contact->centre_mm,
    .axis = tarn_add_scaled (tarn_scale (contact->axis, cos (fan_rad)), contact->elevation,
                             sin (fan_rad)),
    .lateral = contact->lateral,
    .fan_rad = fan_rad,
  };
}

TarnImageGeometry
tarn_plane_geometry (const TarnProbe *probe, double depth_mm)
{
  double sector_rad = tarn_rad_from_deg (probe->sector_deg);
  return (TarnImageGeometry){
    .lines = probe->lines,
    .samples = probe->samples,
    .first_angle_rad = -sector_rad / 2,
    .line_pitch_rad = sector_rad / (probe->lines - 1),
    .sample_pitch_mm = (depth_mm > 0 ? depth_mm : probe->depth_mm) / probe->samples,
    .face_radius_mm = probe->face_radius_mm,
  };
}

TarnImageGeometry
tarn_plane_geometry_widened (const TarnImageGeometry *geometry, double half_sector_rad,
                             double depth_mm, int *offset_lines)
{
  double more_rad = half_sector_rad + geometry->first_angle_rad;
  int more = more_rad > 0 ? (int)ceil (more_rad / geometry->line_pitch_rad - 1e-9) : 0;
  if (geometry->lines + 2 * more > TARN_LINES_MAX)
    more = (TARN_LINES_MAX - geometry->lines) / 2;
  int samples = (int)ceil (depth_mm / geometry->sample_pitch_mm - 1e-9);
  if (samples > TARN_SAMPLES_MAX)
    samples = TARN_SAMPLES_MAX;

  TarnImageGeometry wide = *geometry;
  wide.lines += 2 * more;
  wide.first_angle_rad -= more * geometry->line_pitch_rad;
  wide.samples = samples > geometry->samples ? samples : geometry->samples;
  *offset_lines = more;
  return wide;
}

TarnPlaneWork *
tarn_plane_work_new (bool plain)
{
  TarnPlaneWork *work = calloc (1, sizeof *work);
  if (work == NULL)
    return NULL;
  work->plain = plain;
#ifdef TARN_HAVE_AVX2
  if (!__builtin_cpu_supports ("avx2"))
    work->plain = true;
#else
  work->plain = true;
#endif
  work->line = malloc (TARN_ROWS_MAX * sizeof *work->line);
  work->scatter = tarn_scatter_tables_new ();
  work->finish = tarn_finish_tables_new ();
  if (work->line == NULL || work->scatter == NULL || work->finish == NULL)
    {
      tarn_plane_work_free (work);
      return NULL;
    }
  return work;
}

void
tarn_plane_work_free (TarnPlaneWork *work)
{
  if (work == NULL)
    return;
  free (work->grid);
  free (work->gain);
  free (work->swap);
  free (work->line);
  tarn_nodes_clear (&work->nodes);
  tarn_scatter_tables_free (work->scatter);
  tarn_finish_tables_free (work->finish);
  free (work);
}

bool
tarn_plane_work_is_plain (const TarnPlaneWork *work)
{
  return work->plain;
}

static bool
is_within (double value, double low, double high)
{
  return value >= low && value <= high; /* false for NaN */
}

static bool
is_finite (TarnVec3 v)
{
  return isfinite (v.x) && isfinite (v.y) && isfinite (v.z);
}

static bool
setup_is_sound (const TarnPlaneSetup *setup)
{
  const TarnImageGeometry *geometry = &setup->geometry;
  return geometry->lines >= 2 && geometry->lines <= TARN_LINES_MAX && geometry->samples >= 16
         && geometry->samples <= TARN_SAMPLES_MAX
         && is_within (geometry->line_pitch_rad, 1e-4, 2.8 / geometry->lines)
         && is_within (geometry->sample_pitch_mm, 0.01, 400.0 / geometry->samples)
         && is_within (geometry->face_radius_mm, 5, 100) && is_within (setup->gain_db, -40, 40)
         && is_within (setup->range_db, 30, 90) && is_finite (setup->frame.centre_mm)
         && is_finite (setup->frame.axis) && is_finite (setup->frame.lateral);
}

static TarnStatus
make_room (TarnPlaneWork *work, int rows, int stride)
{
  if (work->rows == rows && work->stride == stride)
    return TARN_OK;
  size_t count = (size_t)rows * (size_t)stride;
  free (work->grid);
  free (work->gain);
  free (work->swap);
  work->grid = malloc (2 * count * sizeof *work->grid);
  work->gain = malloc (count * sizeof *work->gain);
  work->swap = malloc (2 * count * sizeof *work->swap);
  work->rows = rows;
  work->stride = stride;
  if (work->grid == NULL || work->gain == NULL || work->swap == NULL)
    {
      work->rows = work->stride = 0;
      return TARN_NO_MEMORY;
    }
  return TARN_OK;
}

/* Beyond TARN_NEAR_MM beams span few lines, unless dry elements widen them. */
static int
far_margin (const TarnPlaneWork *work)
{
  const TarnImageGeometry *geometry = &work->setup.geometry;
  const TarnContact *contact = work->setup.contact;
  for (int row = 0; row < TARN_FACE_ELEMENTS; row++)
    for (int column = 0; column < TARN_FACE_ELEMENTS; column++)
      if (contact->wet[row][column] < 1)
        return TARN_MARGIN;
  double most = 0;
  for (double depth_mm = TARN_NEAR_MM; depth_mm < tarn_image_depth_limit_mm (geometry);
       depth_mm += 20)
    most = fmax (most, tarn_beam_variance_lines (geometry, geometry->face_radius_mm + depth_mm,
                                                 tarn_beam_lateral_mm (&work->beam, depth_mm)));
  int lines = (int)ceil (sqrt (2 * TARN_BEAM_EXPONENT_MAX * most)) + 1;
  return lines < TARN_MARGIN ? lines : TARN_MARGIN;
}

TarnStatus
tarn_plane_gather (TarnPlaneWork *work, const TarnPlaneSetup *setup, unsigned without)
{
  assert (setup->body != NULL && setup->contact != NULL);
  if (!setup_is_sound (setup))
    return TARN_OUT_OF_RANGE;
  work->setup = *setup;
  work->beam = tarn_beam (&tarn_body_patient (setup->body)->probe);
  int rows = setup->geometry.lines + 2 * TARN_MARGIN;
  work->samples = setup->geometry.samples + TARN_TAIL_SAMPLES;
  int stride = (work->samples + 2 + LANES_PAD - 1) / LANES_PAD * LANES_PAD;
  TarnStatus status = make_room (work, rows, stride);
  work->middle = (rows - 1) / 2.0;

  work->far_margin = far_margin (work);
  if (status == TARN_OK)
    status = tarn_nodes_fill (work);
  if (status == TARN_OK)
    status = tarn_march (work, without);
  if (status == TARN_OK)
    status = tarn_scatter (work, without);
  return status;
}

unsigned
tarn_plane_acting (const TarnPlaneWork *work)
{
  return work->acting;
}

TarnStatus
tarn_plane_finish (TarnPlaneWork *work, const TarnPlaneSetup *setup, unsigned without,
                   uint8_t *grey)
{
  work->setup.gain_db = setup->gain_db;
  work->setup.range_db = setup->range_db;
  return tarn_finish (work, without, grey, NULL);
}

TarnStatus
tarn_plane_simulate (TarnPlaneWork *work, const TarnPlaneSetup *setup, unsigned without,
                     uint8_t *grey, float *echo_db)
{
  TarnStatus status = tarn_plane_gather (work, setup, without);
  return status == TARN_OK ? tarn_finish (work, without, grey, echo_db) : status;
}
