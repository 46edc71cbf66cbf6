/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What asking costs: the coverage of a pose, and a patient's window.
 * usage: bench-coach ANATOMY... */
#include "bench.h"

#include "base/random.h"
#include "base/units.h"
#include "engine/coach/window.h"
#include "store/patient_file.h"

#include <stdio.h>

#define POSES   64
#define REPEATS 3

static void
bench_coverage (const TarnPatient *patient)
{
  TarnBody *body = NULL;
  TarnSurvey *survey = NULL;
  double survey_ms[REPEATS], ms[POSES];
  if (tarn_body_new (patient, 0, &body, NULL) != TARN_OK)
    g_error ("%s: no body", patient->id);
  for (int k = 0; k < REPEATS; k++)
    {
      tarn_survey_free (survey);
      double start_ms = bench_now_ms ();
      if (tarn_survey_new (body, &survey) != TARN_OK)
        g_error ("no memory");
      survey_ms[k] = bench_now_ms () - start_ms;
    }
  for (int k = 0; k < POSES; k++)
    {
      TarnPose pose
          = { .above_mm = 20 + 80 * tarn_uniform_at (1, (guint64)(3 * k)),
              .left_mm = -30 + 60 * tarn_uniform_at (1, (guint64)(3 * k + 1)),
              .tilt_rad = tarn_rad_from_deg (30) * tarn_uniform_at (1, (guint64)(3 * k + 2)),
              .force_n = 8 };
      TarnCoverage coverage;
      double start_ms = bench_now_ms ();
      tarn_coverage_at (survey, &pose, NULL, 0, &coverage);
      ms[k] = bench_now_ms () - start_ms;
    }
  g_autofree char *name = g_strdup_printf ("survey %s", patient->id);
  g_autofree char *what = g_strdup_printf ("coverage of a pose %s", patient->id);
  bench_row (name, "ms", survey_ms, REPEATS, "");
  bench_row (what, "ms", ms, POSES, "3");
  tarn_survey_free (survey);
  tarn_body_free (body);
}

static void
bench_window (const TarnPatient *patient)
{
  TarnThreadPool *pool = tarn_thread_pool_new (2);
  TarnAcousticWindow *window = g_new (TarnAcousticWindow, 1);
  TarnWindowOptions options = { .parallel = tarn_thread_pool_parallel (pool) };
  double start_ms = bench_now_ms ();
  if (tarn_window_map (patient, &options, window, NULL) != TARN_OK)
    g_error ("%s: no window", patient->id);
  double ms = bench_now_ms () - start_ms;
  g_autofree char *what = g_strdup_printf ("window of %d poses %s", window->poses, patient->id);
  bench_row (what, "ms", &ms, 1, "10000");
  g_free (window);
  tarn_thread_pool_free (pool);
}

int
main (int argc, char **argv)
{
  if (argc < 2)
    {
      fprintf (stderr, "usage: %s ANATOMY...\n", argv[0]);
      return 2;
    }
  bench_header ();
  for (int k = 1; k < argc; k++)
    {
      GError *error = NULL;
      g_autoptr (TarnPatientFile) file = tarn_patient_file_load (argv[k], &error);
      if (file == NULL)
        g_error ("%s", error->message);
      bench_coverage (&file->patient);
      bench_window (&file->patient);
    }
  return 0;
}
