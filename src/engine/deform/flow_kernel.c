/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * flow_kernel.c: the flow of field.h, eight points at a time in single precision.
 *
 * Built twice (base/simd.h).  A point's result may not depend on its seven neighbours, so what
 * a lane does is chosen lane by lane; only work that would change no lane is skipped. */
#include "engine/deform/field.h"

#include "base/simd.h"

/* A step's equation is repeated lane by lane until the last repetition changed this little. */
#define TURNS_MAX 12
#define POLE2     ((float)(TARN_DEFORM_POLE_MM * TARN_DEFORM_POLE_MM))
#define ENOUGH_MM 0.004f

typedef struct
{
  TarnF8 x, y, z;
} Point8;

/* A mask's value and slope along a step's own axis and along the press. */
typedef struct
{
  TarnF8 value, s, z;
} Mask8;

/* Half a step's displacement along the step's own axis and along the press. */
typedef struct
{
  TarnF8 s, z;
} Half8;

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

TARN_INLINE TarnF8
dot8 (const float a[3], Point8 b)
{
  return a[0] * b.x + a[1] * b.y + a[2] * b.z;
}

/* Into the axes that are @m's rows, and back. */
TARN_INLINE Point8
turn8 (float m[3][3], Point8 v)
{
  return (Point8){ dot8 (m[0], v), dot8 (m[1], v), dot8 (m[2], v) };
}

TARN_INLINE Point8
turn_back8 (float m[3][3], Point8 v)
{
  return (Point8){ m[0][0] * v.x + m[1][0] * v.y + m[2][0] * v.z,
                   m[0][1] * v.x + m[1][1] * v.y + m[2][1] * v.z,
                   m[0][2] * v.x + m[1][2] * v.y + m[2][2] * v.z };
}

TARN_INLINE TarnF8
clamp8 (TarnF8 v, float low, float high)
{
  return tarn_f8_min (tarn_f8_max (v, tarn_f8 (low)), tarn_f8 (high));
}

TARN_INLINE int
any8 (TarnI8 mask)
{
#if defined TARN_KERNEL_AVX2
  return __builtin_ia32_movmskps256 ((TarnF8)mask) != 0;
#else
  int any = 0;
  for (int k = 0; k < TARN_LANES; k++)
    any |= mask[k];
  return any != 0;
#endif
}

TARN_INLINE Point8
offset_from_origin (Guard *guard, Point8 p)
{
  return (Point8){ p.x - guard->origin[0], p.y - guard->origin[1], p.z - guard->origin[2] };
}

TARN_INLINE Point8
offset_from_capsule (Guard *guard, Point8 p)
{
  Point8 from = offset_from_origin (guard, p);
  TarnF8 t = clamp8 (dot8 (guard->edge, from) * guard->inverse_length2, 0, 1);
  return (Point8){ from.x - t * guard->edge[0], from.y - t * guard->edge[1],
                   from.z - t * guard->edge[2] };
}

TARN_INLINE Point8
offset_from_box (Guard *guard, Point8 p)
{
  Point8 from = offset_from_origin (guard, p);
  Point8 own = turn8 (guard->axis, from);
  own.x -= clamp8 (own.x, -guard->half[0], guard->half[0]);
  own.y -= clamp8 (own.y, -guard->half[1], guard->half[1]);
  own.z -= clamp8 (own.z, -guard->half[2], guard->half[2]);
  return turn_back8 (guard->axis, own);
}

TARN_INLINE Point8
offset_from_bone (Flow *flow, int k, Point8 p)
{
  return k == 0 ? offset_from_box (&flow->guard[k], p)
                : offset_from_capsule (&flow->guard[k], p);
}

TARN_INLINE TarnF8
square8 (Point8 v)
{
  return v.x * v.x + v.y * v.y + v.z * v.z;
}

/* Multiplies the mask of bone @k into @product; @axis: 0 or 1, the step's own. */
TARN_INLINE void
multiply_mask (Flow *flow, int k, int axis, Point8 p, Mask8 *product)
{
  Guard *guard = &flow->guard[k];
  Point8 from = offset_from_bone (flow, k, p);
  TarnF8 t = clamp8 ((square8 (from) - guard->low) * guard->scale, 0, 1);
  TarnF8 value = t * t * (3 - 2 * t);
  TarnF8 slope = product->value * (t - t * t) * (12 * guard->scale);
  product->s = product->s * value + (axis == 0 ? from.x : from.y) * slope;
  product->z = product->z * value + from.z * slope;
  product->value *= value;
}

