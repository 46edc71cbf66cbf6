/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "store/patient_values.h"

#include <math.h>
#include <string.h>

#define NUMBER_BYTES_MAX 64
#define COMPONENTS_MAX   3
#define EXACT_DIGITS     17 /* enough for any IEEE double */

/* Numbers. */

static const char *
skip_digits (const char *at)
{
  while (g_ascii_isdigit (*at))
    at++;
  return at;
}

/* [+-] digits [. digits] [e [+-] digits]: nothing else, so neither nan nor inf nor 0x1p3. */
static gboolean
is_number (const char *text)
{
  const char *at = text + (*text == '-' || *text == '+');
  const char *end = skip_digits (at);
  if (end == at || strlen (text) > NUMBER_BYTES_MAX)
    return FALSE;
  if (*end == '.')
    {
      at = end + 1;
      end = skip_digits (at);
      if (end == at)
        return FALSE;
    }
  if (*end == 'e' || *end == 'E')
    {
      at = end + 1;
      at += *at == '-' || *at == '+';
      end = skip_digits (at);
      if (end == at)
        return FALSE;
    }
  return *end == '\0';
}

/* Digits d.ddd × 10^exponent, written out while that is no longer than a person would. */
static char *
lay_out (const char *sign, const char *digits, int exponent)
{
  int count = (int)strlen (digits);
  GString *out = g_string_new (sign);
  if (exponent < -4 || exponent > 16)
    {
      g_string_append_c (out, digits[0]);
      if (count > 1)
        g_string_append_printf (out, ".%s", digits + 1);
      g_string_append_printf (out, "e%d", exponent);
    }
  else if (exponent < 0)
    {
      g_string_append (out, "0.");
      for (int k = -1; k > exponent; k--)
        g_string_append_c (out, '0');
      g_string_append (out, digits);
    }
  else
    for (int k = 0; k < MAX (count, exponent + 1); k++)
      {
        if (k == exponent + 1)
          g_string_append_c (out, '.');
        g_string_append_c (out, k < count ? digits[k] : '0');
      }
  return g_string_free (out, FALSE);
}

char *
tarn_number_format (double value)
{
  g_assert (isfinite (value));
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  for (int digits = 1; digits <= EXACT_DIGITS; digits++)
    {
      char format[8];
      g_snprintf (format, sizeof format, "%%.%de", digits - 1);
      g_ascii_formatd (text, sizeof text, format, fabs (value));
      if (g_ascii_strtod (text, NULL) == fabs (value))
        break;
    }

  /* text is d.dddde±xx */
  char *e = strchr (text, 'e');
  int exponent = (int)g_ascii_strtoll (e + 1, NULL, 10);
  *e = '\0';
  if (text[1] == '.')
    memmove (text + 1, text + 2, strlen (text + 2) + 1);
  return lay_out (value < 0 ? "-" : "", text, exponent);
}

/* What a field takes, in words. */

static char *
join_words (const TarnField *field)
{
  GString *out = g_string_new (NULL);
  for (int k = 0; k < field->words; k++)
    g_string_append_printf (out, "%s%s", k > 0 ? ", " : "", field->word[k]);
  return g_string_free (out, FALSE);
}

char *
tarn_field_range (const TarnField *field)
{
  if (field->words > 0)
    {
      g_autofree char *words = join_words (field);
      return g_strdup_printf ("%s %s", field->kind == TARN_FIELD_SET ? "any of" : "one of",
                              words);
    }
  g_autofree char *low = tarn_number_format (field->low);
  g_autofree char *high = tarn_number_format (field->high);
  const char *unit = tarn_field_components (field) > 0 ? field->unit : "bytes";
  if (field->low == field->high)
    return g_strdup_printf ("must be %s%s%s", low, unit[0] != '\0' ? " " : "", unit);
  return g_strdup_printf ("range %s … %s%s%s", low, high, unit[0] != '\0' ? " " : "", unit);
}

static gboolean
complain (const TarnField *field, GString *wrong, const char *what)
{
  g_autofree char *range = tarn_field_range (field);
  g_string_append_printf (wrong, "%s (%s)", what, range);
  return FALSE;
}

/* Reading. */

static gboolean
parse_component (const TarnField *field, char *text, double *value, GString *wrong)
{
  gboolean whole = field->kind == TARN_FIELD_INTEGER || field->kind == TARN_FIELD_SEED;
  g_strstrip (text);
  if (!is_number (text))
    return complain (field, wrong, whole ? "not a whole number" : "not a number");
  *value = g_ascii_strtod (text, NULL) + 0.0; /* -0 becomes 0 */
  if (*value < field->low)
    return complain (field, wrong, "too small");
  if (*value > field->high)
    return complain (field, wrong, "too large");
  if (!tarn_field_holds (field, *value))
    return complain (field, wrong, "not a whole number");
  return TRUE;
}

