/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The score.  The split of technique into points and the ends of its ramps are own design
 * values. */
#include "engine/verdict/score.h"

#include <assert.h>
#include <math.h>

#define FORCE_POINTS   4.0
#define CONTACT_POINTS 4.0
#define SECTION_POINTS 4.0
#define STILL_POINTS   3.0
#define CAUSE_SHARE    0.25 /* of the judgement's points */

/* 1 at @full, 0 at @none, linear between; either may be the larger. */
static double
ramp (double none, double full, double value)
{
  return tarn_clamp ((value - none) / (full - none), 0, 1);
}

static double
reading_points (const TarnScoreFacts *facts, const TarnJudged *judged)
{
  double truth_ml = facts->facts.truth_ml, off_ml = 0;
  switch (facts->record)
    {
    case TARN_RECORD_NONE:
      return judged->right && (facts->facts.stop || !facts->measurable) ? TARN_SCORE_READING
                                                                        : 0;
    case TARN_RECORD_EXACT:
      off_ml = fabs (facts->recorded_ml - truth_ml);
      break;
    case TARN_RECORD_AT_LEAST:
      /* True, yet worth little where an exact number was to be had. */
      off_ml = facts->measurable ? fabs (facts->recorded_ml - truth_ml)
                                 : fmax (0, facts->recorded_ml - truth_ml);
      break;
    case TARN_RECORD_NOT_SEEN:
      return truth_ml < TARN_EMPTY_ML ? TARN_SCORE_READING : 0;
    }
  return TARN_SCORE_READING * ramp (2, 0.5, off_ml / facts->tolerance_ml);
}

static double
judgement_points (const TarnJudgement *judgement, const TarnJudged *judged)
{
  if (!judged->right)
    return 0;
  bool cause_lacks = judgement->kind == TARN_JUDGEMENT_DO_NOT_USE && !judged->cause_right;
  return TARN_SCORE_JUDGEMENT * (cause_lacks ? 1 - CAUSE_SHARE : 1);
}

static double
technique_points (const TarnScoreFacts *facts, const TarnJudged *judged)
{
  /* Who rightly does not scan has no hand to fault. */
  if (!facts->scanned)
    return judged->right && facts->facts.stop ? TARN_SCORE_TECHNIQUE : 0;
  return (facts->force_n <= facts->comfort_n ? FORCE_POINTS : 0)
         + CONTACT_POINTS * ramp (0.5, 0.9, facts->wet_fraction)
         + STILL_POINTS * ramp (6, 1.5, facts->wander_mm)
         + SECTION_POINTS * ramp (0.5, 0.9, facts->section_share);
}

static int
bits (unsigned set)
{
  int count = 0;
  for (; set != 0; set &= set - 1)
    count++;
  return count;
}

static double
care_points (const TarnScoreFacts *facts)
{
  int needed = bits (facts->care_needed);
  return needed == 0 ? TARN_SCORE_CARE
                     : TARN_SCORE_CARE * bits (facts->care_needed & facts->care_done) / needed;
}

unsigned
tarn_score_missed (const TarnScoreFacts *facts)
{
  const TarnJudgementFacts *truth = &facts->facts;
  bool number = facts->record == TARN_RECORD_EXACT || facts->record == TARN_RECORD_AT_LEAST;
  bool escalated = (facts->care_done & TARN_CARE_ESCALATE) != 0;
  bool full = truth->truth_ml >= facts->retention_ml;
  bool said_full = number && facts->recorded_ml >= facts->retention_ml;
  unsigned missed = 0;

  if (truth->stop && facts->scanned)
    missed |= TARN_MISS_SCANNED_AGAINST_STOP;
  if (!facts->identity_matches && facts->scanned)
    missed |= TARN_MISS_WRONG_PATIENT;
  if (number && facts->from_reading && truth->verdict == TARN_VERDICT_WRONG_FLUID)
    missed |= TARN_MISS_WRONG_FLUID_RECORDED;
  if (full && !said_full && !escalated && !truth->stop)
    missed |= TARN_MISS_MISSED_RETENTION;
  if (number
      && (!facts->from_reading
          || (truth->truth_ml < TARN_EMPTY_ML
              && facts->recorded_ml > truth->truth_ml + facts->tolerance_ml)))
    missed |= TARN_MISS_INVENTED_VOLUME;
  if (facts->catheter_blocked && !(facts->care_done & TARN_CARE_CATHETER))
    missed |= TARN_MISS_BLOCKED_CATHETER_MISSED;
  if (facts->record == TARN_RECORD_EXACT && facts->reading_kind == TARN_READING_LOWER_BOUND
      && truth->truth_ml > facts->recorded_ml + facts->tolerance_ml)
    missed |= TARN_MISS_FALSE_EXACT_NUMBER;
  return missed;
}

TarnScore
tarn_score (const TarnScoreFacts *facts)
{
  assert (facts->tolerance_ml > 0);
  TarnJudged judged = tarn_judge (&facts->judgement, &facts->facts);
  TarnScore score = { .reading = reading_points (facts, &judged),
                      .judgement = judgement_points (&facts->judgement, &judged),
                      .technique = technique_points (facts, &judged),
                      .care = care_points (facts),
                      .missed = tarn_score_missed (facts) };
  score.total = score.reading + score.judgement + score.technique + score.care;
  score.failed = (score.missed & facts->must_not_miss) != 0;
  return score;
}
