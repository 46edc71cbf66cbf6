/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The editor without its page: edits, steps back, starts, words, expected capacity. */
#include "app/editor_draft.h"
#include "app/editor_problems.h"
#include "app/editor_starts.h"
#include "app/editor_words.h"
#include "app/words_problem.h"
#include "engine/body/body.h"
#include "report/capacity.h"
#include "report/section_picture.h"
#include "store/patient_file.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#define EDITS 1000

static const TarnField *
field (TarnFieldGroup group, const char *key)
{
  const TarnField *found = tarn_field_find (group, key);
  g_assert_nonnull (found);
  return found;
}

static char *
bytes_of (TarnEditorDraft *draft)
{
  return tarn_patient_file_format (tarn_editor_draft_patient (draft), NULL);
}

/* ---- Single edits ---- */

static void
test_numbers (void)
{
  TarnPatient start = tarn_editor_start_patient (TARN_START_AVERAGE);
  g_autoptr (TarnEditorDraft) draft = tarn_editor_draft_new (&start);
  const TarnField *age = field (TARN_GROUP_HABITUS, "age-years");
  const TarnField *width = field (TARN_GROUP_HABITUS, "torso-width-mm");
  const TarnPatient *patient = tarn_editor_draft_patient (draft);
  double adult_mm = patient->habitus.torso_width_mm;

  /* What derives from an age follows it, until it is stated. */
  g_assert_true (tarn_editor_draft_set_number (draft, age, 0, 0, 8));
  patient = tarn_editor_draft_patient (draft);
  g_assert_cmpfloat (patient->habitus.torso_width_mm, <, adult_mm);
  g_assert_true (tarn_editor_draft_set_number (draft, width, 0, 0, 260));
  g_assert_true (tarn_editor_draft_set_number (draft, age, 0, 0, 50));
  patient = tarn_editor_draft_patient (draft);
  g_assert_cmpfloat (patient->habitus.torso_width_mm, ==, 260);
  g_assert_true (tarn_field_is_stated (width, patient, NULL));
  g_assert_true (tarn_editor_draft_reset (draft, width, 0));
  patient = tarn_editor_draft_patient (draft);
  g_assert_cmpfloat (patient->habitus.torso_width_mm, ==, adult_mm);
  g_assert_false (tarn_field_is_stated (width, patient, NULL));

  /* Nothing out of its range gets in, and what must be said cannot be unsaid. */
  guint64 state = tarn_editor_draft_state (draft);
  g_assert_false (tarn_editor_draft_set_number (draft, age, 0, 0, 111));
  g_assert_false (tarn_editor_draft_set_number (draft, age, 0, 0, NAN));
  g_assert_false (tarn_editor_draft_set_number (draft, age, 0, 1, 5));
  g_assert_false (tarn_editor_draft_reset (draft, age, 0));
  g_assert_false (
      tarn_editor_draft_set_number (draft, field (TARN_GROUP_STRUCTURE, "centre-mm"), 0, 0, 5));
  g_assert_cmpuint (tarn_editor_draft_state (draft), ==, state);
  tarn_patient_clear (&start);
}

static void
test_slider (void)
{
  TarnPatient start = tarn_editor_start_patient (TARN_START_SLIM);
  g_autoptr (TarnEditorDraft) draft = tarn_editor_draft_new (&start);
  const TarnField *fat = field (TARN_GROUP_HABITUS, "fat-mm"), *undone = NULL;
  g_autofree char *before = bytes_of (draft);

  for (int k = 0; k < 50; k++)
    g_assert_true (tarn_editor_draft_set_number (draft, fat, 0, 0, 10 + k));
  tarn_editor_draft_seal (draft);
  g_assert_true (tarn_editor_draft_set_number (draft, fat, 0, 0, 90));
  g_assert_true (tarn_editor_draft_can_undo (draft, &undone));
  g_assert_true (undone == fat);
  tarn_editor_draft_undo (draft);
  g_assert_cmpfloat (tarn_editor_draft_patient (draft)->habitus.fat_mm, ==, 59);
  tarn_editor_draft_undo (draft);
  g_autofree char *after = bytes_of (draft);
  g_assert_cmpstr (before, ==, after);
  g_assert_false (tarn_editor_draft_can_undo (draft, NULL));
  tarn_editor_draft_redo (draft);
  tarn_editor_draft_redo (draft);
  g_assert_cmpfloat (tarn_editor_draft_patient (draft)->habitus.fat_mm, ==, 90);
  g_assert_false (tarn_editor_draft_can_redo (draft, NULL));
  tarn_patient_clear (&start);
}

