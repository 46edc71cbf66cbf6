/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * request.h: what a user asks of one scan, in the units of the command line.
 *
 * Floor: cli. */
#pragma once

#include "base/image.h"
#include "cli/options.h"
#include "engine/contact/contact.h"

#include <glib.h>
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

/* Appends "pose": {…} as schema tarn.scan/1 has it.  @geometry: of the pictures taken. */
void tarn_request_write_json (GString *json, const TarnRequest *request,
                              const TarnImageGeometry *geometry);

/* The options that fill a TarnRequest standing first in a command's settings; their names are
 * the columns of a table of poses as well.  The first of them serve a frozen plane too. */
#define TARN_REQUEST_OPTIONS        13
#define TARN_REQUEST_FROZEN_OPTIONS 10
extern const TarnOption tarn_request_option[TARN_REQUEST_OPTIONS];
