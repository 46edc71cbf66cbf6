/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * anatomies-test.c: the shipped patients load, save as they are, can be built, and are the
 * patients that their numbers promise. */
#include "base/units.h"
#include "engine/body/body.h"
#include "engine/verdict/scan.h"
#include "store/patient_file.h"

#include <math.h>
#include <string.h>

/* Cases as invented for this project: their numbers stand in the files' names.  From 31 on
 * nobody should be scanned. */
static const struct
{
  const char *name;
  TarnSex sex;
  double age_years, volume_ml;
} expected[] = {
  { "01-plain-adult.anatomy", TARN_SEX_FEMALE, 34, 320 },
  { "02-probe-the-wrong-way-round.anatomy", TARN_SEX_MALE, 45, 449 },
  { "03-slim-young-adult.anatomy", TARN_SEX_FEMALE, 22, 40 },
  { "04-large-abdomen.anatomy", TARN_SEX_FEMALE, 58, 379 },
  { "05-off-the-midline.anatomy", TARN_SEX_MALE, 70, 299 },
  { "06-low-behind-the-bone.anatomy", TARN_SEX_FEMALE, 40, 180 },
  { "07-very-full.anatomy", TARN_SEX_MALE, 66, 1700 },
  { "08-fluid-in-the-belly.anatomy", TARN_SEX_MALE, 60, 120 },
  { "09-cyst-beside-the-bladder.anatomy", TARN_SEX_FEMALE, 63, 90 },
  { "10-fibroid-that-pushes.anatomy", TARN_SEX_FEMALE, 44, 250 },
  { "11-lobe-in-the-neck.anatomy", TARN_SEX_MALE, 74, 310 },
  { "12-tube-that-does-not-drain.anatomy", TARN_SEX_MALE, 80, 420 },
  { "13-second-room.anatomy", TARN_SEX_MALE, 68, 150 },
  { "14-clot-in-the-bladder.anatomy", TARN_SEX_FEMALE, 71, 400 },
  { "15-first-day-after-birth.anatomy", TARN_SEX_FEMALE, 31, 620 },
  { "16-bleeding-beside.anatomy", TARN_SEX_MALE, 50, 140 },
  { "17-thirty-four-weeks.anatomy", TARN_SEX_FEMALE, 29, 150 },
  { "18-boy-of-eight.anatomy", TARN_SEX_MALE, 8, 25 },
  { "19-girl-of-nine-months.anatomy", TARN_SEX_FEMALE, 0.75, 25 },
  { "20-lower-than-the-bone.anatomy", TARN_SEX_FEMALE, 76, 210 },
  { "21-scanned-late.anatomy", TARN_SEX_MALE, 72, 175 },
  { "22-scar-and-gas.anatomy", TARN_SEX_MALE, 55, 260 },
  { "23-rebuilt-bladder.anatomy", TARN_SEX_MALE, 61, 330 },
  { "24-nothing-there.anatomy", TARN_SEX_FEMALE, 48, 4 },
  { "31-name-on-the-wrist.anatomy", TARN_SEX_FEMALE, 47, 340 },
  { "32-she-said-no.anatomy", TARN_SEX_FEMALE, 29, 290 },
  { "33-under-the-drape.anatomy", TARN_SEX_MALE, 62, 310 },
};

static char *
path_of (const char *name)
{
  return g_build_filename (g_getenv ("TARN_ANATOMIES"), name, NULL);
}

static TarnPatientFile *
load (const char *name)
{
  g_autofree char *path = path_of (name);
  g_autoptr (GError) error = NULL;
  TarnPatientFile *file = tarn_patient_file_load (path, &error);
  g_assert_no_error (error);
  return file;
}

static TarnBody *
build (const TarnPatient *patient, double lift)
{
  TarnBody *body = NULL;
  TarnProblem problem = { 0 };
  if (tarn_body_new (patient, lift, &body, &problem) != TARN_OK)
    g_error ("%s: %s: %s", patient->id, problem.key, problem.text);
  return body;
}

static void
test_all_cases_are_there (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (expected); k++)
    {
      g_autoptr (TarnPatientFile) file = load (expected[k].name);
      g_assert_cmpint (file->patient.habitus.sex, ==, expected[k].sex);
      g_assert_cmpfloat (file->patient.habitus.age_years, ==, expected[k].age_years);
      g_assert_cmpfloat (file->patient.bladder.volume_ml, ==, expected[k].volume_ml);
    }
}

static void
check_texts (const TarnPatient *patient)
{
  static const char *const needed[] = { "title",   "scenario", "objective", "author",
                                        "license", "briefing", "debrief",   "local-policy" };
  for (gsize k = 0; k < G_N_ELEMENTS (needed); k++)
    g_assert_nonnull (tarn_patient_prose (patient, needed[k], ""));
  g_assert_cmpstr (tarn_patient_prose (patient, "title", "es"), !=,
                   tarn_patient_prose (patient, "title", ""));
  g_assert_nonnull (strstr (tarn_patient_prose (patient, "license", ""), "GPL-3.0-or-later"));
}

