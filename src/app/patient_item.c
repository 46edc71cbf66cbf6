/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/patient_item.h"

#include "app/patient_words.h"

#include "store/patient_file.h"

#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <string.h>

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_OBJECTIVE,
  PROP_PROBLEM,
  PROP_RESULT,
  PROP_DIFFICULTY,
  N_PROPS
};

struct _TarnPatientItem
{
  GObject parent_instance;
  char *path, *file_name;
  goffset size_bytes; /* -1: there is no such file */
  gint64 changed_us;
  TarnPatientFile *file; /* NULL: see problem */
  char *problem, *first_problem;
  int attempts, best_score;
  char *last_result;
  double difficulty;
};

G_DEFINE_FINAL_TYPE (TarnPatientItem, tarn_patient_item, G_TYPE_OBJECT)

static GParamSpec *props[N_PROPS];

static void
look_at_file (const char *path, goffset *size_bytes, gint64 *changed_us)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GFileInfo) info = g_file_query_info (
      file, G_FILE_ATTRIBUTE_STANDARD_SIZE ",time::modified,time::modified-usec",
      G_FILE_QUERY_INFO_NONE, NULL, NULL);
  *size_bytes = -1;
  *changed_us = 0;
  if (info == NULL)
    return;
  g_autoptr (GDateTime) when = g_file_info_get_modification_date_time (info);
  *size_bytes = g_file_info_get_size (info);
  if (when != NULL)
    *changed_us
        = g_date_time_to_unix (when) * G_USEC_PER_SEC + g_date_time_get_microsecond (when);
}

/* "FILE:LINE: problem" and more lines: the first, without the file that its card names. */
static char *
first_problem_of (const char *problem, const char *path)
{
  g_auto (GStrv) lines = g_strsplit (problem, "\n", 2);
  g_autofree char *shown = g_filename_display_name (path);
  const char *first = lines[0];
  size_t length = strlen (shown);
  if (strncmp (first, shown, length) != 0 || first[length] != ':')
    return g_strdup (first);
  first += length + 1;
  char *end = NULL;
  guint64 line = g_ascii_strtoull (first, &end, 10);
  if (end == first || *end != ':')
    return g_strdup (g_strchug ((char *)first));
  /* Translators: a line of a file, and what is wrong there. */
  return g_strdup_printf (_ ("Line %d: %s"), (int)line, g_strchug (end + 1));
}

TarnPatientItem *
tarn_patient_item_load (const char *path)
{
  TarnPatientItem *self = g_object_new (TARN_TYPE_PATIENT_ITEM, NULL);
  g_autoptr (GError) error = NULL;
  self->path = g_strdup (path);
  self->file_name = g_filename_display_basename (path);
  look_at_file (path, &self->size_bytes, &self->changed_us);
  self->file = tarn_patient_file_load (path, &error);
  if (self->file == NULL)
    {
      self->problem = g_strdup (error->message);
      self->first_problem = first_problem_of (error->message, path);
    }
  return self;
}

gboolean
tarn_patient_item_is_current (TarnPatientItem *self)
{
  goffset size_bytes;
  gint64 changed_us;
  look_at_file (self->path, &size_bytes, &changed_us);
  return size_bytes == self->size_bytes && changed_us == self->changed_us;
}

const char *
tarn_patient_item_path (TarnPatientItem *self)
{
  return self->path;
}

const char *
tarn_patient_item_file_name (TarnPatientItem *self)
{
  return self->file_name;
}

const char *
tarn_patient_item_problem (TarnPatientItem *self)
{
  return self->problem;
}

const char *
tarn_patient_item_first_problem (TarnPatientItem *self)
{
  return self->first_problem;
}

const TarnPatient *
tarn_patient_item_patient (TarnPatientItem *self)
{
  return self->file != NULL ? &self->file->patient : NULL;
}

const char *
tarn_patient_item_id (TarnPatientItem *self)
{
  return self->file != NULL ? self->file->patient.id : "";
}

const char *
tarn_patient_item_sha256 (TarnPatientItem *self)
{
  return self->file != NULL ? self->file->sha256 : "";
}

double
tarn_patient_item_difficulty (TarnPatientItem *self)
{
  return self->difficulty;
}

void
tarn_patient_item_set_difficulty (TarnPatientItem *self, double difficulty)
{
  g_return_if_fail (TARN_IS_PATIENT_ITEM (self));
  self->difficulty = difficulty;
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DIFFICULTY]);
}

char *
tarn_patient_item_difficulty_text (TarnPatientItem *self)
{
  if (self->file == NULL || self->difficulty == TARN_DIFFICULTY_NONE)
    return g_strdup ("");
  if (self->difficulty < 0)
    return g_strdup (_ ("Difficulty: being worked out"));
  return g_strdup_printf (_ ("Difficulty %d of 100"), (int)(self->difficulty + 0.5));
}