static void
test_saved (void)
{
  TarnPatient start = tarn_editor_start_patient (TARN_START_MAN);
  g_autoptr (TarnEditorDraft) draft = tarn_editor_draft_new (&start);
  const TarnField *title = field (TARN_GROUP_ANATOMY, "title");

  g_assert_false (tarn_editor_draft_is_saved (draft));
  tarn_editor_draft_note_saved (draft);
  g_assert_true (tarn_editor_draft_is_saved (draft));
  g_assert_true (tarn_editor_draft_set_text (draft, title, "es", "Un paciente"));
  g_assert_false (tarn_editor_draft_is_saved (draft));
  g_assert_cmpstr (tarn_patient_prose (tarn_editor_draft_patient (draft), "title", "es"), ==,
                   "Un paciente");
  tarn_editor_draft_undo (draft);
  g_assert_true (tarn_editor_draft_is_saved (draft));

  /* A reason not to scan is a text and a fact. */
  const TarnField *stop = field (TARN_GROUP_SITUATION, "stop");
  g_assert_true (tarn_editor_draft_set_text (draft, stop, "", "Not asked for"));
  g_assert_true (tarn_editor_draft_patient (draft)->situation.stop);
  g_assert_true (tarn_editor_draft_set_text (draft, stop, "", ""));
  g_assert_false (tarn_editor_draft_patient (draft)->situation.stop);
  tarn_patient_clear (&start);
}

static void
test_structures (void)
{
  TarnPatient start = tarn_editor_start_patient (TARN_START_AVERAGE);
  g_autoptr (TarnEditorDraft) draft = tarn_editor_draft_new (&start);
  const TarnVec3 at = { 10, 90, 120 }, radii = { 20, 15, 10 };

  for (int k = 0; k < TARN_STRUCTURES_MAX; k++)
    g_assert_cmpint (tarn_editor_draft_add_structure (draft, TARN_STRUCTURE_CYST, at, radii),
                     ==, k);
  g_assert_cmpint (tarn_editor_draft_add_structure (draft, TARN_STRUCTURE_CYST, at, radii), ==,
                   -1);
  g_assert_true (tarn_editor_draft_remove_structure (draft, 3));
  g_assert_false (tarn_editor_draft_remove_structure (draft, TARN_STRUCTURES_MAX - 1));
  g_assert_cmpint (tarn_editor_draft_duplicate_structure (draft, 2), ==,
                   TARN_STRUCTURES_MAX - 1);
  g_assert_true (tarn_editor_draft_set_vector (draft, field (TARN_GROUP_STRUCTURE, "centre-mm"),
                                               2, tarn_vec3 (1, 2, 3)));
  g_assert_cmpfloat (tarn_editor_draft_patient (draft)->structure[2].centre_mm.z, ==, 3);
  /* A new one says what it must, and loads again. */
  g_autofree char *bytes = bytes_of (draft);
  g_autoptr (GError) error = NULL;
  g_autoptr (TarnPatientFile) file
      = tarn_patient_file_parse (bytes, strlen (bytes), "draft", &error);
  g_assert_no_error (error);
  g_assert_cmpint (file->patient.structures, ==, TARN_STRUCTURES_MAX);
  tarn_patient_clear (&start);
}

/* ---- A thousand ---- */

