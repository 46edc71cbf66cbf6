/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_file.c: from bytes to a patient.
 *
 * 1. Limits and encoding of the whole.
 * 2. The index of lines refuses what is repeated or no key file at all.
 * 3. The format; of another one nothing else is said.
 * 4. Each entry finds its row in the list of fields, which knows what may stand there.
 * 5. What is required and missing; defaults; what only fields together show.
 * Problems of one step are all gathered; a later step that leans on it is then left out. */
#include "store/patient_file.h"

#include "store/label_shape.h"
#include "store/patient_keys.h"
#include "store/patient_lines.h"
#include "store/patient_problems.h"
#include "store/patient_values.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

#define FORMAT_READ 1

G_DEFINE_QUARK (tarn_patient_file_error, tarn_patient_file_error)

typedef struct
{
  TarnPatientFile *file;
  GKeyFile *keys;
  TarnFileProblems problems;
} Reader;

/* Whole file. */

static gboolean
check_encoding (Reader *reader, const char *data, gsize length)
{
  TarnFilePlace place = { .line = 1 };
  if (length > TARN_FILE_BYTES_MAX)
    {
      tarn_file_problems_add (&reader->problems, &place,
                              "larger than %d kB; a patient's file is not so long",
                              TARN_FILE_BYTES_MAX / 1024);
      return FALSE;
    }
  const char *bad = NULL;
  if (!g_utf8_validate_len (data, length, &bad))
    {
      for (const char *at = data; at < bad; at++)
        place.line += *at == '\n';
      tarn_file_problems_add (&reader->problems, &place, "not UTF-8 text");
      return FALSE;
    }
  if (length >= 3 && memcmp (data, "\xef\xbb\xbf", 3) == 0)
    {
      tarn_file_problems_add (&reader->problems, &place,
                              "starts with a byte order mark; save it without");
      return FALSE;
    }
  return TRUE;
}

static gboolean
load_keys (Reader *reader, const char *data, gsize length)
{
  g_autoptr (GError) error = NULL;
  if (g_key_file_load_from_data (reader->keys, data, length, G_KEY_FILE_KEEP_TRANSLATIONS,
                                 &error))
    return TRUE;
  TarnFilePlace place = { .line = 1 };
  tarn_file_problems_add (&reader->problems, &place, "%s", error->message);
  return FALSE;
}

/* The value of an entry, unescaped; NULL when it cannot be read, and then that has been said.
 */
static char *
get_value (Reader *reader, const TarnLine *entry)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *value
      = g_key_file_get_string (reader->keys, entry->group, entry->name, &error);
  if (value != NULL && error == NULL)
    return g_steal_pointer (&value);
  TarnFilePlace place = { entry->line, entry->group, entry->name, NULL };
  tarn_file_problems_add (&reader->problems, &place, "%s", error->message);
  return NULL;
}

static gboolean
check_format (Reader *reader)
{
  const TarnLine *entry = tarn_lines_find (reader->file->lines, "Anatomy", "format", "");
  if (entry == NULL)
    return TRUE;
  g_autofree char *value = get_value (reader, entry);
  if (value == NULL)
    return FALSE;
  if (strcmp (value, G_STRINGIFY (FORMAT_READ)) == 0)
    return TRUE;
  TarnFilePlace place = { entry->line, entry->group, entry->key, value };
  tarn_file_problems_add (&reader->problems, &place,
                          "a format that this program does not read (must be %d)", FORMAT_READ);
  return FALSE;
}

/* Groups. */

/* N of "Structure N", written without leading zeros; 0 for anything else. */
static guint64
structure_number (const char *group)
{
  if (!g_str_has_prefix (group, "Structure "))
    return 0;
  const char *digits = group + strlen ("Structure ");
  guint64 number = 0;
  if (digits[0] == '0' || !g_ascii_string_to_unsigned (digits, 10, 1, 999999, &number, NULL))
    return 0;
  return number;
}

static gboolean
find_group (const char *name, TarnFieldGroup *group)
{
  if (structure_number (name) > 0)
    {
      *group = TARN_GROUP_STRUCTURE;
      return TRUE;
    }
  for (int k = 0; k < TARN_GROUPS; k++)
    if (k != TARN_GROUP_STRUCTURE && strcmp (tarn_field_group_name (k), name) == 0)
      {
        *group = k;
        return TRUE;
      }
  return FALSE;
}

static void
open_structure (Reader *reader, const TarnFilePlace *place, guint64 number)
{
  TarnPatient *patient = &reader->file->patient;
  if (number > TARN_STRUCTURES_MAX)
    tarn_file_problems_add (&reader->problems, place, "too many structures (range 1 … %d)",
                            TARN_STRUCTURES_MAX);
  else if (number != (guint64)patient->structures + 1)
    tarn_file_problems_add (&reader->problems, place,
                            "structures are numbered 1, 2, 3 in order; this is number %d",
                            patient->structures + 1);
  else
    patient->structures++;
}

