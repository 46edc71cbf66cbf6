/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the patient says unasked.
 *
 * A cause arms a voice, which is said when nobody has just spoken; the most pressing first.
 * What has lost its cause by then is not said.  All times are own design values. */
#include "engine/attempt/state.h"

#define PAUSE_S          4.0
#define HURTS_PAUSE_S    1.0 /* pain does not wait its turn */
#define HURTS_AGAIN_S    6.0
#define RESTLESS_AGAIN_S 20.0
#define RESTLESS_TALKS   0.3
#define URGE_N           8.0
#define URGE_SHARE       0.8 /* of retention */

/* The most pressing first. */
static const TarnVoice in_order[] = { TARN_VOICE_HURTS,  TARN_VOICE_SORE, TARN_VOICE_REFUSED,
                                      TARN_VOICE_WHO,    TARN_VOICE_URGE, TARN_VOICE_EXPOSED,
                                      TARN_VOICE_BETTER, TARN_VOICE_COLD, TARN_VOICE_RESTLESS };

static void
arm (TarnAttempt *attempt, TarnVoice voice)
{
  attempt->voices.wants |= 1u << voice;
}

static void
disarm (TarnAttempt *attempt, TarnVoice voice)
{
  attempt->voices.wants &= ~(1u << voice);
}

static bool
said (const TarnAttempt *attempt, TarnVoice voice)
{
  return (attempt->voices.said & (1u << voice)) != 0;
}

static bool
said_within (const TarnAttempt *attempt, TarnVoice voice, double seconds)
{
  return said (attempt, voice)
         && attempt->bedside.tick - attempt->voices.tick[voice]
                < seconds * TARN_TICKS_PER_SECOND;
}

static bool
did (const TarnAttempt *attempt, TarnDeed deed)
{
  return (attempt->bedside.deeds & (1u << deed)) != 0;
}

/* Asked, and said no. */
static bool
has_refused (const TarnAttempt *attempt)
{
  return did (attempt, TARN_DEED_CONSENT)
         && attempt->bedside.answer[TARN_DEED_CONSENT] == TARN_ANSWER_REFUSES;
}

/* The probe has come down. */
static void
hear_touch (TarnAttempt *attempt)
{
  TarnSkinState skin = attempt->patient.situation.skin;
  if (skin == TARN_SKIN_WOUND || skin == TARN_SKIN_DRESSING)
    arm (attempt, TARN_VOICE_SORE);
  if (has_refused (attempt))
    arm (attempt, TARN_VOICE_REFUSED);
  /* Who explains is known, whether or not the wrist band was read. */
  if (!did (attempt, TARN_DEED_CONSENT))
    arm (attempt, TARN_VOICE_WHO);
  if (!did (attempt, TARN_DEED_PRIVACY) && !said (attempt, TARN_VOICE_EXPOSED))
    arm (attempt, TARN_VOICE_EXPOSED);
}

/* The probe has gone: what it was the cause of is past. */
static void
hear_release (TarnAttempt *attempt)
{
  static const TarnVoice of_touch[]
      = { TARN_VOICE_SORE, TARN_VOICE_REFUSED, TARN_VOICE_WHO, TARN_VOICE_EXPOSED };
  for (size_t k = 0; k < sizeof of_touch / sizeof of_touch[0]; k++)
    disarm (attempt, of_touch[k]);
}

static void
hear_force (TarnAttempt *attempt)
{
  const TarnBedside *bedside = &attempt->bedside;
  TarnVoices *voices = &attempt->voices;
  if (bedside->guarding
      && (!voices->was_guarding || !said_within (attempt, TARN_VOICE_HURTS, HURTS_AGAIN_S)))
    {
      arm (attempt, TARN_VOICE_HURTS);
      disarm (attempt, TARN_VOICE_BETTER);
    }
  if (!bedside->guarding && voices->was_guarding)
    {
      disarm (attempt, TARN_VOICE_HURTS);
      if (said (attempt, TARN_VOICE_HURTS))
        arm (attempt, TARN_VOICE_BETTER);
    }
  voices->was_guarding = bedside->guarding;

  double truth_ml = tarn_body_true_volume_ml (tarn_bodies_now (attempt));
  bool full = truth_ml >= URGE_SHARE * attempt->setup.retention_ml;
  if (full && bedside->pose.force_n >= URGE_N && !voices->was_urged)
    arm (attempt, TARN_VOICE_URGE);
  if (bedside->pose.force_n >= URGE_N)
    voices->was_urged = true;
  else if (bedside->pose.force_n < URGE_N / 2)
    {
      voices->was_urged = false;
      disarm (attempt, TARN_VOICE_URGE);
    }
}

static void
hear_unrest (TarnAttempt *attempt)
{
  bool restless = attempt->patient.temper.restless >= RESTLESS_TALKS && attempt->bedside.on_skin
                  && !tarn_unrest_asked (attempt);
  if (restless && !said_within (attempt, TARN_VOICE_RESTLESS, RESTLESS_AGAIN_S))
    arm (attempt, TARN_VOICE_RESTLESS);
  if (!restless)
    disarm (attempt, TARN_VOICE_RESTLESS);
}

/* Whether something has just been said. */
static bool
must_wait (const TarnAttempt *attempt, TarnVoice voice)
{
  const TarnBedside *bedside = &attempt->bedside;
  double pause_s = voice == TARN_VOICE_HURTS ? HURTS_PAUSE_S : PAUSE_S;
  return bedside->voice != TARN_VOICE_NONE
         && bedside->tick - bedside->voice_tick < pause_s * TARN_TICKS_PER_SECOND;
}

void
tarn_voice_gel (TarnAttempt *attempt)
{
  if (has_refused (attempt))
    arm (attempt, TARN_VOICE_REFUSED);
  if (!said (attempt, TARN_VOICE_COLD))
    arm (attempt, TARN_VOICE_COLD);
}

void
tarn_voice_tick (TarnAttempt *attempt)
{
  TarnBedside *bedside = &attempt->bedside;
  TarnVoices *voices = &attempt->voices;
  if (bedside->on_skin && !voices->was_on_skin)
    hear_touch (attempt);
  if (!bedside->on_skin && voices->was_on_skin)
    hear_release (attempt);
  voices->was_on_skin = bedside->on_skin;
  hear_force (attempt);
  hear_unrest (attempt);

  for (size_t k = 0; k < sizeof in_order / sizeof in_order[0]; k++)
    {
      TarnVoice voice = in_order[k];
      if ((voices->wants & (1u << voice)) == 0 || must_wait (attempt, voice))
        continue;
      disarm (attempt, voice);
      voices->said |= 1u << voice;
      voices->tick[voice] = bedside->tick;
      bedside->voice = voice;
      bedside->voice_tick = bedside->tick;
      return;
    }
}
