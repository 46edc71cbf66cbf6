/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * malformed-test.c: what is said of files that are wrong, word for word. */
#include "store/patient_file.h"

#include "engine/patient/fields.h"

#include <math.h>
#include <string.h>

#define ANATOMY "[Anatomy]\nformat=1\nid=a\ntitle=A\nseed=1\n"   /* lines 1–5 */
#define HABITUS "[Habitus]\nsex=male\nage-years=40\nfat-mm=18\n" /* lines 6–9 */
#define BLADDER "[Bladder]\nvolume-ml=300\n"                     /* lines 10–11 */
#define SOUND   ANATOMY HABITUS BLADDER
#define CYST    "kind=cyst\ncentre-mm=0;60;200\nradii-mm=9;9;9\n"

static const struct
{
  const char *path, *text, *said;
} malformed[] = {
  { "empty", "",
    "F:1: [Anatomy] format: missing and required (must be 1)\n"
    "F:1: [Anatomy] id: missing and required (range 1 … 63 bytes)\n"
    "F:1: [Anatomy] title: missing and required (range 1 … 120 bytes)\n"
    "F:1: [Anatomy] seed: missing and required (range 0 … 9007199254740991)\n"
    "F:1: [Habitus] sex: missing and required (one of female, male)\n"
    "F:1: [Habitus] age-years: missing and required (range 0 … 110 years)\n"
    "F:1: [Habitus] fat-mm: missing and required (range 2 … 120 mm)\n"
    "F:1: [Bladder] volume-ml: missing and required (range 0 … 2000 mL)" },
  { "required-key", ANATOMY "[Habitus]\nsex=male\nage-years=40\n" BLADDER,
    "F:6: [Habitus] fat-mm: missing and required (range 2 … 120 mm)" },
  { "required-in-structure", SOUND "[Structure 1]\nkind=cyst\ncentre-mm=0;60;200\n",
    "F:12: [Structure 1] radii-mm: missing and required (range 0.5 … 250 mm)" },
  { "other-format", "[Anatomy]\nformat=2\nfuture=yes\n[Ribs]\n",
    "F:2: [Anatomy] format = 2: a format that this program does not read (must be 1)" },
  { "unknown-group", SOUND "[Bladders]\nx=1\n", "F:12: [Bladders]: no such group" },
  { "unknown-key", SOUND "volume=1\n",
    "F:12: [Bladder] volume: no such key in this group; did you mean volume-ml?" },
  { "mistyped-key", SOUND "volune-lm=1\nwal-mm=2\nzzzz=3\n",
    "F:12: [Bladder] volune-lm: no such key in this group\n"
    "F:13: [Bladder] wal-mm: no such key in this group; did you mean wall-mm?\n"
    "F:14: [Bladder] zzzz: no such key in this group" },
  { "sorted-by-line", ANATOMY "[Habitus]\nsex=male\nage-years=40\n" BLADDER "wall-mm=x\n",
    "F:6: [Habitus] fat-mm: missing and required (range 2 … 120 mm)\n"
    "F:11: [Bladder] wall-mm = x: not a number (range 0.5 … 15 mm)" },
  { "key-of-another-group", SOUND "fat-mm=9\n",
    "F:12: [Bladder] fat-mm: no such key in this group" },
  { "repeated-key", SOUND "volume-ml=200\n",
    "F:12: [Bladder] volume-ml: this key stands already on line 11" },
  { "repeated-translation", SOUND "[Text]\nbriefing=a\nbriefing[es]=b\nbriefing[es]=c\n",
    "F:15: [Text] briefing[es]: this key stands already on line 14" },
  { "repeated-group", SOUND "[Habitus]\nskin-mm=2\n",
    "F:12: [Habitus]: this group stands already on line 6" },
  { "key-before-group", "format=1\n", "F:1: format: stands before the first [Group]" },
  { "no-equals", SOUND "wall-mm 2\n", "F:12: [Bladder]: neither [Group] nor key=value" },
  { "no-key", SOUND "=2\n",
    "F:12: [Bladder]: a value is written key=value or key[language]=value" },
  { "bad-language", SOUND "[Text]\nbriefing[e s]=a\n",
    "F:13: [Text]: a value is written key=value or key[language]=value" },
  { "open-group", SOUND "[Pass\n", "F:12: a group is written [Name]" },
  { "nameless-group", SOUND "[]\n", "F:12: a group is written [Name]" },
  { "translated-number", SOUND "wall-mm[es]=2\n",
    "F:12: [Bladder] wall-mm[es] = 2: takes no translation" },
  { "translated-author", ANATOMY "author=B\nauthor[es]=C\n" HABITUS BLADDER,
    "F:7: [Anatomy] author[es] = C: takes no translation" },
  { "translation-alone", SOUND "[Text]\nbriefing[es]=Hola\n",
    "F:12: [Text] briefing: translated, but the untranslated text is missing" },
  { "nan", SOUND "wall-mm=nan\n",
    "F:12: [Bladder] wall-mm = nan: not a number (range 0.5 … 15 mm)" },
  { "infinite", SOUND "wall-mm=inf\n",
    "F:12: [Bladder] wall-mm = inf: not a number (range 0.5 … 15 mm)" },
  { "overflow", SOUND "wall-mm=1e999\n",
    "F:12: [Bladder] wall-mm = 1e999: too large (range 0.5 … 15 mm)" },
  { "hexadecimal", SOUND "wall-mm=0x2\n",
    "F:12: [Bladder] wall-mm = 0x2: not a number (range 0.5 … 15 mm)" },
  { "decimal-comma", SOUND "wall-mm=1,5\n",
    "F:12: [Bladder] wall-mm = 1,5: not a number (range 0.5 … 15 mm)" },
  { "unit-in-value", SOUND "wall-mm=2 mm\n",
    "F:12: [Bladder] wall-mm = 2 mm: not a number (range 0.5 … 15 mm)" },
  { "no-value", SOUND "wall-mm=\n", "F:12: [Bladder] wall-mm: is empty (range 0.5 … 15 mm)" },
  { "comment-in-value", SOUND "wall-mm=2 # thin\n",
    "F:12: [Bladder] wall-mm = 2 # thin: not a number (range 0.5 … 15 mm)" },
  { "not-whole", SOUND "[Probe]\nlines=100.5\n",
    "F:13: [Probe] lines = 100.5: not a whole number (range 16 … 512)" },
  { "big-seed", "[Anatomy]\nformat=1\nid=a\ntitle=A\nseed=9007199254740992\n" HABITUS BLADDER,
    "F:5: [Anatomy] seed = 9007199254740992: too large (range 0 … 9007199254740991)" },
  { "negative-seed", "[Anatomy]\nformat=1\nid=a\ntitle=A\nseed=-1\n" HABITUS BLADDER,
    "F:5: [Anatomy] seed = -1: too small (range 0 … 9007199254740991)" },
  { "unknown-word", SOUND "[Situation]\nskin=Scar\n",
    "F:13: [Situation] skin = Scar: unknown word (one of intact, scar, dressing, wound)" },
  { "unknown-kind", SOUND "[Structure 1]\nkind=tumour\ncentre-mm=0;0;0\nradii-mm=1;1;1\n",
    "F:13: [Structure 1] kind = tumour: unknown word (one of cyst, ascites, uterus, prostate, "
    "gravid-uterus, diverticulum, balloon, clot, stone, haematoma, bowel, bowel-gas, scar)" },
  { "unknown-miss", SOUND "[Pass]\nmust-not-miss=wrong-patient;late\n",
    "F:13: [Pass] must-not-miss = wrong-patient;late: unknown word (any of "
    "scanned-against-stop, wrong-patient, wrong-fluid-recorded, missed-retention, "
    "invented-volume, blocked-catheter-missed, false-exact-number)" },
  { "miss-twice", SOUND "[Pass]\nmust-not-miss=wrong-patient;wrong-patient\n",
    "F:13: [Pass] must-not-miss = wrong-patient;wrong-patient: a word stands twice (any of "
    "scanned-against-stop, wrong-patient, wrong-fluid-recorded, missed-retention, "
    "invented-volume, blocked-catheter-missed, false-exact-number)" },
  { "two-of-three", SOUND "[Structure 1]\nkind=cyst\ncentre-mm=0;60\nradii-mm=9;9;9\n",
    "F:14: [Structure 1] centre-mm = 0;60: not three numbers a;b;c (range -400 … 400 mm)" },
  { "four-of-three", SOUND "[Structure 1]\nkind=cyst\ncentre-mm=0;60;1;2\nradii-mm=9;9;9\n",
    "F:14: [Structure 1] centre-mm = 0;60;1;2: not three numbers a;b;c (range -400 … 400 mm)" },
  { "one-of-two", SOUND "[Situation]\nstart-pose=40\n",
    "F:13: [Situation] start-pose = 40: not two numbers a;b (range -150 … 300 mm)" },
  { "last-of-three", SOUND "[Structure 1]\nkind=cyst\ncentre-mm=0;60;401\nradii-mm=9;9;9\n",
    "F:14: [Structure 1] centre-mm = 0;60;401: too large (range -400 … 400 mm)" },
  { "structure-order", SOUND "[Structure 2]\n" CYST,
    "F:12: [Structure 2]: structures are numbered 1, 2, 3 in order; this is number 1" },
  { "structure-zero", SOUND "[Structure 0]\n" CYST, "F:12: [Structure 0]: no such group" },
  { "structure-01", SOUND "[Structure 01]\n" CYST, "F:12: [Structure 01]: no such group" },
  { "structure-without-number", SOUND "[Structure]\n" CYST,
    "F:12: [Structure]: no such group" },
  { "structure-17", SOUND "[Structure 17]\n" CYST,
    "F:12: [Structure 17]: too many structures (range 1 … 16)" },
  { "bad-id", "[Anatomy]\nformat=1\nid=../x\ntitle=A\nseed=1\n" HABITUS BLADDER,
    "F:3: [Anatomy] id = ../x: only small letters a … z, digits and hyphens" },
  { "empty-title", "[Anatomy]\nformat=1\nid=a\ntitle=\nseed=1\n" HABITUS BLADDER,
    "F:4: [Anatomy] title: is empty (range 1 … 120 bytes)" },
  { "unknown-escape", SOUND "[Text]\nbriefing=a\\qb\n",
    "F:13: [Text] briefing: a backslash must be followed by s, n, t, r or another backslash" },
  { "escape-at-end", SOUND "[Text]\nbriefing=a\\q\\\n",
    "F:13: [Text] briefing: a backslash must be followed by s, n, t, r or another backslash" },
  { "control-character", SOUND "[Text]\nbriefing=a\bb\n",
    "F:13: [Text] briefing = a\357\277\275b: holds a control character" },
  { "latin-1", SOUND "[Text]\nbriefing=caf\351\n", "F:13: not UTF-8 text" },
  { "utf-16", "\377\376[\0A", "F:1: not UTF-8 text" },
  { "byte-order-mark", "\357\273\277" SOUND,
    "F:1: starts with a byte order mark; save it without" },
  { "contradiction", ANATOMY "[Habitus]\nsex=male\nage-years=40\nfat-mm=110\n" BLADDER,
    "F:6: [Habitus] torso-depth-mm: too little for a symphysis behind 110 mm of fat: "
    "at least 290 mm" },
  { "contradiction-names-its-value", SOUND "[Structure 1]\n" CYST "counts=yes\n",
    "F:16: [Structure 1] counts: only a diverticulum holds the bladder's urine, a cyst does "
    "not" },
  { "several", ANATOMY "[Habitus]\nsex=x\nage-years=111\nfat-mm=1\n" BLADDER "foo=1\n",
    "F:7: [Habitus] sex = x: unknown word (one of female, male)\n"
    "F:8: [Habitus] age-years = 111: too large (range 0 … 110 years)\n"
    "F:9: [Habitus] fat-mm = 1: too small (range 2 … 120 mm)\n"
    "F:12: [Bladder] foo: no such key in this group" },
};

