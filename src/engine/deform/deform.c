/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * deform.c: setting up the flow, following it in double precision, and choosing a kernel.
 *
 * The flow itself stands in field.h. */
#include "engine/deform/deform.h"

#include "engine/deform/field.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

/* Own design values.  The spread starts above the face's radius, grows as the face goes in, and
 * stays small where bone is close behind the face.  The mask of sacrum and spine is as wide as
 * the belly in front of them, so that what is pressed against them gives way sideways. */
#define SPREAD_MM          26.0
#define SPREAD_GROWTH      0.3
#define SPREAD_NEAR_MM     8.0
#define FRONT_MASK_MM      25.0
#define BACK_MASK_MM       70.0
#define MASK_LEAST_MM      4.5
#define ROUND_SHARE        0.4 /* of the shortest length, that the face goes in one round */
#define ROUNDS_MAX         ((TARN_DEFORM_STEPS_MAX - 1) / 2)
#define CONNECTED_MM       6.0 /* bones nearer than this to each other count as one */
#define SOLVE_TURNS        60
#define SOLVE_TOLERANCE_MM 1e-12

/* The axes of the press frame: any two that make @direction the third. */
static TarnMat3
press_frame (TarnVec3 direction)
{
  TarnVec3 aside = fabs (direction.x) < 0.8 ? tarn_vec3 (1, 0, 0) : tarn_vec3 (0, 0, 1);
  TarnVec3 second = tarn_normalize (tarn_cross (direction, aside));
  return (TarnMat3){ { tarn_cross (second, direction), second, direction } };
}

static TarnVec3
to_press_frame (const TarnDeform *deform, TarnVec3 p_mm)
{
  return tarn_mat3_apply (&deform->frame, tarn_sub (p_mm, deform->start_mm));
}

static TarnVec3
from_press_frame (const TarnDeform *deform, TarnVec3 p_mm)
{
  return tarn_add (deform->start_mm, tarn_mat3_apply_transposed (&deform->frame, p_mm));
}

static TarnDeformGuard
guard_of_box (const TarnDeform *deform, const TarnBoneBox *box)
{
  return (TarnDeformGuard){
    .origin_mm = to_press_frame (deform, box->centre_mm),
    .axes = { { tarn_mat3_apply (&deform->frame, box->side),
                tarn_mat3_apply (&deform->frame, box->along),
                tarn_mat3_apply (&deform->frame, box->across) } },
    .half_mm = { box->half_side_mm - box->round_mm, box->half_along_mm - box->round_mm,
                 box->half_across_mm - box->round_mm },
    .radius_mm = box->round_mm,
  };
}

static TarnDeformGuard
guard_of_capsule (const TarnDeform *deform, const TarnCapsule *capsule)
{
  TarnVec3 edge = tarn_mat3_apply (&deform->frame, tarn_sub (capsule->b_mm, capsule->a_mm));
  double length2 = tarn_dot (edge, edge);
  return (TarnDeformGuard){
    .origin_mm = to_press_frame (deform, capsule->a_mm),
    .edge_mm = edge,
    .inverse_length2 = length2 > 0 ? 1 / length2 : 0,
    .radius_mm = capsule->radius_mm,
  };
}

/* Distance from @p_mm to the bone's surface, negative inside. */
static double
guard_distance_mm (const TarnDeformGuard *guard, bool is_box, TarnVec3 p_mm)
{
  return tarn_length (tarn_deform_from_core (guard, is_box, p_mm)) - guard->radius_mm;
}

/* The least distance from points along a capsule's middle line to the bone @other. */
static double
capsule_distance_mm (const TarnDeformGuard *capsule, const TarnDeformGuard *other,
                     bool other_is_box)
{
  double least = INFINITY;
  for (int k = 0; k <= 16; k++)
    {
      TarnVec3 p = tarn_add_scaled (capsule->origin_mm, capsule->edge_mm, k / 16.0);
      least = fmin (least, guard_distance_mm (other, other_is_box, p));
    }
  return least - capsule->radius_mm;
}

