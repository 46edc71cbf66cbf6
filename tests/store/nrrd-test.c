/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Segmented volumes as NRRD files.  The files that are read here are written by teem-unu, of
 * the Teem project, which defined the format; what is written here, teem-unu reads.  Types,
 * byte orders, encodings, attached and detached headers, the three spaces; and what is refused,
 * before memory is taken. */
#include "store/nrrd.h"

#include <glib/gstdio.h>
#include <string.h>

#define NX     17
#define NY     13
#define NZ     11
#define VOXELS (NX * NY * NZ)

static char *folder;

static char *
in_folder (const char *name)
{
  return g_build_filename (folder, name, NULL);
}

/* Labels in no symmetric order, so that an axis taken for another shows. */
static int
label_at (int i, int j, int k)
{
  return i == 0 ? 0 : (i * 7 + j * 3 + k * k) % 5 + (i > NX / 2 ? 40 : 0);
}

static gboolean
run_teem (const char *const *arguments)
{
  GError *error = NULL;
  g_autoptr (GSubprocess) process = g_subprocess_newv (
      arguments, G_SUBPROCESS_FLAGS_STDERR_PIPE | G_SUBPROCESS_FLAGS_STDOUT_SILENCE, &error);
  g_assert_no_error (error);
  g_autofree char *complaint = NULL;
  g_assert_true (g_subprocess_communicate_utf8 (process, NULL, NULL, NULL, &complaint, &error));
  if (!g_subprocess_get_successful (process))
    g_test_message ("%s", complaint);
  return g_subprocess_get_successful (process);
}

#define TEEM(...)                                                                              \
  g_assert_true (run_teem ((const char *const[]){ "teem-unu", __VA_ARGS__, NULL }))

/* The labels as little-endian numbers of @bytes. */
static char *
write_raw (int bytes)
{
  char *path = in_folder ("labels.raw");
  g_autofree guint8 *raw = g_malloc0 ((gsize)VOXELS * (gsize)bytes);
  for (int k = 0, at = 0; k < NZ; k++)
    for (int j = 0; j < NY; j++)
      for (int i = 0; i < NX; i++, at += bytes)
        raw[at] = (guint8)label_at (i, j, k);
  g_assert_true (g_file_set_contents (path, (const char *)raw, (gssize)(VOXELS * bytes), NULL));
  return path;
}

static void
check_labels (const TarnLabelMap *map)
{
  g_assert_cmpint (map->size[0], ==, NX);
  g_assert_cmpint (map->size[1], ==, NY);
  g_assert_cmpint (map->size[2], ==, NZ);
  uint64_t sum = 0;
  for (int k = 0, at = 0; k < NZ; k++)
    for (int j = 0; j < NY; j++)
      for (int i = 0; i < NX; i++, at++)
        g_assert_cmpint (map->value[map->code[at]], ==, label_at (i, j, k));
  for (int code = 0; code <= map->labels; code++)
    sum += map->voxels[code];
  g_assert_cmpuint (sum, ==, VOXELS);
}

static void
check_point (const TarnLabelMap *map, double i, double j, double k, TarnVec3 wanted_mm)
{
  TarnVec3 p = tarn_label_map_point (map, i, j, k);
  g_assert_cmpfloat_with_epsilon (p.x, wanted_mm.x, 1e-9);
  g_assert_cmpfloat_with_epsilon (p.y, wanted_mm.y, 1e-9);
  g_assert_cmpfloat_with_epsilon (p.z, wanted_mm.z, 1e-9);
}

static void
test_written_by_teem (void)
{
  static const struct
  {
    const char *type;
    int bytes;
  } types[] = { { "uchar", 1 }, { "signed char", 1 }, { "short", 2 },   { "ushort", 2 },
                { "int", 4 },   { "uint", 4 },        { "longlong", 8 } };
  static const char *const encodings[] = { "raw", "gzip" };
  static const char *const orders[] = { "little", "big" };
  g_autofree char *made = in_folder ("made.nrrd");
  for (gsize t = 0; t < G_N_ELEMENTS (types); t++)
    {
      g_autofree char *raw = write_raw (types[t].bytes);
      TEEM ("make", "-i", raw, "-t", types[t].type, "-s", G_STRINGIFY (NX), G_STRINGIFY (NY),
            G_STRINGIFY (NZ), "-en", "little", "-e", "raw", "-spc", "LPS", "-dirs",
            "(0.5,0,0) (0,0.25,0) (0,0,2)", "-orig", "(1,2,3)", "-o", made);
      for (int way = 0; way < 8; way++)
        {
          gboolean detached = way / 4 != 0;
          g_autofree char *path = in_folder (detached ? "apart.nhdr" : "whole.nrrd");
          TarnLabelMap map;
          GError *error = NULL;
          TEEM ("save", "-f", "nrrd", "-i", made, "-e", encodings[way % 2], "-en",
                orders[way / 2 % 2], "-o", path);
          tarn_nrrd_load (path, &map, NULL, &error);
          g_assert_no_error (error);
          check_labels (&map);
          check_point (&map, 0, 0, 0, tarn_vec3 (1, 2, 3));
          check_point (&map, 2, 4, 1, tarn_vec3 (2, 3, 5));
          g_assert_cmpfloat (tarn_label_map_voxel_mm3 (&map), ==, 0.25);
          tarn_label_map_clear (&map);
        }
    }
}

