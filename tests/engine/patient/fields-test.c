/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fields-test.c: the list of fields names every member of a patient once, and nothing else. */
#include "engine/patient/fields.h"

#include <glib.h>
#include <math.h>
#include <string.h>

/* Members that are no fields: bookkeeping, and what others imply. */
static const char *const not_fields[] = {
  "structures",
  "structure",
  "stated",
  "shape",
  "proses",
  "situation.stop",          /* follows from its text */
  "situation.start_left_mm", /* second of a pair */
};

/* The declarations of `typedef struct { … } NAME;` in @header, comments taken out. */
static char *
struct_body (const char *header, const char *name)
{
  g_autofree char *pattern = g_strdup_printf ("struct\\s*\\{([^{}]*)\\}\\s*%s;", name);
  g_autoptr (GRegex) regex = g_regex_new (pattern, 0, 0, NULL);
  g_autoptr (GMatchInfo) match = NULL;
  if (!g_regex_match (regex, header, 0, &match))
    return NULL;
  return g_match_info_fetch (match, 1);
}

/* Adds prefix + member for every member, going down into structs of the same header. */
static void
add_members (const char *header, const char *type, const char *prefix, GHashTable *members)
{
  g_autofree char *body = struct_body (header, type);
  g_assert_nonnull (body);
  g_auto (GStrv) declaration = g_strsplit (body, ";", -1);
  for (char **at = declaration; *at != NULL; at++)
    {
      g_autoptr (GRegex) regex
          = g_regex_new ("^\\s*(?:const\\s+)?(\\w+)\\s+\\**\\s*(.*)$", G_REGEX_DOTALL, 0, NULL);
      g_autoptr (GMatchInfo) match = NULL;
      if (!g_regex_match (regex, *at, 0, &match))
        continue;
      g_autofree char *of_type = g_match_info_fetch (match, 1);
      g_autofree char *names = g_match_info_fetch (match, 2);
      g_autofree char *inner = struct_body (header, of_type);
      gboolean own
          = strcmp (of_type, "TarnStructure") == 0 || strcmp (of_type, "TarnProse") == 0;
      g_auto (GStrv) name = g_strsplit (names, ",", -1);
      for (char **n = name; *n != NULL; n++)
        {
          g_strdelimit (*n, "[", '\0');
          g_autofree char *full = g_strconcat (prefix, g_strstrip (*n), NULL);
          if (inner == NULL || own)
            g_hash_table_add (members, g_steal_pointer (&full));
          else
            {
              g_autofree char *deeper = g_strconcat (full, ".", NULL);
              add_members (header, of_type, deeper, members);
            }
        }
    }
}

static char *
read_header (void)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "..", "src", "engine", "patient",
                                                 "patient.h", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (GRegex) comment = g_regex_new ("/\\*.*?\\*/", G_REGEX_DOTALL, 0, NULL);
  return g_regex_replace_literal (comment, text, -1, 0, "", 0, NULL);
}

static void
compare_with_list (GHashTable *members, gboolean of_structures)
{
  for (gsize k = 0; k < G_N_ELEMENTS (not_fields); k++)
    g_hash_table_remove (members, not_fields[k]);
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if ((field->group == TARN_GROUP_STRUCTURE) != of_structures)
        continue;
      gboolean there = g_hash_table_remove (members, field->member);
      if (!there && !tarn_field_is_text (field))
        g_error ("listed, but no member or listed twice: %s", field->member);
    }
  GHashTableIter iter;
  gpointer left;
  g_hash_table_iter_init (&iter, members);
  while (g_hash_table_iter_next (&iter, &left, NULL))
    g_error ("a member that the list of fields does not have: %s", (const char *)left);
}

static void
test_list_is_complete (void)
{
  g_autofree char *header = read_header ();
  g_autoptr (GHashTable) of_patient
      = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  add_members (header, "TarnPatient", "", of_patient);
  g_assert_cmpuint (g_hash_table_size (of_patient), >, 60);
  compare_with_list (of_patient, FALSE);

  g_autoptr (GHashTable) of_structure
      = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  add_members (header, "TarnStructure", "", of_structure);
  compare_with_list (of_structure, TRUE);
}

static gsize
field_size (const TarnField *field)
{
  switch (field->kind)
    {
    case TARN_FIELD_FLAG:
      return sizeof (bool);
    case TARN_FIELD_INTEGER:
    case TARN_FIELD_CHOICE:
    case TARN_FIELD_SET:
      return sizeof (int);
    case TARN_FIELD_SEED:
      return sizeof (uint64_t);
    case TARN_FIELD_NAME:
      return sizeof ((TarnPatient *)NULL)->id;
    default:
      return (gsize)tarn_field_components (field) * sizeof (double);
    }
}

