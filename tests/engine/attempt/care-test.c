/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What patients answer, what situations need, what is earned and when, and what patients say
 * unasked.  What is needed is common practice, no source. */
#include "bed.h"

#include "base/units.h"

static void
test_answers_tell_the_situation (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnSituation *situation = &patient.situation;
  g_assert_cmpint (tarn_care_answer (&patient, TARN_DEED_IDENTITY), ==,
                   TARN_ANSWER_IDENTITY_MATCHES);
  g_assert_cmpint (tarn_care_answer (&patient, TARN_DEED_CONSENT), ==, TARN_ANSWER_CONSENTS);
  g_assert_cmpint (tarn_care_answer (&patient, TARN_DEED_HISTORY), ==,
                   TARN_ANSWER_VOID_NOT_KNOWN);
  g_assert_cmpint (tarn_care_answer (&patient, TARN_DEED_CATHETER), ==,
                   TARN_ANSWER_NO_CATHETER);
  situation->identity_matches = false;
  situation->consents = false;
  situation->minutes_since_void = 30;
  g_assert_cmpint (tarn_care_answer (&patient, TARN_DEED_IDENTITY), ==,
                   TARN_ANSWER_IDENTITY_DIFFERS);
  g_assert_cmpint (tarn_care_answer (&patient, TARN_DEED_CONSENT), ==, TARN_ANSWER_REFUSES);
  g_assert_cmpint (tarn_care_answer (&patient, TARN_DEED_HISTORY), ==, TARN_ANSWER_VOIDED);

  static const TarnAnswer skin[] = { TARN_ANSWER_SKIN_INTACT, TARN_ANSWER_SKIN_SCAR,
                                     TARN_ANSWER_SKIN_DRESSING, TARN_ANSWER_SKIN_WOUND };
  for (int k = 0; k < 4; k++)
    {
      situation->skin = (TarnSkinState)k;
      g_assert_cmpint (tarn_care_answer (&patient, TARN_DEED_SKIN), ==, skin[k]);
    }
  static const TarnAnswer catheter[]
      = { TARN_ANSWER_NO_CATHETER, TARN_ANSWER_CATHETER_DRAINS, TARN_ANSWER_CATHETER_BLOCKED };
  for (int k = 0; k < 3; k++)
    {
      situation->catheter = (TarnCatheter)k;
      g_assert_cmpint (tarn_care_answer (&patient, TARN_DEED_CATHETER), ==, catheter[k]);
    }
}

/* Each deed is a point of care of its own. */
static void
test_deeds_and_care_match (void)
{
  unsigned all = 0;
  for (int deed = 0; deed < TARN_DEEDS; deed++)
    {
      unsigned care = tarn_care_of ((TarnDeed)deed);
      g_assert_cmpuint (all & care, ==, 0);
      all |= care;
    }
  g_assert_cmpuint (all | TARN_CARE_PALPATE | TARN_CARE_TWO_PLANES, ==, TARN_CARE_ALL);
}

#define ALWAYS                                                                                 \
  (TARN_CARE_HANDS | TARN_CARE_IDENTITY | TARN_CARE_CONSENT | TARN_CARE_DIGNITY                \
   | TARN_CARE_HISTORY | TARN_CARE_POSITION | TARN_CARE_SKIN | TARN_CARE_PALPATE               \
   | TARN_CARE_TWO_PLANES | TARN_CARE_NOTE | TARN_CARE_CLEAN)
#define STOPPED (TARN_CARE_HANDS | TARN_CARE_IDENTITY | TARN_CARE_NOTE | TARN_CARE_ESCALATE)

