/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * field.c: see field.h. */
#include "engine/deform/field.h"

/* Value and gradient of a mask. */
typedef struct
{
  double value;
  TarnVec3 slope;
} Mask;

TarnVec3
tarn_deform_from_core (const TarnDeformGuard *guard, bool is_box, TarnVec3 p_mm)
{
  TarnVec3 from = tarn_sub (p_mm, guard->origin_mm);
  if (!is_box)
    {
      double t = tarn_dot (from, guard->edge_mm) * guard->inverse_length2;
      return tarn_add_scaled (from, guard->edge_mm, -tarn_clamp (t, 0, 1));
    }
  TarnVec3 own = tarn_mat3_apply (&guard->axes, from), half = guard->half_mm;
  own.x -= tarn_clamp (own.x, -half.x, half.x);
  own.y -= tarn_clamp (own.y, -half.y, half.y);
  own.z -= tarn_clamp (own.z, -half.z, half.z);
  return tarn_mat3_apply_transposed (&guard->axes, own);
}

static Mask
mask_of_bone (const TarnDeformGuard *guard, bool is_box, TarnVec3 p_mm)
{
  TarnVec3 from = tarn_deform_from_core (guard, is_box, p_mm);
  double low = guard->radius_mm * guard->radius_mm;
  double high = guard->reach_mm * guard->reach_mm;
  double t = tarn_clamp ((tarn_dot (from, from) - low) / (high - low), 0, 1);
  return (Mask){ t * t * (3 - 2 * t), tarn_scale (from, 12 * t * (1 - t) / (high - low)) };
}

/* The product of the masks from @first up to @end. */
static Mask
mask_of_bones (const TarnDeform *deform, int first, int end, TarnVec3 p_mm)
{
  Mask product = { 1, { 0 } };
  for (int k = first; k < end; k++)
    {
      Mask mask = mask_of_bone (&deform->guard[k], k == 0, p_mm);
      product.slope
          = tarn_add_scaled (tarn_scale (product.slope, mask.value), mask.slope, product.value);
      product.value *= mask.value;
    }
  return product;
}

/* The swirl's share of P for unit strength, and its slope along the step's own axis; near the
 * pole, where no bone is, it is cut short. */
static TarnDeformVelocity
swirl (const TarnDeform *deform, bool first_axis, TarnVec3 p_mm)
{
  double x = p_mm.x - deform->pole_x_mm, y = p_mm.y - deform->pole_y_mm;
  double t = first_axis ? x : y;
  double inverse = 1 / fmax (x * x + y * y, TARN_DEFORM_POLE_MM * TARN_DEFORM_POLE_MM);
  return (TarnDeformVelocity){ t * inverse, inverse - 2 * t * t * inverse * inverse };
}

TarnDeformVelocity
tarn_deform_velocity (const TarnDeform *deform, int step, double gauge, TarnVec3 p_mm)
{
  bool first_axis = step % 2 == 0;
  double z = p_mm.z - deform->step[step].centre_mm, s = first_axis ? p_mm.x : p_mm.y;
  double epsilon2 = deform->spread_mm * deform->spread_mm;
  double f = 1 / (p_mm.x * p_mm.x + p_mm.y * p_mm.y + z * z + epsilon2);
  TarnDeformVelocity rest = swirl (deform, first_axis, p_mm);

  Mask front = mask_of_bones (deform, 0, deform->front_guards, p_mm);
  Mask back = mask_of_bones (deform, deform->front_guards, deform->guards, p_mm);
  double front_s = first_axis ? front.slope.x : front.slope.y;
  double back_s = first_axis ? back.slope.x : back.slope.y;

  /* The product rule on P; `inner` is all but m2. */
  double masked = 1 - front.value, off = s * f - gauge * rest.s;
  double inner = front.value * s * f + masked * gauge * rest.s;
  double inner_s
      = front.value * (f - 2 * s * s * f * f) + masked * gauge * rest.z + front_s * off;
  double inner_z = front.value * -2 * s * z * f * f + front.slope.z * off;
  return (TarnDeformVelocity){ -(back.value * inner_z + back.slope.z * inner),
                               back.value * inner_s + back_s * inner };
}
