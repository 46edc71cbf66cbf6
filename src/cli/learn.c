/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli learn: what advice is worth on one patient, told as a letter or as JSON. */
#include "base/parallel.h"
#include "cli/command.h"
#include "cli/json_text.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/progress.h"
#include "cli/subject.h"
#include "cli/threads.h"
#include "engine/coach/novice.h"

#include <glib.h>
#include <stdio.h>

#define STARTS_MAX 10000

typedef struct
{
  int starts, threads; /* threads 0: one for each processor */
  uint64_t seed;
  bool json;
} Settings;

static const TarnOption own_options[] = {
  { .name = "starts",
    .metavar = "N",
    .kind = TARN_OPTION_INTEGER,
    .offset = offsetof (Settings, starts),
    .low = 1,
    .high = STARTS_MAX,
    .help = "Starts of each novice" },
  { .name = "seed",
    .metavar = "N",
    .kind = TARN_OPTION_SEED,
    .offset = offsetof (Settings, seed),
    .help = "Draws the starts, the patient's variation and the hand" },
  TARN_OPTION_THREADS,
  { .name = "json",
    .kind = TARN_OPTION_SWITCH,
    .offset = offsetof (Settings, json),
    .help = "Prints one JSON object instead of a letter",
    .fallback = "" },
};

static const Settings defaults = { .starts = 200 };

const TarnSyntax tarn_learn_syntax = {
  .name = "learn",
  .synopsis = "FILE [OPTION]...",
  .summary = "send scripted novices: alone, with advice, by the picture",
  .about
  = "Sends scripted novices to the patient: one alone, one who follows the advice, and one "
    "who\n"
    "follows advice from the picture alone.  Each begins at random where a taught novice "
    "would\n"
    "put the probe, three in ten with a bad habit, sweeps five times at most and keeps the "
    "last\n"
    "reading.  Tells how many kept a good one: accurate, or rightly said to be \"at least\".\n"
    "Two hundred starts take some minutes.",
  .own = own_options,
  .own_options = G_N_ELEMENTS (own_options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

static const char *const keys[TARN_NOVICES] = { "unaided", "advised", "image_only" };
static const char *const words[TARN_NOVICES]
    = { "Alone", "With advice", "With advice from the picture alone" };

static void
write_json (GString *json, const TarnSubject *subject, const Settings *settings,
            const TarnLearned *learned)
{
  g_string_append_c (json, '{');
  tarn_json_text (json, "schema", "tarn.learn/1");
  tarn_json_open (json, "patient", '{');
  tarn_json_text (json, "id", subject->file->patient.id);
  tarn_json_text (json, "sha256", subject->file->sha256);
  tarn_json_close (json, '}');
  tarn_json_number (json, "starts", settings->starts, 0);
  char *seed = g_strdup_printf ("%" G_GUINT64_FORMAT, (guint64)settings->seed);
  tarn_json_text (json, "seed", seed);
  g_free (seed);
  for (int kind = 0; kind < TARN_NOVICES; kind++)
    {
      tarn_json_open (json, keys[kind], '{');
      tarn_json_number (json, "success", learned[kind].success, 4);
      tarn_json_number (json, "sweeps", learned[kind].sweeps, 3);
      tarn_json_close (json, '}');
    }
  g_string_append (json, "}\n");
}

static void
write_letter (GString *text, const TarnSubject *subject, const Settings *settings,
              const TarnLearned *learned)
{
  const TarnPatient *patient = &subject->file->patient;
  const char *title = tarn_patient_prose (patient, "title", "");
  g_string_append_printf (text, "%s: %s\n\n", patient->id, title != NULL ? title : "");
  char *stop = tarn_subject_stop (subject);
  if (stop != NULL)
    g_string_append_printf (text, "%s\nScanned all the same.\n\n", stop);
  g_free (stop);
  g_string_append_printf (text, "%d scripted %s of each kind, five sweeps at most\n",
                          settings->starts, settings->starts == 1 ? "novice" : "novices");
  for (int kind = 0; kind < TARN_NOVICES; kind++)
    g_string_append_printf (text, "  %-36s %5.1f %% kept a good reading, after %.1f sweeps\n",
                            words[kind], 100 * learned[kind].success, learned[kind].sweeps);
  g_string_append (text,
                   "\nA good reading is accurate, or rightly said to be \"at least\" where "
                   "no pose\nholds the whole bladder.\n"
                   "Training only, synthetic anatomy; not for clinical use.\n");
}

static void
step (void *context, int start, TarnNoviceKind kind, const TarnNoviceRun *run)
{
  (void)start, (void)kind, (void)run;
  tarn_progress_step (context);
}

static TarnExit
learn (const Settings *settings, const TarnSubject *subject, TarnThreadPool *pool)
{
  TarnProgress *progress
      = tarn_progress_start ("Sending novices", settings->starts * TARN_NOVICES);
  TarnLearnOptions options = { .starts = settings->starts,
                               .seed = settings->seed,
                               .parallel = tarn_thread_pool_parallel (pool),
                               .done = step,
                               .context = progress };
  TarnLearned learned[TARN_NOVICES];
  TarnProblem problem = { 0 };
  TarnStatus status = tarn_learn (&subject->file->patient, &options, learned, &problem);
  tarn_progress_stop (progress);
  if (status != TARN_OK)
    {
      if (problem.text[0] == '\0')
        tarn_problem_set (&problem, status, NULL, "%s", tarn_status_text (status));
      char *line = tarn_patient_file_describe (subject->file, &problem);
      fprintf (stderr, "%s\n", line);
      g_free (line);
      return TARN_EXIT_BAD_INPUT;
    }
  GString *text = g_string_new (NULL);
  (settings->json ? write_json : write_letter) (text, subject, settings, learned);
  TarnExit outcome = tarn_output_text (text->str);
  g_string_free (text, TRUE);
  return outcome;
}

TarnExit
tarn_command_learn (int argc, char **argv)
{
  Settings settings = defaults;
  const char *path;
  int paths;
  TarnExit outcome;
  if (!tarn_options_read (&tarn_learn_syntax, argc, argv, &settings, &path, &paths, &outcome))
    return outcome;
  TarnSubject subject;
  outcome = tarn_subject_open (&subject, path);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  TarnThreadPool *pool = tarn_threads_open (settings.threads);
  if (pool == NULL)
    outcome = TARN_EXIT_BAD_INPUT;
  else
    outcome = learn (&settings, &subject, pool);
  tarn_thread_pool_free (pool);
  tarn_subject_close (&subject);
  return outcome;
}
