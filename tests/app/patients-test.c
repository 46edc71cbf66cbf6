/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The list of patients: what is in the folders is in the list, broken files too, and stays in
 * step with the folders. */
#include "class_folder.h"

#include "app/picture_of_patient.h"

#include <string.h>

typedef struct
{
  char *folder;
  TarnPatientList *list;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer data)
{
  (void)data;
  fixture->folder = class_folder_new ();
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  (void)data;
  if (fixture->list != NULL)
    {
      TarnPatientList *list = fixture->list;
      g_object_add_weak_pointer (G_OBJECT (list), (gpointer *)&fixture->list);
      g_object_unref (list);
      /* The thread that read may hold on to it for a moment longer. */
      for (int i = 0; i < 1000 && fixture->list != NULL; i++)
        g_usleep (1000);
      g_assert_null (fixture->list);
    }
  class_folder_remove (fixture->folder);
}

/* Every patient that ships can be used, and they come in the order of their file names. */
static void
test_shipped (Fixture *fixture, gconstpointer data)
{
  (void)data;
  fixture->list = tarn_patient_list_new (NULL);
  list_wait (fixture->list);
  guint count = g_list_model_get_n_items (G_LIST_MODEL (fixture->list));
  g_assert_cmpuint (count, >=, 8);
  for (guint i = 0; i < count; i++)
    {
      TarnPatientItem *item = list_item (fixture->list, i);
      g_assert_cmpstr (tarn_patient_item_problem (item), ==, NULL);
      g_assert_cmpstr (tarn_patient_item_title (item), !=, "");
      g_assert_nonnull (tarn_patient_item_patient (item));
      if (i > 0)
        g_assert_cmpstr (tarn_patient_item_file_name (list_item (fixture->list, i - 1)), <,
                         tarn_patient_item_file_name (item));
    }
  g_assert_nonnull (tarn_patient_list_find (fixture->list, "plain-adult"));
  g_assert_null (tarn_patient_list_find (fixture->list, "nobody"));
  g_assert_cmpstr (tarn_patient_list_problem (fixture->list), ==, NULL);
}

static void
test_broken_is_listed (Fixture *fixture, gconstpointer data)
{
  (void)data;
  class_folder_add (fixture->folder, "b-good", "Good", "");
  class_folder_write (fixture->folder, "a-broken.anatomy",
                      "[Anatomy]\nformat=1\nid=x\ntitle=X\nseed=1\ncolour=blue\n");
  class_folder_write (fixture->folder, "notes.txt", "not a patient");
  class_folder_write (fixture->folder, ".hidden.anatomy", "left by an editor");
  fixture->list = tarn_patient_list_new (fixture->folder);
  list_wait_for (fixture->list, 2);

  TarnPatientItem *broken = list_item (fixture->list, 0);
  g_assert_cmpstr (tarn_patient_item_title (broken), ==, "a-broken.anatomy");
  g_assert_null (tarn_patient_item_patient (broken));
  g_assert_cmpstr (tarn_patient_item_id (broken), ==, "");
  g_assert_nonnull (strstr (tarn_patient_item_problem (broken), "colour"));
  const char *first = tarn_patient_item_first_problem (broken);
  g_test_message ("%s", first);
  g_assert_true (g_str_has_prefix (first, "Line 6: "));
  g_assert_null (strstr (first, fixture->folder));
  g_assert_null (tarn_patient_item_text (broken, "briefing"));
  g_autofree char *result = tarn_patient_item_result_text (broken);
  g_assert_cmpstr (result, ==, "This file cannot be used");
  g_assert_cmpstr (tarn_patient_item_title (list_item (fixture->list, 1)), ==, "Good");
}

