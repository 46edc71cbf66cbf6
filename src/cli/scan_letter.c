/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/scan_words.h"

#include <math.h>

/* What the ledger's causes are called on paper; the JSON has its own names. */
static const char *const cause_words[TARN_CAUSES] = {
  [TARN_CAUSE_EDGE] = "edge of the picture",
  [TARN_CAUSE_BONE] = "shadow of bone",
  [TARN_CAUSE_GAS] = "shadow of gas",
  [TARN_CAUSE_CONTACT] = "dry contact",
  [TARN_CAUSE_MOTION] = "movement",
  [TARN_CAUSE_OTHER_FLUID] = "other fluid",
  [TARN_CAUSE_REST] = "rest: resolution, speed of sound, outline",
};

static const char *const verdict_words[TARN_VERDICTS] = {
  [TARN_VERDICT_ACCURATE] = "accurate",
  [TARN_VERDICT_CLIPPED] = "clipped: part of the bladder lies outside the picture",
  [TARN_VERDICT_SHADOWED] = "shadowed: bone or gas hides part of the bladder",
  [TARN_VERDICT_POOR_CONTACT] = "poor contact: part of the probe's face is dry",
  [TARN_VERDICT_MOVED] = "moved: hand or patient did not keep still",
  [TARN_VERDICT_WRONG_FLUID]
  = "wrong fluid: much of what was measured is not the bladder's urine",
  [TARN_VERDICT_UNEXPLAINED] = "not accurate, and no single cause explains it",
  [TARN_VERDICT_NOT_ACCURATE] = "not accurate; without a ledger nobody knows why",
};

/* "+0" and "-0" are both "0". */
static void
append_signed (GString *text, double ml)
{
  double whole = round (ml);
  g_string_append_printf (text, whole == 0 ? "%6.0f" : "%+6.0f", whole == 0 ? 0 : whole);
}

static void
append_reading (GString *text, const TarnScan *scan)
{
  double read_ml = scan->sweep.reading.volume_ml;
  switch (scan->sweep.reading.kind)
    {
    case TARN_READING_MEASURE:
      g_string_append_printf (text, "Read: %.0f mL", read_ml);
      break;
    case TARN_READING_LOWER_BOUND:
      g_string_append_printf (text, "Read: at least %.0f mL", read_ml);
      break;
    default:
      g_string_append (text, "Read: no bladder seen");
      break;
    }
  g_string_append_printf (text, "\nTruth: %.0f mL\nVerdict: %s%s\n", scan->truth_ml,
                          verdict_words[scan->verdict],
                          scan->by_luck ? ", but by luck: its errors cancel" : "");
  if (scan->sweep.reading.kind != TARN_READING_NOT_SEEN)
    {
      g_string_append (text, "Error:");
      append_signed (text, scan->error_ml);
      g_string_append_printf (text, " mL, where %.0f are allowed\n", scan->tolerance_ml);
    }
}

static void
append_ledger (GString *text, const TarnScan *scan)
{
  GString *small = g_string_new (NULL);
  g_string_append (text, "\nWhere the millilitres went\n");
  for (int cause = 0; cause < TARN_CAUSES; cause++)
    {
      double ml = scan->ledger.entry_ml[cause];
      if (fabs (ml) < 0.5)
        {
          g_string_append_printf (small, "%s%s", small->len > 0 ? "; " : "",
                                  cause_words[cause]);
          continue;
        }
      append_signed (text, ml);
      g_string_append_printf (text, " mL  %s\n", cause_words[cause]);
    }
  append_signed (text, scan->error_ml);
  g_string_append (text, " mL  together\n");
  if (small->len > 0)
    g_string_append_printf (text, "  Under half a millilitre: %s.\n", small->str);
  g_string_free (small, TRUE);
}

static void
append_contact (GString *text, const TarnScanReport *report)
{
  const TarnContact *contact = &report->scan->sweep.contact;
  g_string_append_printf (
      text, "\nContact: the probe sank in by %.0f mm, %.0f %% of its face is wet.\n",
      contact->indentation_mm, 100 * contact->wet_fraction);
  if (report->scan->over_comfort)
    g_string_append_printf (text, "%.0f N is more than this patient bears (%.0f N).\n",
                            report->request->force_n,
                            report->subject->file->patient.temper.comfort_n);
}

char *
tarn_subject_stop (const TarnSubject *subject)
{
  const TarnPatient *patient = &subject->file->patient;
  if (!patient->situation.stop)
    return NULL;
  const char *why = tarn_patient_prose (patient, "stop", "");
  return g_strdup_printf ("This situation says not to scan: %s",
                          why != NULL ? why : "no reason given");
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
  append_reading (text, report->scan);
  if (report->scan->has_ledger)
    append_ledger (text, report->scan);
  append_contact (text, report);
  g_string_append (text, "\nTraining only, synthetic anatomy; not for clinical use.\n");
  g_free (stop);
}
