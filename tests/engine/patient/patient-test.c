/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient-test.c: defaults, validation, texts and variation of a patient. */
#include "engine/patient/patient.h"

#include "engine/patient/fields.h"

#include <glib.h>
#include <math.h>
#include <string.h>

/* A default patient of these. */
static TarnPatient
patient_of (TarnSex sex, double age_years, double volume_ml)
{
  TarnPatient patient = tarn_patient_default ();
  static const char *const given[] = { "sex", "age-years" };
  patient.habitus.sex = sex;
  patient.habitus.age_years = age_years;
  patient.bladder.volume_ml = volume_ml;
  for (int k = 0; k < 2; k++)
    tarn_field_state (tarn_field_find (TARN_GROUP_HABITUS, given[k]), &patient, NULL, true);
  tarn_field_state (tarn_field_find (TARN_GROUP_BLADDER, "volume-ml"), &patient, NULL, true);
  tarn_patient_fill_defaults (&patient);
  return patient;
}

/* Defaults. */

/* Sizes of the adult symphysis: published means, women 36–38 high and 15 mm thick, men 42 and
 * 19.  Wall: published means 2.76 mm nearly empty and 1.55 mm full.  The rest: own design
 * values that the file format promises. */
static void
test_adult_defaults (void)
{
  TarnPatient woman = tarn_patient_default (), man = patient_of (TARN_SEX_MALE, 40, 300);
  g_assert_cmpfloat (woman.symphysis.height_mm, >=, 36);
  g_assert_cmpfloat (woman.symphysis.height_mm, <=, 38);
  g_assert_cmpfloat (woman.symphysis.thickness_mm, ==, 15);
  g_assert_cmpfloat (man.symphysis.height_mm, ==, 42);
  g_assert_cmpfloat (man.symphysis.thickness_mm, ==, 19);
  g_assert_cmpfloat (patient_of (TARN_SEX_MALE, 40, 0).bladder.wall_mm, ==, 2.76);
  g_assert_cmpfloat (patient_of (TARN_SEX_MALE, 40, 600).bladder.wall_mm, ==, 1.55);

  g_assert_cmpfloat (woman.habitus.torso_width_mm, ==, 300);
  g_assert_cmpfloat (woman.habitus.torso_depth_mm, ==, 200);
  g_assert_cmpfloat (woman.habitus.fat_mm, ==, 18);
  g_assert_cmpfloat (woman.symphysis.inclination_deg, ==, 45);
  g_assert_cmpfloat (woman.bladder.rise_mm, ==, -15);
  g_assert_cmpfloat (woman.temper.breathing_mm, ==, 2);
  g_assert_cmpfloat (woman.temper.breathing_per_minute, ==, 14);
  g_assert_cmpfloat (woman.probe.mhz, ==, 3);
  g_assert_cmpfloat (woman.probe.sector_deg, ==, 80);
  g_assert_cmpfloat (woman.probe.fan_deg, ==, 70);
  g_assert_cmpfloat (woman.probe.depth_mm, ==, 180);
  g_assert_cmpint (woman.probe.lines, ==, 192);
  g_assert_cmpint (woman.probe.samples, ==, 640);
  g_assert_cmpint (woman.probe.planes, ==, 36);
  g_assert_cmpint (tarn_patient_validate (&woman, NULL), ==, TARN_OK);
}

/* The table of lengths (own design values), what lies between its rows, and similarity beyond:
 * twice the size holds eight times as much. */
static void
test_bladder_grows_by_the_table (void)
{
  static const double row[][4] = {
    { 50, 54, 59, 26 },   { 100, 64, 72, 36 },  { 200, 84, 82, 48 },   { 300, 100, 88, 57 },
    { 400, 112, 92, 65 }, { 500, 122, 96, 71 }, { 800, 146, 106, 86 },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (row); k++)
    {
      TarnBladder bladder = patient_of (TARN_SEX_FEMALE, 40, row[k][0]).bladder;
      g_assert_cmpfloat (bladder.length_mm, ==, row[k][1]);
      g_assert_cmpfloat (bladder.width_mm, ==, row[k][2]);
      g_assert_cmpfloat (bladder.height_mm, ==, row[k][3]);
    }

  TarnBladder between = patient_of (TARN_SEX_FEMALE, 40, 250).bladder;
  g_assert_cmpfloat_with_epsilon (between.length_mm, 92, 0.051);
  g_assert_cmpfloat_with_epsilon (between.width_mm, 85, 0.051);

  TarnBladder small = patient_of (TARN_SEX_FEMALE, 40, 50. / 8).bladder;
  g_assert_cmpfloat_with_epsilon (small.length_mm, 27, 0.051);
  TarnBladder large = patient_of (TARN_SEX_FEMALE, 40, 1600).bladder;
  g_assert_cmpfloat_with_epsilon (large.height_mm / large.width_mm, 86. / 106, 0.001);
  g_assert_cmpfloat_with_epsilon (large.length_mm, 146 * cbrt (2), 0.051);
}

