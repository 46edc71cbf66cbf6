/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "agreement.h"

#include "base/random.h"
#include "base/units.h"
#include "engine/verdict/scan.h"

#include <math.h>
#include <stdlib.h>

static double
between (guint64 seed, int index, int what, double low, double high)
{
  return low
         + (high - low) * tarn_uniform_at (tarn_hash_at (seed, (guint64)index), (guint64)what);
}

TarnPose
agreement_pose (guint64 seed, int index, double *gel_g)
{
  static const double force_n[] = { 1, 2, 3, 5, 5, 8, 8, 12, 16, 22, 28 };
  static const double gel[] = { 1, 3, 6, 10, 20, 20, 20, 30 };
  TarnPose pose = { .above_mm = between (seed, index, 0, 5, 115),
                    .left_mm = between (seed, index, 1, -45, 45),
                    .tilt_rad = tarn_rad_from_deg (between (seed, index, 2, -20, 40)),
                    .lean_rad = tarn_rad_from_deg (between (seed, index, 3, -20, 20)) };
  double turn_deg = between (seed, index, 4, 0, 1) < 0.7 ? 0 : 90;
  pose.turn_rad = tarn_rad_from_deg (turn_deg + between (seed, index, 5, -8, 8));
  pose.force_n = force_n[(int)between (seed, index, 6, 0, G_N_ELEMENTS (force_n))];
  *gel_g = gel[(int)between (seed, index, 7, 0, G_N_ELEMENTS (gel))];
  return pose;
}

Agreement
agreement_at (const TarnSurvey *survey, guint64 seed, int index, int planes,
              const TarnParallel *parallel)
{
  const TarnBody *body = tarn_survey_body (survey);
  Agreement agreement = { 0 };
  agreement.pose = agreement_pose (seed, index, &agreement.gel_g);
  g_autofree TarnGelFilm *film = g_new0 (TarnGelFilm, 1);
  tarn_gel_dose (film, agreement.pose.above_mm, agreement.pose.left_mm, agreement.gel_g);
  TarnCoverage coverage;
  TarnStatus status = tarn_coverage_at (survey, &agreement.pose, film, 0, &coverage);

  TarnScanOptions options = tarn_scan_options_default ();
  options.pose = agreement.pose;
  options.gel_g = agreement.gel_g;
  options.planes = planes;
  options.ledger = false;
  options.parallel = parallel;
  g_autofree TarnScan *scan = g_new0 (TarnScan, 1);
  g_assert_cmpint (tarn_scan_run (body, &options, scan), ==, status);
  agreement.off_body = status == TARN_OFF_BODY;
  if (agreement.off_body)
    return agreement;
  g_assert_cmpint (status, ==, TARN_OK);

  double truth_ml = fmax (scan->truth_ml, 1e-9);
  agreement.forecast = coverage.forecast.volume_ml / truth_ml;
  agreement.reading = scan->sweep.reading.volume_ml / truth_ml;
  agreement.forecast_is_accurate = coverage.verdict == TARN_VERDICT_ACCURATE;
  agreement.reading_is_accurate = scan->verdict == TARN_VERDICT_ACCURATE;
  tarn_scan_clear (scan);
  return agreement;
}

/* Each value's rank, ties at their mean. */
static double *
ranks (const double *value, int count)
{
  double *rank = g_new (double, count);
  for (int k = 0; k < count; k++)
    {
      int less = 0, same = 0;
      for (int n = 0; n < count; n++)
        {
          less += value[n] < value[k];
          same += value[n] == value[k];
        }
      rank[k] = less + (same - 1) / 2.0;
    }
  return rank;
}

double
rank_correlation (const double *a, const double *b, int count)
{
  g_autofree double *x = ranks (a, count), *y = ranks (b, count);
  double mean = (count - 1) / 2.0, xx = 0, yy = 0, xy = 0;
  for (int k = 0; k < count; k++)
    {
      xx += (x[k] - mean) * (x[k] - mean);
      yy += (y[k] - mean) * (y[k] - mean);
      xy += (x[k] - mean) * (y[k] - mean);
    }
  return xy / sqrt (xx * yy);
}

double
agreement_correlation (const Agreement *agreement, int count)
{
  g_autofree double *a = g_new (double, count), *b = g_new (double, count);
  int used = 0;
  for (int k = 0; k < count; k++)
    if (!agreement[k].off_body)
      {
        a[used] = agreement[k].forecast;
        b[used++] = agreement[k].reading;
      }
  return rank_correlation (a, b, used);
}

double
agreement_right (const Agreement *agreement, int count)
{
  int used = 0, right = 0;
  for (int k = 0; k < count; k++)
    if (!agreement[k].off_body)
      {
        used++;
        right += agreement[k].forecast_is_accurate == agreement[k].reading_is_accurate;
      }
  return (double)right / used;
}
