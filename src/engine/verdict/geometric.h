/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * geometric.h: what a sweep can lose, by straight rays alone; and what its outlines hold.
 *
 * Floor: engine.  Pure.  The fast second way beside the ledger: no picture, no outline. */
#pragma once

#include "base/status.h"
#include "engine/verdict/ledger.h"

typedef struct
{
  double urine_ml;                  /* the sum over voxels */
  double seen_ml;                   /* hidden by nothing */
  double hidden_ml[TARN_CAUSES];    /* a voxel hidden by k causes gives each of them its part;
                                       only edge, bone, gas and contact can hide */
  double half_sector_rad, depth_mm; /* of the field that would just hold the urine */
} TarnGeometricLoss;

/* A probe on the body and the field that its sweep covers. */
typedef struct
{
  TarnContact contact;
  TarnDeform deform;
  TarnImageGeometry geometry;
  double half_fan_rad;
} TarnView;

/* As tarn_contact_solve (); @film: likewise.  @depth_mm: 0 for the probe's own. */
TarnStatus tarn_view_init (TarnView *view, const TarnBody *body, const TarnPose *pose,
                           TarnGelFilm *film, double depth_mm);
TarnView tarn_view_of_sweep (const TarnSweep *sweep); /* at its nominal pose */

/* How well the face couples around this direction, there and back: the mean wet share of the
 * elements of the aperture, squared.  Below TARN_COUPLED_MIN nothing shows. */
#define TARN_COUPLED_MIN 0.5
double tarn_face_coupling (const TarnContact *contact, const TarnProbe *probe, double fan_rad,
                           double line_rad);

/* What a still sweep with this view cannot see. */
TarnStatus tarn_geometric_loss (const TarnBody *body, const TarnView *view,
                                TarnGeometricLoss *loss);

/* Shares, by volume, of what the outlines of a sweep hold; 0 when nothing was found. */
typedef struct
{
  double urine; /* the bladder's */
  double other; /* other fluid, and objects inside the lumen */
} TarnContents;

/* The shares for the outlines of @sweep.  Returns TARN_OK or TARN_NO_MEMORY. */
TarnStatus tarn_contents_of (const TarnBody *body, const TarnSweep *sweep,
                             TarnContents *contents);