static char *
refusal (const char *data, gsize length)
{
  g_autoptr (GError) error = NULL;
  g_assert_null (tarn_patient_file_parse (data, length, "F", &error));
  g_assert_error (error, TARN_PATIENT_FILE_ERROR, TARN_PATIENT_FILE_ERROR_INVALID);
  return g_strdup (error->message);
}

static void
test_malformed (gconstpointer data)
{
  gsize k = GPOINTER_TO_SIZE (data);
  g_autofree char *said = refusal (malformed[k].text, strlen (malformed[k].text));
  g_assert_cmpstr (said, ==, malformed[k].said);
}

static void
test_nul_is_no_text (void)
{
  g_autofree char *said = refusal (SOUND "\0", sizeof SOUND);
  g_assert_cmpstr (said, ==, "F:12: not UTF-8 text");
}

/* Ranges of the list, at every key. */

static char *
number (double value)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  return g_strdup (g_ascii_formatd (text, sizeof text, "%.16g", value));
}

/* A file that has every key, from the fuzzer's corpus. */
static char *
every_key (void)
{
  g_autofree char *path
      = g_test_build_filename (G_TEST_DIST, "fuzz", "corpus", "every-key", NULL);
  g_autoptr (GError) error = NULL;
  char *text = NULL;
  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

/* The file with another value for one key; @line: out, where it stands. */
static char *
with_value (const char *text, const TarnField *field, const char *value, int *line)
{
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);
  g_autofree char *start = g_strconcat (field->key, "=", NULL);
  g_autofree char *group = g_strdup_printf ("[%s", tarn_field_group_name (field->group));
  gboolean inside = FALSE;
  *line = 0;
  for (int k = 0; lines[k] != NULL; k++)
    {
      if (lines[k][0] == '[')
        inside = g_str_has_prefix (lines[k], group);
      if (!inside || !g_str_has_prefix (lines[k], start))
        continue;
      g_free (lines[k]);
      lines[k] = g_strconcat (start, value, NULL);
      *line = k + 1;
    }
  g_assert_cmpint (*line, >, 0);
  return g_strjoinv ("\n", lines);
}

