/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * scan.h: one call from a pose to a verdict.
 *
 * Floor: engine.  Pure; thread counts change nothing. */
#pragma once

#include "engine/verdict/verdict.h"

/* Start from tarn_scan_options_default (). */
typedef struct
{
  TarnPose pose;            /* above 40 mm, tilt 5°, force 5 N by default */
  double gel_g;             /* [0, 100], laid at the contact point; 20 by default */
  TarnGelFilm *film;        /* in and out: what is on the skin before; NULL: bare skin */
  double tremor_mm;         /* [0, 50] */
  double depth_mm;          /* 0: the probe's own */
  double gain_db;           /* [-40, 40] */
  int planes;               /* 0: the probe's own */
  uint64_t seed;            /* of tremor, breathing and noise */
  const TarnMotion *motion; /* NULL: as the patient, tremor_mm and seed say; else in their
                               place; its path must outlive the scan */
  bool ledger;              /* make one; true by default */
  bool keep_planes;
  bool plain; /* never use AVX2 */
  const TarnParallel *parallel;
  double (*now_ms) (void *clock); /* NULL: the timings stay 0 */
  void *clock;
} TarnScanOptions;

/* A hand at rest at the default pose, with a ledger. */
TarnScanOptions tarn_scan_options_default (void);

typedef struct
{
  TarnSweepSetup setup;               /* as the sweep was run with; its film is gone */
  TarnSweep sweep;                    /* contact, reading, planes */
  double truth_ml, pressed_volume_ml; /* at rest; of the mesh as pressed */
  double error_ml, tolerance_ml;
  TarnContents contents;
  bool has_ledger;
  TarnLedger ledger;
  TarnVerdict verdict;
  bool by_luck;
  bool over_comfort;                    /* the force is above what the patient bears */
  double plane_ms, sweep_ms, ledger_ms; /* plane: the sweep's mean */
} TarnScan;

/**
 * Lays the gel, puts the probe down, sweeps, judges.
 *
 * @scan: out, about 300 kB; tarn_scan_clear () it.
 *
 * Returns TARN_OK, TARN_OFF_BODY, TARN_OUT_OF_RANGE or TARN_NO_MEMORY; on failure @scan is
 * zeroed.
 */
TarnStatus tarn_scan_run (const TarnBody *body, const TarnScanOptions *options, TarnScan *scan);

/* Makes the ledger of a scan that was run without one, and the verdict anew; as if it had been
 * asked for at once.  Nothing happens when there is one.  Returns TARN_OK or TARN_NO_MEMORY
 * (@scan is then as before). */
TarnStatus tarn_scan_add_ledger (TarnScan *scan);
void tarn_scan_clear (TarnScan *scan); /* a zeroed one is allowed */
