/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Words without a display: every code has some, numbers read as people write them, and what a
 * letter says adds up. */
#include "app/words.h"

#include "base/units.h"

#include <string.h>

static const TarnUnits plain = { 0 };

#define ASSERT_TEXT(made, wanted)                                                              \
  G_STMT_START                                                                                 \
  {                                                                                            \
    g_autofree char *text_made = (made);                                                       \
    g_assert_cmpstr (text_made, ==, (wanted));                                                 \
  }                                                                                            \
  G_STMT_END

static void
test_numbers (void)
{
  const TarnUnits other = { .cubic_cm = TRUE, .millimetres = TRUE };
  ASSERT_TEXT (tarn_words_volume (213.6, &plain), "214 mL");
  ASSERT_TEXT (tarn_words_volume (6.42, &plain), "6.4 mL");
  ASSERT_TEXT (tarn_words_volume (0, &plain), "0 mL");
  ASSERT_TEXT (tarn_words_volume (213.6, &other), "214 cm³");
  ASSERT_TEXT (tarn_words_signed_volume (-71, 0, &plain), "−71 mL");
  ASSERT_TEXT (tarn_words_signed_volume (12, 1, &plain), "+1.2 mL");
  ASSERT_TEXT (tarn_words_signed_volume (0, 1, &plain), "0 mL");
  ASSERT_TEXT (tarn_words_length (81.4, &plain), "8.1 cm");
  ASSERT_TEXT (tarn_words_length (81.4, &other), "81 mm");
  ASSERT_TEXT (tarn_words_time (84 * TARN_TICKS_PER_SECOND), "1:24");
}

/* A lower bound is said in words, never with a sign. */
static void
test_readings (void)
{
  ASSERT_TEXT (tarn_words_reading (&(TarnReading){ TARN_READING_MEASURE, 214 }, &plain),
               "214 mL");
  ASSERT_TEXT (tarn_words_reading (&(TarnReading){ TARN_READING_LOWER_BOUND, 640 }, &plain),
               "At least 640 mL");
  ASSERT_TEXT (tarn_words_reading (&(TarnReading){ TARN_READING_NOT_SEEN, 0 }, &plain),
               "Not seen");
  ASSERT_TEXT (tarn_words_record (TARN_RECORD_AT_LEAST, 640, &plain), "At least 640 mL");
  ASSERT_TEXT (tarn_words_record (TARN_RECORD_NONE, 640, &plain), "Nothing");
}

/* Facts: 8 × 10 × 12 cm by 0.52 is 499.2 mL. */
static void
test_formula (void)
{
  const TarnDiameters diameters = { .length_mm = 120, .width_mm = 100, .height_mm = 80 };
  ASSERT_TEXT (tarn_words_formula (&diameters, 0.52, &plain),
               "0.52 × 12.0 cm × 10.0 cm × 8.0 cm = 499 mL");
  g_autofree char *ellipsoid = tarn_words_coefficient (TARN_COEFFICIENT_ELLIPSOID);
  g_assert_nonnull (strstr (ellipsoid, "0.524"));
  g_assert_nonnull (strstr (ellipsoid, "ellipsoid"));
  ASSERT_TEXT (tarn_words_coefficient (0.77), "Coefficient 0.77, chosen freely");
}

/* The list for the translators is the engine's. */
static void
test_shapes (void)
{
  for (int k = 0; k < TARN_COEFFICIENTS; k++)
    {
      g_assert_cmpstr (tarn_words_shape (k), ==, tarn_coefficient (k)->name);
      g_assert_cmpstr (tarn_words_shape_source (k), ==, tarn_coefficient (k)->source);
    }
}

static void
test_poses (void)
{
  const TarnPose pose
      = { .above_mm = 30, .left_mm = 5, .tilt_rad = tarn_rad_from_deg (20), .force_n = 4 };
  ASSERT_TEXT (tarn_words_pose (&pose, &plain),
               "30 mm above, 5 mm left, tilted 20° to the feet, light pressure");
  const TarnPose other = { .above_mm = -12,
                           .left_mm = -8,
                           .tilt_rad = tarn_rad_from_deg (-6),
                           .lean_rad = tarn_rad_from_deg (9),
                           .force_n = 0 };
  ASSERT_TEXT (tarn_words_pose (&other, &plain),
               "12 mm below, 8 mm right, tilted 6° to the head, leaning 9° to the left, "
               "off the skin");
}

