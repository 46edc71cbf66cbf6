/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a letter prints adds up: the error is that of the column's foot, and the column is
 * rounded as a whole. */
#include "cli/scan_letter.h"

#include "cli/millilitres.h"

#include <math.h>
#include <string.h>

/* What the ledger's causes are called on paper; the JSON has its own names. */
static const char *const cause_words[TARN_CAUSES] = {
  [TARN_CAUSE_EDGE] = "edge of the picture",
  [TARN_CAUSE_BONE] = "shadow of bone",
  [TARN_CAUSE_GAS] = "shadow of gas",
  [TARN_CAUSE_CONTACT] = "dry contact",
  [TARN_CAUSE_MOTION] = "movement of hand or patient, breathing",
  [TARN_CAUSE_OTHER_FLUID] = "other fluid",
  [TARN_CAUSE_REST] = "limits of the instrument: resolution, speed of sound, outline",
};

static const char *const verdict_words[TARN_VERDICTS] = {
  [TARN_VERDICT_ACCURATE] = "accurate",
  [TARN_VERDICT_CLIPPED] = "clipped: part of the bladder lies outside the picture",
  [TARN_VERDICT_SHADOWED] = "shadowed: bone or gas hides part of the bladder",
  [TARN_VERDICT_POOR_CONTACT] = "poor contact: part of the probe's face is dry",
  [TARN_VERDICT_MOVED] = "moved: hand or patient moved during the sweep, or breathing did",
  [TARN_VERDICT_WRONG_FLUID] = "wrong fluid: ", /* and what was taken for it */
  [TARN_VERDICT_UNEXPLAINED] = "not accurate, and no single cause explains it",
  [TARN_VERDICT_NOT_ACCURATE] = "not accurate; without a ledger nobody knows why",
};

/* What may lie inside an outline and is not the bladder's urine. */
static const char *const fluid_words[TARN_STRUCTURE_KINDS] = {
  [TARN_STRUCTURE_CYST] = "a cyst",
  [TARN_STRUCTURE_ASCITES] = "free fluid in the belly",
  [TARN_STRUCTURE_GRAVID_UTERUS] = "the fluid of a gravid uterus",
  [TARN_STRUCTURE_BALLOON] = "a catheter's balloon",
  [TARN_STRUCTURE_CLOT] = "a clot",
  [TARN_STRUCTURE_STONE] = "a stone",
  [TARN_STRUCTURE_HAEMATOMA] = "a haematoma",
};

/* Other fluid that this patient has: " (a cyst or a clot)". */
static void
append_other_fluids (GString *text, const TarnPatient *patient)
{
  bool named[TARN_STRUCTURE_KINDS] = { false };
  const char *before = " (";
  for (int k = 0; k < patient->structures; k++)
    {
      TarnStructureKind kind = patient->structure[k].kind;
      if (fluid_words[kind] == NULL || named[kind])
        continue;
      named[kind] = true;
      g_string_append_printf (text, "%s%s", before, fluid_words[kind]);
      before = " or ";
    }
  if (strcmp (before, " (") != 0)
    g_string_append_c (text, ')');
}

/* From these shares on, what the outlines hold speaks for itself. */
#define OTHER_SHARE_MUCH 0.25
#define URINE_SHARE_MUCH 0.5

static void
append_wrong_fluid (GString *text, const TarnScanReport *report)
{
  const TarnContents *contents = &report->scan->contents;
  const TarnPatient *patient = &report->subject->file->patient;
  if (contents->other >= OTHER_SHARE_MUCH)
    {
      g_string_append (text, "much of what was outlined is other fluid");
      append_other_fluids (text, patient);
    }
  else if (contents->urine < URINE_SHARE_MUCH)
    g_string_append (text, "much of what was outlined is not the bladder's urine: a shadow or "
                           "tissue was taken for it");
  else
    {
      g_string_append (text, "other fluid");
      append_other_fluids (text, patient);
      g_string_append (text, " is what misled the reading most");
    }
}

static void
append_verdict (GString *text, const TarnScanReport *report)
{
  const TarnScan *scan = report->scan;
  g_string_append_printf (text, "Verdict: %s", verdict_words[scan->verdict]);
  if (scan->verdict == TARN_VERDICT_WRONG_FLUID)
    append_wrong_fluid (text, report);
  g_string_append_printf (text, "%s\n",
                          scan->by_luck ? ", but by luck: its errors cancel" : "");
}