static void
test_needs_follow_the_situation (void)
{
  TarnPatient plain = tarn_patient_default (), patient = plain;
  g_assert_cmpuint (tarn_care_needed (&patient, 100, 500), ==, ALWAYS);
  g_assert_cmpuint (tarn_care_needed (&patient, 350, 500), ==, ALWAYS | TARN_CARE_ACTION);
  g_assert_cmpuint (tarn_care_needed (&patient, 500, 500), ==,
                    ALWAYS | TARN_CARE_ACTION | TARN_CARE_ESCALATE);
  patient.temper.restless = 0.3;
  g_assert_cmpuint (tarn_care_needed (&patient, 100, 500), ==, ALWAYS | TARN_CARE_BRIEF);
  patient = plain;
  patient.situation.catheter = TARN_CATHETER_DRAINING;
  g_assert_cmpuint (tarn_care_needed (&patient, 20, 500), ==, ALWAYS | TARN_CARE_CATHETER);
  patient.situation.catheter = TARN_CATHETER_BLOCKED;
  g_assert_cmpuint (tarn_care_needed (&patient, 200, 500), ==,
                    ALWAYS | TARN_CARE_CATHETER | TARN_CARE_ACTION | TARN_CARE_ESCALATE);

  /* Nobody who is not to be scanned needs gel, palpation or cleaning. */
  patient = plain;
  patient.situation.stop = true;
  patient.situation.identity_matches = false;
  g_assert_cmpuint (tarn_care_needed (&patient, 700, 500), ==, STOPPED);
  patient.situation.identity_matches = true;
  patient.situation.consents = false;
  g_assert_cmpuint (tarn_care_needed (&patient, 700, 500), ==, STOPPED | TARN_CARE_CONSENT);
  patient.situation.consents = true;
  patient.situation.skin = TARN_SKIN_WOUND;
  g_assert_cmpuint (tarn_care_needed (&patient, 100, 500), ==,
                    STOPPED | TARN_CARE_CONSENT | TARN_CARE_DIGNITY | TARN_CARE_SKIN);
}

static unsigned
care_done (const TarnAttempt *attempt)
{
  return tarn_attempt_bedside (attempt)->care_done;
}

/* What protects from what follows must come first; what ends it, last. */
static void
test_care_has_its_time (void)
{
  TarnAttempt *attempt = bed_plain ();
  const unsigned before = TARN_CARE_HANDS | TARN_CARE_IDENTITY | TARN_CARE_CONSENT
                          | TARN_CARE_DIGNITY | TARN_CARE_SKIN;
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 3);
  for (int deed = 0; deed < TARN_DEEDS; deed++)
    bed_deed (attempt, (TarnDeed)deed);
  g_assert_cmpuint (care_done (attempt) & before, ==, 0);
  g_assert_cmpuint (care_done (attempt) & TARN_CARE_HISTORY, !=, 0);
  g_assert_cmpuint (tarn_attempt_bedside (attempt)->deeds, ==, (1u << TARN_DEEDS) - 1);
  /* Still pressed: not clean for long. */
  bed_wait (attempt, 0.1);
  g_assert_cmpuint (care_done (attempt) & TARN_CARE_CLEAN, ==, 0);
  bed_hand (attempt, 40, 0, 0, 0);
  bed_wait (attempt, 2);
  bed_deed (attempt, TARN_DEED_CLEAN);
  bed_wait (attempt, 1);
  g_assert_cmpuint (care_done (attempt) & TARN_CARE_CLEAN, !=, 0);
  tarn_attempt_free (attempt);

  attempt = bed_plain ();
  for (int deed = 0; deed < TARN_DEEDS; deed++)
    bed_deed (attempt, (TarnDeed)deed);
  g_assert_cmpuint (care_done (attempt) & before, ==, before);
  g_assert_cmpuint (tarn_attempt_bedside (attempt)->deed_tick[TARN_DEED_NOTE], ==, 0);
  g_assert_cmpint (tarn_attempt_bedside (attempt)->answer[TARN_DEED_NOTE], ==,
                   TARN_ANSWER_DONE);
  tarn_attempt_free (attempt);
}

static gboolean
surveyed_after (TarnAttempt *attempt, double above_mm, double turn_deg, double force_n)
{
  bed_hand (attempt, above_mm, 0, turn_deg, force_n);
  bed_wait (attempt, 2);
  return (care_done (attempt) & TARN_CARE_TWO_PLANES) != 0;
}

static void
test_two_planes_are_earned_by_looking (void)
{
  TarnAttempt *attempt = bed_plain ();
  g_assert_false (surveyed_after (attempt, 45, 0, 4));
  g_assert_false (surveyed_after (attempt, 45, 45, 4));  /* neither */
  g_assert_false (surveyed_after (attempt, 45, 90, 0));  /* off the skin */
  g_assert_false (surveyed_after (attempt, 170, 90, 4)); /* not the bladder */
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 1);
  g_assert_false (surveyed_after (attempt, 45, 90, 4)); /* not live */
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 0);
  g_assert_true (surveyed_after (attempt, 45, -90, 4)); /* the mark to the feet */
  tarn_attempt_free (attempt);
}

