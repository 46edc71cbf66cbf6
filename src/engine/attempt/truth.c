/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The truth of a finished attempt.
 *
 * 1. The reading that counts is the one written down, else the one judged last.
 * 2. The judgement that counts is that of the reading written down, else the one given last.
 * 3. Technique is that of the reading that counts.  Calipers are set on held planes, so
 *    nothing moved, and their section is near the largest where no diameter is short.  Who
 *    scanned and made no reading shows force alone. */
#include "engine/attempt/state.h"

#include <math.h>

#define UNSTEADY_MM 100.0 /* of a sweep that was never finished */

/* The reading that counts, or -1. */
static int
counting (const TarnAttempt *attempt)
{
  const TarnBedside *bedside = &attempt->bedside;
  if (bedside->record != TARN_RECORD_NONE && bedside->recorded >= 0)
    return bedside->recorded;
  return attempt->judged;
}

static void
find_judgement (const TarnAttempt *attempt, TarnTruth *truth)
{
  int recorded = truth->record != TARN_RECORD_NONE ? truth->recorded : -1;
  truth->judged = attempt->judged;
  truth->judgement = attempt->situation_judgement;
  if (recorded >= 0 && attempt->reading[recorded].made.judgement.kind != TARN_JUDGEMENT_NONE)
    truth->judged = recorded;
  if (truth->judged >= 0)
    truth->judgement = attempt->reading[truth->judged].made.judgement;
}

/* Nothing is said of an empty bladder's diameters. */
static void
report_calipers (const TarnAttempt *attempt, const TarnMadeReading *reading, TarnTruth *truth)
{
  const TarnBody *body = attempt->bodies[reading->lift_step];
  TarnDiameters true_mm;
  tarn_body_lumen_diameters_mm (body, &true_mm.length_mm, &true_mm.width_mm,
                                &true_mm.height_mm);
  if (truth->truth_ml > 0 && true_mm.length_mm > 0 && true_mm.width_mm > 0
      && true_mm.height_mm > 0)
    truth->calipers = tarn_caliper_report (&reading->made.diameters, reading->made.coefficient,
                                           &true_mm, truth->truth_ml);
}

/* How wide and long a section the calipers stand on, of the widest and longest. */
static double
caliper_section_share (const TarnAttempt *attempt, const TarnMadeReading *reading)
{
  double length_mm, width_mm, height_mm;
  tarn_body_lumen_diameters_mm (attempt->bodies[reading->lift_step], &length_mm, &width_mm,
                                &height_mm);
  const TarnDiameters *set = &reading->made.diameters;
  double share = 1;
  if (length_mm > 0 && width_mm > 0)
    share = fmin (set->length_mm / length_mm, set->width_mm / width_mm);
  return tarn_clamp (share, 0, 1);
}

static void
add_technique (const TarnAttempt *attempt, int index, TarnScoreFacts *facts)
{
  facts->comfort_n = attempt->patient.temper.comfort_n;
  facts->force_n = attempt->force_most_n;
  facts->wander_mm = UNSTEADY_MM;
  if (index < 0)
    return;
  const TarnMadeReading *reading = &attempt->reading[index];
  facts->force_n = reading->made.force_most_n;
  if (reading->scan != NULL)
    {
      bool rightly_unseen = reading->made.reading.kind == TARN_READING_NOT_SEEN
                            && facts->facts.truth_ml < TARN_EMPTY_ML;
      facts->wet_fraction = reading->scan->sweep.contact.wet_fraction;
      facts->wander_mm = reading->made.wander_mm;
      facts->section_share = rightly_unseen ? 1 : reading->made.section_share;
      return;
    }
  facts->wander_mm = 0;
  facts->wet_fraction = 1;
  for (int k = 0; k < TARN_CALIPERS; k++)
    facts->wet_fraction = fmin (facts->wet_fraction, reading->ground[k].wet_fraction);
  facts->section_share = caliper_section_share (attempt, reading);
}

