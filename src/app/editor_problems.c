/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The engine names fields as the file does, "[Structure 2] radii-mm"; here they get the words
 * that stand beside their controls. */
#include "app/editor_problems.h"

#include "app/editor_words.h"
#include "app/words_problem.h"

#include <glib/gi18n.h>
#include <stdlib.h>
#include <string.h>

#define KINDS_MAX 16

static void
clear (gpointer data)
{
  g_free (((TarnEditorProblem *)data)->text);
}

/* Finds the place that @key names.  Returns FALSE when it names none. */
static gboolean
find_place (const char *key, TarnEditorProblem *problem)
{
  const char *close = strchr (key, ']');
  if (key[0] != '[' || close == NULL)
    return FALSE;
  for (int group = 0; group < TARN_GROUPS; group++)
    {
      const char *name = tarn_field_group_name ((TarnFieldGroup)group);
      size_t length = strlen (name);
      if (strncmp (key + 1, name, length) != 0
          || (key[1 + length] != ']' && key[1 + length] != ' '))
        continue;
      problem->group = (TarnFieldGroup)group;
      if (key[1 + length] == ' ')
        problem->structure = (int)g_ascii_strtoll (key + 2 + length, NULL, 10) - 1;
      if (close[1] == ' ')
        problem->field = tarn_field_find (problem->group, close + 2);
      return TRUE;
    }
  return FALSE;
}

static char *
name_of (const TarnPatient *patient, const TarnEditorProblem *problem)
{
  const char *group = tarn_editor_group_word (problem->group);
  g_autofree char *part = problem->structure >= 0 && problem->structure < patient->structures
                              ? tarn_editor_structure_word (patient, problem->structure)
                              : g_strdup (group);
  if (problem->field == NULL)
    return g_steal_pointer (&part);
  /* Translators: a part of the patient, then one of its fields: “Bladder, volume”. */
  return g_strdup_printf (_ ("%s, %s"), part, tarn_editor_field_word (problem->field));
}

static void
add_text (GArray *all, const TarnPatient *patient, TarnEditorProblem problem, const char *text)
{
  g_autofree char *name = name_of (patient, &problem);
  problem.text = g_strdup_printf ("%s: %s", name, text);
  g_array_append_val (all, problem);
}

static void
add (GArray *all, const TarnPatient *patient, const TarnProblem *from)
{
  TarnEditorProblem problem = { .structure = -1 };
  g_autofree char *text = tarn_words_problem (from->text);
  if (find_place (from->key, &problem))
    add_text (all, patient, problem, text);
  else
    {
      problem.text = g_steal_pointer (&text);
      g_array_append_val (all, problem);
    }
}

/* What a file must say and a draft need not. */
static void
add_missing (GArray *all, const TarnPatient *patient)
{
  for (int k = 0; k < tarn_field_count (); k++)
    {
      const TarnField *field = tarn_field_at (k);
      TarnEditorProblem problem = { .field = field, .group = field->group, .structure = -1 };
      if (field->required && tarn_field_is_text (field)
          && tarn_patient_prose (patient, field->key, "") == NULL)
        add_text (all, patient, problem, _ ("missing and required"));
    }
}

/* A patient without a window has to have another answer. */
static void
add_window (GArray *all, const TarnPatient *patient, const TarnEditorSurvey *survey)
{
  TarnEditorProblem problem = { .group = TARN_GROUP_BLADDER, .structure = -1, .warning = TRUE };
  const TarnAcousticWindow *window = &survey->window;
  if (survey->status != TARN_OK || window->open || window->lower_bound
      || patient->situation.stop || patient->bladder.volume_ml < TARN_EMPTY_ML)
    return;
  problem.text
      = g_strdup (_ ("No pose that was tried reads this bladder accurately, and neither “at "
                     "least”, “not seen” nor “should not be scanned” is the answer."));
  g_array_append_val (all, problem);
}

GArray *
tarn_editor_problems (const TarnPatient *patient, guint64 state, const TarnEditorShot *shot,
                      const TarnEditorSurvey *survey)
{
  GArray *all = g_array_new (FALSE, FALSE, sizeof (TarnEditorProblem));
  TarnProblem found[KINDS_MAX];
  int count = tarn_patient_problems (patient, found, KINDS_MAX);
  g_array_set_clear_func (all, clear);
  add_missing (all, patient);
  for (int k = 0; k < count; k++)
    add (all, patient, &found[k]);
  if (count == 0 && shot != NULL && shot->wish.state == state && shot->body == NULL)
    add (all, patient, &shot->problem);
  if (count == 0 && survey != NULL)
    add_window (all, patient, survey);
  return all;
}