static void
read_group (Reader *reader, const TarnLine *entry)
{
  TarnFieldGroup group;
  TarnFilePlace place = { entry->line, entry->group, NULL, NULL };
  if (!find_group (entry->group, &group))
    tarn_file_problems_add (&reader->problems, &place, "no such group");
  else if (group == TARN_GROUP_STRUCTURE)
    open_structure (reader, &place, structure_number (entry->group));
}

/* Values. */

static void
read_text (Reader *reader, const TarnField *field, const TarnLine *entry, const char *value,
           GString *wrong)
{
  if (entry->locale[0] != '\0' && field->kind != TARN_FIELD_PROSE)
    g_string_append (wrong, "takes no translation");
  else if (tarn_value_check_text (field, value, wrong)
           && tarn_patient_set_prose (&reader->file->patient, field->key, entry->locale, value)
                  != TARN_OK)
    g_string_append_printf (wrong, "too many texts (range 0 … %d)", TARN_PROSES_MAX);
}

static void
read_plain (Reader *reader, const TarnField *field, const TarnLine *entry, char *value,
            GString *wrong)
{
  TarnPatient *patient = &reader->file->patient;
  TarnStructure *structure = NULL;
  if (field->group == TARN_GROUP_STRUCTURE)
    structure = &patient->structure[structure_number (entry->group) - 1];
  void *owner = structure != NULL ? (void *)structure : patient;

  if (entry->locale[0] != '\0')
    g_string_append (wrong, "takes no translation");
  else if (tarn_value_parse (field, g_strstrip (value), owner, wrong))
    tarn_field_state (field, patient, structure, true);
}

/* Says that there is no such key, and which one may have been meant. */
static void
refuse_key (Reader *reader, const TarnLine *entry, TarnFieldGroup group)
{
  TarnFilePlace place = { entry->line, entry->group, entry->name, NULL };
  const TarnField *meant = tarn_key_nearest (group, entry->key);
  if (meant != NULL)
    tarn_file_problems_add (&reader->problems, &place,
                            "no such key in this group; did you mean %s?", meant->key);
  else
    tarn_file_problems_add (&reader->problems, &place, "no such key in this group");
}

static void
read_value (Reader *reader, const TarnLine *entry)
{
  TarnFieldGroup group;
  if (!find_group (entry->group, &group))
    return; /* said already of the group */
  if (group == TARN_GROUP_STRUCTURE
      && structure_number (entry->group) > (guint64)reader->file->patient.structures)
    return; /* likewise */

  TarnFilePlace place = { entry->line, entry->group, entry->name, NULL };
  const TarnField *field = tarn_field_find (group, entry->key);
  if (field == NULL)
    {
      refuse_key (reader, entry, group);
      return;
    }

  g_autofree char *value = get_value (reader, entry);
  if (value == NULL)
    return;
  g_autoptr (GString) wrong = g_string_new (NULL);
  if (tarn_field_is_text (field))
    read_text (reader, field, entry, value, wrong);
  else
    read_plain (reader, field, entry, value, wrong);
  place.value = value;
  if (wrong->len > 0)
    tarn_file_problems_add (&reader->problems, &place, "%s", wrong->str);
}

static void
read_entries (Reader *reader)
{
  GArray *entry = reader->file->lines->entry;
  for (guint k = 0; k < entry->len; k++)
    {
      const TarnLine *line = &g_array_index (entry, TarnLine, k);
      if (line->key == NULL)
        read_group (reader, line);
      else
        read_value (reader, line);
    }
}

/* What is not there. */

static void
require (Reader *reader, const TarnField *field, const char *group)
{
  const TarnLines *lines = reader->file->lines;
  if (tarn_lines_find (lines, group, field->key, "") != NULL)
    return;
  const TarnLine *opening = tarn_lines_find (lines, group, NULL, "");
  TarnFilePlace place
      = { opening != NULL ? opening->line : MAX (lines->lines, 1), group, field->key, NULL };
  g_autofree char *range = tarn_field_range (field);
  tarn_file_problems_add (&reader->problems, &place, "missing and required (%s)", range);
}

static void
check_required (Reader *reader)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (!field->required)
        continue;
      if (field->group != TARN_GROUP_STRUCTURE)
        require (reader, field, tarn_field_group_name (field->group));
      else
        for (int s = 1; s <= reader->file->patient.structures; s++)
          {
            g_autofree char *group = g_strdup_printf ("Structure %d", s);
            require (reader, field, group);
          }
    }
}

/* Problems found by others. */

/* The line that a problem's key is about: that of the value, else of its group, else 0. */
static unsigned
find_line (const TarnLines *lines, const char *key)
{
  const char *close = strchr (key, ']');
  if (key[0] != '[' || close == NULL)
    {
      for (guint k = 0; k < lines->entry->len; k++)
        if (g_strcmp0 (g_array_index (lines->entry, TarnLine, k).key, key) == 0)
          return g_array_index (lines->entry, TarnLine, k).line;
      return 0;
    }
  g_autofree char *group = g_strndup (key + 1, close - key - 1);
  const char *name = close[1] == ' ' ? close + 2 : NULL;
  const TarnLine *entry = tarn_lines_find (lines, group, name, "");
  if (entry == NULL)
    entry = tarn_lines_find (lines, group, NULL, "");
  return entry != NULL ? entry->line : 0;
}