/* With the mark to the patient's right, planes of negative angles lean to the feet; turned by
 * 90°, to the patient's right (as the sheet of planes says). */
static void
test_planes (void)
{
  ASSERT_TEXT (tarn_words_plane (13, 36, tarn_rad_from_deg (-12), 0),
               "Plane 14 of 36, 12° to the feet");
  ASSERT_TEXT (tarn_words_plane (20, 36, tarn_rad_from_deg (12), 0),
               "Plane 21 of 36, 12° to the head");
  ASSERT_TEXT (tarn_words_plane (0, 36, tarn_rad_from_deg (-35), tarn_rad_from_deg (90)),
               "Plane 1 of 36, 35° to the patient’s right");
  ASSERT_TEXT (tarn_words_plane (18, 36, 0.001, 0), "Plane 19 of 36, straight on");
}

/* Every code has words of its own. */
static void
test_every_code_has_words (void)
{
  for (int k = 0; k < TARN_DEEDS; k++)
    g_assert_cmpuint (strlen (tarn_words_deed ((TarnDeed)k)), >, 4);
  for (int k = 0; k < TARN_WORDS_CARES; k++)
    g_assert_cmpuint (strlen (tarn_words_care (k)), >, 4);
  g_assert_null (tarn_words_care (TARN_WORDS_CARES));
  g_assert_cmpint (TARN_CARE_ALL >> TARN_WORDS_CARES, ==, 0);
  for (int k = TARN_ANSWER_NONE + 1; k < TARN_ANSWERS; k++)
    {
      g_autofree char *answer = tarn_words_answer ((TarnAnswer)k, 40);
      g_assert_cmpuint (strlen (answer), >, 4);
    }
  for (int k = TARN_VOICE_NONE + 1; k < TARN_VOICES; k++)
    g_assert_cmpuint (strlen (tarn_words_voice ((TarnVoice)k)), >, 4);
  for (unsigned bit = 0; bit < 7; bit++)
    g_assert_cmpuint (strlen (tarn_words_miss ((TarnMustNotMiss)(1u << bit))), >, 20);
  for (int k = 0; k < TARN_VERDICTS; k++)
    g_assert_cmpuint (strlen (tarn_words_verdict_sentence ((TarnVerdict)k)), >, 20);
  for (int k = 0; k < TARN_WORDS_CAUSES; k++)
    {
      g_autofree char *lost = tarn_words_cause_cost (k, -12, &plain);
      g_autofree char *gained = tarn_words_cause_cost (k, 12, &plain);
      g_assert_nonnull (strstr (lost, "12 mL"));
      g_assert_nonnull (strstr (gained, "12 mL"));
      g_assert_cmpstr (lost, !=, gained);
      g_assert_cmpuint (strlen (tarn_words_next (k)), >, 30);
    }
}

static void
test_answers (void)
{
  ASSERT_TEXT (tarn_words_answer (TARN_ANSWER_VOIDED, 1), "“I went 1 minute ago.”");
  ASSERT_TEXT (tarn_words_answer (TARN_ANSWER_VOIDED, 40), "“I went 40 minutes ago.”");
  ASSERT_TEXT (tarn_words_answer (TARN_ANSWER_VOIDED, 0), "“I went just now.”");
  ASSERT_TEXT (tarn_words_answer (TARN_ANSWER_VOIDED, 480), "“I last went about 8 hours ago.”");
}

static void
test_judgements (void)
{
  ASSERT_TEXT (tarn_words_judgement_said (
                   &(TarnJudgement){ TARN_JUDGEMENT_DO_NOT_USE, TARN_VERDICT_SHADOWED }),
               "Do not use it: shadowed");
  ASSERT_TEXT (tarn_words_judgement_said (
                   &(TarnJudgement){ TARN_JUDGEMENT_DO_NOT_USE, TARN_VERDICT_NOT_ACCURATE }),
               "Do not use it");
  ASSERT_TEXT (tarn_words_judgement_said (&(TarnJudgement){ TARN_JUDGEMENT_USE, 0 }), "Use it");
}

