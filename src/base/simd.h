/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * simd.h: as many floats at a time as the machine's registers hold.
 *
 * Floor: base.  Kernel files are built twice, plain and for AVX2, from the same source with
 * the compilers' generic vectors.  No lane depends on another, contraction is off, and only
 * IEEE operations are used (+, -, ×, /, square root, comparison, conversion), so both builds
 * compute the same bits although one has four lanes and the other eight.  Include it from
 * kernel files only; everybody else needs no more than LANES_PAD. */
#pragma once

#include <math.h>
#include <stdint.h>
#include <string.h>

/* A kernel's two builds: TARN_KERNEL (name) is name_plain or name_avx2. */
#if defined TARN_KERNEL_AVX2
#define TARN_KERNEL(name) name##_avx2
#else
#define TARN_KERNEL(name) name##_plain
#endif

#define TARN_INLINE static inline __attribute__ ((always_inline))

#if defined TARN_KERNEL_AVX2
#define LANES 8
#else
#define LANES 4
#endif
#define LANES_PAD 8 /* arrays are padded to whole vectors of either build */

typedef float Lanes __attribute__ ((vector_size (4 * LANES)));
typedef int32_t LaneMask __attribute__ ((vector_size (4 * LANES)));

TARN_INLINE Lanes
lanes_of (float s)
{
  return s - (Lanes){ 0 };
}

TARN_INLINE Lanes
lanes_load (const float *from)
{
  Lanes v;
  memcpy (&v, from, sizeof v);
  return v;
}

TARN_INLINE void
lanes_store (float *to, Lanes v)
{
  memcpy (to, &v, sizeof v);
}

/* @mask: lanes of 0 or -1, as comparisons give. */
TARN_INLINE Lanes
lanes_select (LaneMask mask, Lanes a, Lanes b)
{
  return (Lanes)((mask & (LaneMask)a) | (~mask & (LaneMask)b));
}

/* The instructions compute what the selections say, to the bit, and the compiler does not find
 * them by itself. */
TARN_INLINE Lanes
lanes_min (Lanes a, Lanes b)
{
#if defined TARN_KERNEL_AVX2
  return __builtin_ia32_minps256 (a, b);
#elif defined __SSE__
  return __builtin_ia32_minps (a, b);
#else
  return lanes_select (a < b, a, b);
#endif
}

TARN_INLINE Lanes
lanes_max (Lanes a, Lanes b)
{
#if defined TARN_KERNEL_AVX2
  return __builtin_ia32_maxps256 (a, b);
#elif defined __SSE__
  return __builtin_ia32_maxps (a, b);
#else
  return lanes_select (a > b, a, b);
#endif
}

TARN_INLINE Lanes
lanes_abs (Lanes a)
{
  return (Lanes)((LaneMask)a & 0x7fffffff);
}

TARN_INLINE int
lanes_any (LaneMask mask)
{
#if defined TARN_KERNEL_AVX2
  return __builtin_ia32_movmskps256 ((Lanes)mask) != 0;
#elif defined __SSE__
  return __builtin_ia32_movmskps ((Lanes)mask) != 0;
#else
  int any = 0;
  for (int k = 0; k < LANES; k++)
    any |= mask[k];
  return any != 0;
#endif
}

TARN_INLINE Lanes
lanes_sqrt (Lanes v)
{
#if defined TARN_KERNEL_AVX2
  return __builtin_ia32_sqrtps256 (v);
#elif defined __SSE__
  return __builtin_ia32_sqrtps (v);
#else
  for (int k = 0; k < LANES; k++)
    v[k] = sqrtf (v[k]);
  return v;
#endif
}

/* To the nearest whole number, ties to even; |v| < 2^22.  In range a float of 1.5 · 2^23 has
 * no room for fractions, so adding it rounds. */
TARN_INLINE Lanes
lanes_round (Lanes v)
{
  return (v + 12582912.0f) - 12582912.0f;
}

/* Towards zero; |v| < 2^31. */
TARN_INLINE LaneMask
lanes_to_int (Lanes v)
{
  return __builtin_convertvector(v, LaneMask);
}

TARN_INLINE Lanes
lanes_from_int (LaneMask v)
{
  return __builtin_convertvector(v, Lanes);
}

/* 0, 1, 2 … */
TARN_INLINE Lanes
lanes_ramp (void)
{
#if LANES == 8
  return (Lanes){ 0, 1, 2, 3, 4, 5, 6, 7 };
#else
  return (Lanes){ 0, 1, 2, 3 };
#endif
}

/* |v| < 2^30. */
TARN_INLINE Lanes
lanes_floor (Lanes v)
{
  Lanes whole = lanes_from_int (lanes_to_int (v));
  return whole - lanes_select (whole > v, lanes_of (1), lanes_of (0));
}
