/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What one advice takes, on two threads, from poses about the landmark on several bodies.  CSV
 * on standard output; never fails on time. */
#include "bench.h"

#include "base/random.h"
#include "base/units.h"
#include "engine/coach/advice.h"

#define POSES 40

static double
between (uint64_t index, double low, double high)
{
  return low + (high - low) * tarn_uniform_at (1, index);
}

static void
time_advice (const char *what, double volume_ml, double fat_mm, const TarnParallel *parallel)
{
  TarnPatient patient = tarn_patient_default ();
  TarnBody *body;
  TarnSurvey *survey;
  double ms[POSES];
  /* Proportions stay: only the size matters here. */
  patient.bladder.volume_ml = volume_ml;
  patient.habitus.fat_mm = fat_mm;
  if (tarn_body_new (&patient, 0, &body, NULL) != TARN_OK
      || tarn_survey_new (body, &survey) != TARN_OK)
    return;
  TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  for (uint64_t k = 0; k < POSES; k++)
    {
      TarnPose pose = { .above_mm = between (6 * k, 15, 65),
                        .left_mm = between (6 * k + 1, -25, 25),
                        .tilt_rad = tarn_rad_from_deg (between (6 * k + 2, -10, 35)),
                        .lean_rad = tarn_rad_from_deg (between (6 * k + 3, -10, 10)),
                        .force_n = between (6 * k + 4, 2, 15) };
      *film = (TarnGelFilm){ 0 };
      tarn_gel_dose (film, pose.above_mm, pose.left_mm, 15);
      TarnStance stance = { .pose = pose, .film = film };
      TarnAdvice advice;
      double begin_ms = bench_now_ms ();
      tarn_advise (survey, &stance, parallel, &advice, NULL);
      ms[k] = bench_now_ms () - begin_ms;
    }
  bench_row (what, "ms", ms, POSES, "100");
  g_free (film);
  tarn_survey_free (survey);
  tarn_body_free (body);
}

int
main (void)
{
  TarnThreadPool *pool = tarn_thread_pool_new (2);
  const TarnParallel *parallel = tarn_thread_pool_parallel (pool);
  bench_header ();
  time_advice ("advice-120-ml", 120, 18, parallel);
  time_advice ("advice-320-ml", 320, 18, parallel);
  time_advice ("advice-900-ml", 900, 12, parallel);
  tarn_thread_pool_free (pool);
  return 0;
}
