/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How hard the patients of a list are: worked out only when it is allowed, told to each,
 * remembered for a version of a file; what is remembered wrongly is worked out again. */
#include "class_folder.h"
#include "wait.h"

#include "app/difficulty.h"

#include <glib/gstdio.h>
#include <string.h>

typedef struct
{
  char *folder, *cache_folder, *cache;
  TarnPatientList *list;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer data)
{
  (void)data;
  fixture->folder = class_folder_new ();
  fixture->cache_folder = class_folder_new ();
  fixture->cache = g_build_filename (fixture->cache_folder, "new", "difficulty.ini", NULL);
  class_folder_add (fixture->folder, "a-plain", "Plain", "");
  class_folder_write (fixture->folder, "b-broken.anatomy", "[Anatomy]\nformat=1\n");
  class_folder_add (fixture->folder, "c-plain", "Another", "author=Nobody\n");
  fixture->list = tarn_patient_list_new (fixture->folder);
  list_wait_for (fixture->list, 3);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  (void)data;
  g_autofree char *inner = g_path_get_dirname (fixture->cache);
  g_object_unref (fixture->list);
  g_unlink (fixture->cache);
  g_rmdir (inner);
  class_folder_remove (fixture->cache_folder);
  class_folder_remove (fixture->folder);
  g_free (fixture->cache);
}

static double
figure (Fixture *fixture, guint patient)
{
  return tarn_patient_item_difficulty (list_item (fixture->list, patient));
}

static void
test_figures (Fixture *fixture, gconstpointer data)
{
  (void)data;
  g_autoptr (TarnDifficulty) difficulty
      = tarn_difficulty_new (G_LIST_MODEL (fixture->list), fixture->cache);
  g_assert_false (tarn_difficulty_is_done (difficulty));
  g_assert_cmpfloat (figure (fixture, 0), ==, TARN_DIFFICULTY_UNKNOWN);
  tarn_difficulty_set_working (difficulty, TRUE);
  WAIT (tarn_difficulty_is_done (difficulty));

  for (guint k = 0; k < 3; k += 2)
    {
      g_assert_cmpfloat (figure (fixture, k), >=, 0);
      g_assert_cmpfloat (figure (fixture, k), <=, 100);
      g_autofree char *text = tarn_patient_item_difficulty_text (list_item (fixture->list, k));
      g_assert_nonnull (strstr (text, "of 100"));
    }
  /* The same body. */
  g_assert_cmpfloat (figure (fixture, 0), ==, figure (fixture, 2));
  g_autofree char *none = tarn_patient_item_difficulty_text (list_item (fixture->list, 1));
  g_assert_cmpstr (none, ==, "");
}

/* Another list of the same files needs no work; what stands there counts. */
static void
test_remembered (Fixture *fixture, gconstpointer data)
{
  (void)data;
  g_autoptr (GKeyFile) written = g_key_file_new ();
  g_autofree char *inner = g_path_get_dirname (fixture->cache);
  g_mkdir (inner, 0700);
  const char *first = tarn_patient_item_sha256 (list_item (fixture->list, 0));
  const char *last = tarn_patient_item_sha256 (list_item (fixture->list, 2));
  g_key_file_set_double (written, "difficulty 2", first, 12.5);
  g_key_file_set_double (written, "difficulty 2", last, 1e9);
  g_assert_true (g_key_file_save_to_file (written, fixture->cache, NULL));

  g_autoptr (TarnDifficulty) difficulty
      = tarn_difficulty_new (G_LIST_MODEL (fixture->list), fixture->cache);
  g_assert_false (tarn_difficulty_is_done (difficulty));
  g_assert_cmpfloat (figure (fixture, 0), ==, 12.5);
  g_assert_cmpfloat (figure (fixture, 2), ==, TARN_DIFFICULTY_UNKNOWN);
}

/* Stopped at once: whoever was being worked on stays unknown, and is taken up again. */
static void
test_stopped (Fixture *fixture, gconstpointer data)
{
  (void)data;
  g_autoptr (TarnDifficulty) difficulty
      = tarn_difficulty_new (G_LIST_MODEL (fixture->list), fixture->cache);
  tarn_difficulty_set_working (difficulty, TRUE);
  tarn_difficulty_set_working (difficulty, FALSE);
  for (int k = 0; k < 50; k++)
    {
      g_main_context_iteration (NULL, FALSE);
      g_usleep (10000);
    }
  g_assert_cmpfloat (figure (fixture, 2), ==, TARN_DIFFICULTY_UNKNOWN);
  tarn_difficulty_set_working (difficulty, TRUE);
  WAIT (figure (fixture, 0) != TARN_DIFFICULTY_UNKNOWN);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function)                                                                    \
  g_test_add ("/difficulty/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("figures", test_figures);
  ADD ("remembered", test_remembered);
  ADD ("stopped", test_stopped);
  return g_test_run ();
}
