/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How well the forecast by straight rays agrees with full scans: over random poses on every
 * patient given, rank correlation and the share told right; CSV, the whole last.
 * usage: bench-coverage-agreement POSES ANATOMY...; some minutes for 170 poses and twelve
 * patients. */
#include "agreement.h"

#include "store/patient_file.h"

#include <stdio.h>
#include <stdlib.h>

#define SEED 20261126

static void
print_row (const char *what, const Agreement *agreement, int count)
{
  int off = 0, accurate = 0;
  for (int k = 0; k < count; k++)
    {
      off += agreement[k].off_body;
      accurate += agreement[k].reading_is_accurate;
    }
  printf ("%s,%d,%d,%.3f,%.3f,%.3f\n", what, count, off, (double)accurate / (count - off),
          agreement_correlation (agreement, count), agreement_right (agreement, count));
  fflush (stdout);
}

int
main (int argc, char **argv)
{
  guint64 asked = 0;
  if (argc < 3 || !g_ascii_string_to_unsigned (argv[1], 10, 2, 100000, &asked, NULL))
    {
      fprintf (stderr, "usage: %s POSES ANATOMY...\n", argv[0]);
      return 2;
    }
  int poses = (int)asked;
  TarnThreadPool *pool = tarn_thread_pool_new (2);
  Agreement *all = g_new (Agreement, poses * (argc - 2));
  printf ("patient,poses,off the body,accurate,rank correlation,told right\n");
  for (int p = 2; p < argc; p++)
    {
      GError *error = NULL;
      g_autoptr (TarnPatientFile) file = tarn_patient_file_load (argv[p], &error);
      if (file == NULL)
        g_error ("%s", error->message);
      Agreement *its = all + (p - 2) * poses;
      for (int lift = 0; lift < (file->patient.habitus.pannus_mm > 0 ? 2 : 1); lift++)
        {
          TarnBody *body = NULL;
          TarnSurvey *survey = NULL;
          bool lifts = file->patient.habitus.pannus_mm > 0;
          if (tarn_body_new (&file->patient, lift, &body, NULL) != TARN_OK
              || tarn_survey_new (body, &survey) != TARN_OK)
            g_error ("%s: no body", argv[p]);
          /* Where there is a fold every second pose is with the fold lifted. */
          for (int k = lift; k < poses; k += lifts ? 2 : 1)
            its[k] = agreement_at (survey, SEED + (guint64)p, k, 0,
                                   tarn_thread_pool_parallel (pool));
          tarn_survey_free (survey);
          tarn_body_free (body);
        }
      print_row (file->patient.id, its, poses);
    }
  print_row ("all", all, poses * (argc - 2));
  g_free (all);
  tarn_thread_pool_free (pool);
  return 0;
}