static void
edit_structures (GRand *rand, TarnEditorDraft *draft)
{
  const TarnPatient *patient = tarn_editor_draft_patient (draft);
  int structure = g_rand_int_range (rand, 0, TARN_STRUCTURES_MAX);
  switch (g_rand_int_range (rand, 0, 3))
    {
    case 0:
      tarn_editor_draft_add_structure (
          draft, (TarnStructureKind)g_rand_int_range (rand, 0, TARN_STRUCTURE_KINDS),
          tarn_vec3 (0, 80, g_rand_double_range (rand, -50, 200)), tarn_vec3 (9, 8, 7));
      break;
    case 1:
      tarn_editor_draft_remove_structure (draft, structure % (patient->structures + 1));
      break;
    default:
      tarn_editor_draft_duplicate_structure (draft, structure % (patient->structures + 1));
    }
}

static void
edit_text (GRand *rand, TarnEditorDraft *draft, const TarnField *of)
{
  static const char *const locale[] = { "", "es", "de" };
  g_autofree char *text = g_strdup_printf ("A text\n%u\\", g_rand_int (rand));
  int at = of->kind == TARN_FIELD_PROSE ? g_rand_int_range (rand, 0, 3) : 0;
  if (of->kind == TARN_FIELD_NAME)
    tarn_editor_draft_set_id (draft, g_rand_boolean (rand) ? "some-id" : "No id");
  else
    tarn_editor_draft_set_text (draft, of, locale[at], g_rand_boolean (rand) ? text : "");
}

/* One edit of any kind, valid or not, coalesced or not. */
static void
edit_anything (GRand *rand, TarnEditorDraft *draft)
{
  const TarnField *of = tarn_field_at (g_rand_int_range (rand, 0, tarn_field_count ()));
  int structure = g_rand_int_range (rand, 0, 4), numbers = tarn_field_components (of);
  int way = g_rand_int_range (rand, 0, 10);
  if (way == 0)
    edit_structures (rand, draft);
  else if (way == 1 && !tarn_field_is_text (of))
    tarn_editor_draft_reset (draft, of, structure);
  else if (numbers == 0)
    edit_text (rand, draft, of);
  else
    {
      double value = g_rand_double_range (rand, of->low, of->high + 1e-9);
      bool whole = of->kind != TARN_FIELD_REAL && numbers == 1;
      tarn_editor_draft_set_number (draft, of, structure, g_rand_int_range (rand, 0, numbers),
                                    whole ? floor (value) : value);
    }
  if (g_rand_boolean (rand))
    tarn_editor_draft_seal (draft);
}

static void
test_thousand (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20);
  TarnPatient start = tarn_editor_start_patient (TARN_START_AFTER_BIRTH);
  g_autoptr (TarnEditorDraft) draft = tarn_editor_draft_new (&start);
  g_autoptr (GPtrArray) past = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *first = bytes_of (draft);
  int steps = 0;

  for (int k = 0; k < EDITS; k++)
    edit_anything (rand, draft);
  g_autofree char *last = bytes_of (draft);
  g_assert_cmpstr (first, !=, last);

  for (; tarn_editor_draft_can_undo (draft, NULL); steps++)
    {
      g_ptr_array_add (past, bytes_of (draft));
      tarn_editor_draft_undo (draft);
    }
  g_assert_cmpint (steps, >, EDITS / 2);
  g_autofree char *again = bytes_of (draft);
  g_assert_cmpstr (again, ==, first);

  /* And forth, every state the same. */
  for (guint k = past->len; k > 0; k--)
    {
      tarn_editor_draft_redo (draft);
      g_autofree char *here = bytes_of (draft);
      g_assert_cmpstr (here, ==, (const char *)g_ptr_array_index (past, k - 1));
    }
  g_assert_false (tarn_editor_draft_can_redo (draft, NULL));
  tarn_patient_clear (&start);
}

/* ---- Starts ---- */

