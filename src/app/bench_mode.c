/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The benchmark of the running window.
 *
 * 1. An attempt begins; gel is laid and the probe comes down.
 * 2. For MOVING_S a hand slides, tilts and turns the probe: a new pose each frame, so that
 * every frame has an input to follow through to the picture.
 * 3. For RESTING_S the plane is frozen and nothing is touched: what the program then takes of
 * the processor is its idle load.
 *
 * The table has one row for each figure: name, value, unit. */
#include "app/bench_mode.h"

#include "app/patient_list.h"
#include "base/units.h"

#include <math.h>
#include <stdio.h>
#include <sys/resource.h>

#define SETTLE_S  2.0
#define MOVING_S  15.0
#define RESTING_S 8.0
#define FRAMES    8192

typedef struct
{
  TarnWindow *window;
  char *path;
  gint64 start_us, began_us, first_plane_us;
  gint64 last_us, paint_us;
  double interval_ms[FRAMES], work_ms[FRAMES];
  int intervals, works;
  uint64_t first_number, last_number, before_number;
  gint64 moving_from_us, moving_to_us, resting_from_us;
  double cpu_moving_s, cpu_resting_s;
  int scenes;
  TarnScenePicture *scene;
  TarnPose sent;
  gint64 sent_us;
  gboolean waiting;
  double latency_ms[FRAMES];
  int latencies, frames_waited, latency_frames_most;
  gulong before_paint, after_paint;
} Bench;

