/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The score's parts and the errors that fail an attempt. */
#include "engine/verdict/score.h"

#include <glib.h>

/* All done well: 320 mL, read as 322, recorded and used. */
static TarnScoreFacts
flawless (void)
{
  return (TarnScoreFacts){
    .record = TARN_RECORD_EXACT,
    .recorded_ml = 322,
    .from_reading = true,
    .tolerance_ml = 32,
    .retention_ml = TARN_RETENTION_DEFAULT_ML,
    .measurable = true,
    .scanned = true,
    .identity_matches = true,
    .judgement = { TARN_JUDGEMENT_USE, TARN_VERDICT_NOT_ACCURATE },
    .facts = { TARN_VERDICT_ACCURATE, false, 322, 320, true, false },
    .force_n = 5,
    .comfort_n = 20,
    .wet_fraction = 0.97,
    .wander_mm = 0.5,
    .section_share = 0.95,
    .care_needed = TARN_CARE_NOTE | TARN_CARE_CLEAN,
    .care_done = TARN_CARE_NOTE | TARN_CARE_CLEAN,
    .must_not_miss = 0x7f,
  };
}

static void
test_flawless_attempt_scores_a_hundred (void)
{
  TarnScoreFacts facts = flawless ();
  TarnScore score = tarn_score (&facts);
  g_assert_cmpfloat (score.total, ==, 100);
  g_assert_cmpuint (score.missed, ==, 0);
  g_assert_false (score.failed);
}

/* Full within half the tolerance, none beyond twice, linear between. */
static void
test_reading_points_over_the_error (void)
{
  static const double rows[][2]
      = { { 0, 50 }, { 0.5, 50 }, { 0.8, 40 }, { 1.25, 25 }, { 2, 0 }, { 5, 0 } };
  for (gsize k = 0; k < G_N_ELEMENTS (rows); k++)
    for (int sign = -1; sign <= 1; sign += 2)
      {
        TarnScoreFacts facts = flawless ();
        facts.recorded_ml = facts.facts.truth_ml + sign * rows[k][0] * facts.tolerance_ml;
        g_assert_cmpfloat_with_epsilon (tarn_score (&facts).reading, rows[k][1], 1e-9);
      }
}

static void
test_at_least_costs_nothing_where_no_pose_holds_the_bladder (void)
{
  TarnScoreFacts facts = flawless ();
  facts.record = TARN_RECORD_AT_LEAST;
  facts.measurable = false;
  facts.recorded_ml = 900;
  facts.facts = (TarnJudgementFacts){ TARN_VERDICT_CLIPPED, false, 900, 1700, true, false };
  facts.judgement.kind = TARN_JUDGEMENT_AT_LEAST;
  g_assert_cmpfloat (tarn_score (&facts).total, ==, 100);
  facts.measurable = true;
  g_assert_cmpfloat (tarn_score (&facts).reading, ==, 0);
}

static void
test_rightly_not_scanning_scores_a_hundred (void)
{
  TarnScoreFacts facts = flawless ();
  facts.record = TARN_RECORD_NONE;
  facts.scanned = false;
  facts.facts.stop = true;
  facts.judgement.kind = TARN_JUDGEMENT_NOT_TO_BE_SCANNED;
  TarnScore score = tarn_score (&facts);
  g_assert_cmpfloat (score.total, ==, 100);
  g_assert_false (score.failed);
}

static void
test_judgement_points (void)
{
  TarnScoreFacts facts = flawless ();
  facts.facts.verdict = TARN_VERDICT_MOVED;
  g_assert_cmpfloat (tarn_score (&facts).judgement, ==, 0);
  facts.judgement = (TarnJudgement){ TARN_JUDGEMENT_DO_NOT_USE, TARN_VERDICT_SHADOWED };
  g_assert_cmpfloat (tarn_score (&facts).judgement, ==, 15);
  facts.judgement.cause = TARN_VERDICT_MOVED;
  g_assert_cmpfloat (tarn_score (&facts).judgement, ==, 20);
}

/* Each fault of the hand costs its own points and no others. */
static void
test_technique_points (void)
{
  TarnScoreFacts facts = flawless ();
  facts.force_n = 21;
  g_assert_cmpfloat (tarn_score (&facts).technique, ==, 11);
  facts.wet_fraction = 0.7;
  g_assert_cmpfloat_with_epsilon (tarn_score (&facts).technique, 9, 1e-9);
  facts.wander_mm = 6;
  g_assert_cmpfloat_with_epsilon (tarn_score (&facts).technique, 6, 1e-9);
  facts.section_share = 0.4;
  g_assert_cmpfloat_with_epsilon (tarn_score (&facts).technique, 2, 1e-9);
}