static void
test_starts (void)
{
  for (int k = 0; k < TARN_STARTS; k++)
    {
      TarnPatient patient = tarn_editor_start_patient ((TarnEditorStart)k);
      g_autoptr (TarnEditorDraft) draft = tarn_editor_draft_new (&patient);
      g_autofree char *bytes = bytes_of (draft);
      g_autoptr (GError) error = NULL;
      g_autoptr (TarnPatientFile) file
          = tarn_patient_file_parse (bytes, strlen (bytes), "start", &error);
      g_assert_no_error (error);
      TarnBody *body = NULL;
      TarnProblem problem = { "", "" };
      TarnStatus status = tarn_body_new (&file->patient, 0, &body, &problem);
      if (status != TARN_OK)
        g_test_message ("%s: %s %s", tarn_editor_start_name ((TarnEditorStart)k), problem.key,
                        problem.text);
      g_assert_cmpint (status, ==, TARN_OK);
      tarn_body_free (body);
      tarn_patient_clear (&patient);
    }
}

static void
test_words (void)
{
  TarnPatient patient = tarn_patient_default ();
  patient.structures = 1;
  g_assert_cmpstr (tarn_editor_words_missing (), ==, NULL);
  for (int k = 0; k < tarn_field_count (); k++)
    {
      gboolean own = strcmp (tarn_field_at (k)->source, "own") == 0;
      g_autofree char *facts = tarn_editor_field_facts (tarn_field_at (k), &patient, 0);
      g_assert_cmpint (strstr (facts, "Source: ") == NULL, ==, own);
    }
  g_autofree char *fat
      = tarn_editor_field_facts (field (TARN_GROUP_BLADDER, "pear"), &patient, 0);
  g_assert_cmpstr (fat, ==, "0 to 1. Default: 0.2.");
  g_autofree char *since = tarn_editor_field_value (
      field (TARN_GROUP_SITUATION, "minutes-since-void"), &patient, 0);
  g_assert_cmpstr (since, ==, "not known");
}

/* ---- Problems ---- */

static void
test_problems (void)
{
  const TarnField *missed = field (TARN_GROUP_PASS, "must-not-miss");
  const TarnField *title = field (TARN_GROUP_ANATOMY, "title");
  TarnPatient start = tarn_editor_start_patient (TARN_START_MAN);
  g_autoptr (TarnEditorDraft) draft = tarn_editor_draft_new (&start);
  g_autoptr (GArray) none
      = tarn_editor_problems (tarn_editor_draft_patient (draft), 1, NULL, NULL);
  g_assert_cmpuint (none->len, ==, 0);

  tarn_editor_draft_set_number (draft, missed, -1, 0, TARN_MISS_BLOCKED_CATHETER_MISSED);
  tarn_editor_draft_set_text (draft, title, "", "");
  int uterus = tarn_editor_draft_add_structure (draft, TARN_STRUCTURE_UTERUS,
                                                tarn_vec3 (0, 70, 130), tarn_vec3 (9, 9, 9));
  g_autoptr (GArray) found
      = tarn_editor_problems (tarn_editor_draft_patient (draft), 1, NULL, NULL);
  const TarnEditorProblem *problem = (const TarnEditorProblem *)(void *)found->data;
  g_assert_cmpuint (found->len, ==, 3);
  g_assert_true (problem[0].field == title);
  g_assert_true (problem[1].field == field (TARN_GROUP_STRUCTURE, "kind"));
  g_assert_cmpint (problem[1].structure, ==, uterus);
  g_assert_cmpstr (problem[1].text, ==, "1. Uterus, Kind: no uterus in a male patient");
  g_assert_true (problem[2].field == missed);
  tarn_patient_clear (&start);
}

static void
put_somewhere (GRand *dice, TarnPatient *patient)
{
  patient->structure[patient->structures++] = (TarnStructure){
    .kind = (TarnStructureKind)g_rand_int_range (dice, 0, TARN_STRUCTURE_KINDS),
    .centre_mm = { g_rand_double_range (dice, -60, 60), g_rand_double_range (dice, -20, 140),
                   g_rand_double_range (dice, -60, 150) },
    .radii_mm = { g_rand_double_range (dice, 2, 60), g_rand_double_range (dice, 2, 60),
                  g_rand_double_range (dice, 2, 60) },
    .counts = g_rand_int_range (dice, 0, 6) == 0,
  };
}

