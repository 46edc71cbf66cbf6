/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Judgements, verdicts, causes, and the letter that they make. */
#include "app/words.h"

#include "report/rounding.h"

#include <glib/gi18n.h>
#include <math.h>

const char *
tarn_words_judgement (TarnJudgementKind kind)
{
  static const char *const words[TARN_JUDGEMENTS] = {
    [TARN_JUDGEMENT_NONE] = N_ ("Not judged"),
    [TARN_JUDGEMENT_USE] = N_ ("Use it"),
    [TARN_JUDGEMENT_AT_LEAST] = N_ ("At least"),
    [TARN_JUDGEMENT_NOT_SEEN] = N_ ("Not seen"),
    [TARN_JUDGEMENT_DO_NOT_USE] = N_ ("Do not use it"),
    [TARN_JUDGEMENT_NOT_TO_BE_SCANNED] = N_ ("Should not be scanned"),
  };
  g_return_val_if_fail (kind < TARN_JUDGEMENTS, "");
  return _ (words[kind]);
}

const char *
tarn_words_judgement_hint (TarnJudgementKind kind)
{
  static const char *const words[TARN_JUDGEMENTS] = {
    [TARN_JUDGEMENT_NONE] = "",
    [TARN_JUDGEMENT_USE] = N_ ("It is close enough to act on."),
    [TARN_JUDGEMENT_AT_LEAST] = N_ ("The bladder holds this or more."),
    [TARN_JUDGEMENT_NOT_SEEN] = N_ ("Looked in two directions; no bladder shows."),
    [TARN_JUDGEMENT_DO_NOT_USE] = N_ ("It is wrong, and I know why."),
    [TARN_JUDGEMENT_NOT_TO_BE_SCANNED] = N_ ("Something speaks against scanning now."),
  };
  g_return_val_if_fail (kind < TARN_JUDGEMENTS, "");
  return kind == TARN_JUDGEMENT_NONE ? "" : _ (words[kind]);
}

char *
tarn_words_judgement_said (const TarnJudgement *judgement)
{
  /* Whole phrases, since some languages bend the cause. */
  static const char *const because[TARN_VERDICTS] = {
    [TARN_VERDICT_CLIPPED] = N_ ("Do not use it: clipped"),
    [TARN_VERDICT_SHADOWED] = N_ ("Do not use it: shadowed"),
    [TARN_VERDICT_POOR_CONTACT] = N_ ("Do not use it: poor contact"),
    [TARN_VERDICT_MOVED] = N_ ("Do not use it: moved"),
    [TARN_VERDICT_WRONG_FLUID] = N_ ("Do not use it: wrong fluid"),
  };
  if (judgement->kind == TARN_JUDGEMENT_DO_NOT_USE && judgement->cause < TARN_VERDICTS
      && because[judgement->cause] != NULL)
    return g_strdup (_ (because[judgement->cause]));
  return g_strdup (tarn_words_judgement (judgement->kind));
}

const char *
tarn_words_verdict (TarnVerdict verdict)
{
  static const char *const words[TARN_VERDICTS] = {
    [TARN_VERDICT_ACCURATE] = N_ ("Accurate"),
    [TARN_VERDICT_CLIPPED] = N_ ("Clipped"),
    [TARN_VERDICT_SHADOWED] = N_ ("Shadowed"),
    [TARN_VERDICT_POOR_CONTACT] = N_ ("Poor contact"),
    [TARN_VERDICT_MOVED] = N_ ("Moved"),
    [TARN_VERDICT_WRONG_FLUID] = N_ ("Wrong fluid"),
    [TARN_VERDICT_UNEXPLAINED] = N_ ("Not accurate"),
    [TARN_VERDICT_NOT_ACCURATE] = N_ ("Not accurate"),
  };
  g_return_val_if_fail (verdict < TARN_VERDICTS, "");
  return _ (words[verdict]);
}

const char *
tarn_words_verdict_sentence (TarnVerdict verdict)
{
  static const char *const words[TARN_VERDICTS] = {
    [TARN_VERDICT_ACCURATE] = N_ ("The reading is as close as it has to be."),
    [TARN_VERDICT_CLIPPED] = N_ ("Part of the bladder lies outside the picture."),
    [TARN_VERDICT_SHADOWED] = N_ ("Bone or gas hides part of the bladder."),
    [TARN_VERDICT_POOR_CONTACT] = N_ ("Part of the probe’s face was dry."),
    [TARN_VERDICT_MOVED] = N_ ("Hand or patient moved during the sweep, or breathing did."),
    [TARN_VERDICT_WRONG_FLUID] = N_ ("Much of what was measured is not the bladder’s urine."),
    [TARN_VERDICT_UNEXPLAINED] = N_ ("No single cause explains the error."),
    [TARN_VERDICT_NOT_ACCURATE] = N_ ("The causes were not worked out."),
  };
  g_return_val_if_fail (verdict < TARN_VERDICTS, "");
  return _ (words[verdict]);
}

