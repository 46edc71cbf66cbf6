/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Patients who should not be scanned, and one whose catheter does not drain: what it costs to
 * scan all the same, and what the right way is worth. */
#include "bed.h"

static const struct
{
  const char *file;
  TarnDeed deed[8]; /* up to what is found */
  int deeds;
  TarnAnswer found;
  unsigned missed_by_scanning;
} stops[] = {
  { "31-name-on-the-wrist.anatomy",
    { TARN_DEED_HANDS, TARN_DEED_IDENTITY },
    2,
    TARN_ANSWER_IDENTITY_DIFFERS,
    TARN_MISS_SCANNED_AGAINST_STOP | TARN_MISS_WRONG_PATIENT },
  { "32-she-said-no.anatomy",
    { TARN_DEED_HANDS, TARN_DEED_IDENTITY, TARN_DEED_CONSENT },
    3,
    TARN_ANSWER_REFUSES,
    TARN_MISS_SCANNED_AGAINST_STOP },
  { "33-under-the-drape.anatomy",
    { TARN_DEED_HANDS, TARN_DEED_IDENTITY, TARN_DEED_CONSENT, TARN_DEED_PRIVACY,
      TARN_DEED_SKIN },
    5,
    TARN_ANSWER_SKIN_WOUND,
    TARN_MISS_SCANNED_AGAINST_STOP },
};

/* Everything done well, as if there were no stop; and still failed. */
static void
test_scanning_against_a_stop_fails (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (stops); k++)
    {
      TarnAttempt *attempt = bed_shipped (stops[k].file);
      for (int deed = 0; deed < TARN_DEEDS; deed++)
        bed_deed (attempt, (TarnDeed)deed);
      bed_sweep (attempt, 45);
      BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE);
      BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT);
      TarnTruth truth;
      bed_finish (attempt, &truth);
      g_assert_cmpuint (truth.score.missed, ==, stops[k].missed_by_scanning);
      g_assert_true (truth.score.failed);
      g_assert_false (truth.was_right.right);
      g_assert_cmpfloat (truth.score.judgement, ==, 0);
      tarn_attempt_free (attempt);
    }
}

/* Finding the stop, telling someone, writing it down; no gel, no probe. */
static void
test_rightly_not_scanning_is_worth_at_least_ninety (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (stops); k++)
    {
      TarnAttempt *attempt = bed_shipped (stops[k].file);
      for (int deed = 0; deed < stops[k].deeds; deed++)
        {
          bed_wait (attempt, 2);
          bed_deed (attempt, stops[k].deed[deed]);
        }
      TarnDeed last = stops[k].deed[stops[k].deeds - 1];
      g_assert_cmpint (tarn_attempt_bedside (attempt)->answer[last], ==, stops[k].found);
      BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_NOT_TO_BE_SCANNED,
           .reading = -1);
      bed_deed (attempt, TARN_DEED_ESCALATE);
      bed_deed (attempt, TARN_DEED_NOTE);
      TarnTruth truth;
      bed_finish (attempt, &truth);
      g_assert_true (truth.was_right.right);
      g_assert_cmpint (truth.judged, ==, -1);
      g_assert_cmpfloat (truth.score.total, ==, 100);
      g_assert_false (truth.score.failed);
      tarn_attempt_free (attempt);
    }
}

/* Not scanning without finding out why, and telling nobody, is right and worth less. */
static void
test_a_guess_is_not_worth_ninety (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (stops); k++)
    {
      TarnAttempt *attempt = bed_shipped (stops[k].file);
      BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_NOT_TO_BE_SCANNED,
           .reading = -1);
      TarnTruth truth;
      bed_finish (attempt, &truth);
      g_assert_cmpfloat (truth.score.care, ==, 0);
      g_assert_cmpfloat (truth.score.total, <, 90);
      tarn_attempt_free (attempt);
    }
}

