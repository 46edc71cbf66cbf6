/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * beam.h: how wide the beam is, and what the instrument does with an echo.
 *
 * Floor: engine.  Lengths in mm. */
#pragma once

#include "engine/patient/patient.h"

/* What the instrument is, in the terms of one plane. */
typedef struct
{
  double mhz;
  double wavelength_mm; /* at the assumed 1540 m/s */
  double aperture_mm, elevation_mm, elevation_focus_mm, face_radius_mm;
  double depth_gain_db_mm; /* undoes the round trip through generic soft tissue */
} TarnBeam;

/* The beam of @probe. */
TarnBeam tarn_beam (const TarnProbe *probe);

/* Width of the aperture that a line uses at this depth: min (aperture, depth / 2), focused at
 * every depth on receive. */
double tarn_beam_aperture_mm (const TarnBeam *beam, double depth_mm);

/* Two-way −6 dB widths.  In the plane 0.886 λz/D (derived from the sinc² root), as the receive
 * focus follows the depth; across it tarn_elevation_width_mm () for the one fixed focus. */
double tarn_beam_lateral_mm (const TarnBeam *beam, double depth_mm);
double tarn_beam_elevation_mm (const TarnBeam *beam, double depth_mm);
/* Half the pulse's length; the pulse has two cycles. */
double tarn_beam_axial_mm (const TarnBeam *beam);

/* Round-trip loss, dB for each mm of @tissue at the beam's frequency. */
double tarn_beam_loss_db_mm (const TarnBeam *beam, int tissue);
