/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "store/patient_keys.h"

#include <glib.h>
#include <string.h>

#define LETTERS_MAX 40 /* longer than any key of the list and two more */
#define SLIPS_MAX   2

/* How many bytes must be put in, taken out or changed to make @b of @a. */
static int
slips (const char *a, const char *b)
{
  int above[LETTERS_MAX + 1], row[LETTERS_MAX + 1];
  int wide = (int)strlen (b);
  if (strlen (a) > LETTERS_MAX || wide > LETTERS_MAX)
    return SLIPS_MAX + 1;
  for (int k = 0; k <= wide; k++)
    above[k] = k;
  for (int j = 0; a[j] != '\0'; j++)
    {
      row[0] = j + 1;
      for (int k = 0; k < wide; k++)
        row[k + 1] = MIN (above[k] + (a[j] != b[k]), MIN (above[k + 1], row[k]) + 1);
      memcpy (above, row, sizeof row);
    }
  return above[wide];
}

/* Whether @key is @name without its unit. */
static gboolean
lacks_unit (const char *key, const char *name)
{
  size_t length = strlen (key);
  return length > 0 && strncmp (key, name, length) == 0 && name[length] == '-';
}

const TarnField *
tarn_key_nearest (TarnFieldGroup group, const char *key)
{
  const TarnField *nearest = NULL;
  int fewest = SLIPS_MAX + 1;
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (field->group != group)
        continue;
      int here = lacks_unit (key, field->key) ? 0 : slips (key, field->key);
      if (here < fewest)
        {
          fewest = here;
          nearest = field;
        }
    }
  return nearest;
}
