/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/window_report.h"

#include "base/units.h"
#include "cli/json_text.h"

static void
write_axis (GString *json, const char *key, const TarnWindowAxis *axis, double unit)
{
  tarn_json_open (json, key, '{');
  tarn_json_number (json, "first", axis->first / unit, 4);
  tarn_json_number (json, "step", axis->step / unit, 4);
  tarn_json_number (json, "count", axis->count, 0);
  tarn_json_close (json, '}');
}

static void
write_grid (GString *json, const TarnAcousticWindow *window)
{
  tarn_json_open (json, "grid", '{');
  write_axis (json, "above_mm", &window->above, 1);
  write_axis (json, "left_mm", &window->left, 1);
  write_axis (json, "tilt_deg", &window->tilt, TARN_PI / 180);
  tarn_json_open (json, "layers", '[');
  for (int k = 0; k < window->layers; k++)
    {
      tarn_json_open (json, NULL, '{');
      tarn_json_number (json, "force_n", window->layer[k].force_n, 3);
      tarn_json_number (json, "lift_percent", 100 * window->layer[k].lift, 1);
      tarn_json_close (json, '}');
    }
  tarn_json_close (json, ']');
  tarn_json_close (json, '}');
}

static void
write_best (GString *json, const TarnAcousticWindow *window)
{
  tarn_json_open (json, "best", '{');
  tarn_json_number (json, "above_mm", window->best.above_mm, 3);
  tarn_json_number (json, "left_mm", window->best.left_mm, 3);
  tarn_json_number (json, "tilt_deg", tarn_deg_from_rad (window->best.tilt_rad), 3);
  tarn_json_number (json, "force_n", window->best.force_n, 3);
  tarn_json_number (json, "lift_percent", 100 * window->best_lift, 1);
  tarn_json_number (json, "coverage", window->best_coverage, 4);
  tarn_json_close (json, '}');
  tarn_json_open (json, "size", '{');
  tarn_json_number (json, "above_mm", window->above_mm, 2);
  tarn_json_number (json, "left_mm", window->left_mm, 2);
  tarn_json_number (json, "tilt_deg", tarn_deg_from_rad (window->tilt_rad), 2);
  tarn_json_close (json, '}');
}

void
tarn_window_write_json (GString *json, const TarnWindowReport *report)
{
  const TarnPatient *patient = &report->subject->file->patient;
  const TarnAcousticWindow *window = report->window;
  g_string_append_c (json, '{');
  tarn_json_text (json, "schema", "tarn.window/1");
  tarn_json_open (json, "patient", '{');
  tarn_json_text (json, "id", patient->id);
  tarn_json_text (json, "sha256", report->subject->file->sha256);
  tarn_json_close (json, '}');
  tarn_json_bool (json, "stop", patient->situation.stop);
  write_grid (json, window);
  tarn_json_number (json, "poses", window->poses, 0);
  tarn_json_number (json, "accurate", window->accurate, 0);
  tarn_json_open (json, "shares", '{');
  for (int k = 0; k < TARN_VERDICTS; k++)
    tarn_json_number (json, tarn_verdict_name ((TarnVerdict)k), window->share[k], 4);
  tarn_json_close (json, '}');
  tarn_json_bool (json, "open", window->open);
  tarn_json_bool (json, "lower_bound", window->lower_bound);
  write_best (json, window);
  tarn_json_number (json, "difficulty", window->difficulty, 2);
  g_string_append (json, "}\n");
}
