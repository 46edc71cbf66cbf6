/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient-file-test.c: patients survive the file, and files survive the system. */
#include "store/patient_file.h"

#include "engine/patient/fields.h"
#include "random-patient.h"

#include <glib/gstdio.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>

static const char least[] = "[Anatomy]\nformat=1\nid=least\ntitle=Least\nseed=1\n\n"
                            "[Habitus]\nsex=male\nage-years=40\nfat-mm=18\n\n"
                            "[Bladder]\nvolume-ml=300\n";

static TarnPatientFile *
parse (const char *text)
{
  g_autoptr (GError) error = NULL;
  TarnPatientFile *file = tarn_patient_file_parse (text, strlen (text), "file", &error);
  g_assert_no_error (error);
  return file;
}

/* Reading. */

static void
test_missing_keys_take_defaults (void)
{
  g_autoptr (TarnPatientFile) file = parse (least);
  g_assert_cmpfloat (file->patient.symphysis.height_mm, ==, 42); /* a man's */
  g_assert_cmpfloat (file->patient.habitus.torso_width_mm, ==, 300);
  g_assert_cmpfloat (file->patient.bladder.length_mm, ==, 100);
  g_assert_cmpfloat (file->patient.situation.minutes_since_void, <, 0);
  g_assert_cmpfloat (file->patient.situation.start_above_mm, ==, 40);
  g_assert_cmpfloat (file->patient.situation.start_left_mm, ==, 0);
  g_assert_true (file->patient.situation.identity_matches);
  g_assert_false (file->patient.situation.stop);
}

static void
test_values_reach_their_members (void)
{
  g_autofree char *text = g_strconcat (
      least,
      "left-mm = -12.5\n[Structure 1]\nkind=bowel-gas\ncentre-mm=1; -2;3e1\nradii-mm=4;5;6;\n"
      "[Situation]\nidentity=mismatch\nmark=reversed\ncatheter=blocked\nskin=wound\n"
      "start-pose=60;-20\nstop=The wound is open.\nstop[es]=La herida está abierta.\n"
      "[Pass]\nmust-not-miss=wrong-patient;blocked-catheter-missed\n"
      "[Text]\nbriefing=\\sTwo\\nlines \\\\ #;=[]\n",
      NULL);
  g_autoptr (TarnPatientFile) file = parse (text);
  const TarnPatient *patient = &file->patient;
  g_assert_cmpfloat (patient->bladder.left_mm, ==, -12.5);
  g_assert_cmpint (patient->structures, ==, 1);
  g_assert_cmpint (patient->structure[0].kind, ==, TARN_STRUCTURE_BOWEL_GAS);
  g_assert_cmpfloat (patient->structure[0].centre_mm.y, ==, -2);
  g_assert_cmpfloat (patient->structure[0].centre_mm.z, ==, 30);
  g_assert_cmpfloat (patient->structure[0].radii_mm.z, ==, 6);
  g_assert_false (patient->structure[0].counts);
  g_assert_false (patient->situation.identity_matches);
  g_assert_true (patient->situation.mark_reversed);
  g_assert_cmpint (patient->situation.catheter, ==, TARN_CATHETER_BLOCKED);
  g_assert_cmpint (patient->situation.skin, ==, TARN_SKIN_WOUND);
  g_assert_cmpfloat (patient->situation.start_left_mm, ==, -20);
  g_assert_true (patient->situation.stop);
  g_assert_cmpstr (tarn_patient_prose (patient, "stop", "es"), ==, "La herida está abierta.");
  g_assert_cmpuint (patient->pass.must_not_miss, ==,
                    TARN_MISS_WRONG_PATIENT | TARN_MISS_BLOCKED_CATHETER_MISSED);
  g_assert_cmpstr (tarn_patient_prose (patient, "briefing", ""), ==, " Two\nlines \\ #;=[]");
}

/* By sha256sum of GNU coreutils 9.1, over the same text. */
static void
test_sha256_is_of_the_bytes (void)
{
  g_autoptr (TarnPatientFile) file = parse (least);
  g_assert_cmpstr (file->sha256, ==,
                   "5cdbf701a3d158ca8b1c79eb538ca2c810065e5ffe88afc9a29ebc3e3116190a");
}

