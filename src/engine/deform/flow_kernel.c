/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * flow_kernel.c: the flow of field.h, several points at a time in single precision.
 *
 * Built twice (base/simd.h).  A point's result may not depend on its neighbours, so what
 * a lane does is chosen lane by lane; only work that would change no lane is skipped. */
#include "engine/deform/field.h"

#include "base/simd.h"

/* A step's equation is repeated lane by lane until the last repetition changed this little. */
#define TURNS_MAX 12
#define POLE2     ((float)(TARN_DEFORM_POLE_MM * TARN_DEFORM_POLE_MM))
#define ENOUGH_MM 0.004f

typedef struct
{
  Lanes x, y, z;
} Points;

/* A mask's value and slope along a step's own axis and along the press. */
typedef struct
{
  Lanes value, s, z;
} Masks;

/* Half a step's displacement along the step's own axis and along the press. */
typedef struct
{
  Lanes s, z;
} Halves;

/* A guard in single precision; the box's axes by rows. */
typedef struct
{
  float origin[3], edge[3], inverse_length2;
  float axis[3][3], half[3];
  float low, scale, near2; /* radius², 1 / (reach² - radius²), (reach + way)² */
} Guard;

typedef struct
{
  float centre, push, gauge;
} Step;

typedef struct
{
  int steps, front, guards;
  float epsilon2, pole_x, pole_y;
  float frame[3][3], start[3];
  Step step[TARN_DEFORM_STEPS_MAX];
  Guard guard[TARN_DEFORM_GUARDS_MAX];
} Flow;

static void
store_vec3 (float to[3], TarnVec3 v)
{
  to[0] = (float)v.x;
  to[1] = (float)v.y;
  to[2] = (float)v.z;
}

static void
store_mat3 (float to[3][3], const TarnMat3 *m)
{
  for (int k = 0; k < 3; k++)
    store_vec3 (to[k], m->row[k]);
}

static void
init_guard (Guard *guard, const TarnDeformGuard *from, double way_mm)
{
  double low = from->radius_mm * from->radius_mm, high = from->reach_mm * from->reach_mm;
  double near = from->reach_mm + way_mm;
  store_vec3 (guard->origin, from->origin_mm);
  store_vec3 (guard->edge, from->edge_mm);
  store_mat3 (guard->axis, &from->axes);
  store_vec3 (guard->half, from->half_mm);
  guard->inverse_length2 = (float)from->inverse_length2;
  guard->low = (float)low;
  guard->scale = (float)(1 / (high - low));
  guard->near2 = (float)(near * near);
}

static void
init_flow (Flow *flow, const TarnDeform *deform, int sign)
{
  flow->steps = deform->steps;
  flow->front = deform->front_guards;
  flow->guards = deform->guards;
  flow->epsilon2 = (float)(deform->spread_mm * deform->spread_mm);
  flow->pole_x = (float)deform->pole_x_mm;
  flow->pole_y = (float)deform->pole_y_mm;
  store_mat3 (flow->frame, &deform->frame);
  store_vec3 (flow->start, deform->start_mm);

  /* Half steps, in the order in which they are taken. */
  for (int k = 0; k < deform->steps; k++)
    {
      const TarnDeformStep *from = &deform->step[sign > 0 ? k : deform->steps - 1 - k];
      flow->step[k] = (Step){ (float)from->centre_mm, (float)(sign * from->push_mm3 / 2),
                              (float)(sign * from->push_mm3 / 2 * from->gauge) };
    }
  for (int k = 0; k < deform->guards; k++)
    init_guard (&flow->guard[k], &deform->guard[k], 1.5 * deform->indentation_mm);
}

TARN_INLINE Lanes
dot (const float a[3], Points b)
{
  return a[0] * b.x + a[1] * b.y + a[2] * b.z;
}

/* Into the axes that are @m's rows, and back. */
TARN_INLINE Points
turn (float m[3][3], Points v)
{
  return (Points){ dot (m[0], v), dot (m[1], v), dot (m[2], v) };
}

TARN_INLINE Points
turn_back (float m[3][3], Points v)
{
  return (Points){ m[0][0] * v.x + m[1][0] * v.y + m[2][0] * v.z,
                   m[0][1] * v.x + m[1][1] * v.y + m[2][1] * v.z,
                   m[0][2] * v.x + m[1][2] * v.y + m[2][2] * v.z };
}

TARN_INLINE Lanes
clamp (Lanes v, float low, float high)
{
  return lanes_min (lanes_max (v, lanes_of (low)), lanes_of (high));
}

TARN_INLINE Points
offset_from_origin (Guard *guard, Points p)
{
  return (Points){ p.x - guard->origin[0], p.y - guard->origin[1], p.z - guard->origin[2] };
}

TARN_INLINE Points
offset_from_capsule (Guard *guard, Points p)
{
  Points from = offset_from_origin (guard, p);
  Lanes t = clamp (dot (guard->edge, from) * guard->inverse_length2, 0, 1);
  return (Points){ from.x - t * guard->edge[0], from.y - t * guard->edge[1],
                   from.z - t * guard->edge[2] };
}

TARN_INLINE Points
offset_from_box (Guard *guard, Points p)
{
  Points from = offset_from_origin (guard, p);
  Points own = turn (guard->axis, from);
  own.x -= clamp (own.x, -guard->half[0], guard->half[0]);
  own.y -= clamp (own.y, -guard->half[1], guard->half[1]);
  own.z -= clamp (own.z, -guard->half[2], guard->half[2]);
  return turn_back (guard->axis, own);
}