static void
test_palpating_is_felt_and_earned (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  BED (attempt, .kind = TARN_INPUT_PALPATE, .value = { 40, 900 });
  g_assert_cmpfloat (bedside->finger_n_mm, ==, 0);
  g_assert_cmpuint (care_done (attempt) & TARN_CARE_PALPATE, ==, 0);
  BED (attempt, .kind = TARN_INPUT_PALPATE, .value = { 60, 0 });
  double soft = bedside->finger_n_mm;
  BED (attempt, .kind = TARN_INPUT_PALPATE, .value = { -5, 0 });
  g_assert_cmpfloat (bedside->finger_n_mm, >, 1.3 * soft);
  g_assert_cmpfloat (bedside->finger_above_mm, ==, -5);
  g_assert_cmpuint (care_done (attempt) & TARN_CARE_PALPATE, !=, 0);
  tarn_attempt_free (attempt);
}

/* Voices. */

static TarnVoice
voice (const TarnAttempt *attempt)
{
  return tarn_attempt_bedside (attempt)->voice;
}

/* How often each voice is heard over @seconds. */
static void
listen (TarnAttempt *attempt, double seconds, int heard[TARN_VOICES])
{
  uint32_t last = tarn_attempt_bedside (attempt)->voice_tick;
  for (int k = 0; k < seconds * 60; k++)
    {
      bed_wait (attempt, 1.0 / 60);
      const TarnBedside *bedside = tarn_attempt_bedside (attempt);
      if (bedside->voice != TARN_VOICE_NONE && bedside->voice_tick != last)
        {
          heard[bedside->voice]++;
          last = bedside->voice_tick;
        }
    }
}

static void
test_nobody_speaks_without_cause (void)
{
  TarnAttempt *attempt = bed_plain ();
  for (int deed = 0; deed < TARN_DEEDS; deed++)
    bed_deed (attempt, (TarnDeed)deed);
  bed_hand (attempt, 40, 0, 0, 5);
  bed_wait (attempt, 20);
  g_assert_cmpint (voice (attempt), ==, TARN_VOICE_NONE);
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 10 });
  bed_wait (attempt, 0.1);
  g_assert_cmpint (voice (attempt), ==, TARN_VOICE_COLD);
  int heard[TARN_VOICES] = { 0 };
  BED (attempt, .kind = TARN_INPUT_GEL, .value = { 10 });
  listen (attempt, 20, heard);
  g_assert_cmpint (heard[TARN_VOICE_COLD], ==, 0);
  tarn_attempt_free (attempt);
}

/* Unasked, unseen, uncovered: one after the other, and none twice for one touch. */
static void
test_probe_without_asking (void)
{
  TarnAttempt *attempt = bed_plain ();
  int heard[TARN_VOICES] = { 0 };
  bed_hand (attempt, 40, 0, 0, 5);
  listen (attempt, 30, heard);
  g_assert_cmpint (heard[TARN_VOICE_WHO], ==, 1);
  g_assert_cmpint (heard[TARN_VOICE_EXPOSED], ==, 1);
  tarn_attempt_free (attempt);
}

static void
test_pain_is_told_and_ends (void)
{
  TarnAttempt *attempt = bed_plain ();
  const TarnBedside *bedside = tarn_attempt_bedside (attempt);
  for (int deed = 0; deed < TARN_DEEDS; deed++)
    bed_deed (attempt, (TarnDeed)deed);
  int heard[TARN_VOICES] = { 0 };
  bed_hand (attempt, 40, 0, 0, bedside->comfort_n + 10);
  listen (attempt, 15, heard);
  g_assert_true (bedside->guarding);
  g_assert_cmpint (heard[TARN_VOICE_HURTS], >=, 2);
  g_assert_cmpint (heard[TARN_VOICE_HURTS], <=, 4);
  bed_hand (attempt, 40, 0, 0, 5);
  listen (attempt, 15, heard);
  g_assert_false (bedside->guarding);
  g_assert_cmpint (heard[TARN_VOICE_BETTER], ==, 1);
  g_assert_cmpint (voice (attempt), ==, TARN_VOICE_BETTER);
  tarn_attempt_free (attempt);
}

