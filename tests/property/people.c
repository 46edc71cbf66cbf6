/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "people.h"

#include "base/units.h"
#include "engine/patient/defaults.h"

#include <glib.h>

void
person_set_volume (TarnPatient *patient, double volume_ml)
{
  patient->bladder.volume_ml = volume_ml;
  patient->bladder.length_mm = tarn_default_length_mm (patient, NULL);
  patient->bladder.width_mm = tarn_default_width_mm (patient, NULL);
  patient->bladder.height_mm = tarn_default_height_mm (patient, NULL);
  patient->bladder.wall_mm = tarn_default_wall_mm (patient, NULL);
}

TarnPatient
person_plain (double volume_ml)
{
  TarnPatient patient = tarn_patient_default ();
  g_strlcpy (patient.id, "plain", sizeof patient.id);
  patient.seed = 11;
  person_set_volume (&patient, volume_ml);
  return patient;
}

TarnPatient
person_slim (double volume_ml)
{
  TarnPatient patient = person_plain (volume_ml);
  g_strlcpy (patient.id, "slim", sizeof patient.id);
  patient.seed = 12;
  patient.habitus.fat_mm = 8;
  patient.habitus.muscle_mm = 8;
  patient.habitus.prevesical_mm = 4;
  patient.habitus.torso_width_mm = 262;
  patient.habitus.torso_depth_mm = 176;
  return patient;
}

TarnPatient
person_large (double volume_ml)
{
  TarnPatient patient = person_plain (volume_ml);
  g_strlcpy (patient.id, "large", sizeof patient.id);
  patient.seed = 13;
  patient.habitus.fat_mm = 50;
  patient.habitus.pannus_mm = 50;
  patient.habitus.pannus_reach_mm = 150;
  patient.habitus.torso_width_mm = 440;
  patient.habitus.torso_depth_mm = 310;
  return patient;
}

TarnStructure *
person_add (TarnPatient *patient, TarnStructureKind kind, TarnVec3 centre_mm, TarnVec3 radii_mm)
{
  g_assert_cmpint (patient->structures, <, TARN_STRUCTURES_MAX);
  TarnStructure *structure = &patient->structure[patient->structures++];
  *structure = (TarnStructure){ .kind = kind, .centre_mm = centre_mm, .radii_mm = radii_mm };
  return structure;
}

TarnBody *
person_body (const TarnPatient *patient, double lift)
{
  TarnBody *body = NULL;
  TarnProblem problem = { 0 };
  TarnStatus status = tarn_body_new (patient, lift, &body, &problem);
  if (status != TARN_OK)
    g_test_message ("%s: %s", problem.key, problem.text);
  g_assert_cmpint (status, ==, TARN_OK);
  return body;
}

const TarnParallel *
two_threads (void)
{
  static TarnThreadPool *pool;
  if (pool == NULL)
    pool = tarn_thread_pool_new (2);
  return tarn_thread_pool_parallel (pool);
}

TarnScanOptions
pose_options (Pose pose)
{
  TarnScanOptions options = tarn_scan_options_default ();
  options.pose = (TarnPose){ .above_mm = pose.above_mm,
                             .left_mm = pose.left_mm,
                             .tilt_rad = tarn_rad_from_deg (pose.tilt_deg),
                             .lean_rad = tarn_rad_from_deg (pose.lean_deg),
                             .turn_rad = tarn_rad_from_deg (pose.turn_deg),
                             .force_n = pose.force_n };
  options.gel_g = pose.gel_g;
  options.tremor_mm = pose.tremor_mm;
  options.depth_mm = pose.depth_mm;
  options.seed = pose.seed;
  if (pose.planes != PROBE_PLANES)
    options.planes = pose.planes != 0 ? pose.planes : HALF_PLANES;
  options.film = pose.film;
  options.parallel = two_threads ();
  return options;
}

typedef enum
{
  NO_LEDGER,
  LEDGER_WHERE_WRONG,
  LEDGER
} WhenLedger;

static Outcome
run (const TarnBody *body, Pose pose, WhenLedger when)
{
  TarnScanOptions options = pose_options (pose);
  options.ledger = when == LEDGER;
  TarnScan *scan = g_new (TarnScan, 1);
  g_assert_cmpint (tarn_scan_run (body, &options, scan), ==, TARN_OK);
  if (when == LEDGER_WHERE_WRONG && scan->verdict == TARN_VERDICT_NOT_ACCURATE)
    g_assert_cmpint (tarn_scan_add_ledger (scan), ==, TARN_OK);
  Outcome outcome = { .reading = scan->sweep.reading,
                      .truth_ml = scan->truth_ml,
                      .error_ml = scan->error_ml,
                      .tolerance_ml = scan->tolerance_ml,
                      .verdict = scan->verdict,
                      .by_luck = scan->by_luck,
                      .has_ledger = scan->has_ledger,
                      .ledger = scan->ledger,
                      .contents = scan->contents,
                      .wet_fraction = scan->sweep.contact.wet_fraction,
                      .indentation_mm = scan->sweep.contact.indentation_mm };
  const TarnSweepPlane *plane = scan->sweep.plane;
  int middle = scan->sweep.planes / 2;
  outcome.middle_mm2
      = (plane[middle - 1].outline.area_mm2 + plane[middle].outline.area_mm2) / 2;
  for (int k = 0; k < scan->sweep.planes; k++)
    outcome.largest_mm2 = fmax (outcome.largest_mm2, plane[k].outline.area_mm2);
  tarn_scan_clear (scan);
  g_free (scan);
  return outcome;
}

Outcome
scan_without_ledger (const TarnBody *body, Pose pose)
{
  return run (body, pose, NO_LEDGER);
}

Outcome
scan_with_ledger (const TarnBody *body, Pose pose)
{
  return run (body, pose, LEDGER);
}

Outcome
scan (const TarnBody *body, Pose pose)
{
  return run (body, pose, LEDGER_WHERE_WRONG);
}

TarnGeometricLoss
lose (const TarnBody *body, Pose pose)
{
  TarnScanOptions options = pose_options (pose);
  TarnView view;
  TarnGeometricLoss loss;
  g_assert_cmpint (tarn_view_init (&view, body, &options.pose, NULL, pose.depth_mm), ==,
                   TARN_OK);
  g_assert_cmpint (tarn_geometric_loss (body, &view, &loss), ==, TARN_OK);
  return loss;
}

void
say (const char *what, Pose pose, const Outcome *outcome)
{
  const double *entry = outcome->ledger.entry_ml;
  g_test_message ("%s: above %g left %g tilt %g lean %g force %g gel %g tremor %g: %s %.1f of "
                  "%.1f mL, %s%s; wet %.2f, pressed %.1f mm, urine %.2f other %.2f; edge %.1f "
                  "bone %.1f gas %.1f contact %.1f motion %.1f other %.1f rest %.1f",
                  what, pose.above_mm, pose.left_mm, pose.tilt_deg, pose.lean_deg, pose.force_n,
                  pose.gel_g, pose.tremor_mm, tarn_reading_kind_name (outcome->reading.kind),
                  outcome->reading.volume_ml, outcome->truth_ml,
                  tarn_verdict_name (outcome->verdict), outcome->by_luck ? " by luck" : "",
                  outcome->wet_fraction, outcome->indentation_mm, outcome->contents.urine,
                  outcome->contents.other, entry[0], entry[1], entry[2], entry[3], entry[4],
                  entry[5], entry[6]);
}
