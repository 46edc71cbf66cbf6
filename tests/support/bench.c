/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *
bench_processor (void)
{
  static char *name = NULL;
  if (name != NULL)
    return name;
  g_autofree char *text = NULL;
  const char *at = NULL;
  if (g_file_get_contents ("/proc/cpuinfo", &text, NULL, NULL))
    at = strstr (text, "model name");
  at = at != NULL ? strchr (at, ':') : NULL;
  name = at != NULL ? g_strstrip (g_strndup (at + 1, strcspn (at + 1, "\n")))
                    : g_strdup ("unknown");
  return name;
}

double
bench_now_ms (void)
{
  return (double)g_get_monotonic_time () / 1000;
}

void
bench_header (void)
{
  printf ("processor,what,unit,median,best,worst,bar\n");
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

void
bench_row (const char *what, const char *unit, double *values, int count, const char *bar)
{
  qsort (values, (size_t)count, sizeof *values, compare);
  printf ("\"%s\",\"%s\",%s,%.4g,%.4g,%.4g,%s\n", bench_processor (), what, unit,
          values[count / 2], values[0], values[count - 1], bar);
  fflush (stdout);
}