/* A wrong member, or a kind wider than its member, would write over a neighbour. */
static void
test_members_do_not_overlap (void)
{
  guint8 patient[sizeof (TarnPatient)] = { 0 }, structure[sizeof (TarnStructure)] = { 0 };
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      gboolean inner = field->group == TARN_GROUP_STRUCTURE;
      guint8 *taken = inner ? structure : patient;
      for (gsize b = 0; b < field_size (field); b++)
        g_assert_cmpuint (taken[field->offset + b]++, ==, 0);
    }
}

static void
test_rows_are_sound (void)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      g_assert_true (tarn_field_find (field->group, field->key) == field);
      g_assert_cmpint (tarn_field_index (field), ==, k);
      g_assert_cmpfloat (field->low, <=, field->high);
      g_assert_cmpuint (strlen (field->help), >, 2);
      g_assert_cmpuint (strlen (field->source), >, 2);
      /* Groups are written one after the other. */
      if (k > 0)
        g_assert_cmpint (tarn_field_at (k - 1)->group, <=, field->group);
      if (field->words > 0)
        g_assert_cmpfloat (field->high, ==,
                           field->kind == TARN_FIELD_SET ? exp2 (field->words) - 1
                                                         : field->words - 1);
      /* The unit stands last in the key, as it does in the member's name. */
      if (tarn_field_components (field) == 1 && strcmp (field->unit, "mm") == 0)
        g_assert_true (g_str_has_suffix (field->key, "-mm")
                       && g_str_has_suffix (field->member, "_mm"));
    }
}

/* Ages, sexes and volumes at every corner: a default outside its range would make a file that
 * cannot be saved. */
static void
test_defaults_are_within_their_ranges (void)
{
  static const double volume_ml[] = { 0, 0.5, 5, 49, 50, 51, 300, 799, 801, 2000 };
  for (int sex = 0; sex < 2; sex++)
    for (int age = 0; age <= 110; age++)
      for (gsize v = 0; v < G_N_ELEMENTS (volume_ml); v++)
        {
          TarnPatient patient = tarn_patient_default ();
          patient.habitus.sex = sex;
          patient.habitus.age_years = age;
          patient.habitus.fat_mm = 4;
          patient.bladder.volume_ml = volume_ml[v];
          static const char *const given[] = { "sex", "age-years", "fat-mm" };
          for (int g = 0; g < 3; g++)
            tarn_field_state (tarn_field_find (TARN_GROUP_HABITUS, given[g]), &patient, NULL,
                              true);
          tarn_field_state (tarn_field_find (TARN_GROUP_BLADDER, "volume-ml"), &patient, NULL,
                            true);
          tarn_patient_fill_defaults (&patient);

          TarnProblem problem = { 0 };
          if (tarn_patient_validate (&patient, &problem) != TARN_OK)
            g_error ("age %d, %g mL: %s: %s", age, volume_ml[v], problem.key, problem.text);
        }
}

static void
test_holds_is_the_range (void)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      if (tarn_field_components (field) == 0)
        continue;
      g_assert_true (tarn_field_holds (field, field->low));
      g_assert_true (tarn_field_holds (field, field->high));
      g_assert_false (tarn_field_holds (field, nextafter (field->low, -INFINITY)));
      g_assert_false (tarn_field_holds (field, nextafter (field->high, INFINITY)));
      g_assert_false (tarn_field_holds (field, NAN));
      g_assert_false (tarn_field_holds (field, INFINITY));
      g_assert_false (tarn_field_holds (field, -INFINITY));
    }
}

static void
test_get_gives_what_set_put (void)
{
  TarnPatient patient = tarn_patient_default ();
  TarnStructure structure = { 0 };
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      void *owner = field->group == TARN_GROUP_STRUCTURE ? (void *)&structure : &patient;
      for (int c = 0; c < tarn_field_components (field); c++)
        {
          tarn_field_set (field, owner, c, field->low);
          g_assert_cmpfloat (tarn_field_get (field, owner, c), ==, field->low);
          tarn_field_set (field, owner, c, field->high);
          g_assert_cmpfloat (tarn_field_get (field, owner, c), ==, field->high);
        }
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fields/list-is-complete", test_list_is_complete);
  g_test_add_func ("/fields/members-do-not-overlap", test_members_do_not_overlap);
  g_test_add_func ("/fields/rows-are-sound", test_rows_are_sound);
  g_test_add_func ("/fields/defaults-are-within-their-ranges",
                   test_defaults_are_within_their_ranges);
  g_test_add_func ("/fields/holds-is-the-range", test_holds_is_the_range);
  g_test_add_func ("/fields/get-gives-what-set-put", test_get_gives_what_set_put);
  return g_test_run ();
}