static void
expect (const TarnField *field, double wrong, const char *what)
{
  g_autofree char *text = every_key ();
  g_autofree char *one = isnan (wrong) ? g_strdup ("nan") : number (wrong);
  g_autofree char *low = number (field->low), *high = number (field->high);
  int parts = tarn_field_components (field);
  g_autofree char *value
      = g_strconcat (one, parts > 1 ? ";" : NULL, one, parts > 2 ? ";" : NULL, one, NULL);
  int line;
  g_autofree char *spoilt = with_value (text, field, value, &line);
  g_autofree char *said = refusal (spoilt, strlen (spoilt));
  g_autofree char *expected = g_strdup_printf (
      "F:%d: [%s%s] %s = %s: %s (range %s … %s%s%s)", line,
      tarn_field_group_name (field->group), field->group == TARN_GROUP_STRUCTURE ? " 1" : "",
      field->key, value, what, low, high, field->unit[0] != '\0' ? " " : "", field->unit);
  g_assert_cmpstr (said, ==, expected);
}

static void
test_every_range_is_kept_and_named (void)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (tarn_field_components (field) == 0 || field->words > 0
          || strcmp (field->key, "format") == 0)
        continue;
      gboolean whole = field->kind == TARN_FIELD_INTEGER || field->kind == TARN_FIELD_SEED;
      double step = fmax (fabs (field->high), 1) * 0x1p-50;
      expect (field, field->low - (whole ? 1 : step), "too small");
      expect (field, field->high + (whole ? 1 : step), "too large");
      expect (field, NAN, whole ? "not a whole number" : "not a number");
    }
}