static void
test_sizes_grow_with_age (void)
{
  static const char *const key[]
      = { "torso-width-mm", "torso-depth-mm", "skin-mm", "muscle-mm", "prevesical-mm" };
  static const char *const of_joint[] = { "height-mm", "thickness-mm", "ramus-mm" };
  TarnPatient before = patient_of (TARN_SEX_MALE, 0, 20);
  for (int age = 1; age <= 110; age++)
    {
      TarnPatient patient = patient_of (TARN_SEX_MALE, age, 20);
      for (gsize k = 0; k < G_N_ELEMENTS (key) + G_N_ELEMENTS (of_joint); k++)
        {
          const TarnField *field
              = k < G_N_ELEMENTS (key)
                    ? tarn_field_find (TARN_GROUP_HABITUS, key[k])
                    : tarn_field_find (TARN_GROUP_SYMPHYSIS, of_joint[k - G_N_ELEMENTS (key)]);
          double younger = tarn_field_get (field, &before, 0);
          double older = tarn_field_get (field, &patient, 0);
          g_assert_cmpfloat (older, >=, younger);
          if (age > 18)
            g_assert_cmpfloat (older, ==, younger);
        }
      before = patient;
    }
  /* An infant's bladder lies in the abdomen. */
  g_assert_cmpfloat (patient_of (TARN_SEX_FEMALE, 0, 20).bladder.rise_mm, ==, 0);
}

static void
test_tolerance_is_the_larger (void)
{
  TarnPass pass = { .tolerance_percent = 10, .tolerance_ml = 10 };
  g_assert_cmpfloat (tarn_pass_tolerance_ml (&pass, 320), ==, 32);
  g_assert_cmpfloat (tarn_pass_tolerance_ml (&pass, 100), ==, 10);
  g_assert_cmpfloat (tarn_pass_tolerance_ml (&pass, 0), ==, 10);
}

/* Validation. */

/* Every number of every field, on either side of its range, and not a number at all. */
static void
test_every_field_is_validated (void)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      gboolean real = tarn_field_components (field) > 0 && field->words == 0
                      && field->kind != TARN_FIELD_SEED;
      for (int c = 0; real && c < tarn_field_components (field); c++)
        {
          gboolean whole = field->kind == TARN_FIELD_INTEGER;
          const double wrong[] = { field->low - 1, field->high + 1, NAN };
          for (int w = 0; w < (whole ? 2 : 3); w++)
            {
              TarnPatient patient = tarn_patient_default ();
              patient.structures = 1;
              patient.structure[0] = (TarnStructure){ .radii_mm = { 9, 9, 9 } };
              void *owner = field->group == TARN_GROUP_STRUCTURE ? (void *)&patient.structure[0]
                                                                 : &patient;
              if (strcmp (field->key, "minutes-since-void") == 0 && w == 0)
                continue; /* -1 stands for not known */
              tarn_field_set (field, owner, c, wrong[w]);
              TarnProblem problem = { 0 };
              g_assert_cmpint (tarn_patient_validate (&patient, &problem), ==,
                               TARN_OUT_OF_RANGE);
              g_assert_true (g_str_has_suffix (problem.key, field->key));
              g_assert_nonnull (strstr (problem.text, "…"));
            }
        }
    }
}

typedef struct
{
  const char *path;
  void (*spoil) (TarnPatient *patient);
  const char *key;
} Contradiction;

static TarnStructure *
add_structure (TarnPatient *patient, TarnStructureKind kind, double radius_mm)
{
  TarnStructure *structure = &patient->structure[patient->structures++];
  *structure = (TarnStructure){ .kind = kind, .radii_mm = { radius_mm, radius_mm, radius_mm } };
  return structure;
}

static void
spoil_torso (TarnPatient *patient)
{
  patient->habitus.fat_mm = 110;
}

