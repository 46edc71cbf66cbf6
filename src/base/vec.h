/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * vec.h: points and directions in three dimensions.
 *
 * Floor: base.  Patient frame unless a name says otherwise: right-handed, DICOM axes
 * (PS3.3 C.7.6.2): +x patient's left, +y back, +z head; mm. */
#pragma once

#include <math.h>

typedef struct
{
  double x, y, z;
} TarnVec3;

/* Three rows; rotates a column vector when orthonormal. */
typedef struct
{
  TarnVec3 row[3];
} TarnMat3;

static inline TarnVec3
tarn_vec3 (double x, double y, double z)
{
  return (TarnVec3){ x, y, z };
}

static inline TarnVec3
tarn_add (TarnVec3 a, TarnVec3 b)
{
  return (TarnVec3){ a.x + b.x, a.y + b.y, a.z + b.z };
}

static inline TarnVec3
tarn_sub (TarnVec3 a, TarnVec3 b)
{
  return (TarnVec3){ a.x - b.x, a.y - b.y, a.z - b.z };
}

static inline TarnVec3
tarn_scale (TarnVec3 a, double s)
{
  return (TarnVec3){ a.x * s, a.y * s, a.z * s };
}

/* a + s b */
static inline TarnVec3
tarn_add_scaled (TarnVec3 a, TarnVec3 b, double s)
{
  return (TarnVec3){ a.x + b.x * s, a.y + b.y * s, a.z + b.z * s };
}

static inline double
tarn_dot (TarnVec3 a, TarnVec3 b)
{
  return a.x * b.x + a.y * b.y + a.z * b.z;
}

static inline TarnVec3
tarn_cross (TarnVec3 a, TarnVec3 b)
{
  return (TarnVec3){ a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x };
}

static inline double
tarn_length (TarnVec3 a)
{
  return sqrt (tarn_dot (a, a));
}

static inline double
tarn_distance (TarnVec3 a, TarnVec3 b)
{
  return tarn_length (tarn_sub (a, b));
}

/* The zero vector stays zero. */
static inline TarnVec3
tarn_normalize (TarnVec3 a)
{
  double length = tarn_length (a);
  return length > 0 ? tarn_scale (a, 1 / length) : a;
}

static inline TarnVec3
tarn_mat3_apply (const TarnMat3 *m, TarnVec3 v)
{
  return (TarnVec3){ tarn_dot (m->row[0], v), tarn_dot (m->row[1], v),
                     tarn_dot (m->row[2], v) };
}

static inline TarnVec3
tarn_mat3_apply_transposed (const TarnMat3 *m, TarnVec3 v)
{
  return tarn_add_scaled (tarn_add_scaled (tarn_scale (m->row[0], v.x), m->row[1], v.y),
                          m->row[2], v.z);
}

/* Rotates @v about the unit @axis by @angle_rad, right-handed (Rodrigues). */
static inline TarnVec3
tarn_rotate (TarnVec3 v, TarnVec3 axis, double angle_rad)
{
  double c = cos (angle_rad), s = sin (angle_rad);
  TarnVec3 out = tarn_scale (v, c);
  out = tarn_add_scaled (out, tarn_cross (axis, v), s);
  return tarn_add_scaled (out, axis, tarn_dot (axis, v) * (1 - c));
}

static inline double
tarn_clamp (double value, double low, double high)
{
  return value < low ? low : value > high ? high : value;
}

/* 0 at and below @low, 1 at and above @high, a cubic with flat ends between. */
static inline double
tarn_smoothstep (double low, double high, double value)
{
  double t = tarn_clamp ((value - low) / (high - low), 0, 1);
  return t * t * (3 - 2 * t);
}
