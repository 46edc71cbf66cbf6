/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli replay: a logged attempt played again, and what came of it. */
#include "cli/replay.h"

#include "base/parallel.h"
#include "cli/command.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/threads.h"
#include "report/picture.h"
#include "store/attempt_patient.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define NOT_ASKED -1.0

typedef struct
{
  const char *patient, *plane_png;
  double at_s;
  int threads;
  bool json;
} Settings;

static const TarnOption options[] = {
  { .name = "patient",
    .metavar = "FILE",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, patient),
    .help = "The patient's file",
    .fallback = "found by its hash" },
  { .name = "at",
    .metavar = "SECONDS",
    .kind = TARN_OPTION_NUMBER,
    .offset = offsetof (Settings, at_s),
    .low = 0,
    .high = TARN_ATTEMPT_TICKS_MAX / TARN_TICKS_PER_SECOND,
    .help = "Tells how things stood at this moment, too",
    .fallback = "the end" },
  { .name = "plane-png",
    .metavar = "F",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, plane_png),
    .help = "Writes the plane of that moment as a picture",
    .fallback = "" },
  TARN_OPTION_THREADS,
  { .name = "json",
    .kind = TARN_OPTION_SWITCH,
    .offset = offsetof (Settings, json),
    .help = "Prints one JSON object instead of a letter",
    .fallback = "" },
};

static const Settings defaults = { .at_s = NOT_ASKED };

