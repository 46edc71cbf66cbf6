/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * care.h: what is looked at, asked and done around a scan, and what this patient answers.
 *
 * Floor: engine.  Pure.  Codes only: the words, in the learner's language, are the window's. */
#pragma once

#include "engine/patient/patient.h"
#include "engine/verdict/score.h"

/* Things to look at, ask or do; in any order, any number of times, never blocking. */
typedef enum
{
  TARN_DEED_HANDS,    /* clean one's hands */
  TARN_DEED_IDENTITY, /* compare the wrist band with the request */
  TARN_DEED_CONSENT,  /* explain and ask */
  TARN_DEED_PRIVACY,  /* curtain and cover */
  TARN_DEED_HISTORY,  /* last void, scars, pregnancy: ask */
  TARN_DEED_POSITION, /* flat on the back, at ease */
  TARN_DEED_SKIN,     /* look under the drape */
  TARN_DEED_CATHETER, /* look for a catheter, its bag and tube */
  TARN_DEED_BRIEF,    /* ask the patient to lie still and breathe quietly */
  TARN_DEED_NOTE,     /* afterwards: write the note */
  TARN_DEED_ACTION,   /* act under local policy */
  TARN_DEED_ESCALATE, /* tell someone who decides */
  TARN_DEED_CLEAN,    /* wipe patient and probe */
  TARN_DEEDS
} TarnDeed;

/* What this patient answers, or what is seen. */
typedef enum
{
  TARN_ANSWER_NONE,
  TARN_ANSWER_DONE,
  TARN_ANSWER_IDENTITY_MATCHES,
  TARN_ANSWER_IDENTITY_DIFFERS,
  TARN_ANSWER_CONSENTS,
  TARN_ANSWER_REFUSES,
  TARN_ANSWER_VOIDED, /* minutes_since_void says when */
  TARN_ANSWER_VOID_NOT_KNOWN,
  TARN_ANSWER_SKIN_INTACT,
  TARN_ANSWER_SKIN_SCAR,
  TARN_ANSWER_SKIN_DRESSING,
  TARN_ANSWER_SKIN_WOUND,
  TARN_ANSWER_NO_CATHETER,
  TARN_ANSWER_CATHETER_DRAINS,
  TARN_ANSWER_CATHETER_BLOCKED,
  TARN_ANSWER_WILL_LIE_STILL,
  TARN_ANSWERS
} TarnAnswer;

/* What comes of @deed with this patient; TARN_ANSWER_DONE where there is nothing to tell. */
TarnAnswer tarn_care_answer (const TarnPatient *patient, TarnDeed deed);
/* The point of care that a deed is.  Hands, identity, consent, privacy and skin earn it only
 * before the patient has been scanned (the probe on the skin for two seconds in all); cleaning
 * earns it until the patient is touched again. */
TarnCare tarn_care_of (TarnDeed deed);
/* What this situation needs before and after; of TarnCare.  @truth_ml against @retention_ml
 * says whether to escalate. */
unsigned tarn_care_needed (const TarnPatient *patient, double truth_ml, double retention_ml);

/* What the patient says unasked. */
typedef enum
{
  TARN_VOICE_NONE,
  TARN_VOICE_COLD,     /* the first gel */
  TARN_VOICE_HURTS,    /* force above comfort */
  TARN_VOICE_BETTER,   /* eased again */
  TARN_VOICE_URGE,     /* pressed on a full bladder */
  TARN_VOICE_WHO,      /* the probe comes before identity and consent were asked */
  TARN_VOICE_REFUSED,  /* the probe comes after a refusal */
  TARN_VOICE_EXPOSED,  /* the probe comes and nobody drew the curtain */
  TARN_VOICE_RESTLESS, /* moves and talks, not asked to lie still */
  TARN_VOICE_SORE,     /* the probe on a wound or dressing */
  TARN_VOICES
} TarnVoice;
