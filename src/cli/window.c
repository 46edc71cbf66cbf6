/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli window: the poses from which a patient can be read, and how hard that makes it. */
#include "base/parallel.h"
#include "base/units.h"
#include "cli/command.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/progress.h"
#include "cli/threads.h"
#include "cli/window_report.h"
#include "report/window_map.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct
{
  int threads; /* 0: one for each processor */
  int poses;
  uint64_t seed;
  bool json;
  const char *png;
} Settings;

static const TarnOption own_options[] = {
  { .name = "png",
    .metavar = "F",
    .kind = TARN_OPTION_PATH,
    .offset = offsetof (Settings, png),
    .help = "Writes the maps through the best pose as a picture",
    .fallback = "" },
  { .name = "json",
    .kind = TARN_OPTION_SWITCH,
    .offset = offsetof (Settings, json),
    .help = "Prints one JSON object instead of a letter",
    .fallback = "" },
  { .name = "poses",
    .metavar = "N",
    .kind = TARN_OPTION_INTEGER,
    .offset = offsetof (Settings, poses),
    .low = 50,
    .high = 10000,
    .help = "About how many poses are tried" },
  TARN_OPTION_THREADS,
  { .name = "seed",
    .metavar = "N",
    .kind = TARN_OPTION_SEED,
    .offset = offsetof (Settings, seed),
    .help = "Draws the places that difficulty is asked from" },
};

static const Settings defaults = { .poses = 2000 };

