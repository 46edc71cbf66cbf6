/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * field.h: the flow of pressed tissue, and the kernels that follow it in single precision.
 * Private to deform/.
 *
 * The press frame has its origin at the face's middle on the skin and z along the press.
 *
 * 1. Free tissue.  (x, y, z) is measured from the travelling centre.  The potential
 *        A = (-y, x, 0) F,  F = 1 / (x² + y² + z² + ε²),
 *    has the curl u = (2xz, 2yz, 2z² + 2ε²) F²: 2/ε² along z at the centre, falling as 1/z²
 *    ahead and not at all to one side of it at long range.  It is a relative of the
 *    regularised Stokeslet (Cortez 2001), whose F is 1/√…; that reaches too far sideways for a
 *    belly of finite size, and what it sends round a far bone becomes a jet there.
 * 2. Bone.  Every curl conserves volume, so what is masked is the potential.  With m1 the
 *    product of the masks of the pubic bones, m2 that of sacrum and spine, the potential is
 *        B = m2 (m1 A + (1 - m1) G),  G = g (-(y - q), x - p, 0) / ((x - p)² + (y - q)²).
 *    G has no curl, so in the pubic bones (m2 is 1 there) tissue rests, as in the sacrum,
 *    where B = 0.  Masking A to nothing would send all that flows between face and bone back
 *    as a jet along the bone; G, a swirl about a pole (p, q) off the bones, fits A there, so
 *    that the flow just comes to rest.
 * 3. Splitting.  B has no z component, so its curl is the sum of two flows, each in a plane:
 *        (-∂By/∂z, 0, ∂By/∂x)  and  (0, ∂Bx/∂z, -∂Bx/∂y).
 *    Both are of one form, with s for x or y, t for x - p or y - q and the scalar potential
 *        P = m2 (m1 s F + (1 - m1) g t / |(t, ·)|²):   s' = -∂P/∂z,  z' = ∂P/∂s,
 *    Hamilton's equations.  The implicit midpoint rule keeps area in a plane exactly, so det
 *    is 1 whatever the step: x' = x + h u ((x + x')/2).  In bone the two flows of G move
 *    tissue along z, there and back: all steps together have G's strength in equal parts.
 * 4. The steps alternate, x y x … y x, the first and last of half the duration.  Swapping x
 *    and x' and the sign of h gives the same equation, and the sequence reads the same from
 *    its end: backwards is the inverse, as closely as the equations are solved.
 * 5. Each step is as strong as makes tissue at the centre move with the face; the two flows
 *    have half of that to do each. */
#pragma once

#include "engine/deform/deform.h"

#include <stdbool.h>

/* The pole keeps so far from the pubic bones' masks, seen along the press, that the swirl
 * changes little across them. */
#define TARN_DEFORM_POLE_MM 45.0

/* From the bone's core to the point @p_mm, press frame; zero inside the core. */
TarnVec3 tarn_deform_from_core (const TarnDeformGuard *guard, bool is_box, TarnVec3 p_mm);

/* Velocity in the plane of a step: along its own axis, and along the press. */
typedef struct
{
  double s, z;
} TarnDeformVelocity;

/* The velocity for the potential of unit strength of step @step with @gauge for g. */
TarnDeformVelocity tarn_deform_velocity (const TarnDeform *deform, int step, double gauge,
                                         TarnVec3 p_mm);

/* The kernels: @sign 1 forward, -1 inverse; @count a multiple of 8. */
void tarn_deform_flow_plain (const TarnDeform *deform, int sign, int count, float *x_mm,
                             float *y_mm, float *z_mm);
void tarn_deform_flow_avx2 (const TarnDeform *deform, int sign, int count, float *x_mm,
                            float *y_mm, float *z_mm);