/* Where the file's first axis goes to the right, ours goes to the left. */
static void
test_spaces (void)
{
  static const struct
  {
    const char *space;
    TarnVec3 sign;
  } spaces[] = { { "LPS", { 1, 1, 1 } }, { "RAS", { -1, -1, 1 } }, { "LAS", { 1, -1, 1 } } };
  g_autofree char *raw = write_raw (1), *path = in_folder ("turned.nrrd");
  for (gsize s = 0; s < G_N_ELEMENTS (spaces); s++)
    {
      TarnLabelMap map;
      GError *error = NULL;
      TarnVec3 sign = spaces[s].sign;
      TEEM ("make", "-i", raw, "-t", "uchar", "-s", G_STRINGIFY (NX), G_STRINGIFY (NY),
            G_STRINGIFY (NZ), "-e", "raw", "-spc", spaces[s].space, "-dirs",
            "(0,0,2) (0.6,0.8,0) (-0.8,0.6,0)", "-orig", "(-10,20,30)", "-o", path);
      tarn_nrrd_load (path, &map, NULL, &error);
      g_assert_no_error (error);
      check_labels (&map);
      check_point (&map, 0, 0, 0, tarn_vec3 (-10 * sign.x, 20 * sign.y, 30));
      check_point (&map, 1, 5, 0, tarn_vec3 (-7 * sign.x, 24 * sign.y, 32));
      check_point (&map, 0, 0, 10, tarn_vec3 (-18 * sign.x, 26 * sign.y, 30));
      tarn_label_map_clear (&map);
    }
}

/* Without a place, the middle stands at the origin. */
static void
test_spacings (void)
{
  g_autofree char *raw = write_raw (1), *path = in_folder ("spaced.nrrd");
  TarnLabelMap map;
  GError *error = NULL;
  TEEM ("make", "-i", raw, "-t", "uchar", "-s", G_STRINGIFY (NX), G_STRINGIFY (NY),
        G_STRINGIFY (NZ), "-e", "raw", "-sp", "0.5", "1", "3", "-o", path);
  tarn_nrrd_load (path, &map, NULL, &error);
  g_assert_no_error (error);
  check_point (&map, 8, 6, 5, tarn_vec3 (0, 0, 0));
  check_point (&map, 9, 7, 6, tarn_vec3 (0.5, 1, 3));
  tarn_label_map_clear (&map);
}

/* A ball of 30 mm in voxels of 1.2 mm: its volume, 4/3 π r³ = 113.097 mL, within 0.5 %. */
#define BALL_MM  30.0
#define PITCH_MM 1.2
#define SIDE     60

static void
ball (TarnLabelMap *map, uint16_t value)
{
  *map = (TarnLabelMap){ .size = { SIDE, SIDE, SIDE }, .labels = 1, .value = { 0, value } };
  map->step_mm[0] = tarn_vec3 (PITCH_MM, 0, 0);
  map->step_mm[1] = tarn_vec3 (0, PITCH_MM, 0);
  map->step_mm[2] = tarn_vec3 (0, 0, PITCH_MM);
  map->origin_mm = tarn_vec3 (-35.1, -35.3, -35.6);
  map->code = g_malloc0 (SIDE * SIDE * SIDE);
  for (int k = 0, at = 0; k < SIDE; k++)
    for (int j = 0; j < SIDE; j++)
      for (int i = 0; i < SIDE; i++, at++)
        if (tarn_length (tarn_label_map_point (map, i, j, k)) < BALL_MM)
          map->code[at] = 1;
}

