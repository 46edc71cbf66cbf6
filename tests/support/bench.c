/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What the processor calls itself, where the system tells. */
static char *
processor_name (void)
{
  g_autofree char *text = NULL;
  const char *at = NULL;
  if (g_file_get_contents ("/proc/cpuinfo", &text, NULL, NULL))
    at = strstr (text, "model name");
  at = at != NULL ? strchr (at, ':') : NULL;
  if (at == NULL)
    return g_strdup ("unknown");
  return g_strstrip (g_strndup (at + 1, strcspn (at + 1, "\n")));
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
  static char *processor = NULL;
  if (processor == NULL)
    processor = processor_name ();
  qsort (values, (size_t)count, sizeof *values, compare);
  printf ("\"%s\",%s,%s,%.4g,%.4g,%.4g,%s\n", processor, what, unit, values[count / 2],
          values[0], values[count - 1], bar);
  fflush (stdout);
}
