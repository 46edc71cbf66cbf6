/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What advice is worth: the scripted novices on patient files, a row for each.
 *
 *     bench-learn [--starts N] [--seed N] [--planes N] [--threads N] [--kinds LETTERS] [--log]
 *                 FILE...
 *
 * LETTERS: of u, a and i, for unaided, advised and image-only.  With --log a line for each
 * novice stands on standard error.  Two hundred starts of a patient take some minutes.
 * Without a FILE: what one novice takes. */
#include "base/parallel.h"
#include "base/units.h"
#include "bench.h"
#include "engine/coach/novice.h"
#include "store/patient_file.h"

#include <stdio.h>
#include <string.h>

typedef struct
{
  int starts, planes, threads;
  gint64 seed;
  char *kinds, **files;
  gboolean log;
} Settings;

static const char letters[] = "uai";
static const char *const names[TARN_NOVICES] = { "unaided", "advised", "image-only" };

static void
log_run (void *context, int start, TarnNoviceKind kind, const TarnNoviceRun *run)
{
  const TarnPose *p = &run->pose;
  fprintf (stderr,
           "%s start %d %s habit %d: %s after %d sweeps, %d moves, last %d%s; above %.0f left "
           "%.0f tilt %.0f lean %.0f turn %.0f force %.1f lift %g wet %.2f; %s %.1f of %.1f, "
           "expected %.1f\n",
           (const char *)context, start, names[kind], run->habit, run->success ? "good" : "BAD",
           run->sweeps, run->moves, run->last, run->at_least ? " at least" : "", p->above_mm,
           p->left_mm, tarn_deg_from_rad (p->tilt_rad), tarn_deg_from_rad (p->lean_rad),
           tarn_deg_from_rad (p->turn_rad), p->force_n, run->lift, run->wet_fraction,
           tarn_reading_kind_name (run->reading.kind), run->reading.volume_ml, run->truth_ml,
           run->expected_ml);
}

static gboolean
learn_file (const char *path, const Settings *settings, const TarnParallel *parallel)
{
  GError *error = NULL;
  TarnPatientFile *file = tarn_patient_file_load (path, &error);
  if (file == NULL)
    {
      fprintf (stderr, "%s\n", error->message);
      g_error_free (error);
      return FALSE;
    }
  TarnLearnOptions options = { .starts = settings->starts,
                               .seed = (guint64)settings->seed,
                               .planes = settings->planes,
                               .parallel = parallel,
                               .done = settings->log ? log_run : NULL,
                               .context = file->patient.id };
  for (int kind = 0; kind < TARN_NOVICES; kind++)
    if (settings->kinds == NULL || strchr (settings->kinds, letters[kind]) != NULL)
      options.kinds |= 1u << kind;
  TarnLearned learned[TARN_NOVICES];
  double begin_ms = bench_now_ms ();
  TarnStatus status = tarn_learn (&file->patient, &options, learned, NULL);
  for (int kind = 0; status == TARN_OK && kind < TARN_NOVICES; kind++)
    if ((options.kinds & (1u << kind)) != 0)
      printf ("%s,%s,%d,%.3f,%.2f,%.0f\n", file->patient.id, names[kind], settings->starts,
              learned[kind].success, learned[kind].sweeps, (bench_now_ms () - begin_ms) / 1000);
  fflush (stdout);
  tarn_patient_file_free (file);
  return status == TARN_OK;
}

#define TIMED 5

static void
time_novices (void)
{
  static double ms[TARN_NOVICES][TIMED];
  TarnPatient patient = tarn_patient_default ();
  for (guint64 seed = 0; seed < TIMED; seed++)
    {
      TarnNoviceStart *start;
      if (tarn_novice_start_new (&patient, seed, &start, NULL) != TARN_OK)
        return;
      for (int kind = 0; kind < TARN_NOVICES; kind++)
        {
          TarnNoviceRun run;
          double begin_ms = bench_now_ms ();
          tarn_novice_run (start, (TarnNoviceKind)kind, 0, &run);
          ms[kind][seed] = bench_now_ms () - begin_ms;
        }
      tarn_novice_start_free (start);
    }
  bench_header ();
  for (int kind = 0; kind < TARN_NOVICES; kind++)
    {
      char *what = g_strdup_printf ("novice-%s", names[kind]);
      bench_row (what, "ms", ms[kind], TIMED, "");
      g_free (what);
    }
}

int
main (int argc, char **argv)
{
  Settings settings = { .starts = 200, .threads = 2 };
  const GOptionEntry entries[]
      = { { "starts", 0, 0, G_OPTION_ARG_INT, &settings.starts, NULL, NULL },
          { "seed", 0, 0, G_OPTION_ARG_INT64, &settings.seed, NULL, NULL },
          { "planes", 0, 0, G_OPTION_ARG_INT, &settings.planes, NULL, NULL },
          { "threads", 0, 0, G_OPTION_ARG_INT, &settings.threads, NULL, NULL },
          { "kinds", 0, 0, G_OPTION_ARG_STRING, &settings.kinds, NULL, NULL },
          { "log", 0, 0, G_OPTION_ARG_NONE, &settings.log, NULL, NULL },
          { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &settings.files, NULL,
            NULL },
          { 0 } };
  GOptionContext *context = g_option_context_new ("FILE...");
  g_option_context_add_main_entries (context, entries, NULL);
  if (!g_option_context_parse (context, &argc, &argv, NULL) || settings.starts < 1)
    return 2;
  g_option_context_free (context);
  if (settings.files == NULL)
    {
      time_novices ();
      return 0;
    }
  TarnThreadPool *pool = tarn_thread_pool_new (settings.threads);
  gboolean good = TRUE;
  printf ("patient,novice,starts,success,sweeps,seconds\n");
  for (int k = 0; settings.files[k] != NULL; k++)
    good = learn_file (settings.files[k], &settings, tarn_thread_pool_parallel (pool)) && good;
  tarn_thread_pool_free (pool);
  return good ? 0 : 1;
}