/* What the score looks at.  @index: of the reading that counts, or -1. */
static TarnScoreFacts
facts_of (const TarnAttempt *attempt, const TarnTruth *truth, int index, bool measurable)
{
  const TarnBedside *bedside = &attempt->bedside;
  const TarnSituation *situation = &attempt->patient.situation;
  bool own_number = truth->recorded < 0;
  TarnScoreFacts facts = {
    .record = truth->record,
    .recorded_ml = truth->recorded_ml,
    .from_reading = !own_number,
    .reading_kind
    = own_number ? TARN_READING_MEASURE : attempt->reading[truth->recorded].made.reading.kind,
    .tolerance_ml = truth->tolerance_ml,
    .retention_ml = attempt->setup.retention_ml,
    .measurable = measurable,
    .scanned = tarn_attempt_has_scanned (attempt) || bedside->readings > 0,
    .identity_matches = situation->identity_matches,
    .catheter_blocked = situation->catheter == TARN_CATHETER_BLOCKED,
    .judgement = truth->judgement,
    .facts = { .verdict = truth->verdict,
               .by_luck = truth->by_luck,
               .truth_ml = truth->truth_ml,
               .surveyed = (bedside->care_done & TARN_CARE_TWO_PLANES) != 0,
               .stop = situation->stop },
    .care_needed = truth->care_needed,
    .care_done = truth->care_done,
    .must_not_miss = attempt->patient.pass.must_not_miss,
  };
  if (index >= 0)
    facts.facts.reading_ml = attempt->reading[index].made.reading.volume_ml;
  add_technique (attempt, index, &facts);
  return facts;
}

/* Verdict, ledger and report of the reading that counts. */
static TarnStatus
explain (TarnAttempt *attempt, int index, TarnTruth *truth)
{
  truth->verdict = TARN_VERDICT_NOT_ACCURATE;
  if (index < 0)
    return TARN_OK;
  TarnMadeReading *reading = &attempt->reading[index];
  if (reading->scan == NULL)
    {
      truth->verdict = tarn_diameters_verdict (attempt, index);
      report_calipers (attempt, reading, truth);
      return TARN_OK;
    }
  TarnStatus status = tarn_scan_add_ledger (reading->scan);
  if (status != TARN_OK)
    return status;
  truth->verdict = reading->scan->verdict;
  truth->by_luck = reading->scan->by_luck;
  truth->has_ledger = true;
  truth->ledger = reading->scan->ledger;
  return TARN_OK;
}

static TarnStatus
find_truth (TarnAttempt *attempt, TarnTruth *truth)
{
  const TarnBedside *bedside = &attempt->bedside;
  *truth = (TarnTruth){
    .truth_ml = tarn_body_true_volume_ml (tarn_bodies_now (attempt)),
    .record = bedside->record,
    .recorded = bedside->record != TARN_RECORD_NONE ? bedside->recorded : -1,
    .recorded_ml = bedside->recorded_ml,
    .care_done = bedside->care_done,
  };
  truth->tolerance_ml = tarn_pass_tolerance_ml (&attempt->patient.pass, truth->truth_ml);
  truth->care_needed
      = tarn_care_needed (&attempt->patient, truth->truth_ml, attempt->setup.retention_ml);
  if (truth->recorded >= 0)
    truth->recorded_ml = attempt->reading[truth->recorded].made.reading.volume_ml;
  find_judgement (attempt, truth);

  bool measurable = false;
  int index = counting (attempt);
  TarnStatus status = explain (attempt, index, truth);
  if (status == TARN_OK)
    status = tarn_measurable (attempt, &measurable);
  if (status != TARN_OK)
    return status;
  truth->facts = facts_of (attempt, truth, index, measurable);
  truth->was_right = tarn_judge (&truth->judgement, &truth->facts.facts);
  truth->score = tarn_score (&truth->facts);
  return TARN_OK;
}

TarnStatus
tarn_attempt_truth (TarnAttempt *attempt, TarnTruth *truth)
{
  if (!attempt->bedside.finished)
    return TARN_IMPOSSIBLE;
  if (!attempt->has_truth)
    {
      TarnStatus status = find_truth (attempt, &attempt->truth);
      if (status != TARN_OK)
        return status;
      attempt->has_truth = true;
    }
  *truth = attempt->truth;
  return TARN_OK;
}
