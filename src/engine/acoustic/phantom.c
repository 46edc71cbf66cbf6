/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/acoustic/phantom.h"

#include "base/units.h"
#include "engine/acoustic/plane_work.h"

/* Well above the noise at any depth. */
#define POINT_ECHO 100

TarnTissue
tarn_phantom_tissue (const TarnPhantom *phantom, double depth_mm)
{
  int shell = 0;
  while (shell < phantom->shells - 1 && depth_mm > phantom->to_mm[shell])
    shell++;
  return phantom->tissue[shell];
}

/* The phantom's single reflectors: as one scatterer each, of echo 1 after pulse and beam. */
void
tarn_phantom_add_points (TarnPlaneWork *work)
{
  const TarnPhantom *phantom = work->setup.phantom;
  const TarnPlaneFrame *frame = &work->setup.frame;
  const TarnImageGeometry *geometry = &work->setup.geometry;
  TarnVec3 normal = tarn_cross (frame->lateral, frame->axis);

  for (int k = 0; k < phantom->points; k++)
    {
      TarnVec3 q = tarn_sub (phantom->point_mm[k], frame->centre_mm);
      double u = tarn_dot (q, frame->lateral), v = tarn_dot (q, frame->axis),
             w = tarn_dot (q, normal);
      double depth = sqrt (u * u + v * v) - geometry->face_radius_mm;
      depth += tarn_nodes_at (&work->nodes, work->nodes.shift,
                              (float)(atan2 (u, v) / geometry->line_pitch_rad),
                              (float)(depth / geometry->sample_pitch_mm));
      double row = floor (atan2 (u, v) / geometry->line_pitch_rad + work->middle + 0.5);
      double at = depth / geometry->sample_pitch_mm - 0.5;
      if (row < 0 || row >= work->rows || at < 0 || at >= work->samples)
        continue;
      const TarnDepthRow *depth_row
          = &work->depth[(int)tarn_clamp (depth, 0, TARN_DEPTHS_MAX - 1)];
      double t = 1 - w * w / (depth_row->reach_mm * depth_row->reach_mm);
      double weight = t > 0 ? POINT_ECHO * t * t * t : 0;
      double turns = depth * 2 / work->beam.wavelength_mm;
      float *to = work->grid + ((size_t)row * (size_t)work->stride + (size_t)at) * 2;
      double later = at - floor (at);
      double re = weight * cos (2 * TARN_PI * turns), im = weight * sin (2 * TARN_PI * turns);
      to[0] += (float)(re * (1 - later));
      to[1] += (float)(im * (1 - later));
      to[2] += (float)(re * later);
      to[3] += (float)(im * later);
    }
}
