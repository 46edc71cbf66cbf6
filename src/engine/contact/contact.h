/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * contact.h: what a pose does to skin and gel.
 *
 * Floor: engine.  Pure.  Frame: patient. */
#pragma once

#include "base/status.h"
#include "base/vec.h"
#include "engine/body/body.h"

#include <stdbool.h>

/* Where the probe is.  What the words mean: see tarn_contact_solve ().  In range: tilt and lean
 * within ±1.5 rad, turn within ±6.3 rad, places within 2 m of the origin. */
typedef struct
{
  double above_mm, left_mm;            /* arc lengths on the unpressed skin */
  double tilt_rad, lean_rad, turn_rad; /* to the feet, to the patient's left, about the axis */
  double force_n;                      /* [0, 60], along the axis */
} TarnPose;

/* The probe's face: a spherical cap.  Its wet map has one element per angle from the axis:
 * columns across the plane's width (as the lines fan out), rows along the sweep.  Element
 * (row, column) stands at the angles tarn_face_angle_rad (row), tarn_face_angle_rad (column).
 */
#define TARN_FACE_ELEMENTS 32
#define TARN_FACE_HALF_RAD 0.9273 /* asin (12 / 15): the cap's half-angle */

static inline double
tarn_face_angle_rad (double index)
{
  return ((index + 0.5) / TARN_FACE_ELEMENTS - 0.5) * 2 * TARN_FACE_HALF_RAD;
}

typedef struct
{
  /* The frame at rest on the unpressed skin. */
  TarnVec3 skin_mm, inward;
  /* The probe when pressed: axis into the body, lateral towards the image's right (away from
   * the index mark), elevation = lateral × axis; unit, right-handed. */
  TarnVec3 face_mm;   /* the face's middle, after indentation */
  TarnVec3 centre_mm; /* the face's centre of curvature, face_radius_mm behind it */
  TarnVec3 axis, lateral, elevation;
  double indentation_mm;
  double pressure_kpa;
  double path_gel_mm; /* gel between face and skin at the middle */
  bool guarding;      /* force above comfort_n: muscle stiffens, breathing quickens */
  float wet[TARN_FACE_ELEMENTS][TARN_FACE_ELEMENTS]; /* [row][column], 0 dry … 1 wet */
  double wet_fraction; /* mean over the elements of the cap that the sweep uses */
} TarnContact;

/* The gel on the skin: thickness on a grid of arc lengths around where it was laid.  Mass is
 * conserved to rounding.  Mutable; a zeroed film is a bare skin.  About 70 kB. */
#define TARN_FILM_CELLS    128
#define TARN_FILM_PITCH_MM 1.5
#define TARN_GEL_G_PER_MM3 0.00102
typedef struct
{
  double above_mm, left_mm; /* of the grid's middle */
  bool laid;                /* false: nothing on the skin yet, the grid has no place */
  float thickness_mm[TARN_FILM_CELLS][TARN_FILM_CELLS]; /* [above][left] */
  double on_probe_g;                                    /* carried on the face */
  double lost_g; /* wiped or run off beyond the grid; mass accounted for */
} TarnGelFilm;

/* Lays a dose as a mound.  @gel_g: [0, 100].  Where the skin is out of the grid's reach the
 * grid moves, and what lies behind is lost.  Returns TARN_OK or TARN_OUT_OF_RANGE. */
TarnStatus tarn_gel_dose (TarnGelFilm *film, double above_mm, double left_mm, double gel_g);
/* Slides the loaded face along the skin from one place to another, wiping as it goes; a face
 * without force is off the skin and wipes nothing.  Returns TARN_OK, TARN_OUT_OF_RANGE or
 * TARN_OFF_BODY, and leaves @film alone unless TARN_OK. */
TarnStatus tarn_gel_wipe (TarnGelFilm *film, const TarnBody *body, const TarnPose *from,
                          const TarnPose *to);
/* Film, probe and lost together: constant but for doses. */
double tarn_gel_mass_g (const TarnGelFilm *film);

/**
 * Puts the probe down: indentation from force, wet map from the film, which it squeezes.
 *
 * tilt = lean = 0: the axis is the inward normal of the unpressed skin, smoothed over the
 * face.  tilt turns the axis towards the feet (+), lean to the patient's left (+), turn spins
 * the plane about the axis: 0 transverse with the index mark to the patient's right, 90°
 * sagittal with the mark to the head.
 *
 * @film: in and out; NULL for a face that is wet all over.
 * @contact: out.
 *
 * Returns TARN_OK, TARN_OFF_BODY or TARN_OUT_OF_RANGE (@contact is then left alone).
 */
TarnStatus tarn_contact_solve (const TarnBody *body, const TarnPose *pose, TarnGelFilm *film,
                               TarnContact *contact);

/* Indentation of a plain face, mm; the layers' law alone.  @guarding: the muscle is tensed
 * from the start.  0 for a force that is not above 0. */
double tarn_contact_indentation_mm (const TarnColumn *column, double force_n, bool guarding);

/* Handbook contacts on an incompressible half-space: a flat punch, (8/3) E a δ, and a sphere
 * (Hertz 1881), (16/9) E √R δ^1.5. */
double tarn_punch_force_n (double stiffness_kpa, double radius_mm, double depth_mm);
double tarn_hertz_force_n (double stiffness_kpa, double radius_mm, double depth_mm);

/* Volume between an unpressed, upright face of @radius_mm and flat skin, out to the cap's
 * rim, mL; summed over the wet map's elements. */
double tarn_face_gap_ml (double radius_mm);

/* A fingertip (radius 7 mm) anywhere on the skin: the stiffness of the column there, N/mm;
 * 0 off the body or for a place that is not a number. */
double tarn_contact_palpate_n_mm (const TarnBody *body, double above_mm, double left_mm);