/* Of the error and the column that leads to it, which share their decimals. */
static int
column_decimals (const TarnScan *scan)
{
  double largest_ml = fabs (scan->error_ml);
  for (int cause = 0; scan->has_ledger && cause < TARN_CAUSES; cause++)
    largest_ml = fmax (largest_ml, fabs (scan->ledger.entry_ml[cause]));
  return tarn_ml_decimals (largest_ml);
}

static void
append_error (GString *text, const TarnScan *scan)
{
  int decimals = column_decimals (scan);
  g_string_append (text, "Error: ");
  tarn_append_signed_ml (text, tarn_ml_steps (scan->error_ml, decimals), decimals, 0);
  if (scan->sweep.reading.kind == TARN_READING_NOT_SEEN)
    g_string_append (text, ", what is not seen counted as 0 mL");
  g_string_append (text, " (up to ");
  tarn_append_ml (text, scan->tolerance_ml);
  g_string_append (text, " is accepted here)\n");
}

static void
append_reading (GString *text, const TarnScanReport *report)
{
  const TarnScan *scan = report->scan;
  if (scan->sweep.reading.kind == TARN_READING_NOT_SEEN)
    g_string_append (text, "Read: no bladder seen");
  else
    {
      bool least = scan->sweep.reading.kind == TARN_READING_LOWER_BOUND;
      g_string_append_printf (text, "Read: %s", least ? "at least " : "");
      tarn_append_ml (text, scan->sweep.reading.volume_ml);
    }
  g_string_append (text, "\nTruth: ");
  tarn_append_ml (text, scan->truth_ml);
  g_string_append_c (text, '\n');
  if (scan->over_comfort)
    g_string_append_printf (text,
                            "Pressed too hard: %g N is more than this patient bears (%g "
                            "N).\n",
                            report->request->force_n,
                            report->subject->file->patient.temper.comfort_n);
  append_verdict (text, report);
  append_error (text, scan);
}

#define COLUMN 6 /* width of the ledger's numbers */

static void
append_ledger (GString *text, const TarnScan *scan)
{
  int decimals = column_decimals (scan);
  long steps[TARN_CAUSES];
  GString *small = g_string_new (NULL);
  tarn_ml_round_column (scan->ledger.entry_ml, TARN_CAUSES, scan->error_ml, decimals, steps);
  g_string_append (text, "\nWhere the millilitres went\n");
  for (int cause = 0; cause < TARN_CAUSES; cause++)
    {
      if (steps[cause] == 0)
        {
          g_string_append_printf (small, "%s%s", small->len > 0 ? "; " : "",
                                  cause_words[cause]);
          continue;
        }
      tarn_append_signed_ml (text, steps[cause], decimals, COLUMN);
      g_string_append_printf (text, "  %s\n", cause_words[cause]);
    }
  tarn_append_signed_ml (text, tarn_ml_steps (scan->error_ml, decimals), decimals, COLUMN);
  g_string_append (text, "  together\n");
  if (small->len > 0)
    g_string_append_printf (text, "  Less than %s each: %s.\n",
                            decimals > 0 ? "a tenth of a millilitre" : "a millilitre",
                            small->str);
  g_string_free (small, TRUE);
}

static void
append_contact (GString *text, const TarnContact *contact)
{
  g_string_append_printf (
      text, "\nContact: the probe sank in by %.0f mm, %.0f %% of its face is wet.\n",
      contact->indentation_mm, 100 * contact->wet_fraction);
}

void
tarn_scan_write_letter (GString *text, const TarnScanReport *report)
{
  const TarnPatient *patient = &report->subject->file->patient;
  const char *title = tarn_patient_prose (patient, "title", "");
  char *stop = tarn_subject_stop (report->subject);

  g_string_append_printf (text, "%s: %s\n\n", patient->id, title != NULL ? title : "");
  if (stop != NULL)
    g_string_append_printf (text, "%s\nScanned all the same.\n\n", stop);
  append_reading (text, report);
  if (report->scan->has_ledger)
    append_ledger (text, report->scan);
  append_contact (text, &report->scan->sweep.contact);
  g_string_append (text, "\nTraining only, synthetic anatomy; not for clinical use.\n");
  g_free (stop);
}