static void
swap_guards (TarnDeform *deform, int a, int b)
{
  TarnDeformGuard kept = deform->guard[a];
  deform->guard[a] = deform->guard[b];
  deform->guard[b] = kept;
}

/* Brings the bones that hang together with the symphysis to the front of the list. */
static void
sort_guards (TarnDeform *deform)
{
  deform->front_guards = 1;
  for (int near = 0; near < deform->front_guards; near++)
    for (int k = deform->front_guards; k < deform->guards; k++)
      if (capsule_distance_mm (&deform->guard[k], &deform->guard[near], near == 0)
          < CONNECTED_MM)
        swap_guards (deform, k, deform->front_guards++);
}

/* How near the face's middle comes to bone @k on its way. */
static double
face_distance_mm (const TarnDeform *deform, int k)
{
  double least = INFINITY;
  for (int along = 0; along <= 8; along++)
    {
      TarnVec3 face = { 0, 0, deform->indentation_mm * along / 8 };
      least = fmin (least, guard_distance_mm (&deform->guard[k], k == 0, face));
    }
  return least;
}

/* A mask is as wide as its bone allows, but where the face comes near the bone it leaves the
 * face's way free; and the masks of the bones behind may not touch the bones in front. */
static void
init_masks (TarnDeform *deform)
{
  int front = deform->front_guards;
  for (int k = 0; k < deform->guards; k++)
    {
      double width
          = fmin (face_distance_mm (deform, k), k < front ? FRONT_MASK_MM : BACK_MASK_MM);
      for (int near = 0; near < front && k >= front; near++)
        width = fmin (width,
                      capsule_distance_mm (&deform->guard[k], &deform->guard[near], near == 0));
      deform->guard[k].reach_mm = deform->guard[k].radius_mm + fmax (width, MASK_LEAST_MM);
    }
}

static void
init_spread (TarnDeform *deform)
{
  double near = INFINITY;
  for (int k = 0; k < deform->guards; k++)
    near = fmin (near, face_distance_mm (deform, k));
  deform->spread_mm = fmin (SPREAD_MM + SPREAD_GROWTH * deform->indentation_mm,
                            SPREAD_NEAR_MM + fmax (near, 0));
}

/* How many times the two flows alternate: the face may not go far in comparison with the
 * lengths over which the flow changes. */
static int
count_rounds (const TarnDeform *deform)
{
  double shortest = deform->spread_mm;
  for (int k = 0; k < deform->guards; k++)
    shortest = fmin (shortest, deform->guard[k].reach_mm - deform->guard[k].radius_mm);
  double rounds = ceil (deform->indentation_mm / (ROUND_SHARE * shortest));
  return (int)tarn_clamp (rounds, 1, ROUNDS_MAX);
}

/* Calls @visit for points all over the pubic bones' cores, corners and ends included. */
static void
visit_front (TarnDeform *deform,
             void (*visit) (TarnDeform *deform, const TarnDeformGuard *guard, TarnVec3 p_mm,
                            void *data),
             void *data)
{
  const TarnDeformGuard *box = &deform->guard[0];
  for (int k = 0; k < 27; k++)
    {
      TarnVec3 own = { (k % 3 - 1) * box->half_mm.x, (k / 3 % 3 - 1) * box->half_mm.y,
                       (k / 9 - 1) * box->half_mm.z };
      TarnVec3 p = tarn_add (box->origin_mm, tarn_mat3_apply_transposed (&box->axes, own));
      visit (deform, box, p, data);
    }
  for (int k = 1; k < deform->front_guards; k++)
    for (int part = 0; part <= 8; part++)
      {
        const TarnDeformGuard *rod = &deform->guard[k];
        visit (deform, rod, tarn_add_scaled (rod->origin_mm, rod->edge_mm, part / 8.0), data);
      }
}