/* Every file of the folder, a case or not. */
static void
test_all_load_and_save_as_they_are (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GDir) dir = g_dir_open (g_getenv ("TARN_ANATOMIES"), 0, &error);
  g_assert_no_error (error);
  g_autoptr (GHashTable) ids = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  for (const char *name; (name = g_dir_read_name (dir)) != NULL;)
    {
      g_assert_true (g_str_has_suffix (name, ".anatomy"));
      g_autoptr (TarnPatientFile) file = load (name);
      g_assert_true (g_hash_table_add (ids, g_strdup (file->patient.id)));
      check_texts (&file->patient);

      g_autofree char *path = path_of (name), *bytes = NULL;
      gsize bytes_length, saved_length;
      g_assert_true (g_file_get_contents (path, &bytes, &bytes_length, NULL));
      g_autofree char *saved = tarn_patient_file_format (&file->patient, &saved_length);
      g_assert_cmpmem (bytes, bytes_length, saved, saved_length);
    }
  g_assert_cmpuint (g_hash_table_size (ids), >=, G_N_ELEMENTS (expected));
}

/* Seeds of variation: fewer where instrumented code is looked at rather than figures. */
static uint64_t
seeds (void)
{
  return g_getenv ("TARN_TEST_QUICK") != NULL ? 2 : 7;
}

static void
test_all_can_be_built (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (expected); k++)
    for (uint64_t seed = 0; seed < seeds (); seed++)
      {
        g_autoptr (TarnPatientFile) file = load (expected[k].name);
        tarn_patient_vary (&file->patient, seed * 1000003);
        TarnBody *body = build (&file->patient, seed == 1 ? 1 : 0);
        double lumen_ml = tarn_mesh_volume_mm3 (tarn_body_lumen_mesh (body)) / TARN_MM3_PER_ML;
        double volume_ml = file->patient.bladder.volume_ml, counted_ml = 0;
        g_assert_cmpfloat_with_epsilon (lumen_ml, volume_ml, 0.001 * volume_ml);
        for (int s = 0; s < file->patient.structures; s++)
          if (file->patient.structure[s].counts)
            counted_ml = 200; /* the second room, within 10 mL */
        g_assert_cmpfloat_with_epsilon (
            tarn_body_true_volume_ml (body) + tarn_body_displaced_ml (body),
            volume_ml + counted_ml, counted_ml > 0 ? 10 : 1e-6 * volume_ml);
        tarn_body_free (body);
      }
}

/* What each is meant to show, as far as the body at rest shows it. */

static void
test_off_the_midline_is (void)
{
  g_autoptr (TarnPatientFile) file = load ("05-off-the-midline.anatomy");
  TarnBody *body = build (&file->patient, 0);
  g_assert_cmpfloat_with_epsilon (tarn_body_lumen_centre_mm (body).x, 60, 1);
  tarn_body_free (body);
}

/* Error of a sweep of the patient as drawn by @seed, over what is accepted: -1 is as short as
 * it may be. */
static double
error_share (const TarnPatient *drawn, double above_mm, double left_mm, TarnVerdict *verdict)
{
  TarnScanOptions options = tarn_scan_options_default ();
  TarnBody *body = build (drawn, 0);
  TarnScan scan = { 0 };
  options.pose.above_mm = above_mm;
  options.pose.left_mm = left_mm;
  options.ledger = verdict != NULL;
  g_assert_cmpint (tarn_scan_run (body, &options, &scan), ==, TARN_OK);
  double share = scan.error_ml / scan.tolerance_ml;
  if (verdict != NULL)
    *verdict = scan.verdict;
  tarn_scan_clear (&scan);
  tarn_body_free (body);
  return share;
}

/* The trap bites, however the patient is drawn: short on the midline, good where he lies. */
static void
test_off_the_midline_is_short_on_it (void)
{
  for (uint64_t seed = 0; seed < seeds (); seed++)
    for (double above_mm = 40; above_mm <= 60; above_mm += 20)
      {
        g_autoptr (TarnPatientFile) file = load ("05-off-the-midline.anatomy");
        TarnVerdict verdict = TARN_VERDICT_CLIPPED;
        tarn_patient_vary (&file->patient, seed);
        double there = file->patient.bladder.left_mm;
        double on_it = error_share (&file->patient, above_mm, 0, seed == 0 ? &verdict : NULL);
        double off_it = error_share (&file->patient, above_mm, there, NULL);
        g_test_message ("seed %u, %g above: %.2f, %.2f", (unsigned)seed, above_mm, on_it,
                        off_it);
        g_assert_cmpfloat (on_it, <, -1);
        g_assert_cmpfloat (fabs (off_it), <, 1);
        g_assert_cmpint (verdict, ==, TARN_VERDICT_CLIPPED);
      }
}

