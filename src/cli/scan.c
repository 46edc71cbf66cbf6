/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli scan: one pose told as a letter or as JSON, or a table of poses as JSON lines. */
#include "engine/verdict/scan.h"
#include "base/parallel.h"
#include "base/units.h"
#include "cli/command.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/poses.h"
#include "cli/progress.h"
#include "cli/request.h"
#include "cli/scan_json.h"
#include "cli/scan_letter.h"
#include "cli/subject.h"
#include "cli/threads.h"
#include "report/picture.h"

#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

typedef struct
{
  TarnRequest request; /* first: the options' offsets count from it */
  int threads;         /* 0: one for each processor */
  bool no_ledger, outline, json;
  const char *plane_png, *planes_png, *poses;
} Settings;

#define PATH(option, member, text)                                                             \
  {                                                                                            \
    .name = option, .metavar = "F", .kind = TARN_OPTION_PATH,                                  \
    .offset = offsetof (Settings, member), .help = text, .fallback = ""                        \
  }
#define SWITCH(option, member, text)                                                           \
  {                                                                                            \
    .name = option, .kind = TARN_OPTION_SWITCH, .offset = offsetof (Settings, member),         \
    .help = text, .fallback = ""                                                               \
  }

static const TarnOption own_options[] = {
  TARN_OPTION_THREADS,
  SWITCH ("no-ledger", no_ledger, "Do not ask where the millilitres went"),
  PATH ("plane-png", plane_png, "Writes the middle plane as a picture"),
  SWITCH ("outline", outline, "Draws the outline into the picture of --plane-png"),
  PATH ("planes-png", planes_png, "Writes all planes with their outlines as one picture"),
  PATH ("poses", poses, "Scans every row of a CSV table; - for standard input; implies --json"),
  SWITCH ("json", json, "Prints one JSON object instead of a letter"),
};

static const Settings defaults = { .request = TARN_REQUEST_DEFAULT };

const TarnSyntax tarn_scan_syntax = {
  .name = "scan",
  .synopsis = "FILE [OPTION]...",
  .summary = "sweep the probe, read a volume and judge it",
  .about
  = "Lays gel, puts the probe down, sweeps a fan of planes, reads a volume, and tells the\n"
    "truth, the verdict and where the millilitres went.\n"
    "A scan starts 40 mm above the bone.  The patient's start-pose plays no part in it: there\n"
    "the learner's window will start.",
  .shared = tarn_request_option,
  .shared_options = TARN_REQUEST_OPTIONS,
  .own = own_options,
  .own_options = G_N_ELEMENTS (own_options),
  .defaults = &defaults,
  .operands_min = 1,
  .operands_max = 1,
};

/* One run of the program. */
typedef struct
{
  Settings settings;
  TarnSubject subject;
  TarnThreadPool *pool;
  TarnScan *scan; /* about 300 kB: not for the stack */
} Run;

static double
now_ms (void *clock)
{
  (void)clock;
  return (double)g_get_monotonic_time () / 1000;
}

/* "FILE: above 400 mm, left 0 mm: the probe is off the body", or with a table's line. */
static TarnExit
complain_of_pose (const Run *run, const TarnRequest *request, const char *where, int line,
                  TarnStatus status)
{
  if (line > 0)
    fprintf (stderr, "%s:%d: ", where, line);
  else
    fprintf (stderr, "%s: ", run->subject.file->name);
  fprintf (stderr, "above %g mm, left %g mm: %s\n", request->above_mm, request->left_mm,
           tarn_status_text (status));
  return TARN_EXIT_BAD_INPUT;
}

static TarnStatus
scan_pose (Run *run, const TarnRequest *request, const TarnBody *body)
{
  TarnScanOptions options = tarn_scan_options_default ();
  options.pose = tarn_request_pose (request);
  options.gel_g = request->gel_g;
  options.tremor_mm = request->tremor_mm;
  options.depth_mm = request->depth_mm;
  options.gain_db = request->gain_db;
  options.planes = request->planes;
  options.seed = request->seed;
  options.ledger = !run->settings.no_ledger;
  options.keep_planes = run->settings.plane_png != NULL || run->settings.planes_png != NULL;
  options.parallel = tarn_thread_pool_parallel (run->pool);
  options.now_ms = now_ms;
  return tarn_scan_run (body, &options, run->scan);
}

