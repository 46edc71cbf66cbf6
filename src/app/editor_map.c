/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One thread, one map after another.  The coarse map has so few poses that it is there within
 * a second; what follows refines it while nobody waits. */
#include "app/editor_map.h"

#include <string.h>

#define COARSE_POSES 150
#define FINE_POSES   2000
#define CALM_US      150000 /* without an edit, before it begins: the plane goes first */

typedef struct
{
  TarnPatient patient;
  guint64 state;
} Wish;

TarnEditorSurvey *
tarn_editor_survey_ref (TarnEditorSurvey *survey)
{
  g_atomic_ref_count_inc (&survey->references);
  return survey;
}

void
tarn_editor_survey_unref (TarnEditorSurvey *survey)
{
  if (g_atomic_ref_count_dec (&survey->references))
    g_free (survey);
}

/* ---- On the thread ---- */

/* A copy of @survey as it stands, for others to look at. */
static void
tell (TarnNewest *newest, const TarnEditorSurvey *survey)
{
  TarnEditorSurvey *copy = g_memdup2 (survey, sizeof *survey);
  g_atomic_ref_count_init (&copy->references);
  tarn_newest_tell (newest, copy);
}

static bool
is_stale (void *context)
{
  return tarn_newest_overtaken (context);
}

static void
try_draw (TarnNewest *newest, const TarnPatient *patient, TarnEditorSurvey *survey)
{
  TarnWindowOptions options
      = { .poses_wanted = COARSE_POSES, .cancelled = is_stale, .context = newest };
  g_autofree TarnAcousticWindow *window = g_new0 (TarnAcousticWindow, 1);
  TarnEditorDraw *draw = &survey->draw[survey->draws];
  TarnPatient drawn = *patient;
  draw->seed = (guint64)survey->draws + 1;
  tarn_patient_vary (&drawn, draw->seed);
  draw->volume_ml = drawn.bladder.volume_ml;
  draw->fat_mm = drawn.habitus.fat_mm;
  draw->status = tarn_window_map (&drawn, &options, window, NULL);
  draw->open = window->open;
  draw->lower_bound = window->lower_bound;
  draw->difficulty = window->difficulty;
  survey->draws++;
}

static gboolean
varies (const TarnPatient *patient)
{
  const TarnVariation *variation = &patient->variation;
  return variation->volume_percent > 0 || variation->left_mm > 0 || variation->fat_percent > 0
         || variation->rise_mm > 0;
}

static void
work_on (TarnNewest *newest, gpointer bench, gconstpointer data)
{
  const Wish *wish = data;
  const TarnPatient *patient = &wish->patient;
  (void)bench;
  TarnWindowOptions options
      = { .poses_wanted = COARSE_POSES, .cancelled = is_stale, .context = newest };
  g_autofree TarnEditorSurvey *survey = g_new0 (TarnEditorSurvey, 1);
  survey->state = wish->state;
  gint64 start_us = g_get_monotonic_time ();
  survey->status = tarn_window_map (patient, &options, &survey->window, NULL);
  g_debug ("coarse window of %d poses after %.0f ms", survey->window.poses,
           (double)(g_get_monotonic_time () - start_us) / 1000);
  tell (newest, survey);
  if (survey->status != TARN_OK)
    return;
  while (varies (patient) && survey->draws < TARN_EDITOR_DRAWS && !is_stale (newest))
    {
      try_draw (newest, patient, survey);
      tell (newest, survey);
    }
  g_autofree TarnAcousticWindow *fine = g_new0 (TarnAcousticWindow, 1);
  options.poses_wanted = FINE_POSES;
  if (is_stale (newest) || tarn_window_map (patient, &options, fine, NULL) != TARN_OK)
    return;
  g_debug ("fine window of %d poses after %.0f ms", fine->poses,
           (double)(g_get_monotonic_time () - start_us) / 1000);
  survey->window = *fine;
  survey->fine = true;
  tell (newest, survey);
}

static gpointer
survey_ref (gpointer survey)
{
  return tarn_editor_survey_ref (survey);
}

static void
survey_unref (gpointer survey)
{
  tarn_editor_survey_unref (survey);
}

static const TarnNewestWork mapping = { .name = "window",
                                        .steps_back = TRUE,
                                        .only_fresh = TRUE,
                                        .work = work_on,
                                        .wish_free = g_free,
                                        .result_ref = survey_ref,
                                        .result_unref = survey_unref };

/* ---- For the main thread ---- */

TarnEditorMap *
tarn_editor_map_new (GSourceFunc done, gpointer data)
{
  return tarn_newest_new (&mapping, done, data);
}

void
tarn_editor_map_free (TarnEditorMap *map)
{
  tarn_newest_free (map);
}

void
tarn_editor_map_wish (TarnEditorMap *map, const TarnPatient *patient, guint64 state)
{
  Wish *wish = g_new (Wish, 1);
  wish->patient = *patient;
  wish->patient.proses = 0;
  wish->patient.prose = NULL;
  wish->state = state;
  tarn_newest_wish (map, wish, CALM_US);
}

void
tarn_editor_map_rest (TarnEditorMap *map)
{
  tarn_newest_rest (map);
}

TarnEditorSurvey *
tarn_editor_map_survey (TarnEditorMap *map)
{
  return tarn_newest_result (map);
}
