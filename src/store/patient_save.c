/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_save.c: from a patient to bytes, and safely to disk. */
#include "store/patient_file.h"
#include "store/patient_values.h"

#include <glib/gstdio.h>
#include <string.h>

typedef struct
{
  GString *out;
  const TarnPatient *patient;
  gboolean opened; /* the present group's heading is written */
} Writer;

static void
write_line (Writer *writer, const char *group, const char *key, const char *locale,
            const char *value)
{
  if (!writer->opened)
    g_string_append_printf (writer->out, "%s[%s]\n", writer->out->len > 0 ? "\n" : "", group);
  writer->opened = TRUE;
  g_string_append (writer->out, key);
  if (locale[0] != '\0')
    g_string_append_printf (writer->out, "[%s]", locale);
  g_string_append_c (writer->out, '=');
  tarn_value_append_escaped (writer->out, value);
  g_string_append_c (writer->out, '\n');
}

static void
write_texts (Writer *writer, const TarnField *field, const char *group)
{
  for (int k = 0; k < writer->patient->proses; k++)
    {
      const TarnProse *prose = &writer->patient->prose[k];
      if (strcmp (prose->key, field->key) == 0)
        write_line (writer, group, field->key, prose->locale, prose->value);
    }
}

static void
write_field (Writer *writer, const TarnField *field, const char *group,
             const TarnStructure *structure)
{
  const void *owner = structure != NULL ? (const void *)structure : writer->patient;
  if (!field->required && !tarn_field_is_stated (field, writer->patient, structure)
      && tarn_field_is_default (field, writer->patient, structure))
    return;
  g_autofree char *value = tarn_value_format (field, owner);
  write_line (writer, group, field->key, "", value);
}

static void
write_group (Writer *writer, TarnFieldGroup group, const char *name,
             const TarnStructure *structure)
{
  writer->opened = FALSE;
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (field->group != group)
        continue;
      if (tarn_field_is_text (field))
        write_texts (writer, field, name);
      else
        write_field (writer, field, name, structure);
    }
}

char *
tarn_patient_file_format (const TarnPatient *patient, gsize *length)
{
  Writer writer = { .out = g_string_new (NULL), .patient = patient };
  for (int group = 0; group < TARN_GROUPS; group++)
    if (group != TARN_GROUP_STRUCTURE)
      write_group (&writer, group, tarn_field_group_name (group), NULL);
    else
      for (int s = 0; s < patient->structures; s++)
        {
          g_autofree char *name
              = g_strdup_printf ("%s %d", tarn_field_group_name (group), s + 1);
          write_group (&writer, group, name, &patient->structure[s]);
        }
  if (length != NULL)
    *length = writer.out->len;
  return g_string_free (writer.out, FALSE);
}

/* What is saved must load again: so it is read back before anything is touched. */
static char *
format_checked (const TarnPatient *patient, const char *name, gsize *length, GError **error)
{
  TarnProblem problem;
  if (tarn_patient_validate (patient, &problem) != TARN_OK)
    {
      g_set_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_INVALID,
                   "%s: not saved: %s: %s", name, problem.key, problem.text);
      return NULL;
    }
  g_autofree char *data = tarn_patient_file_format (patient, length);
  g_autoptr (TarnPatientFile) again = tarn_patient_file_parse (data, *length, name, error);
  return again != NULL ? g_steal_pointer (&data) : NULL;
}

gboolean
tarn_patient_file_save (const TarnPatient *patient, const char *path, GError **error)
{
  g_autofree char *name = g_filename_display_name (path);
  gsize length;
  g_autofree char *data = format_checked (patient, name, &length, error);
  if (data == NULL)
    return FALSE;

  /* Renaming over a device or a directory is never what was meant. */
  GStatBuf there;
  if (g_stat (path, &there) == 0 && !S_ISREG (there.st_mode))
    {
      g_set_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_WRITE,
                   "%s: cannot be saved: not a regular file", name);
      return FALSE;
    }

  g_autoptr (GError) refused = NULL;
  if (g_file_set_contents_full (path, data, (gssize)length,
                                G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE,
                                0666, &refused))
    return TRUE;
  g_set_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_WRITE,
               "%s: cannot be saved: %s", name, refused->message);
  return FALSE;
}
