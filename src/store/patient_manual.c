/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * patient_manual.c: every field with its range, default and source, so that the manual cannot
 * lag behind the program. */
#include "store/patient_manual.h"

#include "store/patient_lines.h"
#include "store/patient_values.h"

#include <string.h>

static const char head[]
    = ".SH NAME\n"
      "tarn-anatomy \\- a synthetic patient for Tarn\n"
      ".SH DESCRIPTION\n"
      "A patient is a text file in UTF-8 whose name ends in\n"
      ".IR .anatomy .\n"
      "It consists of groups, each opened by\n"
      ".BI [ Group ]\n"
      "on a line of its own, and of lines\n"
      ".IB key = value\n"
      "below them.  Lines that start with # are comments; saving drops them.\n"
      ".PP\n"
      "No group and no key may stand twice, and none may stand that is not listed here.  "
      "Numbers\n"
      "have a decimal point.  Several numbers, or several words, in one value stand with ; "
      "between\n"
      "them.  In texts \\en is a new line, \\es a space at either end and \\e\\e a backslash.  "
      "Texts\n"
      "marked\n"
      ".I translatable\n"
      "take a language after the key, as in\n"
      ".BR title[es] =;\n"
      "without it they are in English.\n"
      ".PP\n"
      "The patient lies on the back.  Positions count from the upper front edge of the pubic\n"
      "symphysis on the midline, in millimetres: x to the patient's left, y to the back, z to "
      "the\n"
      "head.\n"
      ".PP\n"
      "What a default or a range rests on stands in brackets.  All of it is for training on\n"
      "synthetic patients only; thresholds are examples, and local policy decides.\n"
      ".SH GROUPS\n";

static const char tail[] = ".SH EXAMPLE\n"
                           "The least that a patient needs:\n"
                           ".PP\n"
                           ".nf\n"
                           ".RS\n"
                           "[Anatomy]\n"
                           "format=1\n"
                           "id=first\n"
                           "title=My first patient\n"
                           "seed=1\n"
                           "\n"
                           "[Habitus]\n"
                           "sex=female\n"
                           "age\\-years=40\n"
                           "fat\\-mm=18\n"
                           "\n"
                           "[Bladder]\n"
                           "volume\\-ml=300\n"
                           ".RE\n"
                           ".fi\n"
                           ".SH SEE ALSO\n"
                           ".BR tarn\\-cli (1)\n";

/* Text for roff, in ASCII: hyphens that stay hyphens, no accidental requests. */
static void
append_roff (GString *out, const char *text)
{
  if (text[0] == '.' || text[0] == '\'')
    g_string_append (out, "\\&");
  for (const char *at = text; *at != '\0'; at = g_utf8_next_char (at))
    if (*at == '\\')
      g_string_append (out, "\\e");
    else if (*at == '-')
      g_string_append (out, "\\-");
    else if (g_utf8_get_char (at) >= 0x80)
      g_string_append_printf (out, "\\[u%04X]", g_utf8_get_char (at));
    else
      g_string_append_c (out, *at);
}

static char *
default_in_words (const TarnField *field)
{
  if (field->required)
    return g_strdup ("required");
  if (field->note != NULL)
    return strcmp (field->note, "none") == 0 ? NULL
                                             : g_strdup_printf ("default %s", field->note);

  GString *out = g_string_new ("default ");
  if (field->kind == TARN_FIELD_SET)
    g_string_append (out, "none");
  else if (field->words > 0)
    g_string_append (out, field->word[(int)field->fixed]);
  else
    for (int k = 0; k < tarn_field_components (field); k++)
      {
        g_autofree char *number
            = tarn_number_format (tarn_field_default (field, NULL, NULL, k));
        g_string_append_printf (out, "%s%s", k > 0 ? ";" : "", number);
      }
  return g_string_free (out, FALSE);
}

static const char *
shape_in_words (const TarnField *field)
{
  switch (field->kind)
    {
    case TARN_FIELD_PAIR:
      return "a;b, ";
    case TARN_FIELD_VECTOR:
      return "x;y;z, ";
    case TARN_FIELD_INTEGER:
    case TARN_FIELD_SEED:
      return "whole number, ";
    case TARN_FIELD_TEXT:
      return "text, ";
    case TARN_FIELD_PROSE:
      return "translatable text, ";
    default:
      return "";
    }
}

static void
append_field (GString *out, const TarnField *field)
{
  g_string_append (out, ".TP\n.B ");
  append_roff (out, field->key);
  g_string_append_c (out, '\n');
  append_roff (out, field->help);
  g_string_append (out, ".\n");

  g_autofree char *range = tarn_field_range (field);
  g_autofree char *fallback = default_in_words (field);
  g_autofree char *facts
      = g_strdup_printf ("%s%s%s%s.", shape_in_words (field), range,
                         fallback != NULL ? "; " : "", fallback != NULL ? fallback : "");
  facts[0] = g_ascii_toupper (facts[0]);
  append_roff (out, facts);
  g_string_append (out, "\n[");
  append_roff (out, field->source);
  g_string_append (out, "]\n");
}

static void
append_group (GString *out, TarnFieldGroup group)
{
  const char *number = group == TARN_GROUP_STRUCTURE ? " N" : "";
  g_string_append_printf (out, ".SS [%s%s]\n", tarn_field_group_name (group), number);
  if (group == TARN_GROUP_STRUCTURE)
    g_string_append_printf (
        out,
        "For each structure, numbered from 1 in order; at most %d.  None may\n"
        "overlap the bladder, but for balloon, clot and stone, which lie in\n"
        "it, and diverticulum, which joins it.\n",
        TARN_STRUCTURES_MAX);
  for (int k = 0; k < tarn_field_count (); k++)
    if (tarn_field_at (k)->group == group)
      append_field (out, tarn_field_at (k));
}

void
tarn_fields_write_manual (GString *out, const char *version)
{
  g_string_append_printf (out,
                          ".\\\" SPDX-License-Identifier: GPL-3.0-or-later\n"
                          ".\\\" Written by the program from its list of fields.\n"
                          ".TH TARN\\-ANATOMY 5 \"2026-11-25\" \"Tarn %s\" \"File formats\"\n",
                          version);
  g_string_append (out, head);
  for (int group = 0; group < TARN_GROUPS; group++)
    append_group (out, group);
  g_string_append_printf (
      out,
      ".SH LIMITS\n"
      "A file has at most %d KiB, a line at most %d KiB; at most %d groups and\n"
      "keys, and %d texts with all translations.\n",
      TARN_FILE_BYTES_MAX / 1024, TARN_LINE_BYTES_MAX / 1024, TARN_LINE_ENTRIES_MAX,
      TARN_PROSES_MAX);
  g_string_append (out, tail);
}
