/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * verdict.h: the error ledger and what it means.
 *
 * Floor: engine.  Pure. */
#pragma once

#include "base/status.h"
#include "engine/measure/sweep.h"

#include <stdbool.h>

/* The causes, in the order in which ties are broken. */
typedef enum
{
  TARN_CAUSE_EDGE,
  TARN_CAUSE_BONE,
  TARN_CAUSE_GAS,
  TARN_CAUSE_CONTACT,
  TARN_CAUSE_MOTION,
  TARN_CAUSE_OTHER_FLUID,
  TARN_CAUSE_REST,
  TARN_CAUSES
} TarnCause;

typedef struct
{
  double entry_ml[TARN_CAUSES]; /* signed: what the cause added to the error; lost fluid is negative */
  unsigned acting;              /* bit per cause that was varied */
} TarnLedger;

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

const char *tarn_cause_name (TarnCause cause);       /* as in the JSON: "other_fluid" */
const char *tarn_verdict_name (TarnVerdict verdict); /* as in the JSON: "poor-contact" */