static void
test_later_problems_name_the_line (void)
{
  g_autoptr (TarnPatientFile) file = parse (least);
  static const struct
  {
    const char *key, *said;
  } problem[] = {
    { "[Habitus] fat-mm", "file:10: [Habitus] fat-mm: wrong" },
    { "[Habitus] skin-mm", "file:7: [Habitus] skin-mm: wrong" }, /* not said: its group */
    { "[Habitus]", "file:7: [Habitus]: wrong" },
    { "volume-ml", "file:13: volume-ml: wrong" },
    { "[Probe] mhz", "file:1: [Probe] mhz: wrong" },
    { "", "file:1: wrong" },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (problem); k++)
    {
      TarnProblem of_body = { .text = "wrong" };
      g_strlcpy (of_body.key, problem[k].key, sizeof of_body.key);
      g_autofree char *said = tarn_patient_file_describe (file, &of_body);
      g_assert_cmpstr (said, ==, problem[k].said);
    }
}

/* Round trip. */

static void
assert_same_fields (const TarnPatient *a, const TarnPatient *b)
{
  g_assert_cmpint (a->structures, ==, b->structures);
  g_assert_cmpstr (a->id, ==, b->id);
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      gboolean inner = field->group == TARN_GROUP_STRUCTURE;
      for (int s = 0; s < (inner ? a->structures : 1); s++)
        for (int c = 0; c < tarn_field_components (field); c++)
          g_assert_cmpfloat (
              tarn_field_get (field, inner ? (const void *)&a->structure[s] : a, c), ==,
              tarn_field_get (field, inner ? (const void *)&b->structure[s] : b, c));
    }
  g_assert_cmpint (a->proses, ==, b->proses);
  for (int k = 0; k < a->proses; k++)
    {
      g_assert_cmpstr (a->prose[k].key, ==, b->prose[k].key);
      g_assert_cmpstr (a->prose[k].locale, ==, b->prose[k].locale);
      g_assert_cmpstr (a->prose[k].value, ==, b->prose[k].value);
    }
}

static void
test_random_patients_survive (void)
{
  for (guint32 seed = 1; seed <= 1000; seed++)
    {
      TarnPatient patient = random_patient (seed);
      gsize length, again_length;
      g_autofree char *saved = tarn_patient_file_format (&patient, &length);
      g_autoptr (GError) error = NULL;
      g_autoptr (TarnPatientFile) file
          = tarn_patient_file_parse (saved, length, "file", &error);
      g_assert_no_error (error);
      g_autofree char *again = tarn_patient_file_format (&file->patient, &again_length);
      g_assert_cmpmem (saved, length, again, again_length);
      assert_same_fields (&patient, &file->patient);
      tarn_patient_clear (&patient);
    }
}

/* Said in so many words stays said, even where it is the default. */
static void
test_stated_defaults_stay (void)
{
  g_autofree char *text = g_strconcat (least, "rise-mm=-15\npear=0.2\n", NULL);
  g_autoptr (TarnPatientFile) file = parse (text);
  g_autofree char *saved = tarn_patient_file_format (&file->patient, NULL);
  g_assert_cmpstr (saved, ==, text);
}

static void
test_order_becomes_canonical (void)
{
  g_autoptr (TarnPatientFile) file
      = parse ("# comment\r\n[Bladder]\r\nvolume-ml=300.0\r\n[Habitus]\r\nfat-mm=1.8e1\r\n"
               "age-years=+40\r\nsex=male\r\n\r\n[Anatomy]\r\nseed=1\r\ntitle=Least\r\n"
               "id = least \r\nformat=1\r\n");
  g_autofree char *saved = tarn_patient_file_format (&file->patient, NULL);
  g_assert_cmpstr (saved, ==, least);
}

/* The system. */

static char *
new_folder (void)
{
  g_autoptr (GError) error = NULL;
  char *folder = g_dir_make_tmp ("tarn-XXXXXX", &error);
  g_assert_no_error (error);
  return folder;
}

/* Removes the folder, which must hold @files files: none half written or left behind. */
static void
drop_folder (const char *folder, int files)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  int found = 0;
  for (const char *name; (name = g_dir_read_name (dir)) != NULL; found++)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      g_assert_cmpint (g_remove (path), ==, 0);
    }
  g_assert_cmpint (g_rmdir (folder), ==, 0);
  g_assert_cmpint (found, ==, files);
}

