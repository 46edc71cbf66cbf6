/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * random-patient.c: drawn group by group; a group that contradicts what is there is drawn
 * again. */
#include "random-patient.h"

#include "engine/patient/fields.h"

#include <math.h>
#include <string.h>

#define TRIES_MAX 400

static double
random_value (GRand *rand, const TarnField *field)
{
  double value = g_rand_double_range (rand, field->low, field->high);
  if (field->kind != TARN_FIELD_REAL && field->kind != TARN_FIELD_PAIR
      && field->kind != TARN_FIELD_VECTOR)
    return g_rand_int_range (rand, 0, 8) == 0 ? field->high : floor (value);
  switch (g_rand_int_range (rand, 0, 8))
    {
    case 0:
      return field->low;
    case 1:
      return field->high;
    case 2: /* as a person would write it */
      return fmax (floor (value * 10) / 10, field->low);
    case 3:
      return field->low < 0 || (field->low == 0 && field->high > 0) ? value * 1e-9 : value;
    default:
      return value;
    }
}

static void
draw_field (GRand *rand, const TarnField *field, TarnPatient *patient, TarnStructure *structure)
{
  void *owner = structure != NULL ? (void *)structure : patient;
  gboolean given = field->required || g_rand_boolean (rand);
  tarn_field_state (field, patient, structure, given);
  if (field->kind == TARN_FIELD_NAME)
    g_snprintf (patient->id, sizeof patient->id, "id-%x", g_rand_int (rand));
  for (int k = 0; given && k < tarn_field_components (field); k++)
    tarn_field_set (field, owner, k, random_value (rand, field));
}

static void
draw_text (GRand *rand, const TarnField *field, TarnPatient *patient)
{
  static const char *const piece[] = { "word", " ", "  ", "\n", "\t", "\\", "\\n", ";",
                                       "=",    "[", "]",  "#",  "ñ",  "水", "\"",  "%s" };
  static const char *const locale[] = { "", "de", "es", "es_MX", "sr@latin" };
  int locales = field->kind == TARN_FIELD_PROSE ? g_rand_int_range (rand, 1, 6) : 1;
  for (int l = 0; l < (int)G_N_ELEMENTS (locale); l++)
    tarn_patient_set_prose (patient, field->key, locale[l], NULL);
  if (!field->required && g_rand_boolean (rand))
    return;
  for (int l = 0; l < locales; l++)
    {
      g_autoptr (GString) text = g_string_new (NULL);
      for (int k = g_rand_int_range (rand, 1, 12); k > 0; k--)
        g_string_append (text, piece[g_rand_int_range (rand, 0, G_N_ELEMENTS (piece))]);
      tarn_patient_set_prose (patient, field->key, locale[l], text->str);
    }
}

static void
draw_group (GRand *rand, TarnFieldGroup group, TarnPatient *patient)
{
  if (group == TARN_GROUP_STRUCTURE)
    patient->structures = g_rand_int_range (rand, 0, 4);
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (field->group != group)
        continue;
      if (tarn_field_is_text (field))
        draw_text (rand, field, patient);
      else if (group != TARN_GROUP_STRUCTURE)
        draw_field (rand, field, patient, NULL);
      else
        for (int s = 0; s < patient->structures; s++)
          draw_field (rand, field, patient, &patient->structure[s]);
    }
  tarn_patient_fill_defaults (patient);
}

TarnPatient
random_patient (guint32 seed)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
  TarnPatient patient = tarn_patient_default ();
  for (TarnFieldGroup group = 0; group < TARN_GROUPS; group++)
    {
      int tries = 0;
      do
        draw_group (rand, group, &patient);
      while (tarn_patient_validate (&patient, NULL) != TARN_OK && ++tries < TRIES_MAX);
      if (tries == TRIES_MAX) /* nothing fits what is there: none of this group */
        {
          for (int k = 0; k < tarn_field_count (); k++)
            if (tarn_field_at (k)->group == group && group != TARN_GROUP_STRUCTURE)
              tarn_field_state (tarn_field_at (k), &patient, NULL, false);
          patient.structures = group == TARN_GROUP_STRUCTURE ? 0 : patient.structures;
          tarn_patient_fill_defaults (&patient);
        }
    }
  g_assert_cmpint (tarn_patient_validate (&patient, NULL), ==, TARN_OK);
  return patient;
}