static void
test_every_key_is_in_the_corpus (void)
{
  g_autofree char *text = every_key ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file
      = tarn_patient_file_parse (text, strlen (text), "every-key", &error);
  g_assert_no_error (error);
  g_autofree char *saved = tarn_patient_file_format (&file->patient, NULL);
  g_assert_cmpstr (saved, ==, text);
  for (int k = 0; k < tarn_field_count (); k++)
    {
      int line;
      g_autofree char *same = with_value (text, tarn_field_at (k), "x", &line);
    }
}

/* Limits. */

static void
test_huge_file (void)
{
  g_autoptr (GString) text = g_string_new (SOUND);
  while (text->len <= 256 * 1024)
    g_string_append (text, "# nothing to see\n");
  g_autofree char *said = refusal (text->str, text->len);
  g_assert_cmpstr (said, ==, "F:1: larger than 256 kB; a patient's file is not so long");
}

static void
test_long_line (void)
{
  g_autofree char *filler = g_strnfill (16 * 1024, 'x');
  g_autofree char *text = g_strconcat (SOUND, "#", filler, "\n", NULL);
  g_autofree char *said = refusal (text, strlen (text));
  g_assert_cmpstr (said, ==, "F:12: [Bladder]: line of 16385 bytes (range 0 … 16384 bytes)");
}

