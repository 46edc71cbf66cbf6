/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/json_text.h"

#include <math.h>
#include <string.h>

static void
begin (GString *json, const char *key)
{
  if (json->len > 0 && strchr ("{[", json->str[json->len - 1]) == NULL)
    g_string_append_c (json, ',');
  if (key != NULL)
    g_string_append_printf (json, "\"%s\":", key);
}

void
tarn_json_open (GString *json, const char *key, char bracket)
{
  begin (json, key);
  g_string_append_c (json, bracket);
}

void
tarn_json_close (GString *json, char bracket)
{
  g_string_append_c (json, bracket);
}

void
tarn_json_number (GString *json, const char *key, double value, int decimals)
{
  g_assert (isfinite (value));
  double scale = pow (10, decimals);
  double rounded = round (value * scale) / scale;
  char text[64], format[16];
  g_snprintf (format, sizeof format, "%%.%df", decimals);
  g_ascii_formatd (text, sizeof text, format, rounded == 0 ? 0 : rounded);

  /* Trailing zeros tell nothing. */
  if (strchr (text, '.') != NULL)
    {
      char *end = text + strlen (text);
      while (end[-1] == '0')
        end--;
      end[end[-1] == '.' ? -1 : 0] = '\0';
    }
  begin (json, key);
  g_string_append (json, text);
}

void
tarn_json_exact (GString *json, const char *key, double value)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  g_assert (isfinite (value));
  begin (json, key);
  g_string_append (json, g_ascii_formatd (text, sizeof text, "%.17g", value));
}

void
tarn_json_text (GString *json, const char *key, const char *utf8)
{
  begin (json, key);
  g_string_append_c (json, '"');
  for (const char *at = utf8; *at != '\0'; at++)
    {
      unsigned char c = (unsigned char)*at;
      if (c == '"' || c == '\\')
        g_string_append_printf (json, "\\%c", c);
      else if (c < 0x20)
        g_string_append_printf (json, "\\u%04x", c);
      else
        g_string_append_c (json, (char)c);
    }
  g_string_append_c (json, '"');
}

void
tarn_json_bool (GString *json, const char *key, bool value)
{
  begin (json, key);
  g_string_append (json, value ? "true" : "false");
}

void
tarn_json_null (GString *json, const char *key)
{
  begin (json, key);
  g_string_append (json, "null");
}