static void
spoil_torso_by_variation (TarnPatient *patient)
{
  patient->habitus.fat_mm = 60;
  g_assert_cmpint (tarn_patient_validate (patient, NULL), ==, TARN_OK);
  patient->variation.fat_percent = 50;
}

static void
spoil_width (TarnPatient *patient)
{
  patient->habitus.torso_width_mm = 120;
}

static void
spoil_proportions (TarnPatient *patient)
{
  patient->bladder.length_mm = 300;
  patient->bladder.height_mm = 20;
}

static void
spoil_uterus (TarnPatient *patient)
{
  patient->habitus.sex = TARN_SEX_MALE;
  add_structure (patient, TARN_STRUCTURE_UTERUS, 20);
}

static void
spoil_prostate (TarnPatient *patient)
{
  add_structure (patient, TARN_STRUCTURE_CYST, 20);
  add_structure (patient, TARN_STRUCTURE_PROSTATE, 20);
}

static void
spoil_counts (TarnPatient *patient)
{
  add_structure (patient, TARN_STRUCTURE_CYST, 20)->counts = true;
}

/* Two balls of radius 40 mm hold 536 mL (4/3 π r³). */
static void
spoil_clots (TarnPatient *patient)
{
  add_structure (patient, TARN_STRUCTURE_CLOT, 40);
  g_assert_cmpint (tarn_patient_validate (patient, NULL), ==, TARN_OK);
  add_structure (patient, TARN_STRUCTURE_CLOT, 40);
}

static void
spoil_lines (TarnPatient *patient)
{
  patient->probe.sector_deg = 20;
}

static void
spoil_samples (TarnPatient *patient)
{
  patient->probe.depth_mm = 60;
}

static void
spoil_planes (TarnPatient *patient)
{
  patient->probe.fan_deg = 20;
}

static void
spoil_consent (TarnPatient *patient)
{
  patient->situation.consents = false;
}

static void
spoil_stop (TarnPatient *patient)
{
  patient->pass.must_not_miss = TARN_MISS_SCANNED_AGAINST_STOP;
}

static void
spoil_catheter (TarnPatient *patient)
{
  patient->pass.must_not_miss = TARN_MISS_BLOCKED_CATHETER_MISSED;
}

static const Contradiction contradiction[] = {
  { "torso-holds-its-fat", spoil_torso, "[Habitus] torso-depth-mm" },
  { "torso-holds-all-fat-drawn", spoil_torso_by_variation, "[Habitus] torso-depth-mm" },
  { "torso-is-not-a-plank", spoil_width, "[Habitus] torso-width-mm" },
  { "bladder-is-not-a-sheet", spoil_proportions, "[Bladder] length-mm" },
  { "no-uterus-in-men", spoil_uterus, "[Structure 1] kind" },
  { "no-prostate-in-women", spoil_prostate, "[Structure 2] kind" },
  { "only-a-diverticulum-counts", spoil_counts, "[Structure 1] counts" },
  { "clots-fit-the-lumen", spoil_clots, "[Structure 2] radii-mm" },
  { "lines-fit-the-wider-field", spoil_lines, "[Probe] lines" },
  { "samples-fit-the-wider-field", spoil_samples, "[Probe] samples" },
  { "planes-fit-the-wider-field", spoil_planes, "[Probe] planes" },
  { "no-consent-is-a-stop", spoil_consent, "[Situation] consent" },
  { "against-a-stop-needs-one", spoil_stop, "[Pass] must-not-miss" },
  { "blocked-needs-a-blocked-one", spoil_catheter, "[Pass] must-not-miss" },
};

static void
test_contradiction (gconstpointer data)
{
  const Contradiction *wrong = data;
  TarnPatient patient = tarn_patient_default ();
  wrong->spoil (&patient);
  TarnProblem problem = { 0 };
  g_assert_cmpint (tarn_patient_validate (&patient, &problem), ==, TARN_IMPOSSIBLE);
  g_assert_cmpstr (problem.key, ==, wrong->key);
  g_assert_cmpuint (strlen (problem.text), >, 10);
}

/* Texts. */