/* Long values are shown shortened, and never cut within a letter. */
static void
test_long_value (void)
{
  g_autoptr (GString) text = g_string_new (SOUND "[Text]\nbriefing=");
  for (int k = 0; k < 2001; k++)
    g_string_append (text, "ñ");
  g_autofree char *said = refusal (text->str, text->len);
  g_assert_true (g_utf8_validate (said, -1, NULL));
  g_assert_true (g_str_has_prefix (said, "F:13: [Text] briefing = ññññ"));
  g_assert_true (g_str_has_suffix (said, "ñ…: too long (range 1 … 4000 bytes)"));
  g_assert_cmpuint (strlen (said), <, 160);
}

static void
test_many_texts (void)
{
  g_autoptr (GString) text = g_string_new (SOUND "[Text]\nbriefing=a\n");
  for (int k = 0; k < 300; k++)
    g_string_append_printf (text, "briefing[l%d]=a\n", k);
  g_autofree char *said = refusal (text->str, text->len);
  g_assert_nonnull (strstr (said, "[Text] briefing[l254] = a: too many texts (range 0 … 256)"));
}

static void
test_many_keys (void)
{
  g_autoptr (GString) text = g_string_new (SOUND);
  for (int k = 0; k < 5000; k++)
    g_string_append_printf (text, "key%d=1\n", k);
  g_autofree char *said = refusal (text->str, text->len);
  g_assert_cmpstr (said, ==, "F:1001: too many groups and keys (range 1 … 1000)");
}

static void
test_many_problems (void)
{
  g_autoptr (GString) text = g_string_new (SOUND);
  for (int k = 0; k < 100; k++)
    g_string_append_printf (text, "key%d=1\n", k);
  g_autofree char *said = refusal (text->str, text->len);
  g_auto (GStrv) line = g_strsplit (said, "\n", -1);
  g_assert_cmpuint (g_strv_length (line), ==, 21);
  g_assert_cmpstr (line[20], ==, "F: and 80 more");
}

/* What is found last and stands first pushes another one out of a full list. */
static void
test_many_problems_and_an_early_one (void)
{
  g_autoptr (GString) text
      = g_string_new (ANATOMY "[Habitus]\nsex=male\nage-years=40\n" BLADDER);
  for (int k = 0; k < 100; k++)
    g_string_append_printf (text, "key%d=1\n", k);
  g_autofree char *said = refusal (text->str, text->len);
  g_auto (GStrv) line = g_strsplit (said, "\n", -1);
  g_assert_cmpuint (g_strv_length (line), ==, 21);
  g_assert_true (g_str_has_prefix (line[0], "F:6: [Habitus] fat-mm: missing"));
  g_assert_true (g_str_has_prefix (line[1], "F:11: [Bladder] key0"));
  g_assert_true (g_str_has_prefix (line[19], "F:29: [Bladder] key18"));
  g_assert_cmpstr (line[20], ==, "F: and 81 more");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize k = 0; k < G_N_ELEMENTS (malformed); k++)
    {
      g_autofree char *path = g_strconcat ("/malformed/", malformed[k].path, NULL);
      g_test_add_data_func (path, GSIZE_TO_POINTER (k), test_malformed);
    }
  g_test_add_func ("/malformed/nul-is-no-text", test_nul_is_no_text);
  g_test_add_func ("/malformed/every-range-is-kept-and-named",
                   test_every_range_is_kept_and_named);
  g_test_add_func ("/malformed/every-key-is-in-the-corpus", test_every_key_is_in_the_corpus);
  g_test_add_func ("/malformed/huge-file", test_huge_file);
  g_test_add_func ("/malformed/long-line", test_long_line);
  g_test_add_func ("/malformed/long-value", test_long_value);
  g_test_add_func ("/malformed/many-texts", test_many_texts);
  g_test_add_func ("/malformed/many-keys", test_many_keys);
  g_test_add_func ("/malformed/many-problems", test_many_problems);
  g_test_add_func ("/malformed/many-problems-and-an-early-one",
                   test_many_problems_and_an_early_one);
  return g_test_run ();
}
