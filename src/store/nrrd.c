/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * 1. The header is read and checked against the size of the file that holds the data: raw data
 *    must be there in full, packed ones cannot be packed more than DEFLATE can.
 * 2. The data pass by in blocks; each number becomes a code of a byte, so that a map takes one
 *    byte for a voxel whatever its file has. */
#include "store/nrrd.h"

#include "store/nrrd_header.h"

#include <string.h>

#define HEADER_BYTES_MAX (64 << 10)
#define BLOCK_VOXELS     (64 << 10)
#define VALUES           65536
/* DEFLATE makes at most 258 bytes of 2 bits. */
#define PACKED_MAX 1032

static gboolean
fail (GError **error, TarnNrrdError code, const char *path, const char *what)
{
  g_autofree char *shown = g_filename_display_name (path);
  g_set_error (error, TARN_NRRD_ERROR, code, "%s: %s", shown, what);
  return FALSE;
}

/* What the system says, in our own domain. */
static gboolean
pass_on (GError **error, TarnNrrdError code, const char *path, GError *cause)
{
  gboolean result = fail (error, code, path, cause->message);
  g_error_free (cause);
  return result;
}

/* ---- The header and the place of the data ---- */

static gboolean
load_header (const char *path, TarnNrrdHeader *header, GError **error)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autofree char *shown = g_filename_display_name (path);
  g_autofree char *bytes = g_malloc (HEADER_BYTES_MAX);
  GError *cause = NULL;
  gsize length = 0;
  g_autoptr (GFileInputStream) stream = g_file_read (file, NULL, &cause);
  if (stream == NULL
      || !g_input_stream_read_all (G_INPUT_STREAM (stream), bytes, HEADER_BYTES_MAX, &length,
                                   NULL, &cause))
    return pass_on (error, TARN_NRRD_ERROR_READ, path, cause);
  return tarn_nrrd_parse_header (bytes, length, shown, header, error);
}

static char *
data_path (const char *path, const TarnNrrdHeader *header)
{
  if (header->data_file == NULL)
    return g_strdup (path);
  g_autofree char *folder = g_path_get_dirname (path);
  return g_build_filename (folder, header->data_file, NULL);
}

static gint64
data_bytes (const TarnNrrdHeader *header)
{
  return (gint64)tarn_nrrd_voxels (header) * header->bytes;
}

/* Refuses a file that cannot hold what it claims. */
static gboolean
check_size (const char *path, const TarnNrrdHeader *header, GError **error)
{
  GError *cause = NULL;
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GFileInfo) info
      = g_file_query_info (file, G_FILE_ATTRIBUTE_STANDARD_SIZE, 0, NULL, &cause);
  if (info == NULL)
    return pass_on (error, TARN_NRRD_ERROR_READ, path, cause);
  gint64 there = g_file_info_get_size (info) - header->data_at;
  gint64 wanted = data_bytes (header);
  if (!header->gzip)
    there -= MAX (header->byte_skip, 0);
  if (header->gzip ? there > wanted / PACKED_MAX : there >= wanted)
    return TRUE;
  g_autofree char *what
      = g_strdup_printf ("the data end too soon: %" G_GINT64_FORMAT
                         " bytes are wanted%s, %" G_GINT64_FORMAT " are there",
                         wanted, header->gzip ? " when unpacked" : "", MAX (there, 0));
  return fail (error, TARN_NRRD_ERROR_INVALID, path, what);
}

/* ---- The data ---- */

static gboolean
skip_lines (GInputStream *stream, int lines, GCancellable *cancellable, GError **error)
{
  char byte;
  while (lines > 0)
    {
      gssize count = g_input_stream_read (stream, &byte, 1, cancellable, error);
      if (count < 0)
        return FALSE;
      if (count == 0)
        return TRUE; /* the data will be missing */
      lines -= byte == '\n';
    }
  return TRUE;
}

static gboolean
skip_bytes (GInputStream *stream, gint64 bytes, GCancellable *cancellable, GError **error)
{
  while (bytes > 0)
    {
      gssize count
          = g_input_stream_skip (stream, (gsize)MIN (bytes, G_MAXINT32), cancellable, error);
      if (count < 0)
        return FALSE;
      if (count == 0)
        return TRUE;
      bytes -= count;
    }
  return TRUE;
}

