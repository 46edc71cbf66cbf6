/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * verdict.h: what a reading's error means.
 *
 * Floor: engine.  Pure. */
#pragma once

#include "base/status.h"
#include "engine/measure/sweep.h"
#include "engine/verdict/geometric.h"
#include "engine/verdict/ledger.h"

#include <stdbool.h>

typedef enum
{
  TARN_VERDICT_ACCURATE,
  TARN_VERDICT_CLIPPED,
  TARN_VERDICT_SHADOWED,
  TARN_VERDICT_POOR_CONTACT,
  TARN_VERDICT_MOVED,
  TARN_VERDICT_WRONG_FLUID,
  TARN_VERDICT_UNEXPLAINED,
  TARN_VERDICT_NOT_ACCURATE, /* no ledger was made, so no cause is known */
  TARN_VERDICTS
} TarnVerdict;

const char *tarn_verdict_name (TarnVerdict verdict); /* as in the JSON: "poor-contact" */

/* Below this truth, a bladder that is not seen is rightly not seen. */
#define TARN_EMPTY_ML 10.0

typedef struct
{
  TarnReading reading;
  double truth_ml, tolerance_ml;
  TarnContents contents;
  const TarnLedger *ledger; /* NULL: none was made */
} TarnVerdictFacts;

/**
 * In this order: wrong fluid by what the outlines hold; accurate; else the cause whose ledger
 * entry is largest in the direction of the error, ties in the causes' order.
 *
 * @by_luck: out, may be NULL; accurate only because the ledger's entries cancel.
 */
TarnVerdict tarn_verdict (const TarnVerdictFacts *facts, bool *by_luck);

/* The cause whose entry is largest in the direction of the error. */
TarnCause tarn_ledger_main_cause (const TarnLedger *ledger, double error_ml);