/* 320 mL read as 214: bone −70.6, edge −37.9, rest +2.5. */
static TarnTruth
low_reading (void)
{
  TarnTruth truth = { .truth_ml = 320,
                      .tolerance_ml = 32,
                      .record = TARN_RECORD_EXACT,
                      .recorded_ml = 214,
                      .verdict = TARN_VERDICT_SHADOWED,
                      .has_ledger = true };
  truth.ledger.entry_ml[TARN_CAUSE_BONE] = -70.6;
  truth.ledger.entry_ml[TARN_CAUSE_EDGE] = -37.9;
  truth.ledger.entry_ml[TARN_CAUSE_REST] = 2.5;
  truth.facts.scanned = true;
  truth.facts.facts.reading_ml = 214;
  return truth;
}

static void
test_letter (void)
{
  TarnTruth truth = low_reading ();
  ASSERT_TEXT (tarn_words_headline (&truth, &plain),
               "You wrote 214 mL; the bladder held 320 mL.");
  ASSERT_TEXT (tarn_words_main_causes (&truth, &plain),
               "The bone hid 71 mL. The edge of the picture cut 38 mL.");
  truth.record = TARN_RECORD_AT_LEAST;
  ASSERT_TEXT (tarn_words_headline (&truth, &plain),
               "You wrote at least 214 mL; the bladder held 320 mL.");
  truth.recorded = -1;
  ASSERT_TEXT (tarn_words_headline (&truth, &plain),
               "You wrote at least 214 mL, which no reading gave; the bladder held 320 mL.");
  ASSERT_TEXT (tarn_words_main_causes (&truth, &plain), "");
  truth.record = TARN_RECORD_NONE;
  truth.judged = 0;
  ASSERT_TEXT (tarn_words_headline (&truth, &plain),
               "You read 214 mL and wrote nothing down; the bladder held 320 mL.");
  truth.facts.scanned = false;
  ASSERT_TEXT (tarn_words_headline (&truth, &plain),
               "You measured nothing; the bladder held 320 mL.");
}

/* What would have been right is said where one was wrong. */
static void
test_judged (void)
{
  TarnTruth truth = low_reading ();
  g_assert_cmpstr (tarn_words_judged (&truth), ==, "You gave no judgement.");
  truth.judgement.kind = TARN_JUDGEMENT_USE;
  truth.facts.facts.truth_ml = 320;
  g_assert_cmpstr (tarn_words_judged (&truth), ==,
                   "That was not right: “at least” was, or not to use it.");
  truth.judgement.kind = TARN_JUDGEMENT_NOT_SEEN;
  g_assert_cmpstr (tarn_words_judged (&truth), ==,
                   "That was not right: the bladder is not empty.");
  truth.judgement.kind = TARN_JUDGEMENT_USE;
  truth.verdict = TARN_VERDICT_WRONG_FLUID;
  g_assert_cmpstr (tarn_words_judged (&truth), ==,
                   "That was not right: the reading should not be used.");
  truth.facts.facts.stop = true;
  g_assert_cmpstr (tarn_words_judged (&truth), ==,
                   "That was not right: something spoke against scanning.");
  truth.was_right = (TarnJudged){ .right = true };
  g_assert_cmpstr (tarn_words_judged (&truth), ==, "That was right.");
  truth.judgement.kind = TARN_JUDGEMENT_DO_NOT_USE;
  g_assert_cmpstr (tarn_words_judged (&truth), ==, "That was right, but the cause is another.");
}

/* Not passed comes first, with one sentence for each error on the patient's list. */
static void
test_not_passed (void)
{
  TarnTruth truth = low_reading ();
  truth.verdict = TARN_VERDICT_ACCURATE;
  g_assert_cmpstr (tarn_words_result (&truth), ==, "Accurate");
  truth.score.failed = true;
  truth.score.missed
      = TARN_MISS_SCANNED_AGAINST_STOP | TARN_MISS_WRONG_PATIENT | TARN_MISS_FALSE_EXACT_NUMBER;
  truth.facts.must_not_miss
      = TARN_MISS_SCANNED_AGAINST_STOP | TARN_MISS_WRONG_PATIENT | TARN_MISS_INVENTED_VOLUME;
  ASSERT_TEXT (tarn_words_headline (&truth, &plain),
               "Not passed. Something in this situation spoke against scanning, and you "
               "scanned. The band and the request did not agree, and you went on: the wrong "
               "patient.");
  ASSERT_TEXT (tarn_words_comparison (&truth, &plain),
               "You wrote 214 mL; the bladder held 320 mL.");
  ASSERT_TEXT (tarn_words_main_causes (&truth, &plain), "");
  g_assert_cmpstr (tarn_words_result (&truth), ==, "Not passed");
  truth.judgement.kind = TARN_JUDGEMENT_NOT_TO_BE_SCANNED;
  truth.was_right.right = true;
  g_assert_cmpstr (tarn_words_judged (&truth), ==, "So it is, and yet you scanned.");
}

