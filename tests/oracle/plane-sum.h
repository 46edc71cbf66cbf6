/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * plane-sum.h: a plane of echoes summed directly, slow and plain, in double precision.
 *
 * Every echo is summed as a pulse times a beam at every place of a window, without grid,
 * filter, table, block map or culling; losses and the ruler's error are added up along straight
 * rays in steps of a tenth of a millimetre.  Shared with the simulator are the beam's widths
 * (an oracle of their own checks those), the table of tissues, and which scatterers there are.
 */
#pragma once

#include "engine/acoustic/plane_work.h"

#include <glib.h>

/* The part of a picture that is summed; rays go on beyond it on either side. */
typedef struct
{
  int first_line, lines, first_sample, samples;
} SumWindow;

typedef struct
{
  const TarnPlaneSetup *setup;
  TarnBeam beam;
  SumWindow window;
  /* Not NULL: the ruler's error is the fast plane's own, from this table's nodes, and flat over
   * a block. */
  const TarnNodes *ruler;
  GArray *ray;     /* of RayStep, ray after ray */
  int ray_steps;   /* of each */
  double *re, *im; /* lines x samples of the window */
  int scatterers;  /* how many had a weight in the window */
} PlaneSum;

void plane_sum_init (PlaneSum *sum, const TarnPlaneSetup *setup, const TarnPatient *patient,
                     SumWindow window);
void plane_sum_clear (PlaneSum *sum);

/* Adds an echo of @amplitude at a pressed place, before the beam's weight across the plane.
 * @shift_mm: the ruler's error there; NULL: as along its ray. */
void plane_sum_add (PlaneSum *sum, TarnVec3 pressed_mm, double amplitude,
                    const double *shift_mm);

/* Adds every scatterer of the body that can show in the window; fails the test if one of them
 * is not of @tissue, which has the echo of generic soft tissue.
 * @work: after the same plane was simulated with it: its patterns, and their density. */
void plane_sum_add_body (PlaneSum *sum, const TarnPlaneWork *work, TarnTissue tissue);

/* The ruler's error where an echo of a line of the window comes from. */
double plane_sum_shift_mm (const PlaneSum *sum, int line, double depth_mm);

/* Intensity at a line and sample of the window. */
double plane_sum_intensity (const PlaneSum *sum, int line, int sample);