static void
test_texts_are_found_by_language (void)
{
  TarnPatient patient = tarn_patient_default ();
  g_assert_null (tarn_patient_prose (&patient, "title", "es"));
  tarn_patient_set_prose (&patient, "title", "es", "Uno");
  g_assert_null (tarn_patient_prose (&patient, "title", "de"));
  g_assert_cmpint (tarn_patient_validate (&patient, NULL), ==, TARN_IMPOSSIBLE);
  tarn_patient_set_prose (&patient, "title", "", "One");
  tarn_patient_set_prose (&patient, "title", "es_MX", "Un");
  g_assert_cmpint (tarn_patient_validate (&patient, NULL), ==, TARN_OK);
  g_assert_cmpstr (tarn_patient_prose (&patient, "title", ""), ==, "One");
  g_assert_cmpstr (tarn_patient_prose (&patient, "title", "de_AT.UTF-8"), ==, "One");
  g_assert_cmpstr (tarn_patient_prose (&patient, "title", "es_ES.UTF-8"), ==, "Uno");
  g_assert_cmpstr (tarn_patient_prose (&patient, "title", "es_MX.UTF-8"), ==, "Un");
  g_assert_cmpint (tarn_patient_set_prose (&patient, "volume-ml", "", "x"), ==,
                   TARN_OUT_OF_RANGE);
  tarn_patient_clear (&patient);
}

static void
test_stop_follows_its_text (void)
{
  TarnPatient patient = tarn_patient_default ();
  g_assert_false (patient.situation.stop);
  tarn_patient_set_prose (&patient, "stop", "es", "No");
  g_assert_false (patient.situation.stop);
  tarn_patient_set_prose (&patient, "stop", "", "The wound is open.");
  g_assert_true (patient.situation.stop);
  tarn_patient_set_prose (&patient, "stop", "", NULL);
  g_assert_false (patient.situation.stop);
  tarn_patient_clear (&patient);
}

static void
test_copies_own_their_texts (void)
{
  TarnPatient patient = tarn_patient_default (), copy;
  tarn_patient_set_prose (&patient, "title", "", "One");
  tarn_patient_set_prose (&patient, "briefing", "", "Two");
  g_assert_cmpint (tarn_patient_copy (&patient, &copy), ==, TARN_OK);
  tarn_patient_clear (&patient);
  g_assert_cmpstr (tarn_patient_prose (&copy, "briefing", ""), ==, "Two");
  tarn_patient_clear (&copy);
  tarn_patient_clear (&copy); /* twice does no harm */
}

static void
test_texts_have_limits (void)
{
  TarnPatient patient = tarn_patient_default ();
  g_autofree char *wide = g_strnfill (121, 'x');
  tarn_patient_set_prose (&patient, "title", "", wide);
  TarnProblem problem;
  g_assert_cmpint (tarn_patient_validate (&patient, &problem), ==, TARN_OUT_OF_RANGE);
  g_assert_cmpstr (problem.key, ==, "[Anatomy] title");

  for (int k = 0; k < TARN_PROSES_MAX; k++)
    {
      g_autofree char *locale = g_strdup_printf ("x%d", k);
      TarnStatus status = tarn_patient_set_prose (&patient, "briefing", locale, "y");
      g_assert_cmpint (status, ==, k < TARN_PROSES_MAX - 1 ? TARN_OK : TARN_OUT_OF_RANGE);
    }
  tarn_patient_clear (&patient);
}

/* Variation. */

static TarnPatient
varied (double volume_percent, double left_mm, double fat_percent, double rise_mm,
        uint64_t seed)
{
  TarnPatient patient = tarn_patient_default ();
  patient.variation = (TarnVariation){ volume_percent, left_mm, fat_percent, rise_mm };
  tarn_patient_vary (&patient, seed);
  return patient;
}

static void
test_seed_0_varies_nothing (void)
{
  TarnPatient patient = varied (50, 30, 50, 30, 0), plain = varied (0, 0, 0, 0, 7);
  TarnPatient untouched = tarn_patient_default ();
  g_assert_cmpmem (&patient.bladder, sizeof (TarnBladder), &untouched.bladder,
                   sizeof (TarnBladder));
  g_assert_cmpfloat (patient.habitus.fat_mm, ==, 18);
  g_assert_cmpmem (&plain.bladder, sizeof (TarnBladder), &untouched.bladder,
                   sizeof (TarnBladder));
}

static void
test_the_same_seed_draws_the_same (void)
{
  TarnPatient a = varied (20, 10, 20, 10, 99), b = varied (20, 10, 20, 10, 99);
  g_assert_cmpmem (&a.bladder, sizeof (TarnBladder), &b.bladder, sizeof (TarnBladder));
  g_assert_cmpfloat (a.bladder.volume_ml, !=, varied (20, 10, 20, 10, 100).bladder.volume_ml);
  /* A range more leaves the other draws alone. */
  g_assert_cmpfloat (a.bladder.volume_ml, ==, varied (20, 0, 0, 0, 99).bladder.volume_ml);
  g_assert_cmpfloat (a.habitus.fat_mm, ==, varied (0, 0, 20, 0, 99).habitus.fat_mm);
}

