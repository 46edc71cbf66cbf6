/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * random.h: seeded hashing instead of a generator with a state, so that any number can be
 * drawn in any order, on any thread, and comes out the same.
 *
 * Floor: base.  Threads: safe.  Same bits on every machine: integers and exact division only.
 */
#pragma once

#include <stdint.h>

/* A bijection on 64 bits that leaves no visible pattern (the finaliser of SplitMix64,
 * Steele, Lea & Flood 2014). */
static inline uint64_t
tarn_hash64 (uint64_t x)
{
  x += 0x9e3779b97f4a7c15u;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
  return x ^ (x >> 31);
}

/* The @index-th draw of the stream @seed. */
static inline uint64_t
tarn_hash_at (uint64_t seed, uint64_t index)
{
  return tarn_hash64 (seed ^ tarn_hash64 (index));
}

/* [0, 1), 53 bits. */
static inline double
tarn_uniform_at (uint64_t seed, uint64_t index)
{
  return (double)(tarn_hash_at (seed, index) >> 11) * 0x1p-53;
}

/* Near-normal, mean 0, SD 1, within ±6: the sum of twelve uniforms less six.  Good to the
 * third decimal within two SD; bit-exact everywhere, which a logarithm is not. */
static inline double
tarn_normal_at (uint64_t seed, uint64_t index)
{
  double sum = -6;
  for (uint64_t k = 0; k < 12; k++)
    sum += tarn_uniform_at (seed, index * 12 + k);
  return sum;
}
