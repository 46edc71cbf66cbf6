/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * bend.h: how far pressed tissue lies from where it was at rest, on a coarse fan of knots;
 * private to coach/. */
#pragma once

#include "base/vec.h"
#include "engine/contact/contact.h"
#include "engine/deform/deform.h"

#define TARN_KNOTS_MAX 34

/* Nodes at equal angles, each with knots at equal ranges from the face on. */
typedef struct
{
  const TarnContact *contact;
  const TarnDeform *deform;
  int fans, lines;
  double first_fan_rad, first_line_rad, fan_pitch_rad, line_pitch_rad;
  double face_mm, knot_mm;
  int *knots;     /* of each node; 0: not wanted */
  float *away_mm; /* [node][x, y, z][knot] */
} TarnBend;

/* Fills the nodes' knots where they are wanted. */
void tarn_bend_fill (TarnBend *bend);

/* The direction of a ray, unit. */
TarnVec3 tarn_bend_direction (const TarnContact *contact, double fan_rad, double line_rad);

/* Where the first @knots of a ray were at rest, patient frame. */
void tarn_bend_ray (const TarnBend *bend, double fan_rad, double line_rad, int knots,
                    float x_mm[TARN_KNOTS_MAX], float y_mm[TARN_KNOTS_MAX],
                    float z_mm[TARN_KNOTS_MAX]);
/* Makes sure that a ray finds as many knots in the nodes about it. */
void tarn_bend_want (TarnBend *bend, double fan_rad, double line_rad, int knots);