static void
test_full_bladder_is_felt (void)
{
  TarnPatient patient = tarn_patient_default ();
  for (int full = 0; full < 2; full++)
    {
      patient.bladder.volume_ml = full ? 520 : 150;
      TarnAttempt *attempt = bed_new (&patient, 0, NULL, false);
      int heard[TARN_VOICES] = { 0 };
      bed_deed (attempt, TARN_DEED_IDENTITY);
      bed_deed (attempt, TARN_DEED_CONSENT);
      bed_deed (attempt, TARN_DEED_PRIVACY);
      bed_hand (attempt, 40, 0, 0, 12);
      listen (attempt, 10, heard);
      g_assert_cmpint (heard[TARN_VOICE_URGE], ==, full);
      tarn_attempt_free (attempt);
    }
}

static void
test_restless_until_asked (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.temper.restless = 0.6;
  for (int asked = 0; asked < 2; asked++)
    {
      TarnAttempt *attempt = bed_new (&patient, 5, NULL, false);
      int heard[TARN_VOICES] = { 0 };
      if (asked)
        bed_deed (attempt, TARN_DEED_BRIEF);
      bed_hand (attempt, 40, 0, 0, 5);
      listen (attempt, 30, heard);
      g_assert_cmpint (heard[TARN_VOICE_RESTLESS] > 0, ==, !asked);
      tarn_attempt_free (attempt);
    }
}

static void
test_sore_and_refused (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.situation.skin = TARN_SKIN_DRESSING;
  patient.situation.consents = false;
  TarnAttempt *attempt = bed_new (&patient, 5, NULL, false);
  int heard[TARN_VOICES] = { 0 };
  bed_deed (attempt, TARN_DEED_CONSENT);
  bed_hand (attempt, 40, 0, 0, 5);
  listen (attempt, 20, heard);
  g_assert_cmpint (heard[TARN_VOICE_SORE], ==, 1);
  g_assert_cmpint (heard[TARN_VOICE_REFUSED], ==, 1);
  tarn_attempt_free (attempt);
}

/* Asked for consent, nobody wonders who that is; the wrist band changes nothing. */
static void
test_who_only_when_not_asked (void)
{
  TarnAttempt *attempt = bed_plain ();
  int heard[TARN_VOICES] = { 0 };
  bed_deed (attempt, TARN_DEED_CONSENT);
  bed_hand (attempt, 40, 0, 0, 5);
  listen (attempt, 30, heard);
  g_assert_cmpint (heard[TARN_VOICE_WHO], ==, 0);
  tarn_attempt_free (attempt);
}

/* After a no, gel brings it back before "cold", and the probe before "exposed". */
static void
test_refusal_comes_first (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.situation.consents = false;
  for (int probe = 0; probe < 2; probe++)
    {
      TarnAttempt *attempt = bed_new (&patient, 5, NULL, false);
      int heard[TARN_VOICES] = { 0 };
      bed_deed (attempt, TARN_DEED_CONSENT);
      if (probe)
        bed_hand (attempt, 40, 0, 0, 5);
      else
        BED (attempt, .kind = TARN_INPUT_GEL, .value = { 20 });
      for (int tenth = 0; tenth < 100 && voice (attempt) == TARN_VOICE_NONE; tenth++)
        bed_wait (attempt, 0.1);
      g_assert_cmpint (voice (attempt), ==, TARN_VOICE_REFUSED);
      listen (attempt, 20, heard);
      g_assert_cmpint (heard[probe ? TARN_VOICE_EXPOSED : TARN_VOICE_COLD], ==, 1);
      tarn_attempt_free (attempt);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/care/answers", test_answers_tell_the_situation);
  g_test_add_func ("/care/deeds", test_deeds_and_care_match);
  g_test_add_func ("/care/needs", test_needs_follow_the_situation);
  g_test_add_func ("/care/time", test_care_has_its_time);
  g_test_add_func ("/care/two-planes", test_two_planes_are_earned_by_looking);
  g_test_add_func ("/care/palpating", test_palpating_is_felt_and_earned);
  g_test_add_func ("/voice/no-cause", test_nobody_speaks_without_cause);
  g_test_add_func ("/voice/unasked", test_probe_without_asking);
  g_test_add_func ("/voice/pain", test_pain_is_told_and_ends);
  g_test_add_func ("/voice/urge", test_full_bladder_is_felt);
  g_test_add_func ("/voice/restless", test_restless_until_asked);
  g_test_add_func ("/voice/sore-and-refused", test_sore_and_refused);
  g_test_add_func ("/voice/who-only-when-not-asked", test_who_only_when_not_asked);
  g_test_add_func ("/voice/refusal-comes-first", test_refusal_comes_first);
  return g_test_run ();
}
