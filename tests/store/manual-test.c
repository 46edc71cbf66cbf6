/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * manual-test.c: the manual page of the file has every field, and is fit for man. */
#include "store/patient_manual.h"

#include "engine/patient/fields.h"
#include "store/patient_file.h"

#include <string.h>

static char *
manual (void)
{
  GString *out = g_string_new (NULL);
  tarn_fields_write_manual (out, "9.8");
  return g_string_free (out, FALSE);
}

static int
count (const char *text, const char *part)
{
  int times = 0;
  for (const char *at = text; (at = strstr (at, part)) != NULL; at++)
    times++;
  return times;
}

static void
test_has_every_field (void)
{
  g_autofree char *page = manual ();
  g_auto (GStrv) group = g_strsplit (page, "\n.SS [", -1);
  g_assert_cmpuint (g_strv_length (group), ==, TARN_GROUPS + 1);
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      const char *section = group[field->group + 1];
      g_assert_true (g_str_has_prefix (section, tarn_field_group_name (field->group)));
      g_auto (GStrv) words = g_strsplit (field->key, "-", -1);
      g_autofree char *key = g_strjoinv ("\\-", words);
      g_autofree char *heading = g_strdup_printf (".TP\n.B %s\n", key);
      g_assert_cmpint (count (section, heading), ==, 1);
    }
}

/* Words that the page must say of three fields: range with unit, default, words to choose. */
static void
test_says_range_and_default (void)
{
  g_autofree char *page = manual ();
  g_assert_nonnull (strstr (page, "Range 2 \\[u2026] 120 mm; required."));
  g_assert_nonnull (strstr (page, "One of none, draining, blocked; default none."));
  g_assert_nonnull (strstr (page, "A;b, range \\-150 \\[u2026] 300 mm; default 40;0."));
  g_assert_nonnull (strstr (page, "Range 0 \\[u2026] 10080 min; default not known."));
  g_assert_nonnull (strstr (page, "Tarn 9.8"));
}

static void
test_is_ascii_and_every_line_is_sound (void)
{
  g_autofree char *page = manual ();
  g_auto (GStrv) line = g_strsplit (page, "\n", -1);
  for (char **at = line; *at != NULL; at++)
    {
      g_assert_true (g_str_is_ascii (*at));
      g_assert_false (g_str_has_prefix (*at, "'"));
      g_assert_false (g_str_has_prefix (*at, " "));
      if ((*at)[0] != '.')
        continue;
      static const char *const macro[]
          = { ".\\\"", ".TH ", ".SH ", ".SS ", ".TP", ".B ", ".BR ", ".BI ",
              ".IB ",  ".I ",  ".IR ", ".PP",  ".nf", ".fi", ".RS",  ".RE" };
      gboolean known = FALSE;
      for (gsize k = 0; k < G_N_ELEMENTS (macro); k++)
        known |= g_str_has_prefix (*at, macro[k]);
      g_assert_true (known);
    }
}

/* The example in the page is a patient. */
static void
test_example_loads (void)
{
  g_autofree char *page = manual ();
  char *start = strstr (page, ".RS\n");
  g_assert_nonnull (start);
  char *end = strstr (start, ".RE");
  g_assert_nonnull (end);
  g_autoptr (GString) example = g_string_new_len (start + 4, end - start - 4);
  g_string_replace (example, "\\-", "-", 0);
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file
      = tarn_patient_file_parse (example->str, example->len, "example", &error);
  g_assert_no_error (error);
  g_assert_cmpstr (file->patient.id, ==, "first");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/manual/has-every-field", test_has_every_field);
  g_test_add_func ("/manual/says-range-and-default", test_says_range_and_default);
  g_test_add_func ("/manual/is-ascii-and-every-line-is-sound",
                   test_is_ascii_and_every_line_is_sound);
  g_test_add_func ("/manual/example-loads", test_example_loads);
  return g_test_run ();
}
