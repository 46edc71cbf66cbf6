/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fuzz-patient.c: any bytes as a patient file.
 *
 * What must hold of every input: it is refused with lines that name the file, or it is a valid
 * patient whose saved form loads again and saves as the same bytes. */
#include "fuzz-patient.h"

#include "store/patient_file.h"

#include <stdlib.h>

#define NAME "input"

/* A warning is a finding, and ends in the signal that the fuzzer keeps the input of. */
static GLogWriterOutput
stop_at_warnings (GLogLevelFlags level, const GLogField *fields, gsize count, gpointer data)
{
  GLogWriterOutput written = g_log_writer_standard_streams (level, fields, count, data);
  if (level & (G_LOG_LEVEL_ERROR | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING))
    abort ();
  return written;
}

static void
watch_the_log (void)
{
  static gsize watching;
  if (g_once_init_enter (&watching))
    {
      g_log_set_writer_func (stop_at_warnings, NULL, NULL);
      g_once_init_leave (&watching, 1);
    }
}

static void
check_refused (const GError *error)
{
  g_assert_cmpint (error->code, ==, TARN_PATIENT_FILE_ERROR_INVALID);
  g_auto (GStrv) line = g_strsplit (error->message, "\n", -1);
  g_assert_cmpuint (g_strv_length (line), >=, 1);
  for (char **at = line; *at != NULL; at++)
    if (!g_str_has_prefix (*at, NAME ":"))
      g_error ("a line that names no file: %s", *at);
  g_assert_true (g_utf8_validate (error->message, -1, NULL));
}

static void
check_saved (const TarnPatient *patient)
{
  gsize length, again_length;
  g_autofree char *saved = tarn_patient_file_format (patient, &length);
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) again = tarn_patient_file_parse (saved, length, NAME, &error);
  g_assert_no_error (error);
  g_autofree char *twice = tarn_patient_file_format (&again->patient, &again_length);
  g_assert_cmpmem (saved, length, twice, again_length);
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  watch_the_log ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file
      = tarn_patient_file_parse ((const char *)data, size, NAME, &error);
  if (file == NULL)
    {
      check_refused (error);
      return 0;
    }
  g_assert_cmpint (tarn_patient_validate (&file->patient, NULL), ==, TARN_OK);
  check_saved (&file->patient);

  /* What an attempt draws is still a patient. */
  tarn_patient_vary (&file->patient, 1 + size);
  TarnProblem problem;
  if (tarn_patient_validate (&file->patient, &problem) != TARN_OK)
    g_error ("varied beyond possibility: %s: %s", problem.key, problem.text);
  check_saved (&file->patient);
  return 0;
}
