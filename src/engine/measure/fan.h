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
  bool wide;        /* sector and fan ±75°, depth 260 mm */
  bool still;       /* nothing moves */
  unsigned without; /* of TARN_WITHOUT_… */
} TarnFanVariant;

/* The field of a wide variant. */
#define TARN_WIDE_HALF_SECTOR_RAD 1.308996938995747 /* 75° */
#define TARN_WIDE_DEPTH_MM        260.0

/**
 * What the sweep would have read.  Variants share pictures and outlines wherever they cannot
 * differ, so the cost is far below that of so many sweeps.  The variant with nothing taken
 * away reads what @sweep reads, to the bit.
 *
 * @setup: as the sweep was run with; its film is not looked at.
 * @variants: 1..TARN_FAN_VARIANTS_MAX
 * @reading: out, one for each.
 */
TarnStatus tarn_fan_run (const TarnSweepSetup *setup, const TarnSweep *sweep,
                         const TarnFanVariant *variant, int variants, TarnReading *reading);
