/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * replay-test.c: the corpus of the fuzzer, once more, with any compiler. */
#include "fuzz-patient.h"

#include <glib.h>

#define FILES_MIN 100 /* a corpus that has gone missing must not pass */

static void
test_corpus (gconstpointer folder)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GDir) corpus = g_dir_open (folder, 0, &error);
  g_assert_no_error (error);

  int files = 0;
  for (const char *name; (name = g_dir_read_name (corpus)) != NULL; files++)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      g_autofree char *data = NULL;
      gsize length = 0;
      g_file_get_contents (path, &data, &length, &error);
      g_assert_no_error (error);
      g_assert_cmpint (LLVMFuzzerTestOneInput ((const uint8_t *)data, length), ==, 0);
    }
  g_assert_cmpint (files, >=, FILES_MIN);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_autofree char *corpus = g_test_build_filename (G_TEST_DIST, "fuzz", "corpus", NULL);
  g_test_add_data_func ("/fuzz/patient/corpus-has-no-finding", corpus, test_corpus);
  return g_test_run ();
}