/* Whether the lumen's whole width or length fits a sector of ±@half_rad that starts
 * @behind_mm behind the skin at a pose, looking at the lumen's middle. */
static gboolean
fits (TarnBody *body, double above_mm, double left_mm, double half_rad, double depth_mm)
{
  TarnVec3 skin, inward;
  if (!tarn_body_skin_at (body, above_mm, left_mm, &skin, &inward))
    return FALSE;
  TarnVec3 axis = tarn_normalize (tarn_sub (tarn_body_lumen_centre_mm (body), skin));
  TarnVec3 apex = tarn_add_scaled (skin, axis, -15);
  const TarnMesh *lumen = tarn_body_lumen_mesh (body);
  for (int k = 0; k < lumen->vertices; k++)
    {
      TarnVec3 ray = tarn_sub (lumen->vertex_mm[k], apex);
      double along = tarn_dot (ray, axis);
      if (along < cos (half_rad) * tarn_length (ray) || tarn_length (ray) > depth_mm + 15)
        return FALSE;
    }
  return TRUE;
}

/* Even a cone wider than sector (40°) and fan (35°) does not hold it from anywhere, while the
 * plain adult fits from somewhere. */
static void
test_very_full_fits_no_field (void)
{
  g_autoptr (TarnPatientFile) full = load ("07-very-full.anatomy");
  g_autoptr (TarnPatientFile) plain = load ("01-plain-adult.anatomy");
  TarnBody *large = build (&full->patient, 0), *small = build (&plain->patient, 0);
  const double half_rad = 40 * G_PI / 180;
  gboolean ever = FALSE;
  for (double above = -10; above <= 200; above += 15)
    for (double left = -150; left <= 150; left += 15)
      {
        g_assert_false (fits (large, above, left, half_rad, full->patient.probe.depth_mm));
        ever |= fits (small, above, left, half_rad, plain->patient.probe.depth_mm);
      }
  g_assert_true (ever);
  tarn_body_free (large);
  tarn_body_free (small);
}

/* How much of the way from the skin straight to a point is of one tissue. */
static double
way_through_mm (const TarnBody *body, double above_mm, TarnVec3 to, TarnTissue tissue)
{
  TarnVec3 skin, inward;
  g_assert_true (tarn_body_skin_at (body, above_mm, 0, &skin, &inward));
  double length = tarn_distance (skin, to), through = 0;
  for (double t = 0; t < length; t += 0.25)
    {
      TarnVec3 p = tarn_add_scaled (skin, tarn_sub (to, skin), t / length);
      through += tarn_body_tissue (body, p) == tissue ? 0.25 : 0;
    }
  return through;
}

static void
test_ascites_waits_above_the_bladder (void)
{
  g_autoptr (TarnPatientFile) file = load ("08-fluid-in-the-belly.anatomy");
  TarnBody *body = build (&file->patient, 0);
  TarnVec3 ascites = file->patient.structure[0].centre_mm;
  TarnVec3 lumen = tarn_body_lumen_centre_mm (body);
  /* From high up one sees the wrong fluid, from low down the bladder alone. */
  g_assert_cmpfloat (way_through_mm (body, 110, ascites, TARN_TISSUE_FLUID), >, 20);
  g_assert_cmpfloat (way_through_mm (body, 35, lumen, TARN_TISSUE_FLUID), ==, 0);
  g_assert_cmpfloat (way_through_mm (body, 35, lumen, TARN_TISSUE_URINE), >, 10);
  tarn_body_free (body);
}

/* The part of the lumen that no straight line from the skin reaches without meeting a tissue.
 */
static double
hidden_fraction (const TarnBody *body, double above_mm, TarnTissue tissue)
{
  TarnVec3 centre = tarn_body_lumen_centre_mm (body);
  const TarnMesh *lumen = tarn_body_lumen_mesh (body);
  int seen = 0, hidden = 0;
  for (int k = 0; k < lumen->vertices; k += 97, seen++)
    {
      TarnVec3 out = tarn_sub (lumen->vertex_mm[k], centre);
      hidden += way_through_mm (body, above_mm, tarn_add_scaled (centre, out, 0.8), tissue) > 0;
    }
  return (double)hidden / seen;
}

