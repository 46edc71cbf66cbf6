/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The verdict and the judgement, rule by rule. */
#include "engine/verdict/judgement.h"

#include <glib.h>

#define LEDGER(...)                                                                            \
  {                                                                                            \
    .entry_ml = { __VA_ARGS__ }                                                                \
  }

/* Truth 300 mL, tolerance 30 mL; entries in the causes' order. */
static const struct
{
  const char *claim;
  TarnReadingKind kind;
  double reading_ml;
  TarnContents contents;
  TarnLedger ledger;
  TarnVerdict verdict;
  bool by_luck;
} rows[] = {
  { "within tolerance",
    TARN_READING_MEASURE,
    290,
    { 0.95, 0 },
    LEDGER (0, 0, 0, 0, 0, 0, -10),
    TARN_VERDICT_ACCURATE,
    false },
  { "at the tolerance",
    TARN_READING_MEASURE,
    270,
    { 0.95, 0 },
    LEDGER (-30, 0, 0, 0, 0, 0, 0),
    TARN_VERDICT_ACCURATE,
    false },
  { "entries cancel",
    TARN_READING_MEASURE,
    300,
    { 0.8, 0.2 },
    LEDGER (-40, 0, 0, 0, 0, 40, 0),
    TARN_VERDICT_ACCURATE,
    true },
  { "clipped",
    TARN_READING_LOWER_BOUND,
    200,
    { 0.95, 0 },
    LEDGER (-80, -15, 0, 0, 0, 0, -5),
    TARN_VERDICT_CLIPPED,
    false },
  { "bone",
    TARN_READING_MEASURE,
    200,
    { 0.95, 0 },
    LEDGER (-15, -80, 0, 0, 0, 0, -5),
    TARN_VERDICT_SHADOWED,
    false },
  { "gas",
    TARN_READING_MEASURE,
    200,
    { 0.95, 0 },
    LEDGER (-15, -10, -75, 0, 0, 0, 0),
    TARN_VERDICT_SHADOWED,
    false },
  { "contact",
    TARN_READING_NOT_SEEN,
    0,
    { 0, 0 },
    LEDGER (0, 0, 0, -300, 0, 0, 0),
    TARN_VERDICT_POOR_CONTACT,
    false },
  { "motion, reading high",
    TARN_READING_MEASURE,
    350,
    { 0.85, 0 },
    LEDGER (-60, 0, 0, 0, 90, 0, 20),
    TARN_VERDICT_MOVED,
    false },
  { "other fluid by the ledger",
    TARN_READING_MEASURE,
    360,
    { 0.8, 0.2 },
    LEDGER (0, 0, 0, 0, 0, 70, -10),
    TARN_VERDICT_WRONG_FLUID,
    false },
  { "rest",
    TARN_READING_MEASURE,
    350,
    { 0.85, 0 },
    LEDGER (0, 0, 0, 0, 0, 0, 50),
    TARN_VERDICT_UNEXPLAINED,
    false },
  { "tie: the first",
    TARN_READING_MEASURE,
    200,
    { 0.95, 0 },
    LEDGER (-50, -50, 0, 0, 0, 0, 0),
    TARN_VERDICT_CLIPPED,
    false },
  { "the right number of the wrong fluid",
    TARN_READING_MEASURE,
    300,
    { 0.4, 0.1 },
    LEDGER (0, 0, 0, 0, 0, 0, 0),
    TARN_VERDICT_WRONG_FLUID,
    false },
  { "a quarter of other fluid",
    TARN_READING_MEASURE,
    300,
    { 0.7, 0.26 },
    LEDGER (0, 0, 0, 0, 0, 0, 0),
    TARN_VERDICT_WRONG_FLUID,
    false },
};

static void
test_rows (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (rows); k++)
    {
      bool luck;
      TarnVerdictFacts facts = { .reading = { rows[k].kind, rows[k].reading_ml },
                                 .truth_ml = 300,
                                 .tolerance_ml = 30,
                                 .contents = rows[k].contents,
                                 .ledger = &rows[k].ledger };
      g_test_message ("%s", rows[k].claim);
      g_assert_cmpstr (tarn_verdict_name (tarn_verdict (&facts, &luck)), ==,
                       tarn_verdict_name (rows[k].verdict));
      g_assert_cmpint (luck, ==, rows[k].by_luck);
    }
}

static void
test_empty_bladder_not_seen_is_accurate (void)
{
  TarnLedger ledger = LEDGER (0, 0, 0, 0, 0, 0, -9);
  TarnVerdictFacts facts = {
    .reading = { TARN_READING_NOT_SEEN, 0 }, .truth_ml = 9, .tolerance_ml = 5, .ledger = &ledger
  };
  g_assert_cmpint (tarn_verdict (&facts, NULL), ==, TARN_VERDICT_ACCURATE);
  facts.truth_ml = 11;
  g_assert_cmpint (tarn_verdict (&facts, NULL), ==, TARN_VERDICT_UNEXPLAINED);
}

static void
test_without_a_ledger_no_cause_is_known (void)
{
  TarnVerdictFacts facts = { .reading = { TARN_READING_MEASURE, 200 },
                             .truth_ml = 300,
                             .tolerance_ml = 30,
                             .contents = { 1, 0 } };
  bool luck = true;
  g_assert_cmpint (tarn_verdict (&facts, &luck), ==, TARN_VERDICT_NOT_ACCURATE);
  g_assert_false (luck);
  facts.reading.volume_ml = 290;
  g_assert_cmpint (tarn_verdict (&facts, NULL), ==, TARN_VERDICT_ACCURATE);
}