static void
test_class_folder (Fixture *fixture, gconstpointer data)
{
  (void)data;
  char *class_folder = class_folder_new ();
  class_folder_add (fixture->folder, "m", "Installed", "");
  class_folder_add (class_folder, "a", "Of the class", "");
  fixture->list = tarn_patient_list_new (fixture->folder);
  tarn_patient_list_set_class_folder (fixture->list, class_folder);
  list_wait_for (fixture->list, 2);
  g_assert_cmpstr (tarn_patient_item_title (list_item (fixture->list, 0)), ==, "Installed");
  g_assert_cmpstr (tarn_patient_item_title (list_item (fixture->list, 1)), ==, "Of the class");

  g_object_set (fixture->list, "class-folder", "/no/such/folder", NULL);
  list_wait_for (fixture->list, 1);
  g_assert_nonnull (strstr (tarn_patient_list_problem (fixture->list), "/no/such/folder"));
  tarn_patient_list_set_class_folder (fixture->list, NULL);
  list_wait (fixture->list);
  g_assert_cmpstr (tarn_patient_list_problem (fixture->list), ==, NULL);
  class_folder_remove (class_folder);
}

static void
on_items_changed (GListModel *model, guint position, guint removed, guint added, GString *heard)
{
  (void)model;
  g_string_append_printf (heard, "%u-%u+%u ", position, removed, added);
}

/* The list says no more than what changed, and attempts outlive a change of their file. */
static void
test_watches (Fixture *fixture, gconstpointer data)
{
  (void)data;
  class_folder_add (fixture->folder, "a", "First", "");
  class_folder_add (fixture->folder, "c", "Third", "");
  fixture->list = tarn_patient_list_new (fixture->folder);
  list_wait_for (fixture->list, 2);
  g_autoptr (GString) heard = g_string_new (NULL);
  g_signal_connect (fixture->list, "items-changed", G_CALLBACK (on_items_changed), heard);
  g_autoptr (TarnPatientItem) first = g_object_ref (list_item (fixture->list, 0));
  tarn_patient_item_note_attempt (list_item (fixture->list, 1), "Clipped", 40);

  class_folder_add (fixture->folder, "b", "Second", "");
  list_wait_for (fixture->list, 3);
  g_assert_cmpstr (heard->str, ==, "1-0+1 ");
  g_assert_true (list_item (fixture->list, 0) == first);

  class_folder_add (fixture->folder, "c", "Third, of another size", "");
  class_folder_delete (fixture->folder, "a.anatomy");
  list_wait_for (fixture->list, 2);
  while (g_str_equal (tarn_patient_item_title (list_item (fixture->list, 1)), "Third"))
    g_main_context_iteration (NULL, TRUE);
  g_assert_cmpint (tarn_patient_item_attempts (list_item (fixture->list, 1)), ==, 1);
  g_assert_cmpint (tarn_patient_item_best_score (list_item (fixture->list, 1)), ==, 40);
}

static void
test_attempts (Fixture *fixture, gconstpointer data)
{
  (void)data;
  class_folder_add (fixture->folder, "a", "A", "");
  fixture->list = tarn_patient_list_new (fixture->folder);
  list_wait_for (fixture->list, 1);
  TarnPatientItem *item = list_item (fixture->list, 0);
  g_autofree char *none = tarn_patient_item_result_text (item);
  tarn_patient_item_note_attempt (item, "Clipped", -1);
  g_autofree char *one = tarn_patient_item_result_text (item);
  tarn_patient_item_note_attempt (item, "Accurate", 83);
  tarn_patient_item_note_attempt (item, "Shadowed", 60);
  g_autofree char *three = tarn_patient_item_result_text (item);
  g_assert_cmpstr (none, ==, "Not tried yet");
  g_assert_cmpstr (one, ==, "1 attempt: Clipped");
  g_assert_cmpstr (three, ==, "3 attempts, the last: Shadowed. Best score 83 of 100.");
  g_assert_cmpint (tarn_patient_item_best_score (item), ==, 83);
}