/* Close to the bone a good part of it is hidden; higher up all of it can be seen. */
static void
test_low_bladder_is_behind_bone (void)
{
  g_autoptr (TarnPatientFile) file = load ("06-low-behind-the-bone.anatomy");
  TarnBody *body = build (&file->patient, 0);
  double start_mm = file->patient.situation.start_above_mm;
  g_assert_cmpfloat (hidden_fraction (body, start_mm, TARN_TISSUE_BONE), >, 0.25);
  g_assert_cmpfloat (hidden_fraction (body, 70, TARN_TISSUE_BONE), <, 0.02);
  tarn_body_free (body);
}

static void
test_gas_hides_the_dome_from_above_only (void)
{
  g_autoptr (TarnPatientFile) file = load ("22-scar-and-gas.anatomy");
  TarnBody *body = build (&file->patient, 0);
  double start_mm = file->patient.situation.start_above_mm;
  g_assert_cmpfloat (hidden_fraction (body, start_mm, TARN_TISSUE_GAS), >, 0.3);
  g_assert_cmpfloat (hidden_fraction (body, start_mm, TARN_TISSUE_SCAR), >, 0.5);
  g_assert_cmpfloat (hidden_fraction (body, 40, TARN_TISSUE_GAS), ==, 0);
  g_assert_cmpfloat (hidden_fraction (body, 40, TARN_TISSUE_SCAR), ==, 0);
  tarn_body_free (body);
}

static void
test_lifting_the_fold_shortens_the_path (void)
{
  g_autoptr (TarnPatientFile) file = load ("04-large-abdomen.anatomy");
  TarnBody *hangs = build (&file->patient, 0), *lifted = build (&file->patient, 1);
  TarnVec3 a, b, inward;
  g_assert_true (tarn_body_skin_at (hangs, 40, 0, &a, &inward));
  g_assert_true (tarn_body_skin_at (lifted, 40, 0, &b, &inward));
  g_assert_cmpfloat (b.y - a.y, >, 20);
  tarn_body_free (hangs);
  tarn_body_free (lifted);
}

/* A stop stands where the situation gives one, and whoever scans all the same fails. */
static void
test_stops_say_why_and_fail (void)
{
  for (gsize k = 0; k < G_N_ELEMENTS (expected); k++)
    {
      g_autoptr (TarnPatientFile) file = load (expected[k].name);
      const TarnSituation *situation = &file->patient.situation;
      unsigned fails = file->patient.pass.must_not_miss;
      gboolean stop = expected[k].name[0] == '3';
      gboolean forbids = !situation->identity_matches || !situation->consents
                         || situation->skin == TARN_SKIN_WOUND;
      g_assert_cmpint (situation->stop, ==, stop);
      g_assert_cmpint (forbids, ==, stop);
      g_assert_cmpint ((fails & TARN_MISS_SCANNED_AGAINST_STOP) != 0, ==, stop);
      g_assert_cmpint ((fails & TARN_MISS_WRONG_PATIENT) != 0, ==,
                       !situation->identity_matches);
    }
}

/* A balloon of 10 mL lies in the lumen and is no urine. */
static void
test_balloon_displaces_ten (void)
{
  g_autoptr (TarnPatientFile) file = load ("12-tube-that-does-not-drain.anatomy");
  TarnBody *body = build (&file->patient, 0);
  g_assert_cmpint (file->patient.situation.catheter, ==, TARN_CATHETER_BLOCKED);
  g_assert_cmpuint (file->patient.pass.must_not_miss, ==, TARN_MISS_BLOCKED_CATHETER_MISSED);
  g_assert_cmpfloat_with_epsilon (tarn_body_displaced_ml (body), 10, 0.1);
  tarn_body_free (body);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/anatomies/all-cases-are-there", test_all_cases_are_there);
  g_test_add_func ("/anatomies/all-load-and-save-as-they-are",
                   test_all_load_and_save_as_they_are);
  g_test_add_func ("/anatomies/all-can-be-built", test_all_can_be_built);
  g_test_add_func ("/anatomies/off-the-midline-is", test_off_the_midline_is);
  g_test_add_func ("/anatomies/off-the-midline-is-short-on-it",
                   test_off_the_midline_is_short_on_it);
  g_test_add_func ("/anatomies/low-bladder-is-behind-bone", test_low_bladder_is_behind_bone);
  g_test_add_func ("/anatomies/very-full-fits-no-field", test_very_full_fits_no_field);
  g_test_add_func ("/anatomies/ascites-waits-above-the-bladder",
                   test_ascites_waits_above_the_bladder);
  g_test_add_func ("/anatomies/gas-hides-the-dome-from-above-only",
                   test_gas_hides_the_dome_from_above_only);
  g_test_add_func ("/anatomies/stops-say-why-and-fail", test_stops_say_why_and_fail);
  g_test_add_func ("/anatomies/balloon-displaces-ten", test_balloon_displaces_ten);
  g_test_add_func ("/anatomies/lifting-the-fold-shortens-the-path",
                   test_lifting_the_fold_shortens_the_path);
  return g_test_run ();
}