static double
cpu_s (void)
{
  struct rusage usage;
  getrusage (RUSAGE_SELF, &usage);
  return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec)
         + (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6;
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

/* Sorts @value. */
static double
quantile (double *value, int count, double share)
{
  if (count == 0)
    return NAN;
  qsort (value, (size_t)count, sizeof *value, compare);
  return value[(int)(share * (count - 1) + 0.5)];
}

static void
write_table (Bench *bench)
{
  struct rusage usage;
  getrusage (RUSAGE_SELF, &usage);
  double moved_s = (double)(bench->moving_to_us - bench->moving_from_us) / G_USEC_PER_SEC;
  double rested_s = (double)(g_get_monotonic_time () - bench->resting_from_us) / G_USEC_PER_SEC;
  const struct
  {
    const char *name, *unit;
    double value;
  } row[] = {
    { "first_plane", "s", (double)(bench->first_plane_us - bench->start_us) / G_USEC_PER_SEC },
    { "planes_per_second", "1/s",
      (double)(bench->last_number - bench->first_number) / moved_s },
    { "scenes_per_second", "1/s", bench->scenes / moved_s },
    { "frame_interval_median", "ms", quantile (bench->interval_ms, bench->intervals, 0.5) },
    { "frame_interval_p99", "ms", quantile (bench->interval_ms, bench->intervals, 0.99) },
    { "frame_work_median", "ms", quantile (bench->work_ms, bench->works, 0.5) },
    { "frame_work_p99", "ms", quantile (bench->work_ms, bench->works, 0.99) },
    { "input_to_picture_median", "ms", quantile (bench->latency_ms, bench->latencies, 0.5) },
    { "input_to_picture_p99", "ms", quantile (bench->latency_ms, bench->latencies, 0.99) },
    { "input_to_picture_most", "frames", bench->latency_frames_most },
    { "processor_moving", "%", 100 * bench->cpu_moving_s / moved_s },
    { "processor_idle", "%", 100 * bench->cpu_resting_s / rested_s },
    { "memory_most", "MB", (double)usage.ru_maxrss / 1024 },
  };
  g_autoptr (GString) table = g_string_new ("figure,value,unit\n");
  g_autoptr (GError) error = NULL;
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  for (gsize k = 0; k < G_N_ELEMENTS (row); k++)
    g_string_append_printf (table, "%s,%s,%s\n", row[k].name,
                            g_ascii_formatd (number, sizeof number, "%.3f", row[k].value),
                            row[k].unit);
  if (!g_file_set_contents (bench->path, table->str, -1, &error))
    g_printerr ("tarn: %s\n", error->message);
}

static void
before_paint (GdkFrameClock *clock, Bench *bench)
{
  (void)clock;
  bench->paint_us = g_get_monotonic_time ();
}

static void
after_paint (GdkFrameClock *clock, Bench *bench)
{
  gint64 now_us = g_get_monotonic_time ();
  (void)clock;
  bool moving = bench->moving_from_us != 0 && bench->moving_to_us == 0;
  if (moving && bench->last_us != 0 && bench->intervals < FRAMES)
    bench->interval_ms[bench->intervals++] = (double)(now_us - bench->last_us) / 1000;
  if (moving && bench->works < FRAMES)
    bench->work_ms[bench->works++] = (double)(now_us - bench->paint_us) / 1000;
  bench->last_us = now_us;
}

/* A hand's way: slow waves in every number. */
static TarnPose
hand_at (double s)
{
  return (TarnPose){ .above_mm = 45 + 20 * sin (0.9 * s),
                     .left_mm = 15 * sin (1.3 * s),
                     .tilt_rad = tarn_rad_from_deg (8 + 12 * sin (1.1 * s)),
                     .lean_rad = tarn_rad_from_deg (8 * sin (0.7 * s)),
                     .turn_rad = tarn_rad_from_deg (30 * sin (0.5 * s)),
                     .force_n = 6 + 3 * sin (0.8 * s) };
}

static gboolean
finish (gpointer data)
{
  Bench *bench = data;
  GdkFrameClock *clock = gtk_widget_get_frame_clock (GTK_WIDGET (bench->window));
  bench->cpu_resting_s = cpu_s () - bench->cpu_resting_s;
  write_table (bench);
  if (clock != NULL)
    {
      g_signal_handler_disconnect (clock, bench->before_paint);
      g_signal_handler_disconnect (clock, bench->after_paint);
    }
  gtk_window_destroy (GTK_WINDOW (bench->window));
  g_free (bench->path);
  g_free (bench);
  return G_SOURCE_REMOVE;
}

/* Whether the picture shows the hand that was sent. */
static void
follow_input (Bench *bench, const TarnRunFrame *frame, gint64 now_us)
{
  if (!bench->waiting)
    return;
  bench->frames_waited++;
  if (frame->bedside.hand.above_mm != bench->sent.above_mm
      || frame->bedside.hand.left_mm != bench->sent.left_mm)
    return;
  if (bench->latencies < FRAMES)
    bench->latency_ms[bench->latencies++] = (double)(now_us - bench->sent_us) / 1000;
  bench->latency_frames_most = MAX (bench->latency_frames_most, bench->frames_waited);
  bench->waiting = FALSE;
}

static void
watch (const TarnRunFrame *frame, gint64 time_us, gpointer data)
{
  Bench *bench = data;
  gint64 now_us = g_get_monotonic_time ();
  TarnRun *run = tarn_window_run (bench->window);
  (void)time_us;

  if (bench->first_plane_us == 0 && frame->sector != NULL)
    bench->first_plane_us = now_us;
  double s = (double)(now_us - bench->began_us) / G_USEC_PER_SEC - SETTLE_S;
  if (s >= 0 && bench->moving_from_us == 0)
    {
      bench->moving_from_us = now_us;
      bench->first_number = frame->plane_number;
      bench->cpu_moving_s = cpu_s ();
    }
  if (s >= MOVING_S)
    {
      bench->moving_to_us = now_us;
      bench->last_number = frame->plane_number;
      bench->cpu_moving_s = cpu_s () - bench->cpu_moving_s;
      tarn_run_do (run, TARN_INPUT_FREEZE, 1, 0);
      tarn_bedside_page_watch (tarn_window_bedside (bench->window), NULL, NULL);
      bench->resting_from_us = now_us;
      bench->cpu_resting_s = cpu_s ();
      g_timeout_add ((guint)(RESTING_S * 1000), finish, bench);
      return;
    }
  if (s >= 0 && frame->scene != bench->scene)
    bench->scenes++;
  bench->scene = frame->scene;
  follow_input (bench, frame, now_us);
  TarnPose hand = hand_at (fmax (s, 0));
  tarn_run_hand (run, &hand);
  if (!bench->waiting)
    {
      bench->sent = hand;
      bench->sent_us = now_us;
      bench->frames_waited = 0;
      bench->waiting = TRUE;
    }
}

void
tarn_bench_mode_start (TarnWindow *window, const char *path)
{
  g_autofree char *folder = tarn_patient_list_installed_folder ();
  g_autofree char *patient = g_build_filename (folder, "01-plain-adult.anatomy", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (patient);

  if (!tarn_window_begin (window, file, TARN_MODE_PRACTICE, 1))
    {
      g_printerr ("tarn: %s: cannot begin an attempt\n", patient);
      gtk_window_destroy (GTK_WINDOW (window));
      return;
    }
  Bench *bench = g_new0 (Bench, 1);
  bench->window = window;
  bench->path = g_strdup (path);
  bench->start_us = tarn_application_started_us ();
  bench->began_us = g_get_monotonic_time ();
  tarn_run_do (tarn_window_run (window), TARN_INPUT_GEL, 0, 20);
  GdkFrameClock *clock = gtk_widget_get_frame_clock (GTK_WIDGET (window));
  bench->before_paint
      = g_signal_connect (clock, "before-paint", G_CALLBACK (before_paint), bench);
  bench->after_paint = g_signal_connect (clock, "after-paint", G_CALLBACK (after_paint), bench);
  tarn_bedside_page_watch (tarn_window_bedside (window), watch, bench);
}
