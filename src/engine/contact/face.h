/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * face.h: the gaps between the face and the skin, and what gel fills of them.  Private to
 * contact/. */
#pragma once

#include "engine/contact/contact.h"

/* The skin about the face, at rest: unit axes on the skin towards the head and to the left.
 * The crease's depth is sampled along the head axis, evenly over ±TARN_CREASE_REACH_MM. */
#define TARN_CREASE_SAMPLES  9
#define TARN_CREASE_REACH_MM 16.0
typedef struct
{
  TarnVec3 head, left;
  double crease[TARN_CREASE_SAMPLES]; /* 0..1 */
} TarnFaceSkin;

/* Fills in wet, wet_fraction and path_gel_mm of @contact, whose frame and indentation are set,
 * and squeezes the film.  @fan_rad: the sweep's full angle. */
void tarn_face_wet (TarnContact *contact, const TarnPose *pose, const TarnFaceSkin *skin,
                    double face_radius_mm, double fan_rad, TarnGelFilm *film);
