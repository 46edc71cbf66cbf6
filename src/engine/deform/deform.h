/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * deform.h: where pressed tissue goes.
 *
 * Floor: engine.  Pure.  A flow that conserves volume: the curl of a potential about a centre
 * that travels with the face, masked so that it has no curl in bone, followed in steps each of
 * which conserves volume and runs backwards exactly.  The essay is in field.h.  TarnDeform is
 * plain data: copied by assignment; all calls are safe from any thread. */
#pragma once

#include "base/vec.h"
#include "engine/body/bones.h"
#include "engine/contact/contact.h"

#define TARN_DEFORM_STEPS_MAX  25
#define TARN_DEFORM_GUARDS_MAX (1 + TARN_CAPSULES_MAX)

/* A bone and the mask around it, in the press frame.  The mask is a smoothstep of the squared
 * distance from the bone's core, 0 up to the bone's surface and 1 from reach_mm on. */
typedef struct
{
  TarnVec3 origin_mm;     /* a capsule's first end, the box's centre */
  TarnVec3 edge_mm;       /* capsule: from the first end to the second */
  TarnMat3 axes;          /* box: its own axes */
  TarnVec3 half_mm;       /* box: the core's half-sizes */
  double inverse_length2; /* capsule: 1 / |edge|² */
  double radius_mm;       /* of the bone's surface from its core */
  double reach_mm;        /* where the mask is 1, from the core */
} TarnDeformGuard;

/* One step of the flow, in the plane of the press direction and one axis of the press frame:
 * the first axis for steps of even index, the second for odd.  See field.h. */
typedef struct
{
  double centre_mm; /* along the direction, at the middle of the step */
  double push_mm3;  /* the potential's strength times the step's duration */
  double gauge;     /* the strength of the swirl that stands for the potential in bone */
} TarnDeformStep;

/* The press frame: origin at the face's middle on the skin, third axis along the press. */
typedef struct
{
  TarnVec3 start_mm;           /* the centre before pressing: the face's middle on the skin */
  TarnVec3 direction;          /* unit */
  double indentation_mm;       /* 0: the identity */
  double spread_mm;            /* over which the push fades */
  double pole_x_mm, pole_y_mm; /* the axis of the swirl */
  TarnMat3 frame;              /* rows: the press frame's axes */
  int steps;                   /* odd; 0 for the identity */
  TarnDeformStep step[TARN_DEFORM_STEPS_MAX];
  int front_guards, guards; /* the pubic bones first, then sacrum and spine */
  TarnDeformGuard guard[TARN_DEFORM_GUARDS_MAX]; /* guard[0] is the symphysis, a box */
} TarnDeform;

/* Never fails: an indentation that is not a finite number above 0 gives the identity. */
void tarn_deform_init (TarnDeform *deform, const TarnBody *body, const TarnContact *contact);

/* The same from its parts: bones in the patient frame, @direction unit. */
void tarn_deform_init_bones (TarnDeform *deform, const TarnBones *bones, TarnVec3 start_mm,
                             TarnVec3 direction, double indentation_mm);

/* Material -> pressed, and back; the reference in double precision. */
TarnVec3 tarn_deform_forward (const TarnDeform *deform, TarnVec3 material_mm);
TarnVec3 tarn_deform_inverse (const TarnDeform *deform, TarnVec3 pressed_mm);

/* Many points in single precision, coordinates apart; @count any, in place.
 * Arrays must have room for @count rounded up to a multiple of 8.  The plain and the AVX2
 * kernel give the same bits, and a point's result does not depend on its neighbours.  Within
 * 0.02 mm of the reference. */
void tarn_deform_forward_many (const TarnDeform *deform, int count, float *x_mm, float *y_mm,
                               float *z_mm);
void tarn_deform_inverse_many (const TarnDeform *deform, int count, float *x_mm, float *y_mm,
                               float *z_mm);
