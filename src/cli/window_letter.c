/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/window_report.h"

#include "base/units.h"

#include <math.h>

/* What befalls a reading, in the letter's words. */
static const char *const trap_words[TARN_VERDICTS] = {
  [TARN_VERDICT_CLIPPED] = "clipped: part of the bladder lies outside the picture",
  [TARN_VERDICT_SHADOWED] = "shadowed: bone or gas hides part of it",
  [TARN_VERDICT_POOR_CONTACT] = "poor contact: part of the probe's face is dry",
  [TARN_VERDICT_MOVED] = "moved",
  [TARN_VERDICT_WRONG_FLUID] = "wrong fluid: something else is taken for the bladder",
  [TARN_VERDICT_UNEXPLAINED] = "not accurate, and nothing single explains it",
  [TARN_VERDICT_NOT_ACCURATE] = "no place for a probe",
};

bool
tarn_window_is_hopeless (const TarnWindowReport *report)
{
  return !report->window->open && !report->subject->file->patient.situation.stop;
}

static void
append_share (GString *text, double share)
{
  double percent = 100 * share;
  if (percent > 0 && percent < 0.5)
    g_string_append (text, "less than 1 %");
  else
    g_string_append_printf (text, "%.0f %%", percent);
}

static void
append_count (GString *text, const TarnAcousticWindow *window)
{
  if (!window->open)
    {
      g_string_append_printf (text,
                              "No window: of %d poses that were tried, none gives an accurate "
                              "reading.\n",
                              window->poses);
      return;
    }
  if (window->lower_bound)
    g_string_append (text, "No pose holds the whole bladder: \"at least\" is the answer.\n");
  g_string_append_printf (text, "Window: %d of the %d poses that were tried ", window->accurate,
                          window->poses);
  g_string_append (text, window->lower_bound ? "rightly say it (" : "read accurately (");
  append_share (text, (double)window->accurate / window->poses);
  g_string_append (text, ").\n");
}

/* "76 mm along the midline", with a word where the map ended before the window did. */
static void
append_extent (GString *text, double extent, const TarnWindowAxis *axis, double unit,
               const char *what)
{
  bool all = extent > (axis->count - 0.5) * axis->step;
  g_string_append_printf (text, "%.0f%s%s", extent / unit, what,
                          all ? " (all that was tried)" : "");
}

static void
append_size (GString *text, const TarnAcousticWindow *window)
{
  g_string_append (text, "Size, through its best pose: ");
  append_extent (text, window->above_mm, &window->above, 1, " mm head to foot");
  g_string_append (text, ", ");
  append_extent (text, window->left_mm, &window->left, 1, " mm side to side");
  g_string_append (text, ", ");
  append_extent (text, window->tilt_rad, &window->tilt, TARN_PI / 180, "° of tilt");
  g_string_append (text, ".\n");
}

static void
append_place (GString *text, const TarnPose *pose)
{
  double left_mm = round (pose->left_mm), tilt_deg = round (tarn_deg_from_rad (pose->tilt_rad));
  g_string_append_printf (text, "%.0f mm above the bone, ", pose->above_mm);
  if (left_mm == 0)
    g_string_append (text, "on the midline, ");
  else
    g_string_append_printf (text, "%.0f mm to the patient's %s, ", fabs (left_mm),
                            left_mm > 0 ? "left" : "right");
  if (tilt_deg == 0)
    g_string_append (text, "not tilted");
  else
    g_string_append_printf (text, "tilted %.0f° to the %s", fabs (tilt_deg),
                            tilt_deg > 0 ? "feet" : "head");
}

static void
append_best (GString *text, const TarnAcousticWindow *window)
{
  g_string_append (text, window->open ? "Best pose: " : "Most is seen from: ");
  append_place (text, &window->best);
  g_string_append_printf (text, ", pressed with %.0f N", window->best.force_n);
  if (window->best_lift > 0)
    g_string_append (text, ", the fold lifted");
  g_string_append_printf (text, "; %.0f %% of the urine is in sight.\n",
                          100 * window->best_coverage);
}

static void
append_traps (GString *text, const TarnAcousticWindow *window)
{
  bool any = false;
  for (int k = 0; k < TARN_VERDICTS; k++)
    {
      int next = -1;
      /* The largest first: pick the k-th by size. */
      for (int v = 0; v < TARN_VERDICTS; v++)
        {
          int before = 0;
          for (int w = 0; w < TARN_VERDICTS; w++)
            before += window->share[w] > window->share[v]
                      || (window->share[w] == window->share[v] && w < v);
          next = before == k ? v : next;
        }
      bool said = window->lower_bound && next == TARN_VERDICT_CLIPPED;
      if (trap_words[next] == NULL || window->share[next] <= 0 || said)
        continue;
      if (!any)
        g_string_append (text, "\nWhat the other poses run into\n");
      any = true;
      double percent = 100 * window->share[next];
      if (percent < 0.5)
        g_string_append_printf (text, "  %4s  %s\n", "< 1 %", trap_words[next]);
      else
        g_string_append_printf (text, "  %3.0f %%  %s\n", percent, trap_words[next]);
    }
}

void
tarn_window_write_letter (GString *text, const TarnWindowReport *report)
{
  const TarnPatient *patient = &report->subject->file->patient;
  const TarnAcousticWindow *window = report->window;
  const char *title = tarn_patient_prose (patient, "title", "");
  char *stop = tarn_subject_stop (report->subject);

  g_string_append_printf (text, "%s: %s\n\n", patient->id, title != NULL ? title : "");
  if (stop != NULL)
    g_string_append_printf (text, "%s\nMapped all the same.\n\n", stop);
  append_count (text, window);
  if (window->open)
    append_size (text, window);
  append_best (text, window);
  g_string_append_printf (text, "Difficulty: %.0f of 100\n", window->difficulty);
  append_traps (text, window);
  g_string_append (text, "\nTraining only, synthetic anatomy; not for clinical use.\n");
  g_free (stop);
}
