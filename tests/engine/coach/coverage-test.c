/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Coverage of a pose: its parts add up, it agrees with the other way of counting
 * (verdict/geometric.h), a cause that is absent is 0, and the same is said on any thread. */
#include "engine/coach/coverage.h"

#include "base/parallel.h"
#include "base/random.h"
#include "base/units.h"

#include <glib.h>
#include <string.h>

typedef struct
{
  TarnBody *body;
  TarnSurvey *survey;
} Case;

static Case
case_of (const TarnPatient *patient)
{
  Case made = { 0 };
  g_assert_cmpint (tarn_body_new (patient, 0, &made.body, NULL), ==, TARN_OK);
  g_assert_cmpint (tarn_survey_new (made.body, &made.survey), ==, TARN_OK);
  g_assert_true (tarn_survey_body (made.survey) == made.body);
  return made;
}

static void
case_clear (Case *its)
{
  tarn_survey_free (its->survey);
  tarn_body_free (its->body);
}

static TarnPatient
with_gas (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.structure[patient.structures++] = (TarnStructure){ .kind = TARN_STRUCTURE_BOWEL_GAS,
                                                             .centre_mm = { 22, -8, 72 },
                                                             .radii_mm = { 14, 8, 12 } };
  return patient;
}

static TarnPose
pose_at (int index)
{
  guint64 at = (guint64)index * 4;
  return (TarnPose){ .above_mm = 10 + 90 * tarn_uniform_at (3, at),
                     .left_mm = -40 + 80 * tarn_uniform_at (3, at + 1),
                     .tilt_rad = tarn_rad_from_deg (-15 + 50 * tarn_uniform_at (3, at + 2)),
                     .turn_rad = index % 3 == 0 ? TARN_PI / 2 : 0,
                     .force_n = 2 + 14 * tarn_uniform_at (3, at + 3) };
}

static int
poses (void)
{
  return g_getenv ("TARN_TEST_QUICK") != NULL ? 6 : 30;
}

static void
look (const Case *its, int index, TarnCoverage *coverage)
{
  TarnPose pose = pose_at (index);
  g_assert_cmpint (tarn_coverage_at (its->survey, &pose, NULL, 0, coverage), ==, TARN_OK);
}

static void
test_parts_add_up (void)
{
  TarnPatient patient = with_gas ();
  Case its = case_of (&patient);
  for (int k = 0; k < poses (); k++)
    {
      TarnCoverage coverage;
      look (&its, k, &coverage);
      double sum_ml = coverage.seen_ml;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        {
          g_assert_cmpfloat (coverage.hidden_ml[cause], >=, 0);
          sum_ml += coverage.hidden_ml[cause];
        }
      g_assert_cmpfloat_with_epsilon (sum_ml, coverage.urine_ml, 1e-6);
      /* Urine runs out at a side exactly where its margin is negative. */
      for (int side = 0; side < TARN_SIDES; side++)
        g_assert_cmpint (coverage.margin[side]<0, ==, coverage.beyond_ml[side]> 0);
    }
  case_clear (&its);
}

/* The survey itself: the truth, which the body knows from its surfaces. */
static void
test_survey_holds_the_urine (void)
{
  static const double volume_ml[] = { 25, 120, 600 };
  for (gsize k = 0; k < G_N_ELEMENTS (volume_ml); k++)
    {
      TarnPatient patient = tarn_patient_default ();
      double scale = cbrt (volume_ml[k] / patient.bladder.volume_ml);
      patient.bladder.volume_ml = volume_ml[k];
      patient.bladder.length_mm *= scale;
      patient.bladder.width_mm *= scale;
      patient.bladder.height_mm *= scale;
      Case its = case_of (&patient);
      TarnCoverage coverage;
      TarnPose pose = { .above_mm = 40, .force_n = 3 };
      g_assert_cmpint (tarn_coverage_at (its.survey, &pose, NULL, 0, &coverage), ==, TARN_OK);
      g_assert_cmpfloat_with_epsilon (coverage.urine_ml, tarn_body_true_volume_ml (its.body),
                                      1e-6 * volume_ml[k]);
      case_clear (&its);
    }
}

/* Two ways to count: voxels of another pitch, each asked for its tissue, and rays that know
 * their own bend. */
