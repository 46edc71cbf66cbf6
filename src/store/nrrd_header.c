/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The head of an NRRD file: a line that names the format, then lines of "field: value", each
 * field once, comments and "key:=value" between them; an empty line ends it where the data
 * follow in the same file. */
#include "store/nrrd_header.h"

#include <math.h>
#include <string.h>

typedef struct
{
  const char *name; /* of the file */
  int line;
  TarnNrrdHeader *header;
  GHashTable *seen; /* fields, so that none comes twice */
  gboolean has_spacings, has_directions, has_origin;
  TarnVec3 axis_sign; /* from the file's space to the patient's frame */
  gboolean has_space;
} Parse;

G_DEFINE_QUARK (tarn - nrrd - error - quark, tarn_nrrd_error)

G_GNUC_PRINTF (3, 4)
static gboolean
refuse (const Parse *parse, GError **error, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *what = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, TARN_NRRD_ERROR, TARN_NRRD_ERROR_INVALID, "%s:%d: %s", parse->name,
               parse->line, what);
  return FALSE;
}

/* ---- Numbers ---- */

/* One number at *@text, which moves past it and the space behind. */
static gboolean
take_number (const char **text, double *number)
{
  char *end = NULL;
  *number = g_ascii_strtod (*text, &end);
  if (end == *text || !isfinite (*number))
    return FALSE;
  while (g_ascii_isspace (*end))
    end++;
  *text = end;
  return TRUE;
}

static gboolean
take_character (const char **text, char wanted)
{
  if (**text != wanted)
    return FALSE;
  do
    (*text)++;
  while (g_ascii_isspace (**text));
  return TRUE;
}

/* "(1,2,3)" */
static gboolean
take_vector (const char **text, TarnVec3 *vector)
{
  return take_character (text, '(') && take_number (text, &vector->x)
         && take_character (text, ',') && take_number (text, &vector->y)
         && take_character (text, ',') && take_number (text, &vector->z)
         && take_character (text, ')');
}

/* ---- Fields ---- */

static gboolean
read_type (Parse *parse, const char *value, GError **error)
{
  static const struct
  {
    int bytes;
    gboolean is_signed;
    const char *names; /* with a bar before and behind each */
  } types[] = {
    { 1, TRUE, "|signed char|int8|int8_t|" },
    { 1, FALSE, "|uchar|unsigned char|uint8|uint8_t|" },
    { 2, TRUE, "|short|short int|signed short|signed short int|int16|int16_t|" },
    { 2, FALSE, "|ushort|unsigned short|unsigned short int|uint16|uint16_t|" },
    { 4, TRUE, "|int|signed int|int32|int32_t|" },
    { 4, FALSE, "|uint|unsigned int|uint32|uint32_t|" },
    { 8, TRUE,
      "|longlong|long long|long long int|signed long long|signed long long "
      "int|int64|int64_t|" },
    { 8, FALSE, "|ulonglong|unsigned long long|unsigned long long int|uint64|uint64_t|" },
  };
  g_autofree char *wanted = g_strconcat ("|", value, "|", NULL);
  for (gsize k = 0; k < G_N_ELEMENTS (types); k++)
    if (strstr (types[k].names, wanted) != NULL)
      {
        parse->header->bytes = types[k].bytes;
        parse->header->is_signed = types[k].is_signed;
        return TRUE;
      }
  return refuse (parse, error, "type: %s: a label map has whole numbers, int8 to uint64",
                 value);
}

static gboolean
read_dimension (Parse *parse, const char *value, GError **error)
{
  if (!g_str_equal (value, "3"))
    return refuse (parse, error, "dimension: %s: a label map has 3", value);
  return TRUE;
}

static gboolean
read_sizes (Parse *parse, const char *value, GError **error)
{
  const char *text = value;
  guint64 voxels = 1;
  for (int k = 0; k < 3; k++)
    {
      double size;
      if (!take_number (&text, &size) || size != floor (size) || size < 1 || size > 65535)
        return refuse (parse, error, "sizes: %s: three whole numbers are wanted, 1 … 65535",
                       value);
      parse->header->map.size[k] = (int)size;
      voxels *= (guint64)size;
    }
  if (*text != '\0')
    return refuse (parse, error, "sizes: %s: three numbers are wanted", value);
  if (voxels > TARN_NRRD_VOXELS_MAX)
    return refuse (parse, error, "sizes: %s: more than %u million voxels", value,
                   TARN_NRRD_VOXELS_MAX >> 20);
  return TRUE;
}

