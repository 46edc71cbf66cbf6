/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One thread, one map after another.  The coarse map has so few poses that it is there within
 * a second; what follows refines it while nobody waits. */
#include "app/editor_map.h"

#include "app/graphics.h"

#include <string.h>

#define COARSE_POSES 150
#define FINE_POSES   2000
#define CALM_US      150000 /* without an edit, before it begins: the plane goes first */

struct TarnEditorMap
{
  GThread *thread;
  GSourceFunc done;
  gpointer data;

  GMutex lock;
  GCond wake;
  gboolean stopping, wished;
  gint64 calm_us; /* when to begin */
  gint stale;     /* atomic: what is under way is not wanted any more */
  TarnPatient patient;
  guint64 state;
  TarnEditorSurvey *newest;
  guint idle_id;
};

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

static gboolean
tell (gpointer data)
{
  TarnEditorMap *map = data;
  g_mutex_lock (&map->lock);
  map->idle_id = 0;
  g_mutex_unlock (&map->lock);
  map->done (map->data);
  return G_SOURCE_REMOVE;
}

/* A copy of @survey as it stands, for others to look at; nothing of what is stale. */
static void
publish (TarnEditorMap *map, const TarnEditorSurvey *survey)
{
  TarnEditorSurvey *copy = g_memdup2 (survey, sizeof *survey);
  g_atomic_ref_count_init (&copy->references);
  g_mutex_lock (&map->lock);
  TarnEditorSurvey *before = copy;
  if (!map->stopping && !map->wished && !g_atomic_int_get (&map->stale))
    {
      before = map->newest;
      map->newest = copy;
      if (map->idle_id == 0)
        map->idle_id = g_idle_add_full (G_PRIORITY_DEFAULT, tell, map, NULL);
    }
  g_mutex_unlock (&map->lock);
  g_clear_pointer (&before, tarn_editor_survey_unref);
}

static bool
is_stale (void *context)
{
  TarnEditorMap *map = context;
  return g_atomic_int_get (&map->stale);
}

static void
try_draw (TarnEditorMap *map, const TarnPatient *patient, TarnEditorSurvey *survey)
{
  TarnWindowOptions options
      = { .poses_wanted = COARSE_POSES, .cancelled = is_stale, .context = map };
  g_autofree TarnWindow *window = g_new0 (TarnWindow, 1);
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
work_on (TarnEditorMap *map, const TarnPatient *patient, guint64 state)
{
  TarnWindowOptions options
      = { .poses_wanted = COARSE_POSES, .cancelled = is_stale, .context = map };
  g_autofree TarnEditorSurvey *survey = g_new0 (TarnEditorSurvey, 1);
  survey->state = state;
  gint64 start_us = g_get_monotonic_time ();
  survey->status = tarn_window_map (patient, &options, &survey->window, NULL);
  g_debug ("coarse window of %d poses after %.0f ms", survey->window.poses,
           (double)(g_get_monotonic_time () - start_us) / 1000);
  publish (map, survey);
  if (survey->status != TARN_OK)
    return;
  while (varies (patient) && survey->draws < TARN_EDITOR_DRAWS && !is_stale (map))
    {
      try_draw (map, patient, survey);
      publish (map, survey);
    }
  g_autofree TarnWindow *fine = g_new0 (TarnWindow, 1);
  options.poses_wanted = FINE_POSES;
  if (is_stale (map) || tarn_window_map (patient, &options, fine, NULL) != TARN_OK)
    return;
  g_debug ("fine window of %d poses after %.0f ms", fine->poses,
           (double)(g_get_monotonic_time () - start_us) / 1000);
  survey->window = *fine;
  survey->fine = true;
  publish (map, survey);
}

static gpointer
run (gpointer data)
{
  TarnEditorMap *map = data;
  tarn_graphics_step_back ();
  for (;;)
    {
      g_mutex_lock (&map->lock);
      while (!map->wished && !map->stopping)
        g_cond_wait (&map->wake, &map->lock);
      while (map->wished && !map->stopping && g_get_monotonic_time () < map->calm_us)
        g_cond_wait_until (&map->wake, &map->lock, map->calm_us);
      if (!map->wished && !map->stopping)
        {
          g_mutex_unlock (&map->lock);
          continue;
        }
      gboolean stopping = map->stopping;
      TarnPatient patient = map->patient;
      guint64 state = map->state;
      map->wished = FALSE;
      g_atomic_int_set (&map->stale, FALSE);
      g_mutex_unlock (&map->lock);
      if (stopping)
        break;
      work_on (map, &patient, state);
    }
  return NULL;
}

/* ---- For the main thread ---- */

TarnEditorMap *
tarn_editor_map_new (GSourceFunc done, gpointer data)
{
  TarnEditorMap *map = g_new0 (TarnEditorMap, 1);
  map->done = done;
  map->data = data;
  g_mutex_init (&map->lock);
  g_cond_init (&map->wake);
  map->thread = g_thread_new ("window", run, map);
  return map;
}

void
tarn_editor_map_free (TarnEditorMap *map)
{
  if (map == NULL)
    return;
  g_mutex_lock (&map->lock);
  map->stopping = TRUE;
  g_atomic_int_set (&map->stale, TRUE);
  g_cond_signal (&map->wake);
  g_mutex_unlock (&map->lock);
  g_thread_join (map->thread);
  g_clear_handle_id (&map->idle_id, g_source_remove);
  g_clear_pointer (&map->newest, tarn_editor_survey_unref);
  g_mutex_clear (&map->lock);
  g_cond_clear (&map->wake);
  g_free (map);
}

void
tarn_editor_map_wish (TarnEditorMap *map, const TarnPatient *patient, guint64 state)
{
  g_mutex_lock (&map->lock);
  map->patient = *patient;
  map->patient.proses = 0;
  map->patient.prose = NULL;
  map->state = state;
  map->calm_us = g_get_monotonic_time () + CALM_US;
  map->wished = TRUE;
  g_atomic_int_set (&map->stale, TRUE);
  g_cond_signal (&map->wake);
  g_mutex_unlock (&map->lock);
}

void
tarn_editor_map_rest (TarnEditorMap *map)
{
  g_mutex_lock (&map->lock);
  map->wished = FALSE;
  g_atomic_int_set (&map->stale, TRUE);
  g_mutex_unlock (&map->lock);
}

TarnEditorSurvey *
tarn_editor_map_survey (TarnEditorMap *map)
{
  g_mutex_lock (&map->lock);
  TarnEditorSurvey *survey = map->newest != NULL ? tarn_editor_survey_ref (map->newest) : NULL;
  g_mutex_unlock (&map->lock);
  return survey;
}
