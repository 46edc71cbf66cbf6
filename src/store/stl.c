/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "store/stl.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

#define HEADER_BYTES   80
#define TRIANGLE_BYTES 50

static const char header[HEADER_BYTES] = "Tarn, synthetic anatomy, for training only; unit mm";

static TarnVec3
facet_normal (const TarnMesh *mesh, int triangle)
{
  const int *c = mesh->corner[triangle];
  const TarnVec3 *v = mesh->vertex_mm;
  return tarn_normalize (tarn_cross (tarn_sub (v[c[1]], v[c[0]]), tarn_sub (v[c[2]], v[c[0]])));
}

/* Text. */

static void
append_text_vector (GString *text, const char *before, TarnVec3 v, const char *format)
{
  const double part[3] = { v.x, v.y, v.z };
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_string_append (text, before);
  for (int k = 0; k < 3; k++)
    {
      g_string_append_c (text, ' ');
      g_string_append (text, g_ascii_formatd (number, sizeof number, format, part[k]));
    }
  g_string_append_c (text, '\n');
}

static void
append_text (GString *text, const TarnStlBody *body)
{
  const TarnMesh *mesh = body->mesh;
  g_string_append_printf (text, "solid %s\n", body->name);
  for (int k = 0; k < mesh->triangles; k++)
    {
      append_text_vector (text, "facet normal", facet_normal (mesh, k), "%.6f");
      g_string_append (text, "outer loop\n");
      for (int j = 0; j < 3; j++)
        append_text_vector (text, "vertex", mesh->vertex_mm[mesh->corner[k][j]], "%.5f");
      g_string_append (text, "endloop\nendfacet\n");
    }
  g_string_append_printf (text, "endsolid %s\n", body->name);
}

/* Binary: everything little-endian, single precision. */

static void
append_u32 (GString *bytes, guint32 value)
{
  guint32 little = GUINT32_TO_LE (value);
  g_string_append_len (bytes, (const char *)&little, sizeof little);
}

static void
append_vector (GString *bytes, TarnVec3 v)
{
  const float part[3] = { (float)v.x, (float)v.y, (float)v.z };
  for (int k = 0; k < 3; k++)
    {
      guint32 bits;
      memcpy (&bits, &part[k], sizeof bits);
      append_u32 (bytes, bits);
    }
}

static void
append_binary (GString *bytes, const TarnStlBody *body)
{
  const TarnMesh *mesh = body->mesh;
  for (int k = 0; k < mesh->triangles; k++)
    {
      append_vector (bytes, facet_normal (mesh, k));
      for (int j = 0; j < 3; j++)
        append_vector (bytes, mesh->vertex_mm[mesh->corner[k][j]]);
      g_string_append_len (bytes, "\0\0", 2);
    }
}

static GString *
compose (TarnStlFormat format, const TarnStlBody *bodies, gsize count)
{
  gsize triangles = 0;
  for (gsize k = 0; k < count; k++)
    triangles += (gsize)bodies[k].mesh->triangles;

  if (format == TARN_STL_TEXT)
    {
      GString *text = g_string_sized_new (triangles * 256 + 64);
      for (gsize k = 0; k < count; k++)
        append_text (text, &bodies[k]);
      return text;
    }

  GString *bytes = g_string_sized_new (HEADER_BYTES + 4 + triangles * TRIANGLE_BYTES);
  g_string_append_len (bytes, header, HEADER_BYTES);
  append_u32 (bytes, (guint32)triangles);
  for (gsize k = 0; k < count; k++)
    append_binary (bytes, &bodies[k]);
  return bytes;
}

static gboolean
write_through (const char *path, const GString *content, GError **error)
{
  errno = 0;
  FILE *file = g_fopen (path, "wb");
  gboolean written
      = file != NULL && fwrite (content->str, 1, content->len, file) == content->len;
  int problem = errno;
  if (file != NULL && fclose (file) != 0)
    {
      problem = problem != 0 ? problem : errno;
      written = FALSE;
    }
  if (!written)
    g_set_error (error, G_FILE_ERROR, g_file_error_from_errno (problem),
                 "Failed to write “%s”: %s", path, g_strerror (problem));
  return written;
}

gboolean
tarn_stl_save (const char *path, TarnStlFormat format, const TarnStlBody *bodies, gsize count,
               GError **error)
{
  g_return_val_if_fail (path != NULL, FALSE);
  g_return_val_if_fail (bodies != NULL || count == 0, FALSE);
  g_return_val_if_fail (error == NULL || *error == NULL, FALSE);

  GString *content = compose (format, bodies, count);
  gboolean special
      = g_file_test (path, G_FILE_TEST_EXISTS) && !g_file_test (path, G_FILE_TEST_IS_REGULAR);
  gboolean saved = special
                       ? write_through (path, content, error)
                       : g_file_set_contents_full (path, content->str, (gssize)content->len,
                                                   G_FILE_SET_CONTENTS_CONSISTENT, 0666, error);
  g_string_free (content, TRUE);
  return saved;
}