static void
test_agrees_with_geometric_loss (void)
{
  TarnPatient patient = tarn_patient_default ();
  Case its = case_of (&patient);
  for (int k = 0; k < poses (); k++)
    {
      TarnPose pose = pose_at (k);
      TarnCoverage coverage;
      TarnView view;
      TarnGeometricLoss loss;
      look (&its, k, &coverage);
      g_assert_cmpint (tarn_view_init (&view, its.body, &pose, NULL, 0), ==, TARN_OK);
      g_assert_cmpint (tarn_geometric_loss (its.body, &view, &loss), ==, TARN_OK);
      double most_ml = 0.02 * loss.urine_ml;
      g_assert_cmpfloat_with_epsilon (coverage.urine_ml, loss.urine_ml, most_ml);
      g_assert_cmpfloat_with_epsilon (coverage.seen_ml, loss.seen_ml, most_ml);
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        g_assert_cmpfloat_with_epsilon (coverage.hidden_ml[cause], loss.hidden_ml[cause],
                                        most_ml);
    }
  case_clear (&its);
}

static void
test_absent_causes_are_zero (void)
{
  TarnPatient patient = tarn_patient_default ();
  Case its = case_of (&patient);
  for (int k = 0; k < poses (); k++)
    {
      TarnCoverage coverage;
      look (&its, k, &coverage);
      g_assert_cmpfloat (coverage.hidden_ml[TARN_CAUSE_GAS], ==, 0);
      g_assert_cmpfloat (coverage.hidden_ml[TARN_CAUSE_CONTACT], ==, 0);
      g_assert_cmpfloat (coverage.hidden_ml[TARN_CAUSE_MOTION], ==, 0);
      g_assert_cmpfloat (coverage.wet_fraction, ==, 1);
    }
  case_clear (&its);
}

/* In the middle above a bladder of 300 mL nothing is lost; from far off nothing is seen. */
static void
test_forecast_knows_near_from_far (void)
{
  TarnPatient patient = tarn_patient_default ();
  Case its = case_of (&patient);
  TarnCoverage coverage;
  TarnPose pose = { .above_mm = 90, .tilt_rad = tarn_rad_from_deg (25), .force_n = 5 };
  g_assert_cmpint (tarn_coverage_at (its.survey, &pose, NULL, 0, &coverage), ==, TARN_OK);
  g_assert_cmpint (coverage.verdict, ==, TARN_VERDICT_ACCURATE);
  g_assert_cmpint (coverage.forecast.kind, ==, TARN_READING_MEASURE);
  g_assert_cmpfloat (coverage.seen_ml, >, 0.99 * coverage.urine_ml);

  pose.above_mm = 260;
  pose.tilt_rad = tarn_rad_from_deg (-20);
  g_assert_cmpint (tarn_coverage_at (its.survey, &pose, NULL, 0, &coverage), ==, TARN_OK);
  g_assert_cmpint (coverage.forecast.kind, ==, TARN_READING_NOT_SEEN);
  g_assert_cmpint (coverage.verdict, ==, TARN_VERDICT_CLIPPED);
  /* Planes of negative angles lean to the feet. */
  g_assert_cmpfloat (coverage.margin[TARN_SIDE_FIRST], <, 0);
  case_clear (&its);
}

static void
test_dry_face_is_told (void)
{
  TarnPatient patient = tarn_patient_default ();
  Case its = case_of (&patient);
  g_autofree TarnGelFilm *bare = g_new0 (TarnGelFilm, 1), *before = g_new0 (TarnGelFilm, 1);
  TarnCoverage coverage;
  TarnPose pose = { .above_mm = 70, .tilt_rad = tarn_rad_from_deg (15), .force_n = 3 };
  g_assert_cmpint (tarn_coverage_at (its.survey, &pose, bare, 0, &coverage), ==, TARN_OK);
  g_assert_cmpint (coverage.verdict, ==, TARN_VERDICT_POOR_CONTACT);
  g_assert_cmpfloat (coverage.hidden_ml[TARN_CAUSE_CONTACT], >, 0.3 * coverage.urine_ml);
  g_assert_cmpfloat (coverage.wet_fraction, <, 0.9);
  /* The film is only looked at. */
  g_assert_cmpmem (bare, sizeof *bare, before, sizeof *before);
  case_clear (&its);
}