static void
test_verdicts_have_the_names_of_the_json (void)
{
  static const char *const name[TARN_VERDICTS]
      = { "accurate", "clipped",     "shadowed",    "poor-contact",
          "moved",    "wrong-fluid", "unexplained", "not-accurate" };
  for (int k = 0; k < TARN_VERDICTS; k++)
    g_assert_cmpstr (tarn_verdict_name ((TarnVerdict)k), ==, name[k]);
}

/* What is said, of what: reading 200 mL unless a row says otherwise. */
static const struct
{
  const char *claim;
  TarnJudgement judgement;
  TarnJudgementFacts facts;
  bool right, cause_right;
} judgements[] = {
  { "use it, accurate",
    { TARN_JUDGEMENT_USE, 0 },
    { TARN_VERDICT_ACCURATE, false, 200, 205, true, false },
    true,
    false },
  { "use it, by luck",
    { TARN_JUDGEMENT_USE, 0 },
    { TARN_VERDICT_ACCURATE, true, 200, 205, true, false },
    false,
    false },
  { "use it, clipped",
    { TARN_JUDGEMENT_USE, 0 },
    { TARN_VERDICT_CLIPPED, false, 200, 305, true, false },
    false,
    false },
  { "at least, clipped",
    { TARN_JUDGEMENT_AT_LEAST, 0 },
    { TARN_VERDICT_CLIPPED, false, 200, 305, true, false },
    true,
    false },
  { "at least, shadowed",
    { TARN_JUDGEMENT_AT_LEAST, 0 },
    { TARN_VERDICT_SHADOWED, false, 200, 305, true, false },
    true,
    false },
  { "at least, yet above the truth",
    { TARN_JUDGEMENT_AT_LEAST, 0 },
    { TARN_VERDICT_CLIPPED, false, 200, 150, true, false },
    false,
    false },
  { "at least, moved",
    { TARN_JUDGEMENT_AT_LEAST, 0 },
    { TARN_VERDICT_MOVED, false, 200, 305, true, false },
    false,
    false },
  { "not seen, empty, surveyed",
    { TARN_JUDGEMENT_NOT_SEEN, 0 },
    { TARN_VERDICT_ACCURATE, false, 0, 4, true, false },
    true,
    false },
  { "not seen, not surveyed",
    { TARN_JUDGEMENT_NOT_SEEN, 0 },
    { TARN_VERDICT_ACCURATE, false, 0, 4, false, false },
    false,
    false },
  { "not seen, full",
    { TARN_JUDGEMENT_NOT_SEEN, 0 },
    { TARN_VERDICT_POOR_CONTACT, false, 0, 400, true, false },
    false,
    false },
  { "do not use, right cause",
    { TARN_JUDGEMENT_DO_NOT_USE, TARN_VERDICT_MOVED },
    { TARN_VERDICT_MOVED, false, 200, 305, true, false },
    true,
    true },
  { "do not use, wrong cause",
    { TARN_JUDGEMENT_DO_NOT_USE, TARN_VERDICT_CLIPPED },
    { TARN_VERDICT_MOVED, false, 200, 305, true, false },
    true,
    false },
  { "do not use, accurate",
    { TARN_JUDGEMENT_DO_NOT_USE, TARN_VERDICT_MOVED },
    { TARN_VERDICT_ACCURATE, false, 200, 205, true, false },
    false,
    false },
  { "not to be scanned, a stop",
    { TARN_JUDGEMENT_NOT_TO_BE_SCANNED, 0 },
    { TARN_VERDICT_ACCURATE, false, 0, 305, false, true },
    true,
    false },
  { "not to be scanned, no stop",
    { TARN_JUDGEMENT_NOT_TO_BE_SCANNED, 0 },
    { TARN_VERDICT_ACCURATE, false, 0, 305, false, false },
    false,
    false },
  { "use it, accurate, against a stop",
    { TARN_JUDGEMENT_USE, 0 },
    { TARN_VERDICT_ACCURATE, false, 200, 205, true, true },
    false,
    false },
  { "at least, clipped, against a stop",
    { TARN_JUDGEMENT_AT_LEAST, 0 },
    { TARN_VERDICT_CLIPPED, false, 200, 305, true, true },
    false,
    false },
  { "not seen, empty, against a stop",
    { TARN_JUDGEMENT_NOT_SEEN, 0 },
    { TARN_VERDICT_ACCURATE, false, 0, 4, true, true },
    false,
    false },
  { "do not use, right cause, against a stop",
    { TARN_JUDGEMENT_DO_NOT_USE, TARN_VERDICT_MOVED },
    { TARN_VERDICT_MOVED, false, 200, 305, true, true },
    false,
    false },
  { "nothing said, a stop",
    { TARN_JUDGEMENT_NONE, 0 },
    { TARN_VERDICT_ACCURATE, false, 200, 205, true, true },
    false,
    false },
  { "nothing said",
    { TARN_JUDGEMENT_NONE, 0 },
    { TARN_VERDICT_ACCURATE, false, 200, 205, true, false },
    false,
    false },
};

static void
test_judgements (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (judgements); k++)
    {
      TarnJudged judged = tarn_judge (&judgements[k].judgement, &judgements[k].facts);
      g_test_message ("%s", judgements[k].claim);
      g_assert_cmpint (judged.right, ==, judgements[k].right);
      g_assert_cmpint (judged.cause_right, ==, judgements[k].cause_right);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/verdict/rows", test_rows);
  g_test_add_func ("/verdict/empty", test_empty_bladder_not_seen_is_accurate);
  g_test_add_func ("/verdict/no-ledger", test_without_a_ledger_no_cause_is_known);
  g_test_add_func ("/verdict/names", test_verdicts_have_the_names_of_the_json);
  g_test_add_func ("/judgement/rows", test_judgements);
  return g_test_run ();
}
