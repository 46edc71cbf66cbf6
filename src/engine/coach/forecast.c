/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The forecast of a reading. */
#include "engine/coach/forecast.h"

#include "base/units.h"

#include <math.h>

static TarnVerdict
verdict_for (const TarnCoverage *coverage)
{
  static const TarnVerdict verdict[TARN_CAUSES] = {
    [TARN_CAUSE_EDGE] = TARN_VERDICT_CLIPPED,
    [TARN_CAUSE_BONE] = TARN_VERDICT_SHADOWED,
    [TARN_CAUSE_GAS] = TARN_VERDICT_SHADOWED,
    [TARN_CAUSE_CONTACT] = TARN_VERDICT_POOR_CONTACT,
    [TARN_CAUSE_MOTION] = TARN_VERDICT_MOVED,
    [TARN_CAUSE_OTHER_FLUID] = TARN_VERDICT_WRONG_FLUID,
    [TARN_CAUSE_REST] = TARN_VERDICT_UNEXPLAINED,
  };
  int most = TARN_CAUSE_REST;
  for (int cause = 0; cause < TARN_CAUSES; cause++)
    if (coverage->hidden_ml[cause] > coverage->hidden_ml[most])
      most = cause;
  return verdict[most];
}

void
tarn_forecast (const TarnRays *rays, const TarnBody *body, TarnCoverage *coverage)
{
  double truth_ml = tarn_body_true_volume_ml (body);
  const TarnPatient *patient = tarn_body_patient (body);
  (void)rays;
  coverage->forecast
      = (TarnReading){ coverage->seen_ml > 0 ? TARN_READING_MEASURE : TARN_READING_NOT_SEEN,
                       coverage->seen_ml };
  if (coverage->hidden_ml[TARN_CAUSE_EDGE] > 0.02 * coverage->urine_ml)
    coverage->forecast.kind = TARN_READING_LOWER_BOUND;
  bool accurate = fabs (coverage->forecast.volume_ml - truth_ml)
                  <= tarn_pass_tolerance_ml (&patient->pass, truth_ml);
  coverage->verdict = accurate ? TARN_VERDICT_ACCURATE : verdict_for (coverage);
}