static TarnPlanePicture
picture_of (const Run *run, int index, bool outline)
{
  const TarnSweep *sweep = &run->scan->sweep;
  const TarnImageGeometry *geometry = &sweep->geometry;
  size_t size = (size_t)geometry->lines * (size_t)geometry->samples;
  return (TarnPlanePicture){
    .image = { .geometry = *geometry,
               .grey = sweep->grey + size * (size_t)index,
               .stride = geometry->samples },
    .outline = outline ? &sweep->plane[index].outline : NULL,
    .turn_rad = tarn_rad_from_deg (run->settings.request.turn_deg),
  };
}

/* Takes @png, which is NULL when the picture could not be drawn. */
static TarnExit
write_png (const char *path, uint8_t *png, size_t size)
{
  if (png == NULL)
    return tarn_complain (TARN_EXIT_BAD_INPUT, "%s: out of memory", path);
  TarnExit outcome = tarn_output_file (path, png, size);
  free (png);
  return outcome;
}

static TarnExit
write_plane (const Run *run)
{
  TarnPlanePicture plane = picture_of (run, run->scan->sweep.planes / 2, run->settings.outline);
  uint8_t *png = NULL;
  size_t size = 0;
  tarn_picture_plane_png (&plane, &png, &size);
  return write_png (run->settings.plane_png, png, size);
}

static TarnExit
write_planes (const Run *run)
{
  TarnPlanePicture plane[TARN_PLANES_MAX];
  double angle_deg[TARN_PLANES_MAX];
  int planes = run->scan->sweep.planes;
  for (int k = 0; k < planes; k++)
    {
      plane[k] = picture_of (run, k, true);
      angle_deg[k] = tarn_deg_from_rad (run->scan->sweep.plane[k].fan_rad);
    }
  TarnSheetPicture sheet = { .planes = planes,
                             .plane = plane,
                             .angle_deg = angle_deg,
                             .title = run->subject.file->patient.id };
  uint8_t *png = NULL;
  size_t size = 0;
  tarn_picture_sheet_png (&sheet, &png, &size);
  return write_png (run->settings.planes_png, png, size);
}

/* Builds the body if need be and scans.  @where, @line: of the pose in its table, or
 * NULL, 0. */
static TarnExit
measure (Run *run, const TarnRequest *request, const char *where, int line)
{
  const TarnBody *body;
  TarnExit outcome = tarn_subject_body (&run->subject, request->lift_percent / 100, &body);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  TarnStatus status = scan_pose (run, request, body);
  return status == TARN_OK ? TARN_EXIT_DONE
                           : complain_of_pose (run, request, where, line, status);
}

/* Prints what was measured and writes its pictures. */
static TarnExit
tell (Run *run, const TarnRequest *request, bool as_json)
{
  TarnScanReport report = { &run->subject, request, run->scan };
  TarnExit outcome = TARN_EXIT_DONE;
  if (run->settings.plane_png != NULL)
    outcome = write_plane (run);
  if (outcome == TARN_EXIT_DONE && run->settings.planes_png != NULL)
    outcome = write_planes (run);
  if (outcome != TARN_EXIT_DONE)
    return outcome;

  GString *text = g_string_new (NULL);
  if (as_json)
    tarn_scan_write_json (text, &report);
  else
    tarn_scan_write_letter (text, &report);
  outcome = tarn_output_text (text->str);
  g_string_free (text, TRUE);
  return outcome;
}