static void
test_read_by_teem (void)
{
  static const uint16_t values[] = { 1, 255, 256, 65535 };
  for (gsize v = 0; v < G_N_ELEMENTS (values); v++)
    {
      TarnLabelMap map, back;
      GError *error = NULL;
      g_autofree char *saved = in_folder ("saved.nrrd"), *teems = in_folder ("teems.nrrd");
      ball (&map, values[v]);
      tarn_nrrd_save (&map, saved, "synthetic", &error);
      g_assert_no_error (error);
      TEEM ("save", "-f", "nrrd", "-e", "raw", "-i", saved, "-o", teems);
      tarn_nrrd_load (teems, &back, NULL, &error);
      g_assert_no_error (error);
      g_assert_cmpint (back.labels, ==, 1);
      g_assert_cmpint (back.value[1], ==, values[v]);
      g_assert_cmpmem (back.code, SIDE * SIDE * SIDE, map.code, SIDE * SIDE * SIDE);
      double ml = (double)back.voxels[1] * tarn_label_map_voxel_mm3 (&back) / 1000;
      g_assert_cmpfloat_with_epsilon (ml, 113.097, 0.005 * 113.097);
      check_point (&back, 1, 2, 3, tarn_label_map_point (&map, 1, 2, 3));
      tarn_label_map_clear (&map);
      tarn_label_map_clear (&back);
    }
}

/* ---- What is refused ---- */

#define GOOD                                                                                   \
  "NRRD0004\ntype: uint8\ndimension: 3\nsizes: 4 4 4\nencoding: raw\nspacings: 1 1 1\n"

static void
refused (const char *head, gsize data, const char *wanted)
{
  g_autofree char *path = in_folder ("bad.nrrd");
  g_autoptr (GString) bytes = g_string_new (head);
  for (gsize k = 0; k < data; k++)
    g_string_append_c (bytes, (char)(k % 3));
  TarnLabelMap map;
  g_autoptr (GError) error = NULL;
  g_assert_true (g_file_set_contents (path, bytes->str, (gssize)bytes->len, NULL));
  g_assert_false (tarn_nrrd_load (path, &map, NULL, &error));
  g_assert_null (map.code);
  g_assert_nonnull (error);
  g_assert_true (error->domain == TARN_NRRD_ERROR);
  g_assert_true (g_str_has_prefix (error->message, folder));
  if (strstr (error->message, wanted) == NULL)
    g_error ("“%s” does not say “%s”", error->message, wanted);
}

static void
test_refused (void)
{
  refused ("", 0, "empty");
  refused ("P5 4 4 255\n", 64, ":1: not an NRRD");
  refused ("NRRD0009\n\n", 0, "version 1 to 5");
  refused (GOOD, 0, "does not end");
  refused (GOOD "\n", 63, "64 bytes are wanted");
  refused (GOOD "sizes: 4 4 4\n\n", 64, ":7: sizes: a second time");
  refused (GOOD "colour: blue\n\n", 64, ":7: colour");
  refused (GOOD "no colon here\n\n", 64, "field: value");
  refused (GOOD "space directions: (1,0,0) (0,1,0) (0,0,1)\n\n", 64, "without a space");
  refused (GOOD "space: scanner-xyz\n\n", 64, "space: scanner-xyz");
  refused (GOOD "data file: ../secret.raw\n", 0, "same folder");
  refused (GOOD "data file: LIST\n", 0, "several files");
  refused (GOOD "data file: nowhere.raw\n", 0, "nowhere.raw");
  refused (GOOD "byte skip: -1\n\n", 60, "64 bytes are wanted");
  refused ("NRRD0004\ntype: float\n", 0, "whole numbers");
  refused ("NRRD0004\ndimension: 4\n", 0, "a label map has 3");
  refused ("NRRD0004\nsizes: 4 4\n", 0, "sizes: 4 4");
  refused ("NRRD0004\nsizes: 4 4 0\n", 0, "1 … 65535");
  refused ("NRRD0004\nsizes: 4 4 nan\n", 0, "1 … 65535");
  refused ("NRRD0004\nsizes: 65535 65535 65535\n", 0, "million voxels");
  refused ("NRRD0004\nencoding: bzip2\n", 0, "raw and gzip");
  refused ("NRRD0004\nspacings: 1 1 -1\n", 0, "three numbers over 0");
  refused ("NRRD0004\ntype: int16\ndimension: 3\nsizes: 4 4 4\nencoding: raw\n"
           "spacings: 1 1 1\n\n",
           128, "endian");
  refused ("NRRD0004\ntype: uint8\ndimension: 3\nsizes: 4 4 4\nencoding: raw\n\n", 64,
           "how large a voxel is");
  refused ("NRRD0004\ntype: uint8\ndimension: 3\nsizes: 4 4 4\nencoding: raw\nspace: LPS\n"
           "space directions: (1,0,0) (0,1,0) (1,1,0)\n\n",
           64, "in one plane");
  refused ("NRRD0004\ntype: uint8\ndimension: 3\nsizes: 4 4 4\nencoding: gzip\n"
           "spacings: 1 1 1\n\n",
           64, "bad.nrrd");
}

/* A small file that claims 512 voxels each way: refused by what it can hold, with no memory
 * taken for it. */