static void
test_shallow_picture_cuts_off (void)
{
  TarnPatient patient = tarn_patient_default ();
  Case its = case_of (&patient);
  TarnCoverage deep, shallow;
  TarnPose pose = { .above_mm = 70, .tilt_rad = tarn_rad_from_deg (15), .force_n = 8 };
  g_assert_cmpint (tarn_coverage_at (its.survey, &pose, NULL, 0, &deep), ==, TARN_OK);
  g_assert_cmpint (tarn_coverage_at (its.survey, &pose, NULL, 70, &shallow), ==, TARN_OK);
  double probe_mm = tarn_body_patient (its.body)->probe.depth_mm;
  g_assert_cmpfloat_with_epsilon (deep.margin[TARN_SIDE_DEEP] - shallow.margin[TARN_SIDE_DEEP],
                                  probe_mm - 70, 1e-6);
  g_assert_cmpfloat (shallow.margin[TARN_SIDE_DEEP], <, 0);
  g_assert_cmpfloat (shallow.forecast.volume_ml, <, deep.forecast.volume_ml);
  case_clear (&its);
}

static void
test_refuses_what_is_no_pose (void)
{
  TarnPatient patient = tarn_patient_default ();
  Case its = case_of (&patient);
  TarnCoverage coverage, before;
  memset (&coverage, 0x55, sizeof coverage);
  before = coverage;
  TarnPose off = { .above_mm = 2000, .force_n = 5 };
  TarnPose too_hard = { .above_mm = 40, .force_n = 500 };
  TarnPose good = { .above_mm = 40, .force_n = 5 };
  g_assert_cmpint (tarn_coverage_at (its.survey, &off, NULL, 0, &coverage), !=, TARN_OK);
  off.above_mm = 1500;
  g_assert_cmpint (tarn_coverage_at (its.survey, &off, NULL, 0, &coverage), ==, TARN_OFF_BODY);
  g_assert_cmpint (tarn_coverage_at (its.survey, &too_hard, NULL, 0, &coverage), ==,
                   TARN_OUT_OF_RANGE);
  g_assert_cmpint (tarn_coverage_at (its.survey, &good, NULL, 5, &coverage), ==,
                   TARN_OUT_OF_RANGE);
  g_assert_cmpmem (&coverage, sizeof coverage, &before, sizeof before);
  case_clear (&its);
  tarn_survey_free (NULL);
}

enum
{
  TURNS = 12
};

typedef struct
{
  const Case *its;
  TarnCoverage coverage[TURNS];
} Many;

static void
turn (void *context, int index, int worker)
{
  Many *many = context;
  (void)worker;
  look (many->its, index, &many->coverage[index]);
}

static void
test_threads_change_nothing (void)
{
  TarnPatient patient = with_gas ();
  Case its = case_of (&patient);
  Many *one = g_new0 (Many, 1), *three = g_new0 (Many, 1);
  TarnThreadPool *pool = tarn_thread_pool_new (3);
  one->its = three->its = &its;
  tarn_parallel_for (NULL, TURNS, turn, one);
  tarn_parallel_for (tarn_thread_pool_parallel (pool), TURNS, turn, three);
  for (int k = 0; k < TURNS; k++)
    {
      const TarnCoverage *a = &one->coverage[k], *b = &three->coverage[k];
      g_assert_cmpmem (a->hidden_ml, sizeof a->hidden_ml, b->hidden_ml, sizeof b->hidden_ml);
      g_assert_cmpmem (a->margin, sizeof a->margin, b->margin, sizeof b->margin);
      g_assert_cmpint (a->verdict, ==, b->verdict);
      g_assert_true (a->forecast.volume_ml == b->forecast.volume_ml);
    }
  tarn_thread_pool_free (pool);
  g_free (one);
  g_free (three);
  case_clear (&its);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/coverage/parts-add-up", test_parts_add_up);
  g_test_add_func ("/coverage/survey-holds-the-urine", test_survey_holds_the_urine);
  g_test_add_func ("/coverage/agrees-with-geometric-loss", test_agrees_with_geometric_loss);
  g_test_add_func ("/coverage/absent-causes-are-zero", test_absent_causes_are_zero);
  g_test_add_func ("/coverage/forecast-knows-near-from-far", test_forecast_knows_near_from_far);
  g_test_add_func ("/coverage/dry-face-is-told", test_dry_face_is_told);
  g_test_add_func ("/coverage/shallow-picture-cuts-off", test_shallow_picture_cuts_off);
  g_test_add_func ("/coverage/refuses-what-is-no-pose", test_refuses_what_is_no_pose);
  g_test_add_func ("/coverage/threads-change-nothing", test_threads_change_nothing);
  return g_test_run ();
}