/* Half a step's displacement at @p, beside the bones of the bit set @near. */
TARN_INLINE Half8
half_step (Flow *flow, Step *step, int axis, unsigned near, Point8 p)
{
  TarnF8 z = p.z - step->centre, s = axis == 0 ? p.x : p.y;
  TarnF8 f = 1 / (p.x * p.x + p.y * p.y + z * z + flow->epsilon2);
  TarnF8 pushed = f * step->push, twice = 2 * s * f * pushed;
  TarnF8 slope_s = pushed - s * twice, slope_z = z * twice;
  if (near == 0)
    return (Half8){ slope_z, slope_s };

  Mask8 front = { tarn_f8 (1), tarn_f8 (0), tarn_f8 (0) }, back = front;
  for (int k = 0; k < flow->front; k++)
    if (near >> k & 1)
      multiply_mask (flow, k, axis, p, &front);
  for (int k = flow->front; k < flow->guards; k++)
    if (near >> k & 1)
      multiply_mask (flow, k, axis, p, &back);

  TarnF8 x = p.x - flow->pole_x, y = p.y - flow->pole_y, t = axis == 0 ? x : y;
  TarnF8 r2 = tarn_f8_max (x * x + y * y, tarn_f8 (POLE2));
  TarnF8 swirl = step->gauge / r2, rest = t * swirl, rest_s = swirl - 2 * t * rest / r2;
  TarnF8 masked = 1 - front.value, off = s * pushed - rest;
  TarnF8 inner = front.value * s * pushed + masked * rest;
  TarnF8 inner_s = front.value * slope_s + masked * rest_s + front.s * off;
  TarnF8 inner_z = front.value * slope_z - front.z * off;
  return (Half8){ back.value * inner_z - back.z * inner,
                  back.value * inner_s + back.s * inner };
}

/* Takes step @k, on which *@half is a guess and, after it, half the displacement. */
TARN_INLINE void
take_step (Flow *flow, int k, int axis, unsigned near, Half8 *half, Point8 *p)
{
  TarnI8 open = { -1, -1, -1, -1, -1, -1, -1, -1 };
  for (int turn = 0; turn < TURNS_MAX && any8 (open); turn++)
    {
      Point8 middle = *p;
      middle.z += half->z;
      *(axis == 0 ? &middle.x : &middle.y) += half->s;
      Half8 better = half_step (flow, &flow->step[k], axis, near, middle);
      TarnF8 change = tarn_f8_abs (better.s - half->s) + tarn_f8_abs (better.z - half->z);
      half->s = tarn_f8_select (open, better.s, half->s);
      half->z = tarn_f8_select (open, better.z, half->z);
      open &= change > ENOUGH_MM;
    }
  p->z += half->z + half->z;
  *(axis == 0 ? &p->x : &p->y) += half->s + half->s;
}

/* Follows all steps.  The guess for each is what the last one of the same axis did, doubled
 * after the first and halved for the last, which are half as long. */
TARN_INLINE Point8
follow_near (Flow *flow, unsigned near, Point8 p)
{
  Half8 first = half_step (flow, &flow->step[0], 0, near, p);
  Half8 second = half_step (flow, &flow->step[1], 1, near, p);
  take_step (flow, 0, 0, near, &first, &p);
  first = (Half8){ first.s * 2, first.z * 2 };
  for (int k = 1; k < flow->steps - 2; k += 2)
    {
      take_step (flow, k, 1, near, &second, &p);
      take_step (flow, k + 1, 0, near, &first, &p);
    }
  take_step (flow, flow->steps - 2, 1, near, &second, &p);
  first = (Half8){ first.s * 0.5f, first.z * 0.5f };
  take_step (flow, flow->steps - 1, 0, near, &first, &p);
  return p;
}

static Point8
follow (Flow *flow, Point8 p)
{
  unsigned near = 0;
  for (int k = 0; k < flow->guards; k++)
    {
      TarnI8 lanes = square8 (offset_from_bone (flow, k, p)) < flow->guard[k].near2;
      near |= (unsigned)any8 (lanes) << k;
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

  for (int k = 0; k < count; k += TARN_LANES)
    {
      Point8 from = { tarn_f8_load (x_mm + k) - start[0], tarn_f8_load (y_mm + k) - start[1],
                      tarn_f8_load (z_mm + k) - start[2] };
      Point8 p = turn_back8 (flow.frame, follow (&flow, turn8 (flow.frame, from)));
      tarn_f8_store (x_mm + k, start[0] + p.x);
      tarn_f8_store (y_mm + k, start[1] + p.y);
      tarn_f8_store (z_mm + k, start[2] + p.z);
    }
}
