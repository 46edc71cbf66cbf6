/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is looked at, asked and done around a scan; what it earns, and what a situation needs.
 * All of it common practice, no source. */
#include "engine/attempt/state.h"

#include <assert.h>

/* Own design values. */
#define RESTLESS_NEEDS_ASKING 0.3
#define ACTION_SHARE          0.6 /* of retention: from here on one does more than note it */

TarnCare
tarn_care_of (TarnDeed deed)
{
  static const TarnCare care[TARN_DEEDS] = {
    [TARN_DEED_HANDS] = TARN_CARE_HANDS,     [TARN_DEED_IDENTITY] = TARN_CARE_IDENTITY,
    [TARN_DEED_CONSENT] = TARN_CARE_CONSENT, [TARN_DEED_PRIVACY] = TARN_CARE_DIGNITY,
    [TARN_DEED_HISTORY] = TARN_CARE_HISTORY, [TARN_DEED_POSITION] = TARN_CARE_POSITION,
    [TARN_DEED_SKIN] = TARN_CARE_SKIN,       [TARN_DEED_CATHETER] = TARN_CARE_CATHETER,
    [TARN_DEED_BRIEF] = TARN_CARE_BRIEF,     [TARN_DEED_NOTE] = TARN_CARE_NOTE,
    [TARN_DEED_ACTION] = TARN_CARE_ACTION,   [TARN_DEED_ESCALATE] = TARN_CARE_ESCALATE,
    [TARN_DEED_CLEAN] = TARN_CARE_CLEAN,
  };
  assert (deed < TARN_DEEDS);
  return care[deed];
}

static TarnAnswer
answer_skin (TarnSkinState skin)
{
  switch (skin)
    {
    case TARN_SKIN_INTACT:
      return TARN_ANSWER_SKIN_INTACT;
    case TARN_SKIN_SCAR:
      return TARN_ANSWER_SKIN_SCAR;
    case TARN_SKIN_DRESSING:
      return TARN_ANSWER_SKIN_DRESSING;
    case TARN_SKIN_WOUND:
      return TARN_ANSWER_SKIN_WOUND;
    }
  return TARN_ANSWER_SKIN_INTACT;
}

static TarnAnswer
answer_catheter (TarnCatheter catheter)
{
  switch (catheter)
    {
    case TARN_CATHETER_NONE:
      return TARN_ANSWER_NO_CATHETER;
    case TARN_CATHETER_DRAINING:
      return TARN_ANSWER_CATHETER_DRAINS;
    case TARN_CATHETER_BLOCKED:
      return TARN_ANSWER_CATHETER_BLOCKED;
    }
  return TARN_ANSWER_NO_CATHETER;
}

TarnAnswer
tarn_care_answer (const TarnPatient *patient, TarnDeed deed)
{
  const TarnSituation *situation = &patient->situation;
  switch (deed)
    {
    case TARN_DEED_IDENTITY:
      return situation->identity_matches ? TARN_ANSWER_IDENTITY_MATCHES
                                         : TARN_ANSWER_IDENTITY_DIFFERS;
    case TARN_DEED_CONSENT:
      return situation->consents ? TARN_ANSWER_CONSENTS : TARN_ANSWER_REFUSES;
    case TARN_DEED_HISTORY:
      return situation->minutes_since_void >= 0 ? TARN_ANSWER_VOIDED
                                                : TARN_ANSWER_VOID_NOT_KNOWN;
    case TARN_DEED_SKIN:
      return answer_skin (situation->skin);
    case TARN_DEED_CATHETER:
      return answer_catheter (situation->catheter);
    case TARN_DEED_BRIEF:
      return TARN_ANSWER_WILL_LIE_STILL;
    default:
      return TARN_ANSWER_DONE;
    }
}

/* What leads to finding the reason not to scan, and telling someone; a reason found early makes
 * what comes after it needless. */
static unsigned
needed_at_a_stop (const TarnSituation *situation)
{
  unsigned needed = TARN_CARE_HANDS | TARN_CARE_IDENTITY | TARN_CARE_NOTE | TARN_CARE_ESCALATE;
  if (!situation->identity_matches)
    return needed;
  needed |= TARN_CARE_CONSENT;
  if (!situation->consents)
    return needed;
  needed |= TARN_CARE_DIGNITY | TARN_CARE_SKIN;
  if (situation->skin == TARN_SKIN_WOUND || situation->skin == TARN_SKIN_DRESSING)
    return needed;
  return needed | TARN_CARE_HISTORY;
}

unsigned
tarn_care_needed (const TarnPatient *patient, double truth_ml, double retention_ml)
{
  const TarnSituation *situation = &patient->situation;
  bool blocked = situation->catheter == TARN_CATHETER_BLOCKED;
  if (situation->stop || !situation->identity_matches || !situation->consents)
    return needed_at_a_stop (situation)
           | (situation->catheter != TARN_CATHETER_NONE && situation->identity_matches
                      && situation->consents
                  ? TARN_CARE_CATHETER
                  : 0);

  /* Every patient who is to be scanned. */
  unsigned needed = TARN_CARE_HANDS | TARN_CARE_IDENTITY | TARN_CARE_CONSENT | TARN_CARE_DIGNITY
                    | TARN_CARE_HISTORY | TARN_CARE_POSITION | TARN_CARE_SKIN
                    | TARN_CARE_PALPATE | TARN_CARE_TWO_PLANES | TARN_CARE_NOTE
                    | TARN_CARE_CLEAN;
  /* A tube that should drain is part of the finding. */
  if (situation->catheter != TARN_CATHETER_NONE)
    needed |= TARN_CARE_CATHETER;
  /* Who moves is asked to lie still. */
  if (patient->temper.restless >= RESTLESS_NEEDS_ASKING)
    needed |= TARN_CARE_BRIEF;
  /* Much urine is not only noted: help to pass it, or empty the bladder, as policy says. */
  if (blocked || truth_ml >= ACTION_SHARE * retention_ml)
    needed |= TARN_CARE_ACTION;
  /* Retention, and a tube that should drain and does not, are told to someone who decides. */
  if (blocked || truth_ml >= retention_ml)
    needed |= TARN_CARE_ESCALATE;
  return needed;
}

/* Care that protects the patient from what follows is worth nothing once it has followed. */
static bool
too_late (const TarnAttempt *attempt, TarnCare care)
{
  const unsigned before = TARN_CARE_HANDS | TARN_CARE_IDENTITY | TARN_CARE_CONSENT
                          | TARN_CARE_DIGNITY | TARN_CARE_SKIN;
  return (care & before) != 0 && tarn_attempt_has_scanned (attempt);
}

void
tarn_deed_do (TarnAttempt *attempt, TarnDeed deed)
{
  TarnBedside *bedside = &attempt->bedside;
  TarnCare care = tarn_care_of (deed);
  bedside->deeds |= 1u << deed;
  bedside->deed_tick[deed] = bedside->tick;
  bedside->answer[deed] = tarn_care_answer (&attempt->patient, deed);
  if (!too_late (attempt, care))
    bedside->care_done |= care;
}