static gboolean
parse_numbers (const TarnField *field, const char *text, void *owner, GString *wrong)
{
  int wanted = tarn_field_components (field);
  g_auto (GStrv) part = g_strsplit (text, ";", COMPONENTS_MAX + 2);
  int parts = (int)g_strv_length (part);
  if (wanted > 1 && parts == wanted + 1 && part[wanted][0] == '\0')
    parts--;
  if (wanted > 1 && parts != wanted)
    return complain (field, wrong,
                     wanted == 2 ? "not two numbers a;b" : "not three numbers a;b;c");

  double value[COMPONENTS_MAX];
  if (wanted == 1)
    {
      g_autofree char *copy = g_strdup (text);
      if (!parse_component (field, copy, &value[0], wrong))
        return FALSE;
    }
  else
    for (int k = 0; k < wanted; k++)
      if (!parse_component (field, part[k], &value[k], wrong))
        return FALSE;

  for (int k = 0; k < wanted; k++)
    tarn_field_set (field, owner, k, value[k]);
  return TRUE;
}

static int
find_word (const TarnField *field, const char *text)
{
  for (int k = 0; k < field->words; k++)
    if (strcmp (field->word[k], text) == 0)
      return k;
  return -1;
}

static gboolean
parse_word (const TarnField *field, const char *text, void *owner, GString *wrong)
{
  int word = find_word (field, text);
  if (word < 0)
    return complain (field, wrong, "unknown word");
  tarn_field_set (field, owner, 0, word);
  return TRUE;
}

static gboolean
parse_set (const TarnField *field, const char *text, void *owner, GString *wrong)
{
  g_auto (GStrv) part = g_strsplit (text, ";", field->words + 2);
  int parts = (int)g_strv_length (part);
  unsigned bits = 0;
  for (int k = 0; k < parts; k++)
    {
      char *name = g_strstrip (part[k]);
      if (name[0] == '\0' && k == parts - 1)
        break;
      int word = find_word (field, name);
      if (word < 0)
        return complain (field, wrong, "unknown word");
      if (bits >> word & 1)
        return complain (field, wrong, "a word stands twice");
      bits |= 1u << word;
    }
  tarn_field_set (field, owner, 0, bits);
  return TRUE;
}

static gboolean
parse_name (const TarnField *field, const char *text, void *owner, GString *wrong)
{
  size_t length = strlen (text);
  if (length < field->low || length > field->high)
    return complain (field, wrong, length > field->high ? "too long" : "too short");
  if (strspn (text, "abcdefghijklmnopqrstuvwxyz0123456789-") != length)
    {
      g_string_append (wrong, "only small letters a … z, digits and hyphens");
      return FALSE;
    }
  memcpy ((char *)owner + field->offset, text, length + 1);
  return TRUE;
}

gboolean
tarn_value_parse (const TarnField *field, const char *text, void *owner, GString *wrong)
{
  /* A set may be empty: that is none of the words. */
  if (text[0] == '\0' && field->kind != TARN_FIELD_SET)
    return complain (field, wrong, "is empty");
  switch (field->kind)
    {
    case TARN_FIELD_CHOICE:
    case TARN_FIELD_FLAG:
      return parse_word (field, text, owner, wrong);
    case TARN_FIELD_SET:
      return parse_set (field, text, owner, wrong);
    case TARN_FIELD_NAME:
      return parse_name (field, text, owner, wrong);
    case TARN_FIELD_TEXT:
    case TARN_FIELD_PROSE:
      g_assert_not_reached ();
    default:
      return parse_numbers (field, text, owner, wrong);
    }
}

gboolean
tarn_value_check_text (const TarnField *field, const char *text, GString *wrong)
{
  size_t length = strlen (text);
  if (length == 0 && field->low > 0)
    return complain (field, wrong, "is empty");
  if (length < field->low || length > field->high)
    return complain (field, wrong, length > field->high ? "too long" : "too short");
  for (const char *at = text; *at != '\0'; at = g_utf8_next_char (at))
    if (g_unichar_iscntrl (g_utf8_get_char (at)) && *at != '\n' && *at != '\t')
      {
        g_string_append (wrong, "holds a control character");
        return FALSE;
      }
  return TRUE;
}

/* Writing. */

static char *
format_set (const TarnField *field, unsigned bits)
{
  GString *out = g_string_new (NULL);
  for (int k = 0; k < field->words; k++)
    if (bits >> k & 1)
      g_string_append_printf (out, "%s%s", out->len > 0 ? ";" : "", field->word[k]);
  return g_string_free (out, FALSE);
}

char *
tarn_value_format (const TarnField *field, const void *owner)
{
  if (field->kind == TARN_FIELD_NAME)
    return g_strdup ((const char *)owner + field->offset);
  if (field->kind == TARN_FIELD_SET)
    return format_set (field, (unsigned)tarn_field_get (field, owner, 0));
  if (field->words > 0)
    return g_strdup (field->word[(int)tarn_field_get (field, owner, 0)]);

  GString *out = g_string_new (NULL);
  for (int k = 0; k < tarn_field_components (field); k++)
    {
      g_autofree char *number = tarn_number_format (tarn_field_get (field, owner, k));
      g_string_append_printf (out, "%s%s", k > 0 ? ";" : "", number);
    }
  return g_string_free (out, FALSE);
}

void
tarn_value_append_escaped (GString *out, const char *text)
{
  for (const char *at = text; *at != '\0'; at++)
    switch (*at)
      {
      case '\n':
        g_string_append (out, "\\n");
        break;
      case '\t':
        g_string_append (out, "\\t");
        break;
      case '\\':
        g_string_append (out, "\\\\");
        break;
      case ' ':
        g_string_append (out, at == text || at[1] == '\0' ? "\\s" : " ");
        break;
      default:
        g_string_append_c (out, *at);
      }
}
