/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * prose.c: a patient's texts, in as many languages as its author wrote.
 *
 * They are kept in the order of saving: by row of the list of fields, then by locale, the
 * untranslated text first. */
#include "engine/patient/fields.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

static const TarnField *
find_text_field (const char *key)
{
  for (int k = 0; k < tarn_field_count (); k++)
    if (tarn_field_is_text (tarn_field_at (k)) && strcmp (tarn_field_at (k)->key, key) == 0)
      return tarn_field_at (k);
  return NULL;
}

/* <0, 0, >0 as @prose stands before, at or after the place of @field and @locale. */
static int
compare (const TarnProse *prose, const TarnField *field, const char *locale)
{
  int row = tarn_field_index (find_text_field (prose->key));
  int wanted = tarn_field_index (field);
  return row != wanted ? row - wanted : strcmp (prose->locale, locale);
}

static char *
duplicate (const char *text)
{
  size_t size = strlen (text) + 1;
  char *copy = malloc (size);
  return copy != NULL ? memcpy (copy, text, size) : NULL;
}

static void
prose_clear (TarnProse *prose)
{
  free (prose->locale);
  free (prose->value);
}

void
tarn_patient_clear (TarnPatient *patient)
{
  for (int k = 0; k < patient->proses; k++)
    prose_clear (&patient->prose[k]);
  free (patient->prose);
  memset (patient, 0, sizeof *patient);
}

TarnStatus
tarn_patient_copy (const TarnPatient *patient, TarnPatient *copy)
{
  assert (patient != copy);
  *copy = *patient;
  copy->proses = 0;
  copy->prose = NULL;
  for (int k = 0; k < patient->proses; k++)
    {
      const TarnProse *prose = &patient->prose[k];
      TarnStatus status
          = tarn_patient_set_prose (copy, prose->key, prose->locale, prose->value);
      if (status != TARN_OK)
        {
          tarn_patient_clear (copy);
          return status;
        }
    }
  return TARN_OK;
}

/* Makes room for a text at @at. */
static TarnStatus
insert (TarnPatient *patient, int at, const char *key, const char *locale, const char *value)
{
  if (patient->proses >= TARN_PROSES_MAX)
    return TARN_OUT_OF_RANGE;
  TarnProse prose = { key, duplicate (locale), duplicate (value) };
  TarnProse *grown = NULL;
  if (prose.locale != NULL && prose.value != NULL)
    grown = realloc (patient->prose, (size_t)(patient->proses + 1) * sizeof *grown);
  if (grown == NULL)
    {
      prose_clear (&prose);
      return TARN_NO_MEMORY;
    }
  memmove (grown + at + 1, grown + at, (size_t)(patient->proses - at) * sizeof *grown);
  grown[at] = prose;
  patient->prose = grown;
  patient->proses++;
  return TARN_OK;
}

static void
take_away (TarnPatient *patient, int at)
{
  prose_clear (&patient->prose[at]);
  patient->proses--;
  memmove (patient->prose + at, patient->prose + at + 1,
           (size_t)(patient->proses - at) * sizeof *patient->prose);
}

static TarnStatus
replace (TarnProse *prose, const char *value)
{
  char *copy = duplicate (value);
  if (copy == NULL)
    return TARN_NO_MEMORY;
  free (prose->value);
  prose->value = copy;
  return TARN_OK;
}

TarnStatus
tarn_patient_set_prose (TarnPatient *patient, const char *key, const char *locale,
                        const char *value)
{
  const TarnField *field = find_text_field (key);
  if (field == NULL)
    return TARN_OUT_OF_RANGE;

  int at = 0;
  while (at < patient->proses && compare (&patient->prose[at], field, locale) < 0)
    at++;
  bool there = at < patient->proses && compare (&patient->prose[at], field, locale) == 0;

  TarnStatus status = TARN_OK;
  if (value != NULL)
    status = there ? replace (&patient->prose[at], value)
                   : insert (patient, at, field->key, locale, value);
  else if (there)
    take_away (patient, at);

  if (status == TARN_OK && strcmp (key, "stop") == 0 && locale[0] == '\0')
    patient->situation.stop = value != NULL;
  return status;
}

static const char *
find_exact (const TarnPatient *patient, const char *key, const char *locale, size_t length)
{
  for (int k = 0; k < patient->proses; k++)
    {
      const TarnProse *prose = &patient->prose[k];
      if (strcmp (prose->key, key) == 0 && strlen (prose->locale) == length
          && strncmp (prose->locale, locale, length) == 0)
        return prose->value;
    }
  return NULL;
}

const char *
tarn_patient_prose (const TarnPatient *patient, const char *key, const char *locale)
{
  /* es_MX.UTF-8 → es_MX → es → untranslated */
  static const char *const cut[] = { ".@", "._@" };
  const char *value = NULL;
  for (int k = 0; k < 2 && value == NULL; k++)
    value = find_exact (patient, key, locale, strcspn (locale, cut[k]));
  return value != NULL ? value : find_exact (patient, key, "", 0);
}