/* A touch that is taken back at once, as when the patient speaks up, is no scan. */
static void
test_a_touch_taken_back_is_no_scan (void)
{
  TarnAttempt *attempt = bed_shipped ("32-she-said-no.anatomy");
  bed_deed (attempt, TARN_DEED_CONSENT);
  bed_hand (attempt, 45, 0, 0, 5);
  bed_wait (attempt, 0.5);
  g_assert_cmpint (tarn_attempt_bedside (attempt)->voice, ==, TARN_VOICE_REFUSED);
  bed_hand (attempt, 45, 0, 0, 0);
  bed_wait (attempt, 2);
  TarnTruth truth;
  bed_finish (attempt, &truth);
  g_assert_false (truth.facts.scanned);
  g_assert_cmpuint (truth.score.missed, ==, 0);
  tarn_attempt_free (attempt);
}

/* @look: at tube and bag. */
static void
scan_the_blocked (gboolean look, TarnTruth *truth)
{
  static const TarnDeed before[]
      = { TARN_DEED_HANDS, TARN_DEED_IDENTITY, TARN_DEED_CONSENT,  TARN_DEED_PRIVACY,
          TARN_DEED_SKIN,  TARN_DEED_HISTORY,  TARN_DEED_POSITION, TARN_DEED_BRIEF };
  TarnAttempt *attempt = bed_shipped ("12-tube-that-does-not-drain.anatomy");
  for (gsize k = 0; k < G_N_ELEMENTS (before); k++)
    bed_deed (attempt, before[k]);
  if (look)
    bed_deed (attempt, TARN_DEED_CATHETER);
  BED (attempt, .kind = TARN_INPUT_PALPATE, .value = { 0, 0 });
  bed_sweep (attempt, 45);
  BED (attempt, .kind = TARN_INPUT_FREEZE, .code = 0);
  bed_wait (attempt, 1.5);
  bed_hand (attempt, 45, 0, 90, 5);
  bed_wait (attempt, 2);
  bed_hand (attempt, 45, 0, 90, 0);
  bed_wait (attempt, 1.5);
  BED (attempt, .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE);
  BED (attempt, .kind = TARN_INPUT_RECORD, .code = TARN_RECORD_EXACT);
  bed_deed (attempt, TARN_DEED_ESCALATE);
  bed_deed (attempt, TARN_DEED_ACTION);
  bed_deed (attempt, TARN_DEED_CLEAN);
  bed_deed (attempt, TARN_DEED_NOTE);
  bed_finish (attempt, truth);
  tarn_attempt_free (attempt);
}

static void
test_blocked_catheter_must_be_seen (void)
{
  TarnTruth truth;
  scan_the_blocked (true, &truth);
  g_test_message ("%.1f of %.1f mL, %s, %.1f points", truth.recorded_ml, truth.truth_ml,
                  tarn_verdict_name (truth.verdict), truth.score.total);
  g_assert_cmpfloat_with_epsilon (truth.truth_ml, 410, 0.5);
  g_assert_cmpuint (truth.care_needed & ~truth.care_done, ==, 0);
  g_assert_cmpuint (truth.score.missed, ==, 0);
  g_assert_false (truth.score.failed);
  g_assert_cmpfloat (truth.score.total, >=, 90);

  scan_the_blocked (false, &truth);
  g_assert_cmpuint (truth.score.missed, ==, TARN_MISS_BLOCKED_CATHETER_MISSED);
  g_assert_true (truth.score.failed);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/stops/scanned-all-the-same", test_scanning_against_a_stop_fails);
  g_test_add_func ("/stops/not-scanned", test_rightly_not_scanning_is_worth_at_least_ninety);
  g_test_add_func ("/stops/guessed", test_a_guess_is_not_worth_ninety);
  g_test_add_func ("/stops/taken-back", test_a_touch_taken_back_is_no_scan);
  g_test_add_func ("/stops/blocked-catheter", test_blocked_catheter_must_be_seen);
  return g_test_run ();
}