static gboolean
read_encoding (Parse *parse, const char *value, GError **error)
{
  parse->header->gzip = g_str_equal (value, "gzip") || g_str_equal (value, "gz");
  if (parse->header->gzip || g_str_equal (value, "raw"))
    return TRUE;
  return refuse (parse, error, "encoding: %s: raw and gzip are read here", value);
}

static gboolean
read_endian (Parse *parse, const char *value, GError **error)
{
  parse->header->big_endian = g_str_equal (value, "big");
  if (parse->header->big_endian || g_str_equal (value, "little"))
    return TRUE;
  return refuse (parse, error, "endian: %s: little or big is wanted", value);
}

static gboolean
read_space (Parse *parse, const char *value, GError **error)
{
  static const struct
  {
    const char *name, *letters;
    TarnVec3 sign;
  } spaces[] = { { "left-posterior-superior", "LPS", { 1, 1, 1 } },
                 { "right-anterior-superior", "RAS", { -1, -1, 1 } },
                 { "left-anterior-superior", "LAS", { 1, -1, 1 } } };
  for (gsize k = 0; k < G_N_ELEMENTS (spaces); k++)
    if (g_ascii_strcasecmp (value, spaces[k].name) == 0
        || g_str_equal (value, spaces[k].letters))
      {
        parse->axis_sign = spaces[k].sign;
        parse->has_space = TRUE;
        return TRUE;
      }
  return refuse (parse, error,
                 "space: %s: left-posterior-superior, right-anterior-superior and "
                 "left-anterior-superior are read here",
                 value);
}

static gboolean
read_spacings (Parse *parse, const char *value, GError **error)
{
  const char *text = value;
  TarnVec3 *step = parse->header->map.step_mm;
  double spacing[3];
  for (int k = 0; k < 3; k++)
    if (!take_number (&text, &spacing[k]) || !(spacing[k] > 0) || spacing[k] > 1000)
      return refuse (parse, error, "spacings: %s: three numbers over 0, at most 1000 mm",
                     value);
  step[0] = tarn_vec3 (spacing[0], 0, 0);
  step[1] = tarn_vec3 (0, spacing[1], 0);
  step[2] = tarn_vec3 (0, 0, spacing[2]);
  parse->has_spacings = TRUE;
  return TRUE;
}

static gboolean
read_directions (Parse *parse, const char *value, GError **error)
{
  const char *text = value;
  TarnVec3 *step = parse->header->map.step_mm;
  for (int k = 0; k < 3; k++)
    if (!take_vector (&text, &step[k]))
      return refuse (parse, error,
                     "space directions: %s: three vectors are wanted, as (0.5,0,0)", value);
  parse->has_directions = TRUE;
  return TRUE;
}

static gboolean
read_origin (Parse *parse, const char *value, GError **error)
{
  const char *text = value;
  if (!take_vector (&text, &parse->header->map.origin_mm))
    return refuse (parse, error, "space origin: %s: a vector is wanted, as (0,0,0)", value);
  parse->has_origin = TRUE;
  return TRUE;
}

static gboolean
read_line_skip (Parse *parse, const char *value, GError **error)
{
  guint64 skip;
  if (!g_ascii_string_to_unsigned (value, 10, 0, 1000000, &skip, NULL))
    return refuse (parse, error, "line skip: %s: 0 … 1000000 is wanted", value);
  parse->header->line_skip = (int)skip;
  return TRUE;
}

static gboolean
read_byte_skip (Parse *parse, const char *value, GError **error)
{
  if (!g_ascii_string_to_signed (value, 10, -1, G_MAXINT32, &parse->header->byte_skip, NULL))
    return refuse (parse, error, "byte skip: %s: -1 or more is wanted", value);
  return TRUE;
}

