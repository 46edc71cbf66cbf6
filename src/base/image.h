/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * image.h: a B-mode plane as the instrument shows it, and how its picture lies in the plane.
 *
 * Floor: base, so that who reads images need not know who makes them.
 * Plane frame, mm: u to the image's right, v into the body along the beam axis; the origin is
 * the face's centre of curvature.  Line k leaves it at angle_rad(k) from v towards u, starts at
 * the face (radius face_radius_mm) and runs to the depth limit.  Line 0 is at the image's left,
 * the side of the index mark. */
#pragma once

#include <math.h>
#include <stdint.h>

#define TARN_LINES_MAX   512
#define TARN_SAMPLES_MAX 1600

typedef struct
{
  int lines, samples;
  double first_angle_rad; /* of line 0; negative: to the image's left */
  double line_pitch_rad;  /* between neighbouring lines, > 0 */
  double sample_pitch_mm; /* along a line; sample k is at depth (k + 0.5) pitch from the face */
  double face_radius_mm;  /* of the face's curvature */
} TarnImageGeometry;

/* A view on grey values that someone else owns. */
typedef struct
{
  TarnImageGeometry geometry;
  const uint8_t *grey; /* lines x samples, one line after another from the face down */
  int stride;          /* grey values from one line to the next, >= samples */
} TarnImage;

static inline double
tarn_image_angle_rad (const TarnImageGeometry *geometry, double line)
{
  return geometry->first_angle_rad + line * geometry->line_pitch_rad;
}

/* Distance from the centre of curvature, not from the face. */
static inline double
tarn_image_radius_mm (const TarnImageGeometry *geometry, double sample)
{
  return geometry->face_radius_mm + (sample + 0.5) * geometry->sample_pitch_mm;
}

static inline double
tarn_image_depth_limit_mm (const TarnImageGeometry *geometry)
{
  return geometry->samples * geometry->sample_pitch_mm;
}