/* A stream that stands at the first number. */
static GInputStream *
open_data (const char *path, const TarnNrrdHeader *header, GCancellable *cancellable,
           GError **error)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GFileInputStream) plain = g_file_read (file, cancellable, error);
  if (plain == NULL)
    return NULL;
  if (header->byte_skip < 0)
    {
      if (!g_seekable_seek (G_SEEKABLE (plain), -data_bytes (header), G_SEEK_END, cancellable,
                            error))
        return NULL;
      return g_buffered_input_stream_new (G_INPUT_STREAM (plain));
    }
  if (!g_seekable_seek (G_SEEKABLE (plain), header->data_at, G_SEEK_SET, cancellable, error))
    return NULL;
  g_autoptr (GInputStream) stream
      = g_buffered_input_stream_new_sized (G_INPUT_STREAM (plain), 1 << 18);
  /* Lines are skipped before unpacking, bytes after it. */
  if (!skip_lines (stream, header->line_skip, cancellable, error))
    return NULL;
  if (header->gzip)
    {
      g_autoptr (GZlibDecompressor) unpack
          = g_zlib_decompressor_new (G_ZLIB_COMPRESSOR_FORMAT_GZIP);
      GInputStream *packed = stream;
      stream = g_converter_input_stream_new (packed, G_CONVERTER (unpack));
      g_object_unref (packed);
    }
  if (!skip_bytes (stream, header->byte_skip, cancellable, error))
    return NULL;
  return g_steal_pointer (&stream);
}

/* Number @index of a block; what is negative becomes far too large. */
static guint64
number_at (const TarnNrrdHeader *header, const guint8 *block, gsize index)
{
  const guint8 *byte = block + index * (gsize)header->bytes;
  guint64 number = 0;
  for (int k = 0; k < header->bytes; k++)
    number |= (guint64)byte[header->big_endian ? header->bytes - 1 - k : k] << (8 * k);
  if (header->is_signed && (number >> (8 * header->bytes - 1)) != 0)
    return G_MAXUINT64;
  return number;
}

typedef struct
{
  const TarnNrrdHeader *header;
  TarnLabelMap *map;
  guint8 code_of[VALUES]; /* 0: not met yet, but for value 0 */
} Coding;

static gboolean
code_block (Coding *coding, const guint8 *block, gsize from, gsize count, const char *path,
            GError **error)
{
  TarnLabelMap *map = coding->map;
  for (gsize k = 0; k < count; k++)
    {
      guint64 value = number_at (coding->header, block, k);
      if (value >= VALUES)
        return fail (error, TARN_NRRD_ERROR_INVALID, path,
                     "a number that is no label: they go from 0 to 65535");
      guint8 code = coding->code_of[value];
      if (code == 0 && value != 0)
        {
          if (map->labels == TARN_LABELS_MAX)
            return fail (error, TARN_NRRD_ERROR_INVALID, path,
                         "more than 255 different labels: this is a picture, not a label map");
          code = coding->code_of[value] = (guint8)++map->labels;
          map->value[code] = (guint16)value;
        }
      map->code[from + k] = code;
      map->voxels[code]++;
    }
  return TRUE;
}

