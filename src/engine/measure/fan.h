/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fan.h: the sweep once more, with causes of error taken away.
 *
 * Floor: engine.  Pure; thread counts change nothing. */
#pragma once

#include "engine/measure/sweep.h"

#define TARN_FAN_VARIANTS_MAX 64

/* The sweep as it would have been. */
typedef struct
{
  bool wide;        /* a wider field: fan ±75°, sector and depth as below */
  bool still;       /* nothing moves */
  unsigned without; /* of TARN_WITHOUT_… */
} TarnFanVariant;

/* Sector and depth of wide variants.  At most these; less will do where the bladder ends
 * sooner. */
#define TARN_WIDE_HALF_SECTOR_RAD 1.308996938995747 /* 75° */
#define TARN_WIDE_DEPTH_MM        260.0

typedef struct
{
  double half_sector_rad, depth_mm;
} TarnFanField;

/**
 * What the sweep would have read.  Variants share pictures and outlines wherever they cannot
 * differ, so the cost is far below that of so many sweeps.  The variant with nothing taken
 * away reads what @sweep reads, to the bit.
 *
 * @setup: as the sweep was run with; its film is not looked at.
 * @variants: 1..TARN_FAN_VARIANTS_MAX
 * @wide: the field of wide variants; NULL: the widest.
 * @reading: out, one for each.
 */
TarnStatus tarn_fan_run (const TarnSweepSetup *setup, const TarnSweep *sweep,
                         const TarnFanVariant *variant, int variants, const TarnFanField *wide,
                         TarnReading *reading);
