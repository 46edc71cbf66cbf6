/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * numbers-test.c: numbers are written in their shortest form and read back exactly. */
#include "store/patient_values.h"

#include <locale.h>
#include <math.h>
#include <string.h>

/* Digits as Python 3.11's repr () gives them, which are the shortest that read back; the layout
 * beyond 10^16 and below 10^-4 is our own. */
static void
test_known_numbers (void)
{
  static const struct
  {
    double value;
    const char *text;
  } known[] = {
    { 0, "0" },
    { -0.0, "0" },
    { 1, "1" },
    { -15, "-15" },
    { 100, "100" },
    { 2000, "2000" },
    { 2.5, "2.5" },
    { 0x1.999999999999ap-4, "0.1" },
    { -0x1.999999999999ap-4, "-0.1" },
    { 0x1.3333333333334p-2, "0.30000000000000004" },
    { 0x1.0000000000001p+0, "1.0000000000000002" },
    { 0x1.921fb54442d18p+1, "3.141592653589793" },
    { 0x1.2bfffffffffffp+8, "299.99999999999994" },
    { 0x1.fffffffffffffp+52, "9007199254740991" },
    { 0x1.1c37937e08p+53, "10000000000000000" },
    { 0x1.6345785d8ap+56, "1e17" },
    { 0x1.a36e2eb1c432dp-14, "0.0001" },
    { 0x1.4f8b588e368f1p-17, "1e-5" },
    { 0x1.fffffffffffffp+1023, "1.7976931348623157e308" },
    { 0x0.0000000000001p-1022, "5e-324" },
  };
  for (gsize k = 0; k < G_N_ELEMENTS (known); k++)
    {
      g_autofree char *text = tarn_number_format (known[k].value);
      g_assert_cmpstr (text, ==, known[k].text);
    }
}

static int
digits_of (const char *text)
{
  int digits = 0;
  gboolean leading = TRUE;
  int zeros = 0;
  for (; *text != '\0' && *text != 'e'; text++)
    if (g_ascii_isdigit (*text))
      {
        leading = leading && *text == '0';
        zeros = *text == '0' ? zeros + 1 : 0;
        digits += !leading;
      }
  return MAX (digits - zeros, 1);
}

/* Any bits at all: exact, and with one digit fewer no longer so. */
static void
test_any_number_reads_back (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20);
  for (int k = 0; k < 20000; k++)
    {
      guint64 bits = (guint64)g_rand_int (rand) << 32 | g_rand_int (rand);
      double value;
      memcpy (&value, &bits, sizeof value);
      if (k % 2 == 0) /* of a size that files have */
        value = g_rand_double_range (rand, -2000, 2000);
      if (!isfinite (value))
        continue;

      g_autofree char *text = tarn_number_format (value);
      g_assert_cmpfloat (g_ascii_strtod (text, NULL), ==, value);
      int digits = digits_of (text);
      if (digits > 1)
        {
          g_autofree char *shorter = g_strdup_printf ("%.*e", digits - 2, value);
          g_assert_cmpfloat (g_ascii_strtod (shorter, NULL), !=, value);
        }
    }
}

/* A desktop that writes decimal commas.  Where no such language is installed the loop has
 * nothing to set, and the C locale is what is tested. */
static void
test_language_changes_nothing (void)
{
  static const char *const language[] = { "C", "de_DE.UTF-8", "es_ES.UTF-8", "fr_FR.UTF-8" };
  const TarnField *field = tarn_field_find (TARN_GROUP_HABITUS, "fat-mm");
  for (gsize k = 0; k < G_N_ELEMENTS (language); k++)
    {
      setlocale (LC_ALL, language[k]);
      g_autofree char *text = tarn_number_format (18.5);
      g_assert_cmpstr (text, ==, "18.5");
      TarnPatient patient = { 0 };
      g_autoptr (GString) wrong = g_string_new (NULL);
      g_assert_true (tarn_value_parse (field, "18.5", &patient, wrong));
      g_assert_cmpfloat (patient.habitus.fat_mm, ==, 18.5);
      g_assert_false (tarn_value_parse (field, "18,5", &patient, wrong));
    }
  setlocale (LC_ALL, "C");
}

/* What is no number, however strtod () takes it. */
static void
test_grammar (void)
{
  static const char *const good[] = { "18", "+18", "018", "18.0", "1.8e1", "1.8E+1", "180e-1" };
  static const char *const bad[]
      = { " ",    "-",     "+-18",   "18.",  ".5",       "1e",  "1e+",   "18x",
          "0x12", "nan",   "NAN(1)", "inf",  "-inf",     "1 8", "1_8",   "１８",
          "18;",  "1e1e1", "18.0.",  "--18", "infinity", "1d1", "\"18\"" };
  const TarnField *field = tarn_field_find (TARN_GROUP_HABITUS, "fat-mm");
  TarnPatient patient = { 0 };
  g_autoptr (GString) wrong = g_string_new (NULL);
  for (gsize k = 0; k < G_N_ELEMENTS (good); k++)
    {
      patient.habitus.fat_mm = 0;
      g_assert_true (tarn_value_parse (field, good[k], &patient, wrong));
      g_assert_cmpfloat (patient.habitus.fat_mm, ==, 18);
    }
  for (gsize k = 0; k < G_N_ELEMENTS (bad); k++)
    {
      g_string_truncate (wrong, 0);
      g_assert_false (tarn_value_parse (field, bad[k], &patient, wrong));
      g_assert_cmpstr (wrong->str, ==, "not a number (range 2 … 120 mm)");
      g_assert_cmpfloat (patient.habitus.fat_mm, ==, 18); /* left alone */
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/numbers/known-numbers", test_known_numbers);
  g_test_add_func ("/numbers/any-number-reads-back", test_any_number_reads_back);
  g_test_add_func ("/numbers/language-changes-nothing", test_language_changes_nothing);
  g_test_add_func ("/numbers/grammar", test_grammar);
  return g_test_run ();
}
