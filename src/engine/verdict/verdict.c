/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The verdict, and its words. */
#include "engine/verdict/verdict.h"

#include <assert.h>
#include <math.h>

#define URINE_SHARE_MIN 0.5
#define OTHER_SHARE_MAX 0.25

const char *
tarn_verdict_name (TarnVerdict verdict)
{
  static const char *const name[TARN_VERDICTS]
      = { "accurate", "clipped",     "shadowed",    "poor-contact",
          "moved",    "wrong-fluid", "unexplained", "not-accurate" };
  assert (verdict < TARN_VERDICTS);
  return name[verdict];
}

TarnCause
tarn_ledger_main_cause (const TarnLedger *ledger, double error_ml)
{
  double sign = error_ml < 0 ? -1 : 1;
  int main_cause = 0;
  for (int cause = 1; cause < TARN_CAUSES; cause++)
    if (sign * ledger->entry_ml[cause] > sign * ledger->entry_ml[main_cause])
      main_cause = cause;
  return (TarnCause)main_cause;
}

static TarnVerdict
verdict_for (TarnCause cause)
{
  static const TarnVerdict verdict[TARN_CAUSES] = {
    [TARN_CAUSE_EDGE] = TARN_VERDICT_CLIPPED,
    [TARN_CAUSE_BONE] = TARN_VERDICT_SHADOWED,
    [TARN_CAUSE_GAS] = TARN_VERDICT_SHADOWED,
    [TARN_CAUSE_CONTACT] = TARN_VERDICT_POOR_CONTACT,
    [TARN_CAUSE_MOTION] = TARN_VERDICT_MOVED,
    [TARN_CAUSE_OTHER_FLUID] = TARN_VERDICT_WRONG_FLUID,
    [TARN_CAUSE_REST] = TARN_VERDICT_UNEXPLAINED,
  };
  return verdict[cause];
}

static bool
lucky (const TarnVerdictFacts *facts)
{
  double sum_ml = 0;
  for (int cause = 0; facts->ledger != NULL && cause < TARN_CAUSES; cause++)
    sum_ml += fabs (facts->ledger->entry_ml[cause]);
  return sum_ml > 2 * facts->tolerance_ml;
}

TarnVerdict
tarn_verdict (const TarnVerdictFacts *facts, bool *by_luck)
{
  bool luck = false;
  bool seen = facts->reading.kind != TARN_READING_NOT_SEEN;
  double error_ml = facts->reading.volume_ml - facts->truth_ml;
  bool empty = !seen && facts->truth_ml < TARN_EMPTY_ML;

  TarnVerdict verdict;
  if (seen
      && (facts->contents.urine < URINE_SHARE_MIN || facts->contents.other > OTHER_SHARE_MAX))
    verdict = TARN_VERDICT_WRONG_FLUID;
  else if (empty || fabs (error_ml) <= facts->tolerance_ml)
    {
      verdict = TARN_VERDICT_ACCURATE;
      luck = lucky (facts);
    }
  else if (facts->ledger == NULL)
    verdict = TARN_VERDICT_NOT_ACCURATE;
  else
    verdict = verdict_for (tarn_ledger_main_cause (facts->ledger, error_ml));
  if (by_luck != NULL)
    *by_luck = luck;
  return verdict;
}