/* ---- Causes ---- */

const char *
tarn_words_cause (int cause)
{
  static const char *const words[TARN_WORDS_CAUSES] = {
    [TARN_CAUSE_EDGE] = N_ ("Edge of the picture"),
    [TARN_CAUSE_BONE] = N_ ("Shadow of bone"),
    [TARN_CAUSE_GAS] = N_ ("Shadow of gas"),
    [TARN_CAUSE_CONTACT] = N_ ("Dry contact"),
    [TARN_CAUSE_MOTION] = N_ ("Movement and breathing"),
    [TARN_CAUSE_OTHER_FLUID] = N_ ("Other fluid"),
    [TARN_CAUSE_REST] = N_ ("Limits of the instrument"),
    [TARN_WORDS_CALIPERS] = N_ ("Where the calipers stood"),
    [TARN_WORDS_FORMULA] = N_ ("The formula"),
  };
  g_return_val_if_fail (cause >= 0 && cause < TARN_WORDS_CAUSES, "");
  return _ (words[cause]);
}

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
char *
tarn_words_cause_cost (int cause, double ml, const TarnUnits *units)
{
  static const char *const lost[TARN_WORDS_CAUSES] = {
    [TARN_CAUSE_EDGE] = N_ ("The edge of the picture cut %s."),
    [TARN_CAUSE_BONE] = N_ ("The bone hid %s."),
    [TARN_CAUSE_GAS] = N_ ("Gas hid %s."),
    [TARN_CAUSE_CONTACT] = N_ ("Dry contact lost %s."),
    [TARN_CAUSE_MOTION] = N_ ("Movement took away %s."),
    [TARN_CAUSE_OTHER_FLUID] = N_ ("Other fluid beside it misled the outline by %s."),
    [TARN_CAUSE_REST] = N_ ("The limits of the instrument took away %s."),
    [TARN_WORDS_CALIPERS] = N_ ("The calipers stood too close together, for %s."),
    [TARN_WORDS_FORMULA] = N_ ("The formula took away %s."),
  };
  static const char *const gained[TARN_WORDS_CAUSES] = {
    [TARN_CAUSE_EDGE] = N_ ("At the edge of the picture, %s too much was outlined."),
    [TARN_CAUSE_BONE] = N_ ("The shadow of bone was taken for urine: %s too much."),
    [TARN_CAUSE_GAS] = N_ ("The shadow of gas was taken for urine: %s too much."),
    [TARN_CAUSE_CONTACT] = N_ ("Dark from dry contact was taken for urine: %s too much."),
    [TARN_CAUSE_MOTION] = N_ ("Movement added %s."),
    [TARN_CAUSE_OTHER_FLUID] = N_ ("Other fluid added %s."),
    [TARN_CAUSE_REST] = N_ ("The limits of the instrument added %s."),
    [TARN_WORDS_CALIPERS] = N_ ("The calipers stood too far apart, for %s."),
    [TARN_WORDS_FORMULA] = N_ ("The formula added %s."),
  };
  g_return_val_if_fail (cause >= 0 && cause < TARN_WORDS_CAUSES, g_strdup (""));
  g_autofree char *volume = tarn_words_volume (fabs (ml), units);
  return g_strdup_printf (_ (ml < 0 ? lost[cause] : gained[cause]), volume);
}
#pragma GCC diagnostic pop

const char *
tarn_words_next (int cause)
{
  static const char *const words[TARN_WORDS_CAUSES] = {
    [TARN_CAUSE_EDGE]
    = N_ ("See whether the dark area runs into the side or the foot of the picture. Slide or "
          "tilt towards that side, or set more depth, and sweep again; where it is larger than "
          "the picture, write “at least”."),
    [TARN_CAUSE_BONE]
    = N_ ("Move up, a finger’s breadth above the bone’s edge, and tilt to the "
          "feet, so that the sound passes over the bone."),
    [TARN_CAUSE_GAS] = N_ ("Slide a little to the side of the gas, or press gently and wait: "
                           "bowel moves away."),
    [TARN_CAUSE_CONTACT] = N_ ("Lay more gel, hold the probe upright on the skin, and lift a "
                               "fold away before you put it down."),
    [TARN_CAUSE_MOTION] = N_ ("Rest the hand on the patient, ask them to lie still and breathe "
                              "quietly, and sweep between two breaths."),
    [TARN_CAUSE_OTHER_FLUID]
    = N_ ("Look in both directions before the sweep: follow the wall all round, and do not use "
          "a reading when the dark area is not the bladder alone."),
    [TARN_CAUSE_REST] = N_ ("Keep the bladder in the middle of the picture, a few centimetres "
                            "deep, and repeat: what is left is the instrument’s own."),
    [TARN_WORDS_CALIPERS]
    = N_ ("Freeze the widest transverse and the longest sagittal plane; set the calipers from "
          "inner wall to inner wall, three times."),
    [TARN_WORDS_FORMULA] = N_ ("Choose the coefficient by the shape that you see, and say in "
                               "the note which one it was."),
  };
  g_return_val_if_fail (cause >= 0 && cause < TARN_WORDS_CAUSES, "");
  return _ (words[cause]);
}