TARN_INLINE Points
offset_from_bone (Flow *flow, int k, Points p)
{
  return k == 0 ? offset_from_box (&flow->guard[k], p)
                : offset_from_capsule (&flow->guard[k], p);
}

TARN_INLINE Lanes
square (Points v)
{
  return v.x * v.x + v.y * v.y + v.z * v.z;
}

/* Multiplies the mask of bone @k into @product; @axis: 0 or 1, the step's own. */
TARN_INLINE void
multiply_mask (Flow *flow, int k, int axis, Points p, Masks *product)
{
  Guard *guard = &flow->guard[k];
  Points from = offset_from_bone (flow, k, p);
  Lanes t = clamp ((square (from) - guard->low) * guard->scale, 0, 1);
  Lanes value = t * t * (3 - 2 * t);
  Lanes slope = product->value * (t - t * t) * (12 * guard->scale);
  product->s = product->s * value + (axis == 0 ? from.x : from.y) * slope;
  product->z = product->z * value + from.z * slope;
  product->value *= value;
}

/* Half a step's displacement at @p, beside the bones of the bit set @near. */
TARN_INLINE Halves
half_step (Flow *flow, Step *step, int axis, unsigned near, Points p)
{
  Lanes z = p.z - step->centre, s = axis == 0 ? p.x : p.y;
  Lanes f = 1 / (p.x * p.x + p.y * p.y + z * z + flow->epsilon2);
  Lanes pushed = f * step->push, twice = 2 * s * f * pushed;
  Lanes slope_s = pushed - s * twice, slope_z = z * twice;
  if (near == 0)
    return (Halves){ slope_z, slope_s };

  Masks front = { lanes_of (1), lanes_of (0), lanes_of (0) }, back = front;
  for (int k = 0; k < flow->front; k++)
    if (near >> k & 1)
      multiply_mask (flow, k, axis, p, &front);
  for (int k = flow->front; k < flow->guards; k++)
    if (near >> k & 1)
      multiply_mask (flow, k, axis, p, &back);

  Lanes x = p.x - flow->pole_x, y = p.y - flow->pole_y, t = axis == 0 ? x : y;
  Lanes r2 = lanes_max (x * x + y * y, lanes_of (POLE2));
  Lanes swirl = step->gauge / r2, rest = t * swirl, rest_s = swirl - 2 * t * rest / r2;
  Lanes masked = 1 - front.value, off = s * pushed - rest;
  Lanes inner = front.value * s * pushed + masked * rest;
  Lanes inner_s = front.value * slope_s + masked * rest_s + front.s * off;
  Lanes inner_z = front.value * slope_z - front.z * off;
  return (Halves){ back.value * inner_z - back.z * inner,
                   back.value * inner_s + back.s * inner };
}

/* Takes step @k, on which *@half is a guess and, after it, half the displacement. */
TARN_INLINE void
take_step (Flow *flow, int k, int axis, unsigned near, Halves *half, Points *p)
{
  LaneMask open = ~(LaneMask){ 0 };
  for (int turn = 0; turn < TURNS_MAX && lanes_any (open); turn++)
    {
      Points middle = *p;
      middle.z += half->z;
      *(axis == 0 ? &middle.x : &middle.y) += half->s;
      Halves better = half_step (flow, &flow->step[k], axis, near, middle);
      Lanes change = lanes_abs (better.s - half->s) + lanes_abs (better.z - half->z);
      half->s = lanes_select (open, better.s, half->s);
      half->z = lanes_select (open, better.z, half->z);
      open &= change > ENOUGH_MM;
    }
  p->z += half->z + half->z;
  *(axis == 0 ? &p->x : &p->y) += half->s + half->s;
}

/* Follows all steps.  The guess for each is what the last one of the same axis did, doubled
 * after the first and halved for the last, which are half as long. */
TARN_INLINE Points
follow_near (Flow *flow, unsigned near, Points p)
{
  Halves first = half_step (flow, &flow->step[0], 0, near, p);
  Halves second = half_step (flow, &flow->step[1], 1, near, p);
  take_step (flow, 0, 0, near, &first, &p);
  first = (Halves){ first.s * 2, first.z * 2 };
  for (int k = 1; k < flow->steps - 2; k += 2)
    {
      take_step (flow, k, 1, near, &second, &p);
      take_step (flow, k + 1, 0, near, &first, &p);
    }
  take_step (flow, flow->steps - 2, 1, near, &second, &p);
  first = (Halves){ first.s * 0.5f, first.z * 0.5f };
  take_step (flow, flow->steps - 1, 0, near, &first, &p);
  return p;
}

static Points
follow (Flow *flow, Points p)
{
  unsigned near = 0;
  for (int k = 0; k < flow->guards; k++)
    {
      LaneMask lanes = square (offset_from_bone (flow, k, p)) < flow->guard[k].near2;
      near |= (unsigned)lanes_any (lanes) << k;
    }
  return near == 0 ? follow_near (flow, 0, p) : follow_near (flow, near, p);
}

void
TARN_KERNEL (tarn_deform_flow) (const TarnDeform *deform, int sign, int count, float *x_mm,
                                float *y_mm, float *z_mm)
{
  Flow flow;
  init_flow (&flow, deform, sign);
  const float *start = flow.start;

  for (int k = 0; k < count; k += LANES)
    {
      Points from = { lanes_load (x_mm + k) - start[0], lanes_load (y_mm + k) - start[1],
                      lanes_load (z_mm + k) - start[2] };
      Points p = turn_back (flow.frame, follow (&flow, turn (flow.frame, from)));
      lanes_store (x_mm + k, start[0] + p.x);
      lanes_store (y_mm + k, start[1] + p.y);
      lanes_store (z_mm + k, start[2] + p.z);
    }
}