/* Only a file beside the header: a map that someone sends must not read others. */
static gboolean
read_data_file (Parse *parse, const char *value, GError **error)
{
  g_autofree char *base = g_path_get_basename (value);
  if (g_str_equal (value, "LIST") || g_str_has_prefix (value, "LIST ")
      || strchr (value, '%') != NULL)
    return refuse (parse, error, "data file: %s: data in several files are not read here",
                   value);
  if (!g_str_equal (base, value) || g_str_equal (value, "..") || g_str_equal (value, "."))
    return refuse (parse, error,
                   "data file: %s: the name of a file in the same folder is "
                   "wanted",
                   value);
  parse->header->data_file = g_strdup (value);
  return TRUE;
}

static gboolean
read_space_units (Parse *parse, const char *value, GError **error)
{
  if (strstr (value, "\"mm\"") == NULL && strstr (value, "mm") == NULL)
    return refuse (parse, error, "space units: %s: mm is wanted", value);
  return TRUE;
}

typedef gboolean (*FieldReader) (Parse *parse, const char *value, GError **error);

static const struct
{
  const char *name, *also; /* two spellings */
  FieldReader read;        /* NULL: of no consequence here */
} fields[] = {
  { "type", NULL, read_type },
  { "dimension", NULL, read_dimension },
  { "sizes", NULL, read_sizes },
  { "encoding", NULL, read_encoding },
  { "endian", NULL, read_endian },
  { "space", NULL, read_space },
  { "space directions", NULL, read_directions },
  { "space origin", NULL, read_origin },
  { "space units", NULL, read_space_units },
  { "spacings", NULL, read_spacings },
  { "line skip", "lineskip", read_line_skip },
  { "byte skip", "byteskip", read_byte_skip },
  { "data file", "datafile", read_data_file },
  { "content", NULL, NULL },
  { "number", NULL, NULL },
  { "min", NULL, NULL },
  { "max", NULL, NULL },
  { "old min", "oldmin", NULL },
  { "old max", "oldmax", NULL },
  { "sample units", "sampleunits", NULL },
  { "thicknesses", NULL, NULL },
  { "axis mins", "axismins", NULL },
  { "axis maxs", "axismaxs", NULL },
  { "centers", "centerings", NULL },
  { "labels", NULL, NULL },
  { "units", NULL, NULL },
  { "kinds", NULL, NULL },
  { "measurement frame", NULL, NULL },
};

static gboolean
read_field (Parse *parse, const char *line, GError **error)
{
  const char *colon = strstr (line, ": ");
  if (colon == NULL)
    return refuse (parse, error, "no “field: value”");
  g_autofree char *name = g_strndup (line, (gsize)(colon - line));
  g_autofree char *value = g_strstrip (g_strdup (colon + 2));
  for (gsize k = 0; k < G_N_ELEMENTS (fields); k++)
    if (g_ascii_strcasecmp (name, fields[k].name) == 0
        || (fields[k].also != NULL && g_ascii_strcasecmp (name, fields[k].also) == 0))
      {
        if (!g_hash_table_add (parse->seen, (gpointer)fields[k].name))
          return refuse (parse, error, "%s: a second time", fields[k].name);
        return fields[k].read == NULL || fields[k].read (parse, value, error);
      }
  return refuse (parse, error, "%s: not a field of this format that is read here", name);
}

/* ---- The whole ---- */

static gboolean
check_wanted (const Parse *parse, GError **error)
{
  static const char *const wanted[] = { "type", "dimension", "sizes", "encoding" };
  for (gsize k = 0; k < G_N_ELEMENTS (wanted); k++)
    if (!g_hash_table_contains (parse->seen, wanted[k]))
      return refuse (parse, error, "the header has no “%s”", wanted[k]);
  if (parse->header->bytes > 1 && !g_hash_table_contains (parse->seen, "endian"))
    return refuse (parse, error, "the header has no “endian”");
  if (parse->has_directions && !parse->has_space)
    return refuse (parse, error, "space directions without a space");
  if (!parse->has_directions && !parse->has_spacings)
    return refuse (parse, error,
                   "neither spacings nor space directions: how large a voxel is cannot be "
                   "known");
  if (parse->header->gzip && parse->header->byte_skip < 0)
    return refuse (parse, error, "byte skip: -1 is for raw data alone");
  return TRUE;
}

