/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * rig.h: a probe over a phantom, for tests of the plane simulator. */
#pragma once

#include "engine/acoustic/plane.h"

typedef struct
{
  TarnBody *body; /* for its probe alone */
  TarnContact contact;
  TarnPlaneWork *work;
  TarnPlaneSetup setup;
  uint8_t *grey;
  float *echo_db; /* lines x samples */
} Rig;

/* The class-default probe at the origin, beam axis +y, plane across x, all elements wet, a
 * phantom of soft tissue with speckle. */
void rig_init (Rig *rig, TarnPhantom *phantom, bool plain);
void rig_clear (Rig *rig);
/* Simulates with the probe moved by @to_mm. */
void rig_shoot (Rig *rig, TarnVec3 to_mm);

/* Echo at a line and sample, dB. */
float rig_echo_db (const Rig *rig, int line, int sample);
/* Mean intensity of lines and samples, as dB. */
double rig_mean_db (const Rig *rig, int first_line, int last_line, double from_mm,
                    double to_mm);
int rig_sample_at (const Rig *rig, double depth_mm);