const TarnSyntax tarn_window_syntax = {
  .name = "window",
  .synopsis = "FILE [OPTION]...",
  .summary = "map the poses that read accurately, and how hard that is",
  .about
  = "Forecasts by straight rays what many poses would read: places above the bone and\n"
    "beside the midline, tilts, presses, and where there is a fold, flat and lifted.  Tells\n"
    "the size of the window, its best pose, what goes wrong elsewhere, and one figure for\n"
    "how hard the patient is.",
  .own = own_options,
  .own_options = G_N_ELEMENTS (own_options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

TarnExit
tarn_window_of (TarnSubject *subject, int poses, int threads, uint64_t seed,
                TarnAcousticWindow *window)
{
  TarnThreadPool *pool = tarn_threads_open (threads);
  if (pool == NULL)
    return TARN_EXIT_BAD_INPUT;
  TarnWindowOptions options
      = { .poses_wanted = poses, .seed = seed, .parallel = tarn_thread_pool_parallel (pool) };
  TarnProblem problem = { 0 };
  TarnStatus status = tarn_window_map (&subject->file->patient, &options, window, &problem);
  tarn_thread_pool_free (pool);
  if (status == TARN_OK)
    return TARN_EXIT_DONE;
  if (problem.text[0] == '\0')
    tarn_problem_set (&problem, status, NULL, "%s", tarn_status_text (status));
  char *line = tarn_patient_file_describe (subject->file, &problem);
  fprintf (stderr, "%s\n", line);
  g_free (line);
  return TARN_EXIT_BAD_INPUT;
}

static char *
press_words (const TarnAcousticWindow *window)
{
  return g_strdup_printf ("pressed with %.0f N%s", window->best.force_n,
                          window->best_lift > 0 ? ", the fold lifted" : "");
}

static char *
tilt_words (const TarnAcousticWindow *window, const char *press)
{
  double tilt_deg = round (tarn_deg_from_rad (window->best.tilt_rad));
  return tilt_deg == 0 ? g_strdup_printf ("Not tilted, %s", press)
                       : g_strdup_printf ("Tilted %.0f° to the %s, %s", fabs (tilt_deg),
                                          tilt_deg > 0 ? "feet" : "head", press);
}

static char *
place_words (const TarnAcousticWindow *window, const char *press)
{
  double left_mm = round (window->best.left_mm);
  return left_mm == 0 ? g_strdup_printf ("On the midline, %s", press)
                      : g_strdup_printf ("%.0f mm to the patient's %s, %s", fabs (left_mm),
                                         left_mm > 0 ? "left" : "right", press);
}

void
tarn_window_words_init (TarnWindowWords *words, const TarnWindowReport *report)
{
  static const char *const verdict_words[TARN_VERDICTS]
      = { [TARN_VERDICT_CLIPPED] = "clipped",
          [TARN_VERDICT_SHADOWED] = "shadowed",
          [TARN_VERDICT_POOR_CONTACT] = "poor contact",
          [TARN_VERDICT_WRONG_FLUID] = "wrong fluid",
          [TARN_VERDICT_UNEXPLAINED] = "unexplained" };
  const TarnPatient *patient = &report->subject->file->patient;
  const TarnAcousticWindow *window = report->window;
  g_autofree char *press = press_words (window);
  words->by_place = tilt_words (window, press);
  words->by_tilt = place_words (window, press);
  words->title = g_strdup_printf ("%s: from where the bladder can be read", patient->id);
  words->map
      = (TarnWindowMap){ .window = window,
                         .title = words->title,
                         .open = window->lower_bound ? "rightly \"at least\"" : "accurate",
                         .above = "mm above the bone",
                         .left = "mm from the midline",
                         .right_end = "patient's right",
                         .left_end = "left",
                         .tilt = "degrees",
                         .head_end = "to the head",
                         .feet_end = "to the feet",
                         .by_place = words->by_place,
                         .by_tilt = words->by_tilt,
                         .best = window->open ? "best" : NULL,
                         .start = "start",
                         .start_above_mm = patient->situation.start_above_mm,
                         .start_left_mm = patient->situation.start_left_mm,
                         .footer = "Training only, synthetic anatomy" };
  for (int k = 0; k < TARN_VERDICTS; k++)
    words->map.verdict[k] = window->share[k] > 0 ? verdict_words[k] : NULL;
}

void
tarn_window_words_clear (TarnWindowWords *words)
{
  g_free (words->title);
  g_free (words->by_place);
  g_free (words->by_tilt);
}

TarnExit
tarn_window_write_png (const char *path, const TarnWindowReport *report)
{
  TarnWindowWords words;
  uint8_t *png = NULL;
  size_t size = 0;
  tarn_window_words_init (&words, report);
  TarnExit outcome = tarn_window_map_png (&words.map, &png, &size) == TARN_OK
                         ? tarn_output_file (path, png, size)
                         : tarn_complain (TARN_EXIT_BAD_INPUT, "%s: out of memory", path);
  free (png);
  tarn_window_words_clear (&words);
  return outcome;
}

static TarnExit
tell (const Settings *settings, const TarnWindowReport *report)
{
  TarnExit outcome = TARN_EXIT_DONE;
  if (settings->png != NULL)
    outcome = tarn_window_write_png (settings->png, report);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  GString *text = g_string_new (NULL);
  if (settings->json)
    tarn_window_write_json (text, report);
  else
    tarn_window_write_letter (text, report);
  outcome = tarn_output_text (text->str);
  g_string_free (text, TRUE);
  return outcome;
}

TarnExit
tarn_command_window (int argc, char **argv)
{
  Settings settings = defaults;
  const char *path;
  int paths;
  TarnExit outcome;
  if (!tarn_options_read (&tarn_window_syntax, argc, argv, &settings, &path, &paths, &outcome))
    return outcome;
  TarnSubject subject;
  outcome = tarn_subject_open (&subject, path);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  TarnAcousticWindow *window = g_new0 (TarnAcousticWindow, 1);
  TarnProgress *progress = tarn_progress_start ("Mapping", 1);
  outcome = tarn_window_of (&subject, settings.poses, settings.threads, settings.seed, window);
  tarn_progress_stop (progress);
  TarnWindowReport report = { &subject, window };
  if (outcome == TARN_EXIT_DONE)
    outcome = tell (&settings, &report);
  g_free (window);
  tarn_subject_close (&subject);
  return outcome;
}