const char *
tarn_patient_item_text (TarnPatientItem *self, const char *key)
{
  if (self->file == NULL)
    return NULL;
  return tarn_patient_words (&self->file->patient, key);
}

const char *
tarn_patient_item_title (TarnPatientItem *self)
{
  const char *title = tarn_patient_item_text (self, "title");
  return title != NULL ? title : self->file_name;
}

const char *
tarn_patient_item_objective (TarnPatientItem *self)
{
  const char *objective = tarn_patient_item_text (self, "objective");
  return objective != NULL ? objective : "";
}

int
tarn_patient_item_attempts (TarnPatientItem *self)
{
  return self->attempts;
}

int
tarn_patient_item_best_score (TarnPatientItem *self)
{
  return self->best_score;
}

void
tarn_patient_item_note_attempt (TarnPatientItem *self, const char *result, int score)
{
  g_return_if_fail (TARN_IS_PATIENT_ITEM (self));
  g_return_if_fail (result != NULL);
  g_return_if_fail (score >= -1 && score <= 100);
  self->attempts++;
  self->best_score = MAX (self->best_score, score);
  g_free (self->last_result);
  self->last_result = g_strdup (result);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_RESULT]);
}

void
tarn_patient_item_take_attempts (TarnPatientItem *self, TarnPatientItem *earlier)
{
  g_return_if_fail (self != earlier);
  self->attempts = earlier->attempts;
  self->best_score = earlier->best_score;
  g_free (self->last_result);
  self->last_result = g_strdup (earlier->last_result);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_RESULT]);
}

char *
tarn_patient_item_result_text (TarnPatientItem *self)
{
  if (self->problem != NULL)
    return g_strdup (_ ("This file cannot be used"));
  if (self->attempts == 0)
    return g_strdup (_ ("Not tried yet"));
  g_autofree char *attempts = g_strdup_printf (
      /* Translators: how often a patient was tried, and the result of the last time. */
      ngettext ("%d attempt: %s", "%d attempts, the last: %s", (gulong)self->attempts),
      self->attempts, self->last_result);
  if (self->best_score < 0)
    return g_steal_pointer (&attempts);
  /* Translators: the text about attempts, then a score. */
  return g_strdup_printf (_ ("%s. Best score %d of 100."), attempts, self->best_score);
}

static void
tarn_patient_item_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TarnPatientItem *self = TARN_PATIENT_ITEM (object);
  switch (id)
    {
    case PROP_TITLE:
      g_value_set_string (value, tarn_patient_item_title (self));
      break;
    case PROP_OBJECTIVE:
      g_value_set_string (value, tarn_patient_item_objective (self));
      break;
    case PROP_PROBLEM:
      g_value_set_string (value, self->problem);
      break;
    case PROP_RESULT:
      g_value_take_string (value, tarn_patient_item_result_text (self));
      break;
    case PROP_DIFFICULTY:
      g_value_set_double (value, self->difficulty);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
tarn_patient_item_finalize (GObject *object)
{
  TarnPatientItem *self = TARN_PATIENT_ITEM (object);
  tarn_patient_file_free (self->file);
  g_free (self->path);
  g_free (self->file_name);
  g_free (self->problem);
  g_free (self->first_problem);
  g_free (self->last_result);
  G_OBJECT_CLASS (tarn_patient_item_parent_class)->finalize (object);
}

static void
tarn_patient_item_class_init (TarnPatientItemClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GParamFlags flags = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;
  object_class->get_property = tarn_patient_item_get_property;
  object_class->finalize = tarn_patient_item_finalize;
  props[PROP_TITLE] = g_param_spec_string ("title", NULL, NULL, NULL, flags);
  props[PROP_OBJECTIVE] = g_param_spec_string ("objective", NULL, NULL, NULL, flags);
  props[PROP_PROBLEM] = g_param_spec_string ("problem", NULL, NULL, NULL, flags);
  props[PROP_RESULT] = g_param_spec_string ("result", NULL, NULL, NULL, flags);
  props[PROP_DIFFICULTY] = g_param_spec_double ("difficulty", NULL, NULL, TARN_DIFFICULTY_NONE,
                                                100, TARN_DIFFICULTY_UNKNOWN, flags);
  g_object_class_install_properties (object_class, N_PROPS, props);
}

static void
tarn_patient_item_init (TarnPatientItem *self)
{
  self->best_score = -1;
  self->difficulty = TARN_DIFFICULTY_UNKNOWN;
}