/* An even draw on ±h has mean 0 and SD h/√3; over 4000 seeds the mean's own SD is h/110. */
static void
test_draws_are_even_within_the_range (void)
{
  enum
  {
    SEEDS = 4000
  };
  double sum = 0, squares = 0, product = 0, least = 0, most = 0;
  for (uint64_t seed = 1; seed <= SEEDS; seed++)
    {
      TarnPatient patient = varied (10, 8, 25, 5, seed);
      double volume = patient.bladder.volume_ml / 300 - 1;
      double left = patient.bladder.left_mm, rise = patient.bladder.rise_mm + 15;
      g_assert_cmpfloat (fabs (volume), <=, 0.1 + 1e-12);
      g_assert_cmpfloat (fabs (left), <=, 8);
      g_assert_cmpfloat (fabs (rise), <=, 5);
      g_assert_cmpfloat (fabs (patient.habitus.fat_mm / 18 - 1), <=, 0.25 + 1e-12);
      sum += left;
      squares += left * left;
      product += left * volume / (8 * 0.1);
      least = fmin (least, left);
      most = fmax (most, left);
    }
  g_assert_cmpfloat_with_epsilon (sum / SEEDS, 0, 4 * 8 / 110.);
  g_assert_cmpfloat_with_epsilon (sqrt (squares / SEEDS), 8 / sqrt (3), 0.2);
  g_assert_cmpfloat_with_epsilon (product / SEEDS / 8, 0, 4 / (3 * sqrt (SEEDS)));
  g_assert_cmpfloat (least, <, -7.9);
  g_assert_cmpfloat (most, >, 7.9);
}

static void
test_sizes_follow_the_volume_drawn (void)
{
  TarnPatient patient = varied (50, 0, 0, 0, 5);
  TarnPatient same = patient_of (TARN_SEX_FEMALE, 40, patient.bladder.volume_ml);
  g_assert_cmpfloat (patient.bladder.length_mm, ==, same.bladder.length_mm);
  g_assert_cmpfloat (patient.bladder.wall_mm, ==, same.bladder.wall_mm);

  /* What an author set stays, stated by a file or put there by a program. */
  TarnPatient set = tarn_patient_default ();
  set.bladder.length_mm = 130;
  set.variation.volume_percent = 50;
  tarn_patient_vary (&set, 5);
  g_assert_cmpfloat (set.bladder.volume_ml, ==, patient.bladder.volume_ml);
  g_assert_cmpfloat (set.bladder.length_mm, ==, 130);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/patient/adult-defaults", test_adult_defaults);
  g_test_add_func ("/patient/bladder-grows-by-the-table", test_bladder_grows_by_the_table);
  g_test_add_func ("/patient/sizes-grow-with-age", test_sizes_grow_with_age);
  g_test_add_func ("/patient/tolerance-is-the-larger", test_tolerance_is_the_larger);
  g_test_add_func ("/patient/every-field-is-validated", test_every_field_is_validated);
  for (gsize k = 0; k < G_N_ELEMENTS (contradiction); k++)
    {
      g_autofree char *path
          = g_strconcat ("/patient/contradiction/", contradiction[k].path, NULL);
      g_test_add_data_func (path, &contradiction[k], test_contradiction);
    }
  g_test_add_func ("/patient/texts-are-found-by-language", test_texts_are_found_by_language);
  g_test_add_func ("/patient/stop-follows-its-text", test_stop_follows_its_text);
  g_test_add_func ("/patient/copies-own-their-texts", test_copies_own_their_texts);
  g_test_add_func ("/patient/texts-have-limits", test_texts_have_limits);
  g_test_add_func ("/patient/seed-0-varies-nothing", test_seed_0_varies_nothing);
  g_test_add_func ("/patient/the-same-seed-draws-the-same", test_the_same_seed_draws_the_same);
  g_test_add_func ("/patient/draws-are-even-within-the-range",
                   test_draws_are_even_within_the_range);
  g_test_add_func ("/patient/sizes-follow-the-volume-drawn",
                   test_sizes_follow_the_volume_drawn);
  return g_test_run ();
}