static void
test_languages (Fixture *fixture, gconstpointer data)
{
  (void)data;
  class_folder_add (fixture->folder, "a", "Plain",
                    "title[es]=Sencilla\ntitle[pt_BR]=Simples\n");
  fixture->list = tarn_patient_list_new (fixture->folder);
  list_wait_for (fixture->list, 1);
  TarnPatientItem *item = list_item (fixture->list, 0);
  const struct
  {
    const char *language, *title;
  } cases[] = {
    { "es_MX", "Sencilla" }, { "de:es", "Sencilla" }, { "en_GB:es", "Plain" },
    { "pt_BR", "Simples" },  { "fr", "Plain" },
  };
  g_autofree char *before = g_strdup (g_getenv ("LANGUAGE"));
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_setenv ("LANGUAGE", cases[i].language, TRUE);
      g_assert_cmpstr (tarn_patient_item_title (item), ==, cases[i].title);
    }
  if (before != NULL)
    g_setenv ("LANGUAGE", before, TRUE);
  else
    g_unsetenv ("LANGUAGE");
}

static void
test_where_they_are (void)
{
  g_autofree char *before = g_strdup (g_getenv ("TARN_ANATOMIES"));
  g_setenv ("TARN_ANATOMIES", "/some/where", TRUE);
  g_autofree char *set = tarn_patient_list_installed_folder ();
  g_assert_cmpstr (set, ==, "/some/where");
  g_unsetenv ("TARN_ANATOMIES");
  /* This program runs where it was built. */
  g_autofree char *source = tarn_patient_list_installed_folder ();
  g_assert_cmpstr (source, ==, TARN_SOURCE_ROOT "/anatomies");
  if (before != NULL)
    g_setenv ("TARN_ANATOMIES", before, TRUE);
}

static GBytes *
picture_of (const TarnPatient *patient, gboolean dark)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, 300, 120);
  cairo_t *cr = cairo_create (surface);
  tarn_picture_of_patient_draw (cr, patient, 300, 120, dark);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  GBytes *bytes = g_bytes_new (cairo_image_surface_get_data (surface),
                               (gsize)cairo_image_surface_get_stride (surface) * 120);
  cairo_surface_destroy (surface);
  return bytes;
}

/* What is inside never shows: the picture is the same whatever the bladder holds and whatever
 * lies beside it; and it does show the build. */
static void
test_picture_keeps_the_secret (void)
{
  TarnPatient patient = tarn_patient_default ();
  g_autoptr (GBytes) plain = picture_of (&patient, FALSE);
  patient.bladder.volume_ml = 900;
  patient.bladder.left_mm = 30;
  patient.bladder.rise_mm = 20;
  patient.structures = 1;
  patient.structure[0].kind = TARN_STRUCTURE_ASCITES;
  patient.situation.catheter = TARN_CATHETER_BLOCKED;
  g_autoptr (GBytes) full = picture_of (&patient, FALSE);
  g_assert_true (g_bytes_equal (plain, full));

  patient.habitus.fat_mm = 60;
  g_autoptr (GBytes) large = picture_of (&patient, FALSE);
  patient.habitus.pannus_mm = 50;
  g_autoptr (GBytes) folded = picture_of (&patient, FALSE);
  g_autoptr (GBytes) dark = picture_of (&patient, TRUE);
  g_autoptr (GBytes) nobody = picture_of (NULL, FALSE);
  g_assert_false (g_bytes_equal (large, full));
  g_assert_false (g_bytes_equal (folded, large));
  g_assert_false (g_bytes_equal (dark, folded));
  g_assert_false (g_bytes_equal (nobody, folded));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(path, test) g_test_add (path, Fixture, NULL, set_up, test, tear_down)
  ADD ("/patients/shipped", test_shipped);
  ADD ("/patients/broken-is-listed", test_broken_is_listed);
  ADD ("/patients/class-folder", test_class_folder);
  ADD ("/patients/watches", test_watches);
  ADD ("/patients/attempts", test_attempts);
  ADD ("/patients/languages", test_languages);
  g_test_add_func ("/patients/where-they-are", test_where_they_are);
  g_test_add_func ("/patients/picture-keeps-the-secret", test_picture_keeps_the_secret);
  return g_test_run ();
}