const TarnSyntax tarn_replay_syntax = {
  .name = "replay",
  .synopsis = "ATTEMPT [OPTION]...",
  .summary = "play a saved attempt again",
  .about = "Plays the log of an attempt again, with the very patient it was made with, and "
           "tells what\nhappened, its readings, the truth, the verdict and the score: the same "
           "as then.",
  .own = options,
  .own_options = G_N_ELEMENTS (options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

/* Where patients lie that came with the program. */
static char **
folders_of_patients (void)
{
  GPtrArray *folders = g_ptr_array_new ();
  const char *const *data = g_get_system_data_dirs ();
  g_ptr_array_add (folders, g_strdup ("anatomies"));
  for (gsize k = 0; data[k] != NULL; k++)
    g_ptr_array_add (folders, g_build_filename (data[k], "tarn", "anatomies", NULL));
  g_ptr_array_add (folders, NULL);
  return (char **)g_ptr_array_free (folders, FALSE);
}

static TarnExit
complain_of (GError *error)
{
  fprintf (stderr, "%s\n", error->message);
  g_error_free (error);
  return TARN_EXIT_BAD_INPUT;
}

/* Plays all of it; tells where the log does not fit. */
static TarnExit
play (TarnReplayReport *report, const char *path, const TarnParallel *parallel)
{
  TarnAttemptSetup setup = tarn_attempt_log_setup (report->log);
  const GArray *inputs = report->log->inputs;
  TarnProblem problem = { 0 };
  setup.parallel = parallel;
  TarnStatus status = tarn_replay_new (&report->file->patient, &setup,
                                       (const TarnInput *)(const void *)inputs->data,
                                       (int)inputs->len, &report->replay, &problem);
  if (status == TARN_OK)
    status = tarn_replay_seek (report->replay, UINT32_MAX);
  if (status == TARN_OK)
    return TARN_EXIT_DONE;
  int refused = report->replay != NULL ? tarn_replay_refused (report->replay) : -1;
  if (refused >= 0)
    {
      const TarnInput *input = &g_array_index (inputs, TarnInput, refused);
      return tarn_complain (
          TARN_EXIT_BAD_INPUT, "%s: input %d, %s at tick %u: %s", path, refused + 1,
          tarn_input_kind_name ((TarnInputKind)input->kind), input->tick,
          status == TARN_IMPOSSIBLE ? "not possible then" : tarn_status_text (status));
    }
  return tarn_complain (TARN_EXIT_BAD_INPUT, "%s: %s", path,
                        problem.text[0] != '\0' ? problem.text : tarn_status_text (status));
}

static TarnStatus
look_at_end (TarnReplayReport *report)
{
  const TarnAttempt *attempt = tarn_replay_attempt (report->replay);
  report->end = *tarn_attempt_bedside (attempt);
  report->digest = tarn_attempt_digest (attempt);
  report->finished = report->end.finished;
  for (int k = 0; k < tarn_attempt_readings (attempt); k++)
    g_array_append_vals (report->readings, tarn_attempt_reading (attempt, k), 1);
  return report->finished ? tarn_replay_truth (report->replay, &report->truth) : TARN_OK;
}

static TarnExit
write_plane (const TarnReplay *replay, const char *path)
{
  const TarnAttempt *attempt = tarn_replay_attempt (replay);
  TarnPlaneSetup setup = tarn_attempt_plane (attempt);
  TarnPlaneWork *work = tarn_plane_work_new (false);
  uint8_t *grey = g_malloc ((gsize)setup.geometry.lines * (gsize)setup.geometry.samples);
  uint8_t *png = NULL;
  size_t size = 0;
  TarnStatus status
      = work != NULL ? tarn_plane_simulate (work, &setup, 0, grey, NULL) : TARN_NO_MEMORY;
  if (status == TARN_OK)
    {
      TarnPlanePicture picture = { .image = { setup.geometry, grey, setup.geometry.samples },
                                   .turn_rad = tarn_attempt_plane_pose (attempt).turn_rad };
      status = tarn_picture_plane_png (&picture, &png, &size);
    }
  tarn_plane_work_free (work);
  g_free (grey);
  if (status != TARN_OK)
    return tarn_complain (TARN_EXIT_BAD_INPUT, "%s: %s", path, tarn_status_text (status));
  TarnExit outcome = tarn_output_file (path, png, size);
  free (png);
  return outcome;
}

static TarnExit
tell (TarnReplayReport *report, const Settings *settings, const char *path)
{
  TarnStatus status = look_at_end (report);
  if (status == TARN_OK && report->has_moment)
    status = tarn_replay_seek (report->replay,
                               (uint32_t)lround (settings->at_s * TARN_TICKS_PER_SECOND));
  if (status != TARN_OK)
    return tarn_complain (TARN_EXIT_BAD_INPUT, "%s: %s", path, tarn_status_text (status));
  TarnExit outcome = TARN_EXIT_DONE;
  if (settings->plane_png != NULL)
    outcome = write_plane (report->replay, settings->plane_png);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  GString *text = g_string_new (NULL);
  (settings->json ? tarn_replay_write_json : tarn_replay_write_letter) (text, report);
  outcome = tarn_output_text (text->str);
  g_string_free (text, TRUE);
  return outcome;
}

static TarnExit
replay_with (TarnReplayReport *report, const Settings *settings, const char *path)
{
  TarnThreadPool *pool = tarn_threads_open (settings->threads);
  if (pool == NULL)
    return TARN_EXIT_BAD_INPUT;
  report->readings = g_array_new (FALSE, FALSE, sizeof (TarnAttemptReading));
  TarnExit outcome = play (report, path, tarn_thread_pool_parallel (pool));
  if (outcome == TARN_EXIT_DONE)
    outcome = tell (report, settings, path);
  g_array_unref (report->readings);
  tarn_replay_free (report->replay);
  tarn_thread_pool_free (pool);
  return outcome;
}

TarnExit
tarn_command_replay (int argc, char **argv)
{
  Settings settings = defaults;
  const char *path;
  int paths;
  TarnExit outcome;
  GError *error = NULL;
  if (!tarn_options_read (&tarn_replay_syntax, argc, argv, &settings, &path, &paths, &outcome))
    return outcome;
  TarnAttemptLog *log = tarn_attempt_log_load (path, &error);
  if (log == NULL)
    return complain_of (error);
  char **folders = folders_of_patients ();
  TarnPatientFile *file = tarn_attempt_log_find_patient (log, path, settings.patient,
                                                         (const char *const *)folders, &error);
  g_strfreev (folders);
  if (file == NULL)
    outcome = complain_of (error);
  else
    {
      TarnReplayReport report
          = { .log = log, .file = file, .has_moment = settings.at_s != NOT_ASKED };
      outcome = replay_with (&report, &settings, path);
    }
  tarn_patient_file_free (file);
  tarn_attempt_log_free (log);
  return outcome;
}
