/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * units.h: the few conversions between what people read and what the engine computes.
 *
 * Floor: base.  Inside: mm, rad, N, kPa, MHz, dB, s.  In files and on screen: degrees, mL. */
#pragma once

#define TARN_PI          3.14159265358979323846
#define TARN_MM3_PER_ML  1000.0
#define TARN_ASSUMED_M_S 1540.0 /* the speed of sound that every instrument assumes */

static inline double
tarn_rad_from_deg (double deg)
{
  return deg * (TARN_PI / 180.0);
}

static inline double
tarn_deg_from_rad (double rad)
{
  return rad * (180.0 / TARN_PI);
}