static void
test_save_and_load (void)
{
  g_autofree char *folder = new_folder ();
  g_autofree char *path = g_build_filename (folder, "ñ.anatomy", NULL);
  g_autoptr (TarnPatientFile) file = parse (least);
  g_autoptr (GError) error = NULL;
  for (int times = 0; times < 2; times++)
    {
      g_assert_true (tarn_patient_file_save (&file->patient, path, &error));
      g_assert_no_error (error);
    }
  g_autoptr (TarnPatientFile) again = tarn_patient_file_load (path, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (again->sha256, ==, file->sha256);
  g_assert_cmpstr (again->name, ==, path);
  drop_folder (folder, 1);
}

static void
test_invalid_patients_are_not_saved (void)
{
  g_autofree char *folder = new_folder ();
  g_autofree char *path = g_build_filename (folder, "a.anatomy", NULL);
  g_autoptr (TarnPatientFile) file = parse (least);
  g_autoptr (GError) error = NULL;
  file->patient.habitus.fat_mm = 1;
  g_assert_false (tarn_patient_file_save (&file->patient, path, &error));
  g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_INVALID);
  g_assert_nonnull (strstr (error->message, "[Habitus] fat-mm: out of range (2 … 120 mm)"));
  g_clear_error (&error);

  /* What a file cannot hold is found before anything is written. */
  file->patient.habitus.fat_mm = 18;
  tarn_patient_set_prose (&file->patient, "briefing", "", "bell \a");
  g_assert_false (tarn_patient_file_save (&file->patient, path, &error));
  g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_INVALID);
  drop_folder (folder, 0);
}

static void
assert_refused (const TarnPatient *patient, const char *path, const char *why)
{
  g_autoptr (GError) error = NULL;
  g_assert_false (tarn_patient_file_save (patient, path, &error));
  g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_WRITE);
  g_assert_true (g_str_has_prefix (error->message, path));
  g_assert_nonnull (strstr (error->message, why));
  g_assert_null (strchr (error->message, '\n'));
}

static void
test_places_that_refuse (void)
{
  g_autoptr (TarnPatientFile) file = parse (least);
  assert_refused (&file->patient, "/nonexistent/a.anatomy", "No such file or directory");
  assert_refused (&file->patient, "/dev/null", "not a regular file");
  g_autofree char *folder = new_folder ();
  assert_refused (&file->patient, folder, "not a regular file");
  drop_folder (folder, 0);

  static const struct
  {
    const char *path, *why;
  } unreadable[] = {
    { "/nonexistent.anatomy", "No such file or directory" },
    { "/", "Is a directory" },
    { "/dev/zero", "not a regular file" },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (unreadable); k++)
    {
      g_autoptr (GError) error = NULL;
      g_assert_null (tarn_patient_file_load (unreadable[k].path, &error));
      g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_READ);
      g_autofree char *said
          = g_strdup_printf ("%s: cannot be read: %s", unreadable[k].path, unreadable[k].why);
      g_assert_cmpstr (error->message, ==, said);
    }
}

/* A file may grow to 64 bytes and no more, as on a disk that is full. */
static void
test_full_disk (void)
{
  if (!g_test_subprocess ())
    {
      g_test_trap_subprocess (NULL, 0, G_TEST_SUBPROCESS_DEFAULT);
      g_test_trap_assert_passed ();
      return;
    }
  g_autofree char *folder = new_folder ();
  g_autofree char *path = g_build_filename (folder, "a.anatomy", NULL);
  g_autoptr (TarnPatientFile) file = parse (least);
  g_autoptr (GError) error = NULL;
  g_assert_true (tarn_patient_file_save (&file->patient, path, &error));

  struct rlimit before, little;
  g_assert_cmpint (getrlimit (RLIMIT_FSIZE, &before), ==, 0);
  little = before;
  little.rlim_cur = 64;
  signal (SIGXFSZ, SIG_IGN);
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &little), ==, 0);
  file->patient.seed = 2;
  gboolean saved = tarn_patient_file_save (&file->patient, path, &error);
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &before), ==, 0);

  /* It says so, and what stood there still stands. */
  g_assert_false (saved);
  g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_WRITE);
  g_autofree char *still = NULL;
  g_assert_true (g_file_get_contents (path, &still, NULL, NULL));
  g_assert_cmpstr (still, ==, least);
  drop_folder (folder, 1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/patient-file/missing-keys-take-defaults", test_missing_keys_take_defaults);
  g_test_add_func ("/patient-file/values-reach-their-members", test_values_reach_their_members);
  g_test_add_func ("/patient-file/sha256-is-of-the-bytes", test_sha256_is_of_the_bytes);
  g_test_add_func ("/patient-file/later-problems-name-the-line",
                   test_later_problems_name_the_line);
  g_test_add_func ("/patient-file/random-patients-survive", test_random_patients_survive);
  g_test_add_func ("/patient-file/stated-defaults-stay", test_stated_defaults_stay);
  g_test_add_func ("/patient-file/order-becomes-canonical", test_order_becomes_canonical);
  g_test_add_func ("/patient-file/save-and-load", test_save_and_load);
  g_test_add_func ("/patient-file/invalid-patients-are-not-saved",
                   test_invalid_patients_are_not_saved);
  g_test_add_func ("/patient-file/places-that-refuse", test_places_that_refuse);
  g_test_add_func ("/patient-file/full-disk", test_full_disk);
  return g_test_run ();
}