/* The total is what the parts shown add up to. */
static void
test_score (void)
{
  const TarnScore score
      = { .reading = 42.6, .judgement = 20, .technique = 13.6, .care = 12.6, .total = 88.8 };
  g_assert_cmpint (tarn_words_score (&score), ==, 43 + 20 + 14 + 13);
  const TarnScore full = { .reading = TARN_SCORE_READING,
                           .judgement = TARN_SCORE_JUDGEMENT,
                           .technique = TARN_SCORE_TECHNIQUE,
                           .care = TARN_SCORE_CARE };
  g_assert_cmpint (tarn_words_score (&full), ==, 100);
}

/* By luck: bone −40, other fluid +42. */
static void
test_letter_of_luck (void)
{
  TarnTruth truth = low_reading ();
  truth.verdict = TARN_VERDICT_ACCURATE;
  ASSERT_TEXT (tarn_words_main_causes (&truth, &plain), "That is as close as it has to be.");
  truth.by_luck = true;
  ASSERT_TEXT (tarn_words_main_causes (&truth, &plain),
               "That is close, but by luck: large errors cancel.");
}

/* The column adds up to the rounded reading less the rounded truth, whatever the parts. */
static void
test_split_adds_up (void)
{
  for (int turn = 0; turn < 500; turn++)
    {
      TarnTruth truth
          = { .truth_ml = g_test_rand_double_range (0, 900), .has_ledger = turn % 3 != 0 };
      if (truth.has_ledger)
        for (int k = 0; k < TARN_CAUSES; k++)
          truth.ledger.entry_ml[k] = g_test_rand_double_range (-40, 40);
      else
        truth.calipers
            = (TarnCaliperReport){ .coefficient = 0.52,
                                   .caliper_error_ml = g_test_rand_double_range (-90, 90),
                                   .formula_error_ml = g_test_rand_double_range (-90, 90) };
      TarnWordsSplit split = tarn_words_split (&truth);
      g_assert_cmpint (split.causes, ==, truth.has_ledger ? TARN_CAUSES : 2);
      long sum = 0;
      for (int k = 0; k < split.causes; k++)
        {
          sum += split.steps[k];
          if (k > 0)
            g_assert_cmpfloat (ABS (split.ml[k]), <=, ABS (split.ml[k - 1]));
        }
      double step = split.decimals > 0 ? 0.1 : 1;
      double before = (double)sum * step + truth.truth_ml;
      g_assert_cmpfloat_with_epsilon (before, split.reading_ml, 1.01 * step);
    }
}

static void
test_nothing_to_split (void)
{
  const TarnTruth truth = { .truth_ml = 320, .judged = -1 };
  TarnWordsSplit split = tarn_words_split (&truth);
  g_assert_cmpint (split.causes, ==, 0);
  g_assert_cmpint (split.has_split, ==, FALSE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/words/numbers", test_numbers);
  g_test_add_func ("/words/readings", test_readings);
  g_test_add_func ("/words/formula", test_formula);
  g_test_add_func ("/words/shapes", test_shapes);
  g_test_add_func ("/words/poses", test_poses);
  g_test_add_func ("/words/planes", test_planes);
  g_test_add_func ("/words/every-code-has-words", test_every_code_has_words);
  g_test_add_func ("/words/answers", test_answers);
  g_test_add_func ("/words/judgements", test_judgements);
  g_test_add_func ("/words/letter", test_letter);
  g_test_add_func ("/words/judged", test_judged);
  g_test_add_func ("/words/not-passed", test_not_passed);
  g_test_add_func ("/words/score", test_score);
  g_test_add_func ("/words/letter-of-luck", test_letter_of_luck);
  g_test_add_func ("/words/split-adds-up", test_split_adds_up);
  g_test_add_func ("/words/nothing-to-split", test_nothing_to_split);
  return g_test_run ();
}