/* ---- The letter ---- */

/* Insertion by size; ties stay in the causes' order. */
static void
sort_split (TarnWordsSplit *split)
{
  for (int k = 1; k < split->causes; k++)
    for (int j = k; j > 0 && fabs (split->ml[j]) > fabs (split->ml[j - 1]); j--)
      {
        int cause = split->cause[j];
        double ml = split->ml[j];
        split->cause[j] = split->cause[j - 1];
        split->ml[j] = split->ml[j - 1];
        split->cause[j - 1] = cause;
        split->ml[j - 1] = ml;
      }
}

TarnWordsSplit
tarn_words_split (const TarnTruth *truth)
{
  TarnWordsSplit split = { .reading_ml = truth->facts.facts.reading_ml };
  gboolean calipers = truth->calipers.coefficient > 0;
  double sum = 0, largest = 0;

  split.has_split = truth->has_ledger || calipers;
  if (!split.has_split)
    return split;
  for (int k = 0; k < TARN_WORDS_CAUSES; k++)
    if ((k < TARN_CAUSES) == truth->has_ledger)
      {
        double ml = k < TARN_CAUSES            ? truth->ledger.entry_ml[k]
                    : k == TARN_WORDS_CALIPERS ? truth->calipers.caliper_error_ml
                                               : truth->calipers.formula_error_ml;
        split.cause[split.causes] = k;
        split.ml[split.causes++] = ml;
        sum += ml;
        largest = fmax (largest, fabs (ml));
      }
  split.reading_ml = truth->truth_ml + sum;
  sort_split (&split);

  /* Rounded to the volumes that stand beside the column, so that the whole adds up. */
  split.decimals = tarn_ml_decimals (fmax (largest, fmax (truth->truth_ml, split.reading_ml)));
  double step = split.decimals > 0 ? 0.1 : 1;
  double total = step
                 * (double)(tarn_ml_steps (split.reading_ml, split.decimals)
                            - tarn_ml_steps (truth->truth_ml, split.decimals));
  tarn_ml_round_column (split.ml, split.causes, total, split.decimals, split.steps);
  return split;
}

static char *
comparison_without_note (const TarnTruth *truth, const char *read, const char *held)
{
  if (truth->facts.facts.stop && !truth->facts.scanned)
    return g_strdup_printf (_ ("You did not scan; the bladder held %s."), held);
  if (!truth->facts.scanned)
    return g_strdup_printf (_ ("You measured nothing; the bladder held %s."), held);
  if (truth->judged < 0)
    return g_strdup_printf (_ ("You wrote nothing down; the bladder held %s."), held);
  return g_strdup_printf (_ ("You read %s and wrote nothing down; the bladder held %s."), read,
                          held);
}

gboolean
tarn_words_own_number (const TarnTruth *truth)
{
  return truth->recorded < 0
         && (truth->record == TARN_RECORD_EXACT || truth->record == TARN_RECORD_AT_LEAST);
}

char *
tarn_words_comparison (const TarnTruth *truth, const TarnUnits *units)
{
  g_autofree char *held = tarn_words_volume (truth->truth_ml, units);
  g_autofree char *read = tarn_words_volume (truth->facts.facts.reading_ml, units);
  g_autofree char *written = tarn_words_volume (truth->recorded_ml, units);
  if (tarn_words_own_number (truth))
    return truth->record == TARN_RECORD_EXACT
               ? g_strdup_printf (
                   _ ("You wrote %s, which no reading gave; the bladder held %s."), written,
                   held)
               : g_strdup_printf (
                   _ ("You wrote at least %s, which no reading gave; the bladder "
                      "held %s."),
                   written, held);
  switch (truth->record)
    {
    case TARN_RECORD_NONE:
      break;
    case TARN_RECORD_EXACT:
      return g_strdup_printf (_ ("You wrote %s; the bladder held %s."), written, held);
    case TARN_RECORD_AT_LEAST:
      return g_strdup_printf (_ ("You wrote at least %s; the bladder held %s."), written, held);
    case TARN_RECORD_NOT_SEEN:
      return g_strdup_printf (_ ("You wrote that no bladder is seen; it held %s."), held);
    }
  return comparison_without_note (truth, read, held);
}

unsigned
tarn_words_failing (const TarnTruth *truth)
{
  return truth->score.failed ? truth->score.missed & truth->facts.must_not_miss : 0;
}