/* Moves the pole along @data, a unit direction in the plane across the press, until the mask
 * of a bone's point, seen along the press, does not reach it. */
static void
clear_of_mask (TarnDeform *deform, const TarnDeformGuard *guard, TarnVec3 p_mm, void *data)
{
  const TarnVec3 *away = data;
  double along = away->x * p_mm.x + away->y * p_mm.y;
  double across = away->x * p_mm.y - away->y * p_mm.x;
  double room = guard->reach_mm + TARN_DEFORM_POLE_MM;
  if (fabs (across) >= room)
    return;
  double needed = along + sqrt (room * room - across * across);
  if (needed > away->x * deform->pole_x_mm + away->y * deform->pole_y_mm)
    {
      deform->pole_x_mm = needed * away->x;
      deform->pole_y_mm = needed * away->y;
    }
}

/* The pole: on the beam's axis, or as much nearer to the head as bone makes necessary. */
static void
init_pole (TarnDeform *deform)
{
  TarnVec3 away = tarn_mat3_apply (&deform->frame, tarn_vec3 (0, 0, 1));
  double length = hypot (away.x, away.y);
  away = length > 1e-6 ? tarn_scale (away, 1 / length) : tarn_vec3 (1, 0, 0);
  visit_front (deform, clear_of_mask, &away);
}

/* Sums for the least squares of G against A on the bones. */
typedef struct
{
  double centre_mm, fit, weight;
} GaugeFit;

/* Where A is strong it matters most. */
static void
fit_gauge (TarnDeform *deform, const TarnDeformGuard *guard, TarnVec3 p_mm, void *data)
{
  (void)guard;
  GaugeFit *fit = data;
  double z = p_mm.z - fit->centre_mm, across2 = p_mm.x * p_mm.x + p_mm.y * p_mm.y;
  double f = 1 / (across2 + z * z + deform->spread_mm * deform->spread_mm);
  double x = p_mm.x - deform->pole_x_mm, y = p_mm.y - deform->pole_y_mm;
  double r2 = x * x + y * y, weight = across2 * f * f;
  fit->fit += weight * (p_mm.x * x + p_mm.y * y) * f / r2;
  fit->weight += weight / r2;
}

/* Sets centre, strength and gauge of each step.  Of gauge times strength every step has the
 * same for each millimetre of its advance, so that G's two flows cancel in bone. */
static void
init_steps (TarnDeform *deform)
{
  double whole = deform->indentation_mm, way = 0;
  int rounds = count_rounds (deform);
  GaugeFit fit = { .centre_mm = whole / 2 };
  visit_front (deform, fit_gauge, &fit);
  /* In free tissue the strength for a millimetre is ε² / 1. */
  double gauge_per_mm = fit.weight > 0 ? fit.fit / fit.weight : 0;
  gauge_per_mm *= deform->spread_mm * deform->spread_mm;

  deform->steps = 2 * rounds + 1;
  for (int k = 0; k < deform->steps; k++)
    {
      TarnDeformStep *step = &deform->step[k];
      bool half = k == 0 || k == deform->steps - 1;
      double advance = whole / (half ? 4 * rounds : 2 * rounds);
      step->centre_mm = way + advance / 2;
      way += advance;

      /* Strength times speed is the advance; the speed at the face depends on the gauge. */
      TarnVec3 face = { 0, 0, step->centre_mm };
      double alone = tarn_deform_velocity (deform, k, 0, face).z;
      double swirled = tarn_deform_velocity (deform, k, 1, face).z - alone;
      double least = 0.25 / (deform->spread_mm * deform->spread_mm);
      step->push_mm3 = advance * (1 - gauge_per_mm * swirled) / fmax (alone, least);
      step->gauge = gauge_per_mm * advance / step->push_mm3;
    }
}

