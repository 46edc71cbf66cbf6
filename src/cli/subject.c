/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/subject.h"

#include <glib.h>
#include <stdio.h>

TarnExit
tarn_subject_open (TarnSubject *subject, const char *path)
{
  GError *error = NULL;
  *subject = (TarnSubject){ .file = tarn_patient_file_load (path, &error) };
  if (subject->file != NULL)
    return TARN_EXIT_DONE;
  fprintf (stderr, "%s\n", error->message);
  g_error_free (error);
  return TARN_EXIT_BAD_INPUT;
}

TarnExit
tarn_subject_body (TarnSubject *subject, double lift, const TarnBody **body)
{
  if (subject->body != NULL && tarn_body_lift (subject->body) == lift)
    {
      *body = subject->body;
      return TARN_EXIT_DONE;
    }
  tarn_body_free (subject->body);
  subject->body = NULL;

  gint64 start_us = g_get_monotonic_time ();
  TarnProblem problem = { 0 };
  TarnStatus status = tarn_body_new (&subject->file->patient, lift, &subject->body, &problem);
  subject->body_ms = (double)(g_get_monotonic_time () - start_us) / 1000;
  *body = subject->body;
  if (status == TARN_OK)
    return TARN_EXIT_DONE;

  if (problem.text[0] == '\0')
    tarn_problem_set (&problem, status, NULL, "%s", tarn_status_text (status));
  char *line = tarn_patient_file_describe (subject->file, &problem);
  fprintf (stderr, "%s\n", line);
  g_free (line);
  return TARN_EXIT_BAD_INPUT;
}

char *
tarn_subject_stop (const TarnSubject *subject)
{
  const TarnPatient *patient = &subject->file->patient;
  if (!patient->situation.stop)
    return NULL;
  const char *why = tarn_patient_prose (patient, "stop", "");
  return g_strdup_printf ("This situation says not to scan: %s",
                          why != NULL ? why : "no reason given");
}

void
tarn_subject_note_lift (const TarnSubject *subject, double lift_percent)
{
  if (lift_percent > 0 && subject->file->patient.habitus.pannus_mm <= 0)
    fprintf (stderr, "%s: this patient has no fold to lift, so --lift changes nothing\n",
             subject->file->name);
}

void
tarn_subject_close (TarnSubject *subject)
{
  tarn_body_free (subject->body);
  tarn_patient_file_free (subject->file);
  *subject = (TarnSubject){ 0 };
}
