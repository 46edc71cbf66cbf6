/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/patient/patient.h"

#include "engine/patient/defaults.h"

#include <math.h>
#include <string.h>

TarnPatient
tarn_patient_default (void)
{
  TarnPatient p;
  memset (&p, 0, sizeof p);
  strcpy (p.id, "plain");
  p.seed = 1;
  p.habitus = (TarnHabitus){ .sex = TARN_SEX_FEMALE,
                             .age_years = 40,
                             .complexion = 3,
                             .fat_mm = 18,
                             .pannus_mm = 0,
                             .pannus_reach_mm = 120 };
  p.bladder = (TarnBladder){ .volume_ml = 300, .pear = 0.2, .filling_ml_per_minute = 1 };
  p.habitus.torso_width_mm = tarn_default_torso_width_mm (&p, NULL);
  p.habitus.torso_depth_mm = tarn_default_torso_depth_mm (&p, NULL);
  p.habitus.skin_mm = tarn_default_skin_mm (&p, NULL);
  p.habitus.muscle_mm = tarn_default_muscle_mm (&p, NULL);
  p.habitus.prevesical_mm = tarn_default_prevesical_mm (&p, NULL);
  p.symphysis = (TarnSymphysis){ .height_mm = tarn_default_symphysis_height_mm (&p, NULL),
                                 .thickness_mm = tarn_default_symphysis_thickness_mm (&p, NULL),
                                 .inclination_deg = 45,
                                 .ramus_mm = tarn_default_ramus_mm (&p, NULL) };
  p.bladder.length_mm = tarn_default_length_mm (&p, NULL);
  p.bladder.width_mm = tarn_default_width_mm (&p, NULL);
  p.bladder.height_mm = tarn_default_height_mm (&p, NULL);
  p.bladder.rise_mm = tarn_default_rise_mm (&p, NULL);
  p.bladder.wall_mm = tarn_default_wall_mm (&p, NULL);
  p.temper = (TarnTemper){ .breathing_mm = 2,
                           .breathing_per_minute = 14,
                           .restless = 0,
                           .comfort_n = tarn_default_comfort_n (&p, NULL) };
  p.situation = (TarnSituation){
    .identity_matches = true, .consents = true, .minutes_since_void = -1, .start_above_mm = 40
  };
  p.probe = (TarnProbe){ .mhz = 3,
                         .sector_deg = 80,
                         .fan_deg = 70,
                         .depth_mm = 180,
                         .lines = 192,
                         .samples = 640,
                         .planes = 36,
                         .face_radius_mm = 15,
                         .aperture_mm = 12,
                         .elevation_mm = 12,
                         .elevation_focus_mm = 70 };
  p.pass = (TarnPass){ .tolerance_percent = 10, .tolerance_ml = 10 };
  return p;
}

double
tarn_pass_tolerance_ml (const TarnPass *pass, double truth_ml)
{
  return fmax (pass->tolerance_percent / 100 * truth_ml, pass->tolerance_ml);
}
