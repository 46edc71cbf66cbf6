/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * simd.h: eight floats at a time.
 *
 * Floor: base.  Written with the compilers' generic vectors, so that the same source makes
 * the plain and the AVX2 kernels; with contraction off both compute the same bits.  Only IEEE
 * operations: +, -, ×, /, square root, comparison, conversion.  Include it from kernel files
 * only. */
#pragma once

#include <math.h>
#include <stdint.h>
#include <string.h>

#define TARN_LANES 8

typedef float TarnF8 __attribute__ ((vector_size (32)));
typedef int32_t TarnI8 __attribute__ ((vector_size (32)));

/* A kernel's two builds: TARN_KERNEL (name) is name_plain or name_avx2. */
#if defined TARN_KERNEL_AVX2
#define TARN_KERNEL(name) name##_avx2
#else
#define TARN_KERNEL(name) name##_plain
#endif

#define TARN_INLINE static inline __attribute__ ((always_inline))

TARN_INLINE TarnF8
tarn_f8 (float s)
{
  return (TarnF8){ s, s, s, s, s, s, s, s };
}

TARN_INLINE TarnF8
tarn_f8_load (const float *from)
{
  TarnF8 v;
  memcpy (&v, from, sizeof v);
  return v;
}

TARN_INLINE void
tarn_f8_store (float *to, TarnF8 v)
{
  memcpy (to, &v, sizeof v);
}

TARN_INLINE TarnF8
tarn_f8_sqrt (TarnF8 v)
{
  for (int k = 0; k < TARN_LANES; k++)
    v[k] = sqrtf (v[k]);
  return v;
}

/* @mask: lanes of 0 or -1, as comparisons give. */
TARN_INLINE TarnF8
tarn_f8_select (TarnI8 mask, TarnF8 a, TarnF8 b)
{
  return (TarnF8)((mask & (TarnI8)a) | (~mask & (TarnI8)b));
}

TARN_INLINE TarnF8
tarn_f8_min (TarnF8 a, TarnF8 b)
{
  return tarn_f8_select (a < b, a, b);
}

TARN_INLINE TarnF8
tarn_f8_max (TarnF8 a, TarnF8 b)
{
  return tarn_f8_select (a > b, a, b);
}

TARN_INLINE TarnF8
tarn_f8_abs (TarnF8 a)
{
  return (TarnF8)((TarnI8)a & 0x7fffffff);
}

/* Towards zero; |v| < 2^31. */
TARN_INLINE TarnI8
tarn_i8_from_f8 (TarnF8 v)
{
  return __builtin_convertvector(v, TarnI8);
}

TARN_INLINE TarnF8
tarn_f8_from_i8 (TarnI8 v)
{
  return __builtin_convertvector(v, TarnF8);
}

/* |v| < 2^30. */
TARN_INLINE TarnF8
tarn_f8_floor (TarnF8 v)
{
  TarnF8 whole = tarn_f8_from_i8 (tarn_i8_from_f8 (v));
  return whole - tarn_f8_select (whole > v, tarn_f8 (1), tarn_f8 (0));
}