/* Every pose that can be scanned is; the outcome tells whether all could. */
static TarnExit
scan_table (Run *run)
{
  TarnPoses poses;
  TarnExit outcome = tarn_poses_read (run->settings.poses, &run->settings.request, &poses);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  for (int k = 0; k < poses.count; k++)
    if (poses.request[k].lift_percent > 0)
      {
        tarn_subject_note_lift (&run->subject, poses.request[k].lift_percent);
        break;
      }
  /* The lines themselves are progress enough on a terminal. */
  TarnProgress *progress
      = tarn_progress_start ("Scanning", isatty (STDOUT_FILENO) ? 0 : poses.count);
  for (int k = 0; k < poses.count && !ferror (stdout); k++)
    {
      TarnExit one = measure (run, &poses.request[k], poses.name, poses.line[k]);
      if (one == TARN_EXIT_DONE)
        {
          one = tell (run, &poses.request[k], true);
          tarn_scan_clear (run->scan);
        }
      outcome = tarn_exit_worse (outcome, one);
      tarn_progress_step (progress);
    }
  tarn_progress_stop (progress);
  tarn_poses_clear (&poses);
  return outcome;
}

/* A situation that says stop is told in a letter, and beside anything else. */
static void
note_situation (const Run *run)
{
  char *stop = tarn_subject_stop (&run->subject);
  if (stop != NULL && (run->settings.json || run->settings.poses != NULL))
    fprintf (stderr, "%s: %s\n", run->subject.file->name, stop);
  g_free (stop);
  if (run->settings.poses == NULL)
    tarn_subject_note_lift (&run->subject, run->settings.request.lift_percent);
}

static TarnExit
scan_once (Run *run)
{
  TarnProgress *progress = tarn_progress_start ("Scanning", 1);
  TarnExit outcome = measure (run, &run->settings.request, NULL, 0);
  tarn_progress_stop (progress);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  outcome = tell (run, &run->settings.request, run->settings.json);
  tarn_scan_clear (run->scan);
  return outcome;
}

static TarnExit
run_scans (Run *run, const char *path)
{
  TarnExit outcome = tarn_subject_open (&run->subject, path);
  if (outcome != TARN_EXIT_DONE)
    return outcome;
  note_situation (run);
  run->scan = g_new0 (TarnScan, 1);
  run->pool = tarn_threads_open (run->settings.threads);
  if (run->pool == NULL)
    outcome = TARN_EXIT_BAD_INPUT;
  else
    outcome = run->settings.poses != NULL ? scan_table (run) : scan_once (run);
  tarn_thread_pool_free (run->pool);
  g_free (run->scan);
  tarn_subject_close (&run->subject);
  return outcome;
}

static bool
same_file (const char *a, const char *b)
{
  char *whole_a = g_canonicalize_filename (a, NULL),
       *whole_b = g_canonicalize_filename (b, NULL);
  GStatBuf there_a, there_b;
  bool same = strcmp (whole_a, whole_b) == 0;
  if (!same && g_stat (a, &there_a) == 0 && g_stat (b, &there_b) == 0)
    same = there_a.st_dev == there_b.st_dev && there_a.st_ino == there_b.st_ino;
  g_free (whole_a);
  g_free (whole_b);
  return same;
}

/* Options that do not go together. */
static TarnExit
check_settings (const Settings *settings)
{
  const char *plane = settings->plane_png, *planes = settings->planes_png;
  if (settings->poses != NULL && (plane != NULL || planes != NULL))
    return tarn_complain (TARN_EXIT_USAGE, "scan: a picture shows one pose; --poses has many");
  if (settings->outline && plane == NULL)
    return tarn_complain (TARN_EXIT_USAGE,
                          "scan: --outline draws into the picture of --plane-png, so give that "
                          "too");
  if (plane != NULL && planes != NULL && same_file (plane, planes))
    return tarn_complain (TARN_EXIT_USAGE,
                          "scan: --plane-png and --planes-png both name %s; each picture needs "
                          "a file of its own",
                          planes);
  return TARN_EXIT_DONE;
}

TarnExit
tarn_command_scan (int argc, char **argv)
{
  Run run = { .settings = defaults };
  const char *path;
  int paths;
  TarnExit outcome;
  if (!tarn_options_read (&tarn_scan_syntax, argc, argv, &run.settings, &path, &paths,
                          &outcome))
    return outcome;
  outcome = check_settings (&run.settings);
  return outcome == TARN_EXIT_DONE ? run_scans (&run, path) : outcome;
}
