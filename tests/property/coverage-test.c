/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The forecast by straight rays against the full scan, on bodies that do not ship: they must
 * rank poses alike and agree which are accurate.  (Own design values: 0.95 either way.  All
 * shipped patients: bench-coverage-agreement.) */
#include "people.h"

#include "agreement.h"

#include <glib.h>

#define POSES  10 /* of each body */
#define BODIES 8
#define PLANES 18

static TarnPatient
with_gas (void)
{
  TarnPatient patient = person_plain (260);
  person_add (&patient, TARN_STRUCTURE_BOWEL_GAS, tarn_vec3 (22, -8, 72),
              tarn_vec3 (14, 8, 12));
  return patient;
}

static TarnPatient
with_free_fluid (void)
{
  TarnPatient patient = person_plain (140);
  person_add (&patient, TARN_STRUCTURE_ASCITES, tarn_vec3 (0, 55, 120), tarn_vec3 (60, 28, 32));
  return patient;
}

static TarnPatient
off_the_midline (void)
{
  TarnPatient patient = person_slim (220);
  patient.bladder.left_mm = 25;
  return patient;
}

static TarnPatient
low (void)
{
  TarnPatient patient = person_plain (150);
  patient.bladder.rise_mm = -25;
  return patient;
}

static void
test_forecast_agrees_with_full_scans (void)
{
  const TarnPatient patient[BODIES]
      = { person_plain (320), person_plain (70),  person_slim (450),  person_large (300),
          with_gas (),        with_free_fluid (), off_the_midline (), low () };
  Agreement agreement[BODIES * POSES];
  for (int b = 0; b < BODIES; b++)
    {
      TarnBody *body = person_body (&patient[b], b == 3 ? 1 : 0);
      TarnSurvey *survey = NULL;
      g_assert_cmpint (tarn_survey_new (body, &survey), ==, TARN_OK);
      for (int k = 0; k < POSES; k++)
        {
          Agreement *its = &agreement[b * POSES + k];
          *its = agreement_at (survey, 7, b * POSES + k, PLANES, two_threads ());
          g_test_message ("%s %d: forecast %.2f, read %.2f%s", patient[b].id, k, its->forecast,
                          its->reading,
                          its->forecast_is_accurate != its->reading_is_accurate ? " (!)" : "");
        }
      tarn_survey_free (survey);
      tarn_body_free (body);
    }
  double correlation = agreement_correlation (agreement, BODIES * POSES);
  double right = agreement_right (agreement, BODIES * POSES);
  g_test_message ("rank correlation %.3f, told right %.3f", correlation, right);
  g_assert_cmpfloat (correlation, >=, 0.95);
  g_assert_cmpfloat (right, >=, 0.95);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/coverage/forecast-agrees-with-full-scans",
                   test_forecast_agrees_with_full_scans);
  return g_test_run ();
}
