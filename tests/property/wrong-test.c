/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Attempts made wrong on purpose, each in one way, on six bodies: the verdict names that way,
 * and so does the ledger's largest entry.  Which pose goes wrong how is common practice, no
 * source: off the middle and leaning away cuts, on the bone is in its shadow, under bowel gas
 * likewise, little gel and a light hand couple badly, a hand that will not keep still, and
 * fluid that is not the bladder's. */
#include "people.h"

#include <glib.h>

#define BODIES 6
/* Fewer than the probe's own: quicker, and as wrong. */
#define FEW  12
#define MORE 18

static TarnPatient
person_stout (double volume_ml)
{
  TarnPatient patient = person_plain (volume_ml);
  g_strlcpy (patient.id, "stout", sizeof patient.id);
  patient.seed = 14;
  patient.habitus.fat_mm = 30;
  patient.habitus.torso_width_mm = 350;
  patient.habitus.torso_depth_mm = 240;
  return patient;
}

/* What is in the body beside the bladder. */
static void
add_nothing (TarnPatient *patient)
{
  (void)patient;
}

/* Bowel gas between the abdominal wall and the dome. */
static void
add_gas (TarnPatient *patient)
{
  person_add (patient, TARN_STRUCTURE_BOWEL_GAS, tarn_vec3 (8, 25, 92), tarn_vec3 (40, 10, 14));
}

static void
add_ascites (TarnPatient *patient)
{
  person_add (patient, TARN_STRUCTURE_ASCITES, tarn_vec3 (0, 52, 130), tarn_vec3 (70, 30, 40));
}

static void
add_cyst (TarnPatient *patient)
{
  person_add (patient, TARN_STRUCTURE_CYST, tarn_vec3 (10, 60, 140), tarn_vec3 (40, 34, 36));
}

typedef struct
{
  TarnPatient (*person) (double volume_ml);
  double volume_ml;
  void (*add) (TarnPatient *patient);
} Who;

typedef struct
{
  const char *name;
  TarnCause cause;
  TarnVerdict verdict;
  Pose pose;
  bool by_sides; /* to the other side for every second body */
  Who who[BODIES];
} Way;

static const Way ways[] = {
  { "edge",
    TARN_CAUSE_EDGE,
    TARN_VERDICT_CLIPPED,
    POSE_OF (.above_mm = 50, .left_mm = 60, .lean_deg = 15, .tilt_deg = 10, .planes = FEW),
    true,
    { { person_plain, 120, add_nothing },
      { person_plain, 200, add_nothing },
      { person_plain, 320, add_nothing },
      { person_slim, 200, add_nothing },
      { person_slim, 400, add_nothing },
      { person_stout, 250, add_nothing } } },
  { "bone",
    TARN_CAUSE_BONE,
    TARN_VERDICT_SHADOWED,
    POSE_OF (.above_mm = -10, .tilt_deg = -10, .planes = FEW),
    false,
    { { person_plain, 90, add_nothing },
      { person_plain, 120, add_nothing },
      { person_plain, 200, add_nothing },
      { person_slim, 120, add_nothing },
      { person_slim, 200, add_nothing },
      { person_stout, 250, add_nothing } } },
  { "gas",
    TARN_CAUSE_GAS,
    TARN_VERDICT_SHADOWED,
    POSE_OF (.above_mm = 120, .tilt_deg = 40, .planes = MORE),
    false,
    { { person_plain, 320, add_gas },
      { person_plain, 400, add_gas },
      { person_slim, 250, add_gas },
      { person_slim, 300, add_gas },
      { person_slim, 350, add_gas },
      { person_stout, 300, add_gas } } },
  { "contact",
    TARN_CAUSE_CONTACT,
    TARN_VERDICT_POOR_CONTACT,
    POSE_OF (.above_mm = 60, .tilt_deg = 15, .force_n = 0.5, .gel_g = 1, .planes = FEW),
    false,
    { { person_plain, 120, add_nothing },
      { person_plain, 200, add_nothing },
      { person_plain, 320, add_nothing },
      { person_slim, 200, add_nothing },
      { person_slim, 400, add_nothing },
      { person_stout, 250, add_nothing } } },
  { "motion",
    TARN_CAUSE_MOTION,
    TARN_VERDICT_MOVED,
    POSE_OF (.above_mm = 45, .tilt_deg = 5, .tremor_mm = 18, .seed = 5, .planes = MORE),
    false,
    { { person_plain, 200, add_nothing },
      { person_plain, 260, add_nothing },
      { person_plain, 320, add_nothing },
      { person_slim, 250, add_nothing },
      { person_slim, 350, add_nothing },
      { person_stout, 300, add_nothing } } },
  { "other fluid",
    TARN_CAUSE_OTHER_FLUID,
    TARN_VERDICT_WRONG_FLUID,
    POSE_OF (.above_mm = 120, .tilt_deg = 10, .planes = FEW),
    false,
    { { person_plain, 120, add_ascites },
      { person_plain, 120, add_cyst },
      { person_plain, 200, add_ascites },
      { person_plain, 320, add_ascites },
      { person_slim, 200, add_ascites },
      { person_stout, 250, add_ascites } } },
};

static void
test_way (gconstpointer data)
{
  const Way *way = data;
  int bodies = g_getenv ("TARN_TEST_QUICK") != NULL ? 2 : BODIES;
  for (int k = 0; k < bodies; k++)
    {
      const Who *who = &way->who[k];
      TarnPatient patient = who->person (who->volume_ml);
      who->add (&patient);
      if (way->cause != TARN_CAUSE_MOTION)
        patient.temper.breathing_mm = 0; /* holds her breath */
      TarnBody *body = person_body (&patient, 0);
      Pose pose = way->pose;
      if (way->by_sides && k % 2 == 1)
        {
          pose.left_mm *= -1;
          pose.lean_deg *= -1;
        }
      Outcome outcome = scan_with_ledger (body, pose);
      say (patient.id, pose, &outcome);
      g_assert_cmpstr (tarn_verdict_name (outcome.verdict), ==,
                       tarn_verdict_name (way->verdict));
      g_assert_cmpstr (
          tarn_cause_name (tarn_ledger_main_cause (&outcome.ledger, outcome.error_ml)), ==,
          tarn_cause_name (way->cause));
      /* What is not there is not blamed, and all of the error is. */
      double sum_ml = 0;
      for (int cause = 0; cause < TARN_CAUSES; cause++)
        sum_ml += outcome.ledger.entry_ml[cause];
      g_assert_cmpfloat_with_epsilon (sum_ml, outcome.error_ml, 0.1);
      if (who->add != add_gas)
        g_assert_cmpfloat (outcome.ledger.entry_ml[TARN_CAUSE_GAS], ==, 0);
      if (who->add != add_ascites && who->add != add_cyst)
        g_assert_cmpfloat (outcome.ledger.entry_ml[TARN_CAUSE_OTHER_FLUID], ==, 0);
      if (way->cause != TARN_CAUSE_MOTION)
        g_assert_cmpfloat (outcome.ledger.entry_ml[TARN_CAUSE_MOTION], ==, 0);
      tarn_body_free (body);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize k = 0; k < G_N_ELEMENTS (ways); k++)
    {
      g_autofree char *path = g_strdup_printf ("/wrong/%s", ways[k].name);
      g_test_add_data_func (path, &ways[k], test_way);
    }
  return g_test_run ();
}
