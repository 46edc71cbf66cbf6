/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/acoustic/beam.h"

#include "base/units.h"
#include "engine/acoustic/formulas.h"
#include "engine/body/tissue.h"

#include <math.h>

#define PULSE_CYCLES 2.0

TarnBeam
tarn_beam (const TarnProbe *probe)
{
  TarnBeam beam = {
    .mhz = probe->mhz,
    .wavelength_mm = TARN_ASSUMED_M_S / (probe->mhz * 1000),
    .aperture_mm = probe->aperture_mm,
    .elevation_mm = probe->elevation_mm,
    .elevation_focus_mm = probe->elevation_focus_mm,
    .face_radius_mm = probe->face_radius_mm,
  };
  beam.depth_gain_db_mm = tarn_beam_loss_db_mm (&beam, TARN_TISSUE_SOFT);
  return beam;
}

double
tarn_beam_aperture_mm (const TarnBeam *beam, double depth_mm)
{
  return fmin (beam->aperture_mm, fmax (depth_mm, 0.5) / 2);
}

double
tarn_beam_lateral_mm (const TarnBeam *beam, double depth_mm)
{
  double depth = fmax (depth_mm, 0.5);
  return 0.886 * beam->wavelength_mm * depth / tarn_beam_aperture_mm (beam, depth);
}

double
tarn_beam_elevation_mm (const TarnBeam *beam, double depth_mm)
{
  return tarn_elevation_width_mm (fmax (depth_mm, 0.5), beam->elevation_mm,
                                  beam->elevation_focus_mm, beam->mhz, TARN_ASSUMED_M_S);
}

double
tarn_beam_axial_mm (const TarnBeam *beam)
{
  return PULSE_CYCLES * beam->wavelength_mm / 2;
}

double
tarn_beam_loss_db_mm (const TarnBeam *beam, int tissue)
{
  const TarnTissueSound *sound = tarn_tissue_sound ((TarnTissue)tissue);
  return 2 * sound->attenuation_db_cm * pow (beam->mhz, sound->attenuation_power) / 10;
}
