/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * tarn-cli scan as a user meets it: from the start of the program to the printed object, with
 * its memory.  usage: bench-scan TARN-CLI ANATOMY … */
#include "bench.h"

#include <gio/gio.h>
#include <stdio.h>
#include <sys/resource.h>

#define REPEATS 5

static double
run_ms (const char *program, const char *anatomy, const char *option)
{
  GError *error = NULL;
  gint64 start_us = g_get_monotonic_time ();
  g_autoptr (GSubprocess) process
      = g_subprocess_new (G_SUBPROCESS_FLAGS_STDOUT_SILENCE | G_SUBPROCESS_FLAGS_STDERR_SILENCE,
                          &error, program, "scan", anatomy, "--json", option, NULL);
  if (process == NULL || !g_subprocess_wait_check (process, NULL, &error))
    g_error ("%s: %s", anatomy, error->message);
  return (double)(g_get_monotonic_time () - start_us) / 1000;
}

static void
bench (const char *program, const char *anatomy, const char *option, const char *bar)
{
  double ms[REPEATS];
  g_autofree char *name = g_path_get_basename (anatomy);
  g_autofree char *what = g_strdup_printf ("scan %s %s", name, option != NULL ? option : "");
  for (int k = 0; k < REPEATS; k++)
    ms[k] = run_ms (program, anatomy, option);
  bench_row (g_strchomp (what), "ms", ms, REPEATS, bar);
}

int
main (int argc, char **argv)
{
  if (argc < 3)
    {
      fprintf (stderr, "usage: %s TARN-CLI ANATOMY...\n", argv[0]);
      return 2;
    }
  bench_header ();
  for (int k = 2; k < argc; k++)
    {
      bench (argv[1], argv[k], "--no-ledger", "600");
      bench (argv[1], argv[k], NULL, "2000");
    }
  struct rusage usage;
  getrusage (RUSAGE_CHILDREN, &usage);
  double megabytes = (double)usage.ru_maxrss / 1024;
  bench_row ("largest memory of a scan", "MB", &megabytes, 1, "250");
  return 0;
}