static TarnVec3
turned (const Parse *parse, TarnVec3 v)
{
  return tarn_vec3 (v.x * parse->axis_sign.x, v.y * parse->axis_sign.y,
                    v.z * parse->axis_sign.z);
}

static gboolean
place (Parse *parse, GError **error)
{
  TarnLabelMap *map = &parse->header->map;
  for (int k = 0; k < 3; k++)
    {
      map->step_mm[k] = turned (parse, map->step_mm[k]);
      double step_mm = tarn_length (map->step_mm[k]);
      if (!(step_mm > 0.001) || step_mm > 1000)
        return refuse (parse, error, "a voxel must be between 0.001 and 1000 mm long");
    }
  double box_mm3 = tarn_length (map->step_mm[0]) * tarn_length (map->step_mm[1])
                   * tarn_length (map->step_mm[2]);
  if (tarn_label_map_voxel_mm3 (map) < 0.01 * box_mm3)
    return refuse (parse, error, "space directions: they lie in one plane");
  map->origin_mm = turned (parse, map->origin_mm);
  if (!parse->has_origin)
    map->origin_mm = tarn_scale (
        tarn_label_map_point (
            &(TarnLabelMap){ .step_mm = { map->step_mm[0], map->step_mm[1], map->step_mm[2] } },
            (map->size[0] - 1) / 2.0, (map->size[1] - 1) / 2.0, (map->size[2] - 1) / 2.0),
        -1);
  return TRUE;
}

static gboolean
check_magic (Parse *parse, const char *line, GError **error)
{
  if (strlen (line) != 8 || !g_str_has_prefix (line, "NRRD000") || line[7] < '1'
      || line[7] > '5')
    return refuse (parse, error, "not an NRRD file of version 1 to 5");
  return TRUE;
}

/* Lines up to the empty one, or to the end where the data lie elsewhere. */
static gboolean
parse_lines (Parse *parse, const char *bytes, gsize length, GError **error)
{
  const char *at = bytes, *end = bytes + length;
  while (at < end)
    {
      const char *stop = memchr (at, '\n', (gsize)(end - at));
      gsize count = (gsize)((stop != NULL ? stop : end) - at);
      g_autofree char *line = g_strndup (at, count);
      at += count + (stop != NULL ? 1 : 0);
      parse->line++;
      if (strlen (line) != count || !g_utf8_validate (line, -1, NULL))
        return refuse (parse, error, "this is no text");
      g_strchomp (line);
      if (parse->line == 1)
        {
          if (!check_magic (parse, line, error))
            return FALSE;
        }
      else if (line[0] == '\0')
        {
          parse->header->data_at = at - bytes;
          return TRUE;
        }
      else if (line[0] != '#' && strstr (line, ":=") == NULL
               && !read_field (parse, line, error))
        return FALSE;
    }
  if (parse->line == 0)
    return refuse (parse, error, "not an NRRD file: it is empty");
  if (parse->header->data_file == NULL)
    return refuse (parse, error, "the header does not end");
  return TRUE;
}

gboolean
tarn_nrrd_parse_header (const char *bytes, gsize length, const char *name,
                        TarnNrrdHeader *header, GError **error)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  Parse parse = { .name = name, .header = header, .seen = seen, .axis_sign = { 1, 1, 1 } };
  *header = (TarnNrrdHeader){ 0 };
  if (parse_lines (&parse, bytes, length, error) && check_wanted (&parse, error)
      && place (&parse, error))
    return TRUE;
  tarn_nrrd_header_clear (header);
  return FALSE;
}

void
tarn_nrrd_header_clear (TarnNrrdHeader *header)
{
  g_free (header->data_file);
  *header = (TarnNrrdHeader){ 0 };
}

guint64
tarn_nrrd_voxels (const TarnNrrdHeader *header)
{
  return (guint64)header->map.size[0] * (guint64)header->map.size[1]
         * (guint64)header->map.size[2];
}
