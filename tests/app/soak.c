/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * soak [MINUTES]: so many minutes of an attempt's time (60 by default) in the window, several
 * times as fast as they pass: attempts one after the other, each with gel, slides, sweeps and
 * the truth.  Prints the memory after each as a table (CSV), for whoever wants to see it grow.
 *
 *     tests/app/in-a-room.sh build/ui build/tests/app/soak
 *
 * with TARN_ANATOMIES at the patients. */
#include "app/graphics.h"
#include "app/judge_page.h"
#include "app/memory.h"
#include "app/settings.h"
#include "app/window.h"
#include "base/units.h"

#include <gtk/gtk.h>
#include <math.h>
#include <stdio.h>
#include <sys/resource.h>

#define ATTEMPT_MINUTES 5
#define STEP_TICKS      30

static const char *const patients[]
    = { "01-plain-adult.anatomy", "04-large-abdomen.anatomy", "05-off-the-midline.anatomy",
        "08-fluid-in-the-belly.anatomy" };

static void
spin (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

/* Resident now, MB; Linux. */
static double
memory_mb (void)
{
  g_autofree char *text = NULL;
  long pages = 0;
  if (g_file_get_contents ("/proc/self/statm", &text, NULL, NULL))
    sscanf (text, "%*d %ld", &pages);
  return (double)pages * 4096 / 1e6;
}

static void
finish (TarnWindow *window)
{
  GtkWidget *page = gtk_widget_get_first_child (
      gtk_widget_get_parent (GTK_WIDGET (tarn_window_bedside (window))));
  while (page != NULL && !TARN_IS_JUDGE_PAGE (page))
    page = gtk_widget_get_next_sibling (page);
  g_signal_emit_by_name (page, "finished");
  while (!g_str_equal (tarn_window_page (window), "truth"))
    g_main_context_iteration (NULL, TRUE);
}

static void
attempt (TarnWindow *window, const char *name, guint64 seed)
{
  g_autofree char *path = g_build_filename (g_getenv ("TARN_ANATOMIES"), name, NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  if (!tarn_window_begin (window, file, TARN_MODE_PRACTICE, seed))
    return;
  TarnRun *run = tarn_window_run (window);
  int steps = ATTEMPT_MINUTES * 60 * TARN_TICKS_PER_SECOND / STEP_TICKS;

  tarn_run_do (run, TARN_INPUT_GEL, 0, 20);
  for (int k = 0; k < steps; k++)
    {
      TarnPose hand = { .above_mm = 50 + 20 * sin (0.11 * k),
                        .left_mm = 20 * sin (0.07 * k),
                        .tilt_rad = tarn_rad_from_deg (10 * sin (0.05 * k)),
                        .turn_rad = k / 60 % 2 == 0 ? 0 : TARN_PI / 2,
                        .force_n = 5 };
      tarn_run_hand (run, &hand);
      if (k % 150 == 100)
        tarn_run_do (run, TARN_INPUT_SWEEP, 0, 0);
      if (k % 150 == 115)
        tarn_run_do (run, TARN_INPUT_FREEZE, 0, 0);
      tarn_run_advance_ticks (run, STEP_TICKS);
      spin ();
    }
  TarnInput judge = { .kind = TARN_INPUT_JUDGE, .code = TARN_JUDGEMENT_USE, .reading = 0 };
  tarn_run_input (run, &judge);
  finish (window);
  spin ();
}

int
main (int argc, char **argv)
{
  int minutes = argc > 1 ? (int)g_ascii_strtoll (argv[1], NULL, 10) : 60;
  tarn_memory_begin ();
  tarn_graphics_choose ();
  gtk_init ();
  g_object_set (tarn_settings (), "cautions-accepted", TRUE, NULL);
  g_autoptr (TarnApplication) application = tarn_application_new (G_APPLICATION_NON_UNIQUE);
  g_application_register (G_APPLICATION (application), NULL, NULL);
  TarnWindow *window = tarn_window_new (application);
  gtk_window_present (GTK_WINDOW (window));
  spin ();

  printf ("minutes,memory_mb,memory_most_mb\n");
  for (int k = 0; k * ATTEMPT_MINUTES < minutes; k++)
    {
      struct rusage usage;
      attempt (window, patients[(size_t)k % G_N_ELEMENTS (patients)], (guint64)k + 1);
      getrusage (RUSAGE_SELF, &usage);
      printf ("%d,%.1f,%.1f\n", (k + 1) * ATTEMPT_MINUTES, memory_mb (),
              (double)usage.ru_maxrss / 1024);
      fflush (stdout);
    }
  gtk_window_destroy (GTK_WINDOW (window));
  spin ();
  return 0;
}
