/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The kernels in single precision against the reference in double, and against each other. */
#include "presses.h"

#include "engine/deform/field.h"

#include <math.h>
#include <string.h>

#define COUNT 1024

typedef struct
{
  float x[COUNT], y[COUNT], z[COUNT];
} Points;

static void
fill (Points *points, uint64_t seed)
{
  for (uint64_t k = 0; k < COUNT; k++)
    {
      TarnVec3 p = random_point (seed, k);
      points->x[k] = (float)p.x;
      points->y[k] = (float)p.y;
      points->z[k] = (float)p.z;
    }
}

static TarnVec3
at (const Points *points, int k)
{
  return tarn_vec3 ((double)points->x[k], (double)points->y[k], (double)points->z[k]);
}

typedef void (*Many) (const TarnDeform *deform, int count, float *x_mm, float *y_mm,
                      float *z_mm);
typedef TarnVec3 (*One) (const TarnDeform *deform, TarnVec3 p_mm);

static void
compare_with_reference (Many many, One one)
{
  double worst = 0;
  for (int build = 0; build < BUILDS; build++)
    {
      TarnBody *body = body_with (fat_of_build_mm[build], 300);
      for (uint64_t k = 0; k < 20; k++)
        {
          TarnDeform deform;
          random_press (body, k, &deform);
          Points from, to;
          fill (&from, k);
          memcpy (&to, &from, sizeof to);
          many (&deform, COUNT, to.x, to.y, to.z);
          for (int p = 0; p < COUNT; p++)
            worst = fmax (worst, tarn_distance (one (&deform, at (&from, p)), at (&to, p)));
        }
      tarn_body_free (body);
    }
  g_test_message ("worst difference %.4f mm", worst);
  g_assert_cmpfloat (worst, <, 0.02);
}

static void
test_forward_is_near_the_reference (void)
{
  compare_with_reference (tarn_deform_forward_many, tarn_deform_forward);
}

static void
test_inverse_is_near_the_reference (void)
{
  compare_with_reference (tarn_deform_inverse_many, tarn_deform_inverse);
}

/* On a machine without AVX2 both sides are the plain kernel. */
static void
test_kernels_give_the_same_bits (void)
{
  TarnBody *body = body_with (18, 300);
  for (uint64_t k = 0; k < 20; k++)
    {
      TarnDeform deform;
      random_press (body, k, &deform);
      Points chosen, plain;
      fill (&chosen, k);
      memcpy (&plain, &chosen, sizeof plain);
      tarn_deform_inverse_many (&deform, COUNT, chosen.x, chosen.y, chosen.z);
      tarn_deform_flow_plain (&deform, -1, COUNT, plain.x, plain.y, plain.z);
      g_assert_cmpmem (&chosen, sizeof chosen, &plain, sizeof plain);
    }
  tarn_body_free (body);
}

/* Whatever stands in the other lanes, and whatever the count. */
static void
test_a_point_does_not_depend_on_its_neighbours (void)
{
  TarnBody *body = body_with (8, 300);
  TarnDeform deform;
  press (body, (TarnPose){ .above_mm = 25, .force_n = 15 }, &deform);
  Points from, together;
  fill (&from, 5);
  memcpy (&together, &from, sizeof together);
  tarn_deform_inverse_many (&deform, COUNT, together.x, together.y, together.z);
  for (int k = 0; k < COUNT; k++)
    {
      float x[8] = { from.x[k] }, y[8] = { from.y[k] }, z[8] = { from.z[k] };
      tarn_deform_inverse_many (&deform, 1, x, y, z);
      g_assert_cmpmem (&x[0], sizeof x[0], &together.x[k], sizeof x[0]);
      g_assert_cmpmem (&y[0], sizeof y[0], &together.y[k], sizeof y[0]);
      g_assert_cmpmem (&z[0], sizeof z[0], &together.z[k], sizeof z[0]);
    }
  tarn_body_free (body);
}

static void
test_no_force_leaves_the_bits (void)
{
  TarnBody *body = body_with (18, 300);
  TarnDeform deform;
  press (body, (TarnPose){ .above_mm = 40 }, &deform);
  Points from, to;
  fill (&from, 1);
  memcpy (&to, &from, sizeof to);
  tarn_deform_forward_many (&deform, COUNT, to.x, to.y, to.z);
  g_assert_cmpmem (&from, sizeof from, &to, sizeof to);
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/flow/forward-is-near-the-reference", test_forward_is_near_the_reference);
  g_test_add_func ("/flow/inverse-is-near-the-reference", test_inverse_is_near_the_reference);
  g_test_add_func ("/flow/kernels-give-the-same-bits", test_kernels_give_the_same_bits);
  g_test_add_func ("/flow/a-point-does-not-depend-on-its-neighbours",
                   test_a_point_does_not_depend_on_its_neighbours);
  g_test_add_func ("/flow/no-force-leaves-the-bits", test_no_force_leaves_the_bits);
  return g_test_run ();
}
