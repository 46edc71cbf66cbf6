/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A reading by calipers: three diameters set on frozen planes.
 *
 * The verdict of such a reading has no ledger: there is nothing to run again.  It is wrong
 * fluid by the rule for outlines, where shares are those of the three calipers' length: of
 * what is fluid or inside the lumen under them, how much is urine.  Else it is accurate within
 * the tolerance, and unexplained beyond. */
#include "engine/attempt/state.h"

#include <math.h>

#define SAMPLES 48 /* along a caliper */

static TarnCaliperGround
ground_under (const TarnHeldPlane *held, const TarnCaliper *caliper)
{
  TarnPlaneFrame frame = tarn_plane_frame (&held->contact, 0);
  TarnCaliperGround ground
      = { .force_n = held->pose.force_n, .wet_fraction = held->contact.wet_fraction };
  for (int k = 0; k < SAMPLES; k++)
    {
      double share = (k + 0.5) / SAMPLES;
      double u_mm = caliper->u0_mm + share * (caliper->u1_mm - caliper->u0_mm);
      double v_mm = caliper->v0_mm + share * (caliper->v1_mm - caliper->v0_mm);
      TarnVec3 p = tarn_add_scaled (frame.centre_mm, frame.lateral, u_mm);
      p = tarn_add_scaled (p, frame.axis, v_mm);
      TarnTissue tissue = tarn_body_tissue (held->body, tarn_deform_inverse (&held->deform, p));
      if (tissue == TARN_TISSUE_URINE)
        ground.urine += 1.0 / SAMPLES;
      else if (tarn_tissue_without_others (tissue) != tissue)
        ground.other += 1.0 / SAMPLES;
    }
  return ground;
}

TarnStatus
tarn_diameters_set (TarnAttempt *attempt, const TarnInput *input)
{
  TarnBedside *bedside = &attempt->bedside;
  if (input->code >= TARN_CALIPERS)
    return TARN_OUT_OF_RANGE;
  for (int k = 0; k < 4; k++)
    if (!(fabs (input->value[k]) <= TARN_CALIPER_PLACE_MAX_MM))
      return TARN_OUT_OF_RANGE;
  if (!bedside->frozen)
    return TARN_IMPOSSIBLE;

  TarnCaliper caliper = { input->value[0], input->value[1], input->value[2], input->value[3] };
  bedside->caliper_set[input->code] = true;
  bedside->caliper[input->code] = caliper;
  bedside->caliper_turn_rad[input->code] = attempt->held.pose.turn_rad;
  attempt->ground[input->code] = ground_under (&attempt->held, &caliper);
  attempt->caliper_pose = attempt->held.pose;
  return TARN_OK;
}

TarnStatus
tarn_diameters_measure (TarnAttempt *attempt, double coefficient)
{
  TarnBedside *bedside = &attempt->bedside;
  if (!(coefficient > 0) || !(coefficient <= TARN_COEFFICIENT_MAX))
    return TARN_OUT_OF_RANGE;
  /* A sweep that is under way needs room for its own reading. */
  int readings = bedside->readings + (bedside->sweeping ? 1 : 0);
  if (readings >= TARN_ATTEMPT_READINGS_MAX)
    return TARN_IMPOSSIBLE;
  for (int k = 0; k < TARN_CALIPERS; k++)
    if (!bedside->caliper_set[k])
      return TARN_IMPOSSIBLE;

  TarnCalipers calipers = { .length = bedside->caliper[TARN_CALIPER_LENGTH],
                            .width = bedside->caliper[TARN_CALIPER_WIDTH],
                            .height = bedside->caliper[TARN_CALIPER_HEIGHT] };
  TarnMadeReading *reading = &attempt->reading[bedside->readings];
  *reading = (TarnMadeReading){ .lift_step = attempt->lift_step };
  TarnAttemptReading *made = &reading->made;
  made->source = TARN_SOURCE_CALIPERS;
  made->tick = bedside->tick;
  made->pose = attempt->caliper_pose;
  made->diameters = tarn_calipers_diameters (&calipers);
  made->coefficient = coefficient;
  made->reading.kind = TARN_READING_MEASURE;
  made->reading.volume_ml = tarn_diameters_volume_ml (&made->diameters, coefficient);
  for (int k = 0; k < TARN_CALIPERS; k++)
    {
      made->caliper[k] = bedside->caliper[k];
      reading->ground[k] = attempt->ground[k];
      made->force_most_n = fmax (made->force_most_n, attempt->ground[k].force_n);
    }
  bedside->readings++;
  return TARN_OK;
}

TarnVerdict
tarn_diameters_verdict (const TarnAttempt *attempt, int index)
{
  const TarnMadeReading *reading = &attempt->reading[index];
  double urine = 0, other = 0;
  for (int k = 0; k < TARN_CALIPERS; k++)
    {
      double length_mm = tarn_caliper_mm (&reading->made.caliper[k]);
      urine += reading->ground[k].urine * length_mm;
      other += reading->ground[k].other * length_mm;
    }
  /* On no fluid at all there is none that could be the wrong one. */
  TarnContents contents = { 1, 0 };
  if (urine + other > 0)
    contents = (TarnContents){ urine / (urine + other), other / (urine + other) };

  double truth_ml = tarn_body_true_volume_ml (attempt->bodies[reading->lift_step]);
  TarnVerdictFacts facts
      = { .reading = reading->made.reading,
          .truth_ml = truth_ml,
          .tolerance_ml = tarn_pass_tolerance_ml (&attempt->patient.pass, truth_ml),
          .contents = contents };
  TarnVerdict verdict = tarn_verdict (&facts, NULL);
  return verdict == TARN_VERDICT_NOT_ACCURATE ? TARN_VERDICT_UNEXPLAINED : verdict;
}