char *
tarn_words_headline (const TarnTruth *truth, const TarnUnits *units)
{
  unsigned failing = tarn_words_failing (truth);
  if (!truth->score.failed)
    return tarn_words_comparison (truth, units);
  GString *text = g_string_new (_ ("Not passed."));
  /* Sentences follow each other. */
  for (unsigned bit = 1; bit <= failing; bit <<= 1)
    if (failing & bit)
      g_string_append_printf (text, " %s", tarn_words_miss ((TarnMustNotMiss)bit));
  return g_string_free (text, FALSE);
}

const char *
tarn_words_result (const TarnTruth *truth)
{
  return truth->score.failed ? _ ("Not passed") : tarn_words_verdict (truth->verdict);
}

int
tarn_words_points (double points)
{
  return (int)lround (points);
}

int
tarn_words_score (const TarnScore *score)
{
  return tarn_words_points (score->reading) + tarn_words_points (score->judgement)
         + tarn_words_points (score->technique) + tarn_words_points (score->care);
}

#define CAUSES_SAID  2
#define WORTH_A_WORD 0.25 /* of the largest */

char *
tarn_words_main_causes (const TarnTruth *truth, const TarnUnits *units)
{
  TarnWordsSplit split = tarn_words_split (truth);
  double error_ml = split.reading_ml - truth->truth_ml;
  GString *text = g_string_new (NULL);
  double largest = 0;
  int said = 0;

  /* What led a reading astray is not what made the number. */
  if (tarn_words_own_number (truth))
    return g_string_free (text, FALSE);
  if (truth->verdict == TARN_VERDICT_ACCURATE)
    {
      if (truth->score.failed && !truth->by_luck)
        return g_string_free (text, FALSE);
      g_string_append (text, truth->by_luck
                                 ? _ ("That is close, but by luck: large errors cancel.")
                                 : _ ("That is as close as it has to be."));
      return g_string_free (text, FALSE);
    }
  for (int k = 0; k < split.causes && said < CAUSES_SAID; k++)
    {
      if (split.ml[k] * error_ml <= 0 || split.steps[k] == 0
          || fabs (split.ml[k]) < WORTH_A_WORD * largest)
        continue;
      largest = fmax (largest, fabs (split.ml[k]));
      double shown = (double)split.steps[k] / (split.decimals > 0 ? 10 : 1);
      g_autofree char *cost = tarn_words_cause_cost (split.cause[k], shown, units);
      /* Sentences follow each other. */
      g_string_append_printf (text, "%s%s", said++ > 0 ? " " : "", cost);
    }
  return g_string_free (text, FALSE);
}

/* What would have been right to say. */
static const char *
better_judgement (const TarnTruth *truth)
{
  const TarnJudgementFacts *facts = &truth->facts.facts;
  if (facts->stop)
    return _ ("That was not right: something spoke against scanning.");
  if (truth->judgement.kind == TARN_JUDGEMENT_NOT_TO_BE_SCANNED)
    return _ ("That was not right: nothing spoke against scanning.");
  if (truth->judgement.kind == TARN_JUDGEMENT_NOT_SEEN)
    return facts->truth_ml < TARN_EMPTY_ML
               ? _ ("That was not right: look in two directions before you say “not seen”.")
               : _ ("That was not right: the bladder is not empty.");
  if (truth->verdict == TARN_VERDICT_ACCURATE && !truth->by_luck)
    return _ ("That was not right: the reading could be used.");
  if (truth->by_luck && truth->judgement.kind == TARN_JUDGEMENT_DO_NOT_USE)
    return _ ("That was not right: the reading is close, if only by luck.");
  if (truth->by_luck)
    return _ ("That was not right: the reading is close only by luck.");
  if ((truth->verdict == TARN_VERDICT_CLIPPED || truth->verdict == TARN_VERDICT_SHADOWED)
      && facts->truth_ml >= facts->reading_ml && facts->reading_ml > 0)
    return _ ("That was not right: “at least” was, or not to use it.");
  return _ ("That was not right: the reading should not be used.");
}

const char *
tarn_words_judged (const TarnTruth *truth)
{
  if (truth->judgement.kind == TARN_JUDGEMENT_NONE)
    return _ ("You gave no judgement.");
  if (!truth->was_right.right)
    return better_judgement (truth);
  if (truth->judgement.kind == TARN_JUDGEMENT_NOT_TO_BE_SCANNED && truth->facts.scanned)
    return _ ("So it is, and yet you scanned.");
  if (truth->judgement.kind != TARN_JUDGEMENT_DO_NOT_USE)
    return _ ("That was right.");
  return truth->was_right.cause_right ? _ ("That was right, and so is the cause.")
                                      : _ ("That was right, but the cause is another.");
}
