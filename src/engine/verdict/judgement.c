/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * When a judgement is right. */
#include "engine/verdict/judgement.h"

#include <assert.h>

TarnJudged
tarn_judge (const TarnJudgement *judgement, const TarnJudgementFacts *facts)
{
  TarnVerdict verdict = facts->verdict;
  TarnJudged judged = { 0 };

  assert (judgement->kind < TARN_JUDGEMENTS);
  if (facts->stop)
    {
      /* However good the number is that should not have been taken. */
      judged.right = judgement->kind == TARN_JUDGEMENT_NOT_TO_BE_SCANNED;
      return judged;
    }
  switch (judgement->kind)
    {
    case TARN_JUDGEMENT_USE:
      judged.right = verdict == TARN_VERDICT_ACCURATE && !facts->by_luck;
      break;
    case TARN_JUDGEMENT_AT_LEAST:
      judged.right = (verdict == TARN_VERDICT_CLIPPED || verdict == TARN_VERDICT_SHADOWED)
                     && facts->truth_ml >= facts->reading_ml;
      break;
    case TARN_JUDGEMENT_NOT_SEEN:
      judged.right = facts->truth_ml < TARN_EMPTY_ML && facts->surveyed;
      break;
    case TARN_JUDGEMENT_DO_NOT_USE:
      judged.right = verdict != TARN_VERDICT_ACCURATE;
      judged.cause_right
          = judged.right && verdict == judgement->cause && verdict != TARN_VERDICT_NOT_ACCURATE;
      break;
    default:
      break;
    }
  return judged;
}