static void
assert_known (const char *text)
{
  if (!tarn_words_problem_is_known (text))
    g_error ("no words for: %s", text);
  g_autofree char *said = tarn_words_problem (text);
  g_assert_cmpuint (strlen (said), >, 0);
}

/* Whatever the engine says of patients made at random can be said in other languages; in its
 * own it stays as it is, but for the names of kinds. */
static void
test_problems_have_words (void)
{
  g_autoptr (GRand) dice = g_rand_new_with_seed (5);
  GHashTable *said = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  for (int n = 0; n < 150; n++)
    {
      TarnPatient patient = tarn_patient_default ();
      TarnProblem found[8], problem = { 0 };
      patient.bladder.volume_ml = n % 5 == 0 ? 0 : g_rand_double_range (dice, 20, 2000);
      patient.habitus.sex = n % 2 == 0 ? TARN_SEX_FEMALE : TARN_SEX_MALE;
      patient.habitus.fat_mm = n % 7 == 0 ? 200 : g_rand_double_range (dice, 5, 60);
      patient.bladder.length_mm = n % 11 == 0 ? 5 : patient.bladder.length_mm;
      for (int k = g_rand_int_range (dice, 0, 3); k > 0; k--)
        put_somewhere (dice, &patient);
      int count = tarn_patient_problems (&patient, found, G_N_ELEMENTS (found));
      TarnBody *body = NULL;
      if (count == 0 && tarn_body_new (&patient, 0, &body, &problem) != TARN_OK)
        found[count++] = problem;
      tarn_body_free (body);
      for (int k = 0; k < count; k++)
        {
          assert_known (found[k].text);
          g_hash_table_add (said, g_strdup (found[k].text));
        }
    }
  g_assert_cmpuint (g_hash_table_size (said), >=, 15);
  g_hash_table_unref (said);
  g_autofree char *range = tarn_words_problem ("out of range (0 … 110 years)");
  g_assert_cmpstr (range, ==, "out of range (0 … 110 years)");
  g_autofree char *kind = tarn_words_problem ("the gravid-uterus lies outside the body");
  g_assert_cmpstr (kind, ==, "the pregnant uterus lies outside the body");
  g_assert_false (tarn_words_problem_is_known ("the cyst"));
  g_assert_false (tarn_words_problem_is_known (""));
}

/* A survey as the window card gets it: a closed window is warned of, unless there is another
 * answer. */
static void
test_closed_window (void)
{
  g_autofree TarnEditorSurvey *survey = g_new0 (TarnEditorSurvey, 1);
  TarnPatient start = tarn_editor_start_patient (TARN_START_SLIM);
  survey->state = 7;
  g_autoptr (GArray) closed = tarn_editor_problems (&start, 7, NULL, survey);
  g_assert_cmpuint (closed->len, ==, 1);
  g_assert_true (g_array_index (closed, TarnEditorProblem, 0).warning);
  g_autoptr (GArray) unknown = tarn_editor_problems (&start, 7, NULL, NULL);
  g_assert_cmpuint (unknown->len, ==, 0);
  survey->window.lower_bound = true;
  g_autoptr (GArray) bound = tarn_editor_problems (&start, 7, NULL, survey);
  g_assert_cmpuint (bound->len, ==, 0);
  survey->window.lower_bound = false;
  start.bladder.volume_ml = 4;
  g_autoptr (GArray) nearly_empty = tarn_editor_problems (&start, 7, NULL, survey);
  g_assert_cmpuint (nearly_empty->len, ==, 0);
  tarn_patient_clear (&start);
}

