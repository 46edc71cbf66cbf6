/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * request.h: what a user asks of one scan, in the units of the command line.
 *
 * Floor: cli. */
#pragma once

#include "cli/options.h"
#include "engine/contact/contact.h"

#include <stdint.h>

typedef struct
{
  double above_mm, left_mm;
  double tilt_deg, lean_deg, turn_deg;
  double force_n, gel_g, lift_percent;
  double depth_mm; /* 0: the probe's own */
  double gain_db;
  int planes; /* 0: the probe's own */
  double tremor_mm;
  uint64_t seed;
} TarnRequest;

/* Where and how a hand begins. */
#define TARN_REQUEST_DEFAULT                                                                   \
  {                                                                                            \
    .above_mm = 40, .tilt_deg = 5, .force_n = 5, .gel_g = 20                                   \
  }

TarnPose tarn_request_pose (const TarnRequest *request);

/* The options that fill a TarnRequest standing first in a command's settings; their names are
 * the columns of a table of poses as well. */
#define TARN_REQUEST_OPTIONS 13
extern const TarnOption tarn_request_option[TARN_REQUEST_OPTIONS];
