/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * field.h: the flow of pressed tissue, and the kernels that follow it in single precision.
 * Private to deform/.
 *
 * The press frame has its origin at the face's middle on the skin and z along the press.
 *
 * 1. Free tissue.  (x, y, z) is measured from the travelling centre.  The potential
 *        A = (-y, x, 0) / R,  R = sqrt (x² + y² + z² + ε²),
 *    has for its curl the regularised Stokeslet (Cortez 2001, eq. 11, but for a factor):
 *    2/ε along z at the centre, and falling as 1/r, as under a punch on a half-space.
 * 2. Bone.  Every curl conserves volume, so what is masked is the potential.  With m1 the
 *    product of the masks of the pubic bones, m2 that of sacrum and spine, the potential is
 *        B = m2 (G + m1 (A - G)).
 *    G is A at the pubic bones' point nearest to the face, a constant in space.  Without it A
 *    would fall from its full size to nothing within the mask, which is a jet along the bone;
 *    with it the flow there just comes to rest.  In the pubic bones B = G (m2 is 1 there), in
 *    the sacrum B = 0: constant both, so bone stays where it is to the bit.
 * 3. Splitting.  B has no z component, so its curl is the sum of two flows, each in a plane:
 *        (-∂By/∂z, 0, ∂By/∂x)  and  (0, ∂Bx/∂z, -∂Bx/∂y).
 *    Both are of one form, with s for x or y and the scalar potential
 *        P = m2 (g + m1 (s / R - g)):   s' = -∂P/∂z,  z' = ∂P/∂s,
 *    Hamilton's equations.  The implicit midpoint rule keeps area in a plane exactly, so det
 *    is 1 whatever the step: x' = x + h u ((x + x')/2).
 * 4. The steps alternate, x y x … y x, the first and last of half the duration.  Swapping x
 *    and x' and the sign of h gives the same equation, and the sequence reads the same from
 *    its end: backwards is the inverse, as closely as the equations are solved.
 * 5. Each step is as strong as makes tissue at the centre move with the face; the two flows
 *    have half of that to do each. */
#pragma once

#include "engine/deform/deform.h"

#include <stdbool.h>

/* From the bone's core to the point @p_mm, press frame; zero inside the core. */
TarnVec3 tarn_deform_from_core (const TarnDeformGuard *guard, bool is_box, TarnVec3 p_mm);

/* Velocity in the plane of a step: along its own axis, and along the press. */
typedef struct
{
  double s, z;
} TarnDeformVelocity;

/* The velocity for the unit potential of step @step, of which centre and gauge are read. */
TarnDeformVelocity tarn_deform_velocity (const TarnDeform *deform, int step, TarnVec3 p_mm);

/* The kernels: @sign 1 forward, -1 inverse; @count a multiple of 8. */
void tarn_deform_flow_plain (const TarnDeform *deform, int sign, int count, float *x_mm,
                             float *y_mm, float *z_mm);
void tarn_deform_flow_avx2 (const TarnDeform *deform, int sign, int count, float *x_mm,
                            float *y_mm, float *z_mm);