static gboolean
read_codes (GInputStream *stream, Coding *coding, const char *path, GCancellable *cancellable,
            GError **error)
{
  const TarnNrrdHeader *header = coding->header;
  gsize voxels = (gsize)tarn_nrrd_voxels (header);
  g_autofree guint8 *block = g_malloc ((gsize)BLOCK_VOXELS * (gsize)header->bytes);
  for (gsize from = 0; from < voxels; from += BLOCK_VOXELS)
    {
      gsize count = MIN ((gsize)BLOCK_VOXELS, voxels - from), read = 0;
      gsize wanted = count * (gsize)header->bytes;
      GError *cause = NULL;
      if (!g_input_stream_read_all (stream, block, wanted, &read, cancellable, &cause))
        return pass_on (error, TARN_NRRD_ERROR_READ, path, cause);
      if (read < wanted)
        return fail (error, TARN_NRRD_ERROR_INVALID, path, "the data end too soon");
      if (!code_block (coding, block, from, count, path, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
load_codes (const char *path, const TarnNrrdHeader *header, TarnLabelMap *map,
            GCancellable *cancellable, GError **error)
{
  GError *cause = NULL;
  if (!check_size (path, header, error))
    return FALSE;
  g_autoptr (GInputStream) stream = open_data (path, header, cancellable, &cause);
  if (stream == NULL)
    return pass_on (error, TARN_NRRD_ERROR_READ, path, cause);
  *map = header->map;
  map->code = g_try_malloc ((gsize)tarn_nrrd_voxels (header));
  if (map->code == NULL)
    return fail (error, TARN_NRRD_ERROR_MEMORY, path, "there is no memory for so many voxels");
  g_autofree Coding *coding = g_new0 (Coding, 1);
  coding->header = header;
  coding->map = map;
  if (read_codes (stream, coding, path, cancellable, error))
    return TRUE;
  tarn_label_map_clear (map);
  return FALSE;
}

gboolean
tarn_nrrd_read_header (const char *path, TarnLabelMap *map, GError **error)
{
  TarnNrrdHeader header;
  if (!load_header (path, &header, error))
    return FALSE;
  g_autofree char *data = data_path (path, &header);
  gboolean can_be = check_size (data, &header, error);
  if (can_be)
    *map = header.map;
  tarn_nrrd_header_clear (&header);
  return can_be;
}

gboolean
tarn_nrrd_load (const char *path, TarnLabelMap *map, GCancellable *cancellable, GError **error)
{
  TarnNrrdHeader header;
  *map = (TarnLabelMap){ 0 };
  if (!load_header (path, &header, error))
    return FALSE;
  g_autofree char *data = data_path (path, &header);
  gboolean loaded = load_codes (data, &header, map, cancellable, error);
  tarn_nrrd_header_clear (&header);
  return loaded;
}

void
tarn_label_map_clear (TarnLabelMap *map)
{
  g_free (map->code);
  *map = (TarnLabelMap){ 0 };
}

/* ---- Writing ---- */

static void
append_vector (GString *text, TarnVec3 v)
{
  const double part[3] = { v.x, v.y, v.z };
  for (int k = 0; k < 3; k++)
    {
      char number[G_ASCII_DTOSTR_BUF_SIZE];
      g_string_append_c (text, k == 0 ? '(' : ',');
      g_string_append (text, g_ascii_dtostr (number, sizeof number, part[k]));
    }
  g_string_append_c (text, ')');
}

static char *
compose_header (const TarnLabelMap *map, gboolean wide, const char *comment)
{
  GString *text = g_string_new ("NRRD0004\n");
  if (comment != NULL)
    g_string_append_printf (text, "# %s\n", comment);
  g_string_append_printf (text,
                          "type: %s\ndimension: 3\nspace: left-posterior-superior\n"
                          "sizes: %d %d %d\nspace directions: ",
                          wide ? "uint16" : "uint8", map->size[0], map->size[1], map->size[2]);
  for (int k = 0; k < 3; k++)
    {
      append_vector (text, map->step_mm[k]);
      g_string_append_c (text, k < 2 ? ' ' : '\n');
    }
  g_string_append (text, "kinds: domain domain domain\n");
  if (wide)
    g_string_append (text, "endian: little\n");
  g_string_append (text, "encoding: gzip\nspace origin: ");
  append_vector (text, map->origin_mm);
  g_string_append (text, "\n\n");
  return g_string_free (text, FALSE);
}

static gboolean
write_codes (const TarnLabelMap *map, gboolean wide, GOutputStream *stream, GError **error)
{
  gsize voxels = (gsize)map->size[0] * (gsize)map->size[1] * (gsize)map->size[2];
  gsize bytes = wide ? 2 : 1;
  g_autofree guint8 *block = g_malloc (BLOCK_VOXELS * bytes);
  for (gsize from = 0; from < voxels; from += BLOCK_VOXELS)
    {
      gsize count = MIN ((gsize)BLOCK_VOXELS, voxels - from);
      for (gsize k = 0; k < count; k++)
        {
          guint16 value = map->value[map->code[from + k]];
          block[k * bytes] = (guint8)value;
          if (wide)
            block[k * bytes + 1] = (guint8)(value >> 8);
        }
      if (!g_output_stream_write_all (stream, block, count * bytes, NULL, NULL, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
write_file (const TarnLabelMap *map, GFile *file, const char *comment, GError **error)
{
  gboolean wide = FALSE;
  for (int k = 1; k <= map->labels; k++)
    wide = wide || map->value[k] > 255;
  g_autofree char *head = compose_header (map, wide, comment);
  g_autoptr (GFileOutputStream) plain
      = g_file_replace (file, NULL, FALSE, G_FILE_CREATE_NONE, NULL, error);
  if (plain == NULL)
    return FALSE;
  g_autoptr (GZlibCompressor) pack = g_zlib_compressor_new (G_ZLIB_COMPRESSOR_FORMAT_GZIP, -1);
  /* A stream that is closed takes the place of what stood there; one that is not, does not. */
  g_autoptr (GCancellable) never_mind = g_cancellable_new ();
  g_autoptr (GOutputStream) packed = NULL;
  gboolean written = g_output_stream_write_all (G_OUTPUT_STREAM (plain), head, strlen (head),
                                                NULL, NULL, error);
  if (written)
    {
      packed = g_converter_output_stream_new (G_OUTPUT_STREAM (plain), G_CONVERTER (pack));
      written = write_codes (map, wide, packed, error)
                && g_output_stream_close (packed, NULL, error);
    }
  if (!written)
    {
      g_cancellable_cancel (never_mind);
      g_output_stream_close (G_OUTPUT_STREAM (plain), never_mind, NULL);
    }
  return written;
}

gboolean
tarn_nrrd_save (const TarnLabelMap *map, const char *path, const char *comment, GError **error)
{
  g_return_val_if_fail (map != NULL && map->code != NULL, FALSE);
  GError *cause = NULL;
  g_autoptr (GFile) file = g_file_new_for_path (path);
  if (write_file (map, file, comment, &cause))
    return TRUE;
  return pass_on (error, TARN_NRRD_ERROR_WRITE, path, cause);
}
