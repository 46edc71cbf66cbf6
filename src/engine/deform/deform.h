/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * deform.h: where pressed tissue goes.
 *
 * Floor: engine.  Pure.  A volume-preserving flow: u = curl (mask · A), A the regularised
 * Stokeslet's potential (Cortez 2001) of a centre that travels with the face, mask smooth and
 * 0 in bone; followed by implicit midpoint steps, so that running time backwards is the
 * inverse.  TarnDeform is plain data; all calls are safe from any thread. */
#pragma once

#include "base/vec.h"
#include "engine/body/bones.h"
#include "engine/contact/contact.h"

typedef struct
{
  TarnVec3  start_mm;     /* the centre before pressing: the face's middle on the skin */
  TarnVec3  direction;    /* unit */
  double    indentation_mm; /* 0: the identity */
  double    spread_mm;    /* the Stokeslet's epsilon */
  double    mask_mm;      /* width over which the mask rises from bone */
  int       steps;
  TarnBones bones;
} TarnDeform;

void tarn_deform_init (TarnDeform *deform, const TarnBody *body, const TarnContact *contact);

/* Material -> pressed, and back; the reference in double precision. */
TarnVec3 tarn_deform_forward (const TarnDeform *deform, TarnVec3 material_mm);
TarnVec3 tarn_deform_inverse (const TarnDeform *deform, TarnVec3 pressed_mm);

/* Eight points at a time in single precision, coordinates apart; @count any, in place.
 * Arrays must have room for @count rounded up to a multiple of 8.  The plain and the AVX2
 * kernel give the same bits.  Within 0.02 mm of the reference. */
void tarn_deform_forward_many (const TarnDeform *deform, int count, float *x_mm, float *y_mm,
                               float *z_mm);
void tarn_deform_inverse_many (const TarnDeform *deform, int count, float *x_mm, float *y_mm,
                               float *z_mm);