char *
tarn_patient_file_describe (const TarnPatientFile *file, const TarnProblem *problem)
{
  unsigned line = find_line (file->lines, problem->key);
  return g_strdup_printf ("%s:%u: %s%s%s", file->name, MAX (line, 1), problem->key,
                          problem->key[0] != '\0' ? ": " : "", problem->text);
}

static void
check_together (Reader *reader)
{
  TarnProblem problem;
  if (tarn_patient_validate (&reader->file->patient, &problem) == TARN_OK)
    return;
  TarnFilePlace place = { .line = MAX (find_line (reader->file->lines, problem.key), 1) };
  tarn_file_problems_add (&reader->problems, &place, "%s: %s", problem.key, problem.text);
}

/* All of it. */

/* @draft: what is missing or does not fit together is left to who goes on writing it. */
static void
read_all (Reader *reader, const char *data, gsize length, gboolean draft)
{
  if (!check_encoding (reader, data, length))
    return;
  tarn_lines_init (reader->file->lines, data, length, &reader->problems);
  if (reader->problems.count > 0 || !load_keys (reader, data, length) || !check_format (reader))
    return;
  read_entries (reader);
  if (!draft)
    check_required (reader);
  if (reader->problems.count > 0)
    return;
  tarn_patient_fill_defaults (&reader->file->patient);
  if (!draft)
    check_together (reader);
}

static TarnPatientFile *
parse (const char *data, gsize length, const char *name, gboolean draft, GError **error)
{
  g_autoptr (TarnPatientFile) file = g_new0 (TarnPatientFile, 1);
  file->name = g_filename_display_name (name);
  file->lines = g_new0 (TarnLines, 1);

  Reader reader = { .file = file, .keys = g_key_file_new () };
  tarn_file_problems_init (&reader.problems, file->name);
  read_all (&reader, data, length, draft);
  gboolean sound = reader.problems.count == 0;
  if (!sound)
    {
      g_autofree char *said = tarn_file_problems_text (&reader.problems);
      g_set_error_literal (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_INVALID,
                           said);
    }
  tarn_file_problems_clear (&reader.problems);
  g_key_file_unref (reader.keys);
  if (!sound)
    return NULL;

  g_autofree char *sha256
      = g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *)data, length);
  g_strlcpy (file->sha256, sha256, sizeof file->sha256);
  return g_steal_pointer (&file);
}

TarnPatientFile *
tarn_patient_file_parse (const char *data, gsize length, const char *name, GError **error)
{
  return parse (data, length, name, FALSE, error);
}

TarnPatientFile *
tarn_patient_file_parse_draft (const char *data, gsize length, const char *name, GError **error)
{
  return parse (data, length, name, TRUE, error);
}

void
tarn_patient_file_free (TarnPatientFile *file)
{
  if (file == NULL)
    return;
  tarn_patient_clear (&file->patient);
  tarn_lines_clear (file->lines);
  g_free (file->lines);
  g_free (file->name);
  g_free (file);
}

/* Anything else may never end, or block before it begins. */
static gboolean
check_regular (const char *path, GError **error)
{
  if (!g_file_test (path, G_FILE_TEST_EXISTS) || g_file_test (path, G_FILE_TEST_IS_REGULAR))
    return TRUE;
  g_autofree char *name = g_filename_display_name (path);
  g_set_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_READ,
               "%s: cannot be read: %s", name,
               g_file_test (path, G_FILE_TEST_IS_DIR) ? g_strerror (EISDIR)
                                                      : "not a regular file");
  return FALSE;
}

/* Reads one byte more than a file may have, so that a huge one is noticed and not swallowed. */
static char *
read_bytes (const char *path, gsize *length, GError **error)
{
  FILE *stream = g_fopen (path, "rb");
  g_autofree char *data = NULL;
  if (stream != NULL)
    {
      data = g_malloc (TARN_FILE_BYTES_MAX + 1);
      *length = fread (data, 1, TARN_FILE_BYTES_MAX + 1, stream);
    }
  int code = stream == NULL || ferror (stream) ? errno : 0;
  if (stream != NULL)
    fclose (stream);
  if (code == 0)
    return g_steal_pointer (&data);
  g_autofree char *name = g_filename_display_name (path);
  g_set_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_READ,
               "%s: cannot be read: %s", name, g_strerror (code));
  return NULL;
}

TarnPatientFile *
tarn_patient_file_load (const char *path, GError **error)
{
  gsize length = 0;
  if (!check_regular (path, error))
    return NULL;
  g_autofree char *data = read_bytes (path, &length, error);
  if (data == NULL)
    return NULL;
  g_autoptr (TarnPatientFile) file = tarn_patient_file_parse (data, length, path, error);
  g_autofree char *folder = g_path_get_dirname (path);
  TarnProblem problem;
  if (file == NULL || tarn_label_shape_attach (&file->patient, folder, &problem))
    return g_steal_pointer (&file);
  g_autofree char *said = tarn_patient_file_describe (file, &problem);
  g_set_error_literal (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_INVALID, said);
  return NULL;
}