void
tarn_deform_init_bones (TarnDeform *deform, const TarnBones *bones, TarnVec3 start_mm,
                        TarnVec3 direction, double indentation_mm)
{
  assert (bones->capsules >= 0 && bones->capsules <= TARN_CAPSULES_MAX);
  *deform = (TarnDeform){ .start_mm = start_mm,
                          .direction = direction,
                          .spread_mm = SPREAD_MM,
                          .frame = press_frame (direction) };
  if (!(indentation_mm > 0 && indentation_mm < INFINITY))
    return;

  deform->indentation_mm = indentation_mm;
  deform->guards = 1 + bones->capsules;
  deform->guard[0] = guard_of_box (deform, &bones->symphysis);
  for (int k = 0; k < bones->capsules; k++)
    deform->guard[1 + k] = guard_of_capsule (deform, &bones->capsule[k]);
  sort_guards (deform);
  init_masks (deform);
  init_spread (deform);
  init_pole (deform);
  init_steps (deform);
}

void
tarn_deform_init (TarnDeform *deform, const TarnBody *body, const TarnContact *contact)
{
  tarn_deform_init_bones (deform, tarn_body_bones (body), contact->skin_mm, contact->axis,
                          contact->indentation_mm);
}

/* Solves x' = x + @sign u ((x + x')/2) for x' by repeating it. */
static TarnVec3
follow_step (const TarnDeform *deform, int step, double sign, TarnVec3 p_mm)
{
  double half_push = sign * deform->step[step].push_mm3 / 2;
  TarnVec3 middle = p_mm;
  double *s = step % 2 == 0 ? &middle.x : &middle.y;
  double from_s = *s, change = INFINITY;
  for (int turn = 0; turn < SOLVE_TURNS && change > SOLVE_TOLERANCE_MM; turn++)
    {
      TarnDeformVelocity v
          = tarn_deform_velocity (deform, step, deform->step[step].gauge, middle);
      double better_s = from_s + half_push * v.s, better_z = p_mm.z + half_push * v.z;
      change = fabs (better_s - *s) + fabs (better_z - middle.z);
      *s = better_s;
      middle.z = better_z;
    }
  return tarn_sub (tarn_scale (middle, 2), p_mm);
}

TarnVec3
tarn_deform_forward (const TarnDeform *deform, TarnVec3 material_mm)
{
  if (deform->steps == 0)
    return material_mm;
  TarnVec3 p = to_press_frame (deform, material_mm);
  for (int k = 0; k < deform->steps; k++)
    p = follow_step (deform, k, 1, p);
  return from_press_frame (deform, p);
}

TarnVec3
tarn_deform_inverse (const TarnDeform *deform, TarnVec3 pressed_mm)
{
  if (deform->steps == 0)
    return pressed_mm;
  TarnVec3 p = to_press_frame (deform, pressed_mm);
  for (int k = deform->steps - 1; k >= 0; k--)
    p = follow_step (deform, k, -1, p);
  return from_press_frame (deform, p);
}

static void
follow_many (const TarnDeform *deform, int sign, int count, float *x_mm, float *y_mm,
             float *z_mm)
{
  if (deform->steps == 0)
    return;
  int padded = (count + 7) / 8 * 8;
  for (int k = count; k < padded; k++)
    x_mm[k] = y_mm[k] = z_mm[k] = 0;
#ifdef TARN_HAVE_AVX2
  if (__builtin_cpu_supports ("avx2"))
    {
      tarn_deform_flow_avx2 (deform, sign, padded, x_mm, y_mm, z_mm);
      return;
    }
#endif
  tarn_deform_flow_plain (deform, sign, padded, x_mm, y_mm, z_mm);
}

void
tarn_deform_forward_many (const TarnDeform *deform, int count, float *x_mm, float *y_mm,
                          float *z_mm)
{
  follow_many (deform, 1, count, x_mm, y_mm, z_mm);
}

void
tarn_deform_inverse_many (const TarnDeform *deform, int count, float *x_mm, float *y_mm,
                          float *z_mm)
{
  follow_many (deform, -1, count, x_mm, y_mm, z_mm);
}