static void
test_care_is_the_share_of_what_was_needed (void)
{
  TarnScoreFacts facts = flawless ();
  facts.care_needed = TARN_CARE_CONSENT | TARN_CARE_NOTE | TARN_CARE_CLEAN;
  facts.care_done = TARN_CARE_NOTE | TARN_CARE_PALPATE;
  g_assert_cmpfloat (tarn_score (&facts).care, ==, 5);
  facts.care_needed = 0;
  g_assert_cmpfloat (tarn_score (&facts).care, ==, 15);
}

/* Each point of care weighs the same, and there are no others. */
static void
test_every_point_of_care_counts (void)
{
  TarnScoreFacts facts = flawless ();
  facts.care_needed = TARN_CARE_ALL;
  int points = 0;
  for (unsigned care = 1; care <= TARN_CARE_ALL; care <<= 1, points++)
    {
      facts.care_done = care;
      g_assert_cmpfloat_with_epsilon (tarn_score (&facts).care, TARN_SCORE_CARE / 15, 1e-12);
    }
  g_assert_cmpint (points, ==, 15);
  facts.care_done = TARN_CARE_ALL;
  g_assert_cmpfloat (tarn_score (&facts).care, ==, TARN_SCORE_CARE);
}

static void
test_each_must_not_miss_error (void)
{
  TarnScoreFacts facts = flawless ();
  facts.facts.stop = true;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, TARN_MISS_SCANNED_AGAINST_STOP);

  facts = flawless ();
  facts.identity_matches = false;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, TARN_MISS_WRONG_PATIENT);

  facts = flawless ();
  facts.facts.verdict = TARN_VERDICT_WRONG_FLUID;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, TARN_MISS_WRONG_FLUID_RECORDED);

  facts = flawless ();
  facts.facts.truth_ml = 700;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, TARN_MISS_MISSED_RETENTION);
  facts.care_done |= TARN_CARE_ESCALATE;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, 0);

  facts = flawless ();
  facts.from_reading = false;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, TARN_MISS_INVENTED_VOLUME);
  facts = flawless ();
  facts.facts.truth_ml = 3;
  facts.recorded_ml = 55;
  facts.tolerance_ml = 10;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, TARN_MISS_INVENTED_VOLUME);

  facts = flawless ();
  facts.catheter_blocked = true;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, TARN_MISS_BLOCKED_CATHETER_MISSED);
  facts.care_done |= TARN_CARE_CATHETER;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, 0);

  facts = flawless ();
  facts.reading_kind = TARN_READING_LOWER_BOUND;
  facts.facts.truth_ml = 450;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, TARN_MISS_FALSE_EXACT_NUMBER);
  facts.record = TARN_RECORD_AT_LEAST;
  g_assert_cmpuint (tarn_score_missed (&facts), ==, 0);
}

/* An error not on the patient's list is reported and does not fail. */
static void
test_only_listed_errors_fail (void)
{
  TarnScoreFacts facts = flawless ();
  facts.identity_matches = false;
  g_assert_true (tarn_score (&facts).failed);
  facts.must_not_miss = TARN_MISS_INVENTED_VOLUME;
  g_assert_false (tarn_score (&facts).failed);
  g_assert_cmpuint (tarn_score (&facts).missed, ==, TARN_MISS_WRONG_PATIENT);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/score/flawless", test_flawless_attempt_scores_a_hundred);
  g_test_add_func ("/score/reading", test_reading_points_over_the_error);
  g_test_add_func ("/score/at-least",
                   test_at_least_costs_nothing_where_no_pose_holds_the_bladder);
  g_test_add_func ("/score/not-scanning", test_rightly_not_scanning_scores_a_hundred);
  g_test_add_func ("/score/judgement", test_judgement_points);
  g_test_add_func ("/score/technique", test_technique_points);
  g_test_add_func ("/score/care", test_care_is_the_share_of_what_was_needed);
  g_test_add_func ("/score/all-care", test_every_point_of_care_counts);
  g_test_add_func ("/score/must-not-miss", test_each_must_not_miss_error);
  g_test_add_func ("/score/listed", test_only_listed_errors_fail);
  return g_test_run ();
}
