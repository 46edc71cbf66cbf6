/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * mesh-file-test.c: STL files by the letter of the format, and what cannot be written. */
#include "store/stl.h"

#include <glib/gstdio.h>
#include <string.h>

typedef struct
{
  char *folder, *path;
  TarnMesh mesh;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  (void)unused;
  fixture->folder = g_dir_make_tmp ("tarn-stl-XXXXXX", NULL);
  fixture->path = g_build_filename (fixture->folder, "out.stl", NULL);
  g_assert_cmpint (tarn_mesh_init_sphere (&fixture->mesh, 1), ==, 1);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  (void)unused;
  tarn_mesh_clear (&fixture->mesh);
  g_remove (fixture->path);
  g_assert_cmpint (g_rmdir (fixture->folder), ==, 0); /* nothing else was left there */
  g_free (fixture->path);
  g_free (fixture->folder);
}

static float
float_at (const char *bytes)
{
  guint32 bits;
  memcpy (&bits, bytes, sizeof bits);
  bits = GUINT32_FROM_LE (bits);
  float value;
  memcpy (&value, &bits, sizeof value);
  return value;
}

/* 80 bytes, a count, 50 bytes a triangle; the header must not begin like a text file. */
static void
test_binary (Fixture *fixture, gconstpointer unused)
{
  (void)unused;
  g_autoptr (GError) error = NULL;
  TarnStlBody body[2] = { { "one", &fixture->mesh }, { "two", &fixture->mesh } };
  tarn_stl_save (fixture->path, TARN_STL_BINARY, body, 2, &error);
  g_assert_no_error (error);

  g_autofree char *bytes = NULL;
  gsize size = 0;
  g_assert_true (g_file_get_contents (fixture->path, &bytes, &size, NULL));
  int triangles = 2 * fixture->mesh.triangles;
  g_assert_cmpuint (size, ==, 84 + 50 * (gsize)triangles);
  g_assert_cmpint (strncmp (bytes, "solid", 5), !=, 0);
  guint32 count;
  memcpy (&count, bytes + 80, sizeof count);
  g_assert_cmpuint (GUINT32_FROM_LE (count), ==, (guint)triangles);
  for (int k = 0; k < triangles; k++)
    for (int j = 0; j < 3; j++)
      {
        const char *corner = bytes + 84 + 50 * k + 12 * (j + 1);
        TarnVec3 p
            = fixture->mesh.vertex_mm[fixture->mesh.corner[k % fixture->mesh.triangles][j]];
        g_assert_cmpfloat_with_epsilon (float_at (corner), p.x, 1e-6);
        g_assert_cmpfloat_with_epsilon (float_at (corner + 4), p.y, 1e-6);
        g_assert_cmpfloat_with_epsilon (float_at (corner + 8), p.z, 1e-6);
      }
}

static int
count_of (const char *text, const char *what)
{
  int count = 0;
  for (const char *at = text; (at = strstr (at, what)) != NULL; at += strlen (what))
    count++;
  return count;
}

/* A solid for each body, numbers with a point whatever the locale. */
static void
test_text (Fixture *fixture, gconstpointer unused)
{
  (void)unused;
  g_autoptr (GError) error = NULL;
  TarnStlBody body[2] = { { "lumen", &fixture->mesh }, { "wall", &fixture->mesh } };
  tarn_stl_save (fixture->path, TARN_STL_TEXT, body, 2, &error);
  g_assert_no_error (error);
  g_autofree char *text = NULL;
  g_assert_true (g_file_get_contents (fixture->path, &text, NULL, NULL));
  g_assert_true (g_str_has_prefix (text, "solid lumen\nfacet normal "));
  g_assert_true (g_str_has_suffix (text, "endfacet\nendsolid wall\n"));
  g_assert_cmpint (count_of (text, "endsolid lumen\nsolid wall\n"), ==, 1);
  g_assert_cmpint (count_of (text, "\nfacet normal "), ==, 2 * fixture->mesh.triangles);
  g_assert_cmpint (count_of (text, "\nvertex "), ==, 6 * fixture->mesh.triangles);
  g_assert_null (strchr (text, ','));
}

/* A file that was there is replaced whole. */
static void
test_replaces (Fixture *fixture, gconstpointer unused)
{
  (void)unused;
  g_autoptr (GError) error = NULL;
  g_assert_true (g_file_set_contents (fixture->path, "old", -1, NULL));
  TarnStlBody body = { "one", &fixture->mesh };
  tarn_stl_save (fixture->path, TARN_STL_BINARY, &body, 1, &error);
  g_assert_no_error (error);
  g_autofree char *bytes = NULL;
  gsize size = 0;
  g_assert_true (g_file_get_contents (fixture->path, &bytes, &size, NULL));
  g_assert_cmpuint (size, >, 80);
}

static void
test_no_such_folder (Fixture *fixture, gconstpointer unused)
{
  (void)unused;
  g_autoptr (GError) error = NULL;
  g_autofree char *path = g_build_filename (fixture->folder, "no", "where.stl", NULL);
  TarnStlBody body = { "one", &fixture->mesh };
  g_assert_false (tarn_stl_save (path, TARN_STL_TEXT, &body, 1, &error));
  g_assert_error (error, G_FILE_ERROR, G_FILE_ERROR_NOENT);
}

static void
test_folder_in_the_way (Fixture *fixture, gconstpointer unused)
{
  (void)unused;
  g_autoptr (GError) error = NULL;
  TarnStlBody body = { "one", &fixture->mesh };
  g_assert_false (tarn_stl_save (fixture->folder, TARN_STL_TEXT, &body, 1, &error));
  g_assert_error (error, G_FILE_ERROR, G_FILE_ERROR_ISDIR);
}

/* The device that is always full. */
static void
test_disk_full (Fixture *fixture, gconstpointer unused)
{
  (void)unused;
  g_autoptr (GError) error = NULL;
  TarnStlBody body = { "one", &fixture->mesh };
  g_assert_false (tarn_stl_save ("/dev/full", TARN_STL_BINARY, &body, 1, &error));
  g_assert_error (error, G_FILE_ERROR, G_FILE_ERROR_NOSPC);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  static const struct
  {
    const char *name;
    void (*run) (Fixture *, gconstpointer);
  } tests[] = {
    { "/mesh-file/binary", test_binary },
    { "/mesh-file/text", test_text },
    { "/mesh-file/replaces", test_replaces },
    { "/mesh-file/no-such-folder", test_no_such_folder },
    { "/mesh-file/folder-in-the-way", test_folder_in_the_way },
    { "/mesh-file/disk-full", test_disk_full },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (tests); k++)
    g_test_add (tests[k].name, Fixture, NULL, set_up, tests[k].run, tear_down);
  return g_test_run ();
}