static void
test_hostile (void)
{
  refused ("NRRD0004\ntype: uint8\ndimension: 3\nsizes: 512 512 512\nencoding: gzip\n"
           "spacings: 1 1 1\n\n",
           1000, "134217728 bytes are wanted when unpacked");
  refused ("NRRD0004\ntype: uint8\ndimension: 3\nsizes: 8 8 8\nencoding: raw\n"
           "spacings: 1 1 1\nline skip: 1000\n\n",
           512, "end too soon");
}

static void
test_too_many_labels (void)
{
  g_autofree char *path = in_folder ("picture.nrrd");
  g_autoptr (GString) bytes
      = g_string_new ("NRRD0004\ntype: uint16\ndimension: 3\nsizes: 8 8 8\nencoding: raw\n"
                      "endian: little\nspacings: 1 1 1\n\n");
  for (int k = 0; k < 512; k++)
    {
      g_string_append_c (bytes, (char)(k & 255));
      g_string_append_c (bytes, (char)(k >> 8));
    }
  TarnLabelMap map;
  g_autoptr (GError) error = NULL;
  g_assert_true (g_file_set_contents (path, bytes->str, (gssize)bytes->len, NULL));
  g_assert_false (tarn_nrrd_load (path, &map, NULL, &error));
  g_assert_nonnull (strstr (error->message, "255 different labels"));
  g_assert_null (map.code);
}

/* Nothing is written over unless the new file stands. */
static void
test_cannot_be_written (void)
{
  TarnLabelMap map;
  g_autoptr (GError) error = NULL;
  g_autofree char *nowhere = g_build_filename (folder, "missing", "map.nrrd", NULL);
  ball (&map, 1);
  g_assert_false (tarn_nrrd_save (&map, nowhere, NULL, &error));
  g_assert_true (g_error_matches (error, TARN_NRRD_ERROR, TARN_NRRD_ERROR_WRITE));
  tarn_label_map_clear (&map);
}

/* Headers out of a hat: none makes it fall. */
static void
test_random_headers (void)
{
  static const char *const pieces[] = { "NRRD0004\n",
                                        "type: uint8\n",
                                        "type: int64\n",
                                        "dimension: 3\n",
                                        "sizes: ",
                                        "2 2 2\n",
                                        "9999 9999 9999\n",
                                        "encoding: raw\n",
                                        "encoding: gzip\n",
                                        "endian: big\n",
                                        "spacings: ",
                                        "1 1 1\n",
                                        "space: LPS\n",
                                        "space directions: ",
                                        "(1,0,0) ",
                                        "(0,1e300,0) ",
                                        "none ",
                                        "\n",
                                        "\n\n",
                                        "space origin: (0,0,0)\n",
                                        "byte skip: -1\n",
                                        "line skip: 3\n",
                                        "data file: x\n",
                                        "a:=b\n",
                                        "# c\n",
                                        "\x01\xff",
                                        "(,,)",
                                        "1e999" };
  g_autofree char *path = in_folder ("hat.nrrd");
  int rounds = g_getenv ("TARN_TEST_QUICK") != NULL ? 300 : 3000;
  for (int round = 0; round < rounds; round++)
    {
      g_autoptr (GString) text = g_string_new (round % 4 != 0 ? pieces[0] : "");
      for (int k = g_test_rand_int_range (0, 14); k > 0; k--)
        g_string_append (text,
                         pieces[g_test_rand_int_range (0, (gint32)G_N_ELEMENTS (pieces))]);
      g_assert_true (g_file_set_contents (path, text->str, (gssize)text->len, NULL));
      TarnLabelMap map;
      g_autoptr (GError) error = NULL;
      if (tarn_nrrd_load (path, &map, NULL, &error))
        tarn_label_map_clear (&map);
      else
        g_assert_nonnull (error);
    }
}

static void
remove_folder (void)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;
  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = in_folder (name);
      g_unlink (path);
    }
  g_rmdir (folder);
  g_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  folder = g_dir_make_tmp ("tarn-nrrd-XXXXXX", NULL);
  g_test_add_func ("/nrrd/written-by-teem", test_written_by_teem);
  g_test_add_func ("/nrrd/spaces", test_spaces);
  g_test_add_func ("/nrrd/spacings", test_spacings);
  g_test_add_func ("/nrrd/read-by-teem", test_read_by_teem);
  g_test_add_func ("/nrrd/refused", test_refused);
  g_test_add_func ("/nrrd/hostile", test_hostile);
  g_test_add_func ("/nrrd/too-many-labels", test_too_many_labels);
  g_test_add_func ("/nrrd/cannot-be-written", test_cannot_be_written);
  g_test_add_func ("/nrrd/random-headers", test_random_headers);
  int result = g_test_run ();
  remove_folder ();
  return result;
}