/* ---- Capacity: the worked values that the formulas' authors and reviews give: at eight years
 * 300 (Koff), 270 (Hjälmås), 306 (Kaefer); at six months 53 mL. ---- */

static void
test_capacity (void)
{
  g_assert_cmpfloat (tarn_capacity_koff_ml (8), ==, 300);
  g_assert_cmpfloat (tarn_capacity_hjalmas_ml (8), ==, 270);
  g_assert_cmpfloat_with_epsilon (tarn_capacity_kaefer_ml (8), 306, 1);
  g_assert_cmpfloat (tarn_capacity_infant_ml (0.5), ==, 53);
  g_assert_true (isnan (tarn_capacity_infant_ml (1)));
  g_assert_true (isnan (tarn_capacity_koff_ml (40)));
}

/* ---- Sections: the ellipse of a cut lies on the ellipsoid, and what is painted there is what
 * the body says. ---- */

static void
test_ellipse (void)
{
  const TarnStructure structure = { .kind = TARN_STRUCTURE_CYST,
                                    .centre_mm = { 30, 90, 60 },
                                    .radii_mm = { 25, 15, 10 },
                                    .turn_deg = { 20, 30, 40 } };
  TarnPatient patient = tarn_editor_start_patient (TARN_START_SLIM);
  patient.structure[patient.structures++] = structure;
  patient.bladder.volume_ml = 20;
  patient.structure[0].centre_mm = tarn_vec3 (40, 85, 130);
  TarnBody *body = NULL;
  g_assert_cmpint (tarn_body_new (&patient, 0, &body, NULL), ==, TARN_OK);
  for (int kind = 0; kind < TARN_SECTIONS; kind++)
    {
      TarnSection section = { .kind = (TarnSectionKind)kind,
                              .middle_mm = { 42, 83, 127 },
                              .width = 200,
                              .height = 160,
                              .px_per_mm = 2 };
      TarnSectionEllipse ellipse;
      g_assert_true (tarn_section_ellipse (&section, &patient.structure[0], &ellipse));
      for (int k = 0; k < 24; k++)
        for (int side = 0; side < 2; side++)
          {
            double angle = k * G_PI / 12, share = side == 0 ? 0.9 : 1.1;
            double x
                = ellipse.x
                  + share * (ellipse.major_x * cos (angle) + ellipse.minor_x * sin (angle));
            double y
                = ellipse.y
                  + share * (ellipse.major_y * cos (angle) + ellipse.minor_y * sin (angle));
            TarnTissue tissue = tarn_body_tissue (body, tarn_section_point (&section, x, y));
            if (side == 0)
              g_assert_cmpint (tissue, ==, TARN_TISSUE_FLUID);
            else
              g_assert_cmpint (tissue, !=, TARN_TISSUE_FLUID);
          }
      section.middle_mm = tarn_vec3 (0, 10, -80);
      g_assert_false (tarn_section_ellipse (&section, &patient.structure[0], &ellipse));
      double x, y;
      tarn_section_place (&section, tarn_section_point (&section, 31, 47), &x, &y);
      g_assert_cmpfloat_with_epsilon (x, 31, 1e-9);
      g_assert_cmpfloat_with_epsilon (y, 47, 1e-9);
    }
  tarn_body_free (body);
  tarn_patient_clear (&patient);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draft/numbers", test_numbers);
  g_test_add_func ("/draft/slider", test_slider);
  g_test_add_func ("/draft/saved", test_saved);
  g_test_add_func ("/draft/structures", test_structures);
  g_test_add_func ("/draft/thousand-edits", test_thousand);
  g_test_add_func ("/draft/starts", test_starts);
  g_test_add_func ("/draft/words", test_words);
  g_test_add_func ("/draft/problems", test_problems);
  g_test_add_func ("/draft/problems-have-words", test_problems_have_words);
  g_test_add_func ("/draft/closed-window", test_closed_window);
  g_test_add_func ("/draft/capacity", test_capacity);
  g_test_add_func ("/draft/ellipse", test_ellipse);
  return g_test_run ();
}
