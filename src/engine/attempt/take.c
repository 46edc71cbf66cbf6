/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What each input does. */
#include "engine/attempt/state.h"

#include <math.h>

#define GEL_MAX_G    100.0
#define DEPTH_MIN_MM 20.0
#define DEPTH_MAX_MM 300.0
#define GAIN_MAX_DB  40.0

static bool
within (double value, double low, double high)
{
  return value >= low && value <= high;
}

/* What one holding the probe through a sweep has no hand for. */
static bool
waits_for_sweep (TarnInputKind kind)
{
  return kind == TARN_INPUT_GEL || kind == TARN_INPUT_WIPE || kind == TARN_INPUT_DEPTH
         || kind == TARN_INPUT_GAIN || kind == TARN_INPUT_FREEZE;
}

static TarnStatus
take_gel (TarnAttempt *attempt, double gel_g)
{
  if (!within (gel_g, 0, GEL_MAX_G))
    return TARN_OUT_OF_RANGE;
  TarnStatus status = tarn_attempt_dose (attempt, gel_g);
  if (status == TARN_OK && gel_g > 0)
    tarn_voice_gel (attempt);
  return status;
}

static TarnStatus
take_freeze (TarnAttempt *attempt, int code)
{
  if (code > 1)
    return TARN_OUT_OF_RANGE;
  if (code == 1 && !attempt->bedside.frozen)
    tarn_plane_hold (attempt, &attempt->held);
  attempt->bedside.frozen = code == 1;
  return TARN_OK;
}

static TarnStatus
take_palpate (TarnAttempt *attempt, double above_mm, double left_mm)
{
  TarnBedside *bedside = &attempt->bedside;
  if (!(fabs (above_mm) <= TARN_HAND_PLACE_MAX_MM)
      || !(fabs (left_mm) <= TARN_HAND_PLACE_MAX_MM))
    return TARN_OUT_OF_RANGE;
  bedside->finger_n_mm
      = tarn_contact_palpate_n_mm (tarn_bodies_now (attempt), above_mm, left_mm);
  bedside->finger_above_mm = above_mm;
  bedside->finger_left_mm = left_mm;
  if (bedside->finger_n_mm > 0)
    bedside->care_done |= TARN_CARE_PALPATE;
  return TARN_OK;
}

static TarnStatus
take_judgement (TarnAttempt *attempt, const TarnInput *input)
{
  if (input->code >= TARN_JUDGEMENTS || input->cause >= TARN_VERDICTS || input->reading < -1)
    return TARN_OUT_OF_RANGE;
  TarnJudgement judgement = { (TarnJudgementKind)input->code, TARN_VERDICT_NOT_ACCURATE };
  if (judgement.kind == TARN_JUDGEMENT_DO_NOT_USE)
    judgement.cause = (TarnVerdict)input->cause;

  if (input->reading >= attempt->bedside.readings)
    return TARN_IMPOSSIBLE;
  if (input->reading >= 0)
    attempt->reading[input->reading].made.judgement = judgement;
  else if (judgement.kind == TARN_JUDGEMENT_NONE || judgement.kind == TARN_JUDGEMENT_NOT_SEEN
           || judgement.kind == TARN_JUDGEMENT_NOT_TO_BE_SCANNED)
    attempt->situation_judgement = judgement;
  else
    return TARN_IMPOSSIBLE;
  attempt->judged = input->reading;
  return TARN_OK;
}

static TarnStatus
take_record (TarnAttempt *attempt, const TarnInput *input)
{
  TarnBedside *bedside = &attempt->bedside;
  if (input->code > TARN_RECORD_NOT_SEEN || input->reading < -1)
    return TARN_OUT_OF_RANGE;
  if (input->reading < 0 && !within (input->value[0], 0, TARN_RECORD_MAX_ML))
    return TARN_OUT_OF_RANGE;
  if (input->reading >= bedside->readings)
    return TARN_IMPOSSIBLE;
  bedside->record = (TarnRecordKind)input->code;
  bedside->recorded = input->reading;
  bedside->recorded_ml = input->reading < 0 ? input->value[0] : 0;
  return TARN_OK;
}

static TarnStatus
take_setting (double *setting, double value, double low, double high)
{
  if (!within (value, low, high))
    return TARN_OUT_OF_RANGE;
  *setting = value;
  return TARN_OK;
}

static TarnStatus
take_deed (TarnAttempt *attempt, int code)
{
  if (code >= TARN_DEEDS)
    return TARN_OUT_OF_RANGE;
  tarn_deed_do (attempt, (TarnDeed)code);
  if (code == TARN_DEED_CLEAN)
    tarn_attempt_wipe (attempt);
  return TARN_OK;
}

static TarnStatus
take_abandon (TarnAttempt *attempt)
{
  if (!attempt->bedside.sweeping)
    return TARN_IMPOSSIBLE;
  tarn_sweeping_abandon (attempt);
  return TARN_OK;
}

static TarnStatus
take_finish (TarnAttempt *attempt)
{
  if (attempt->bedside.sweeping)
    tarn_sweeping_abandon (attempt);
  attempt->bedside.finished = true;
  return TARN_OK;
}

TarnStatus
tarn_take (TarnAttempt *attempt, const TarnInput *input)
{
  TarnBedside *bedside = &attempt->bedside;
  if (input->kind >= TARN_INPUTS)
    return TARN_OUT_OF_RANGE;
  if (bedside->finished || (bedside->sweeping && waits_for_sweep (input->kind)))
    return TARN_IMPOSSIBLE;

  switch ((TarnInputKind)input->kind)
    {
    case TARN_INPUT_HAND:
      return tarn_hand_want (attempt, input->value);
    case TARN_INPUT_LIFT:
      return take_setting (&bedside->lift_wanted, input->value[0], 0, 1);
    case TARN_INPUT_GEL:
      return take_gel (attempt, input->value[0]);
    case TARN_INPUT_WIPE:
      tarn_attempt_wipe (attempt);
      return TARN_OK;
    case TARN_INPUT_DEPTH:
      return take_setting (&bedside->depth_mm, input->value[0], DEPTH_MIN_MM, DEPTH_MAX_MM);
    case TARN_INPUT_GAIN:
      return take_setting (&bedside->gain_db, input->value[0], -GAIN_MAX_DB, GAIN_MAX_DB);
    case TARN_INPUT_FREEZE:
      return take_freeze (attempt, input->code);
    case TARN_INPUT_PALPATE:
      return take_palpate (attempt, input->value[0], input->value[1]);
    case TARN_INPUT_DEED:
      return take_deed (attempt, input->code);
    case TARN_INPUT_SWEEP:
      return tarn_sweeping_begin (attempt);
    case TARN_INPUT_ABANDON:
      return take_abandon (attempt);
    case TARN_INPUT_CALIPER:
      return tarn_diameters_set (attempt, input);
    case TARN_INPUT_MEASURE:
      return tarn_diameters_measure (attempt, input->value[0]);
    case TARN_INPUT_JUDGE:
      return take_judgement (attempt, input);
    case TARN_INPUT_RECORD:
      return take_record (attempt, input);
    case TARN_INPUT_FINISH:
      return take_finish (attempt);
    case TARN_INPUTS:
      break;
    }
  return TARN_OUT_OF_RANGE;
}
