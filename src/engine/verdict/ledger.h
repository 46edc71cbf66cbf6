/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * ledger.h: the split of a reading's error over its causes.
 *
 * Floor: engine.  Pure; thread counts change nothing. */
#pragma once

#include "base/status.h"
#include "engine/measure/sweep.h"

/* The causes, in the order in which ties are broken. */
typedef enum
{
  TARN_CAUSE_EDGE,
  TARN_CAUSE_BONE,
  TARN_CAUSE_GAS,
  TARN_CAUSE_CONTACT,
  TARN_CAUSE_MOTION,
  TARN_CAUSE_OTHER_FLUID,
  TARN_CAUSE_REST, /* what remains with every other cause removed */
  TARN_CAUSES
} TarnCause;

#define TARN_LEDGER_SETS (1 << TARN_CAUSE_REST) /* of causes removed together */

typedef struct
{
  double entry_ml[TARN_CAUSES]; /* signed: what the cause added to the error; lost fluid is
                                   negative */
  unsigned acting;              /* bit per cause that was varied */
} TarnLedger;

const char *tarn_cause_name (TarnCause cause); /* as in the JSON: "other_fluid" */

/**
 * Shapley's value (Shapley 1953), exact: each cause's part is what its removal changes,
 * averaged over all orders of removal.
 *
 * @error_ml: indexed by the set of causes removed, a bit for each TarnCause; only subsets of
 *   @acting are looked at.
 */
TarnLedger tarn_ledger_split (const double error_ml[TARN_LEDGER_SETS], unsigned acting);

/**
 * Runs the sweep again with causes removed and splits its error.
 *
 * @reading_ml: out, may be NULL; what each set removed would read.
 */
TarnStatus tarn_ledger_run (const TarnSweepSetup *setup, const TarnSweep *sweep,
                            TarnLedger *ledger, double reading_ml[TARN_LEDGER_SETS]);
