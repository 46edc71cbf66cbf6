/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_map.h: the draft's acoustic window, worked out behind the editor: coarse at once, then
 * for a few attempts as variation draws them, then finely.
 *
 * Floor: app.  All calls on the main thread.  Another wish ends the work on the one before. */
#pragma once

#include "app/newest.h"
#include "engine/coach/window.h"

#include <glib.h>

#define TARN_EDITOR_DRAWS 3 /* attempts that are tried beside the patient as written */

typedef struct
{
  guint64 seed;
  double volume_ml, fat_mm; /* as drawn */
  TarnStatus status;
  bool open, lower_bound;
  double difficulty;
} TarnEditorDraw;

/* How it stands.  Never changes; counted. */
typedef struct
{
  gatomicrefcount references;
  guint64 state; /* of the draft */
  TarnStatus
      status; /* of the patient as written; not TARN_OK: there is no window to speak of */
  bool fine;  /* the last word on it */
  TarnAcousticWindow window;
  int draws; /* known so far */
  TarnEditorDraw draw[TARN_EDITOR_DRAWS];
} TarnEditorSurvey;

TarnEditorSurvey *tarn_editor_survey_ref (TarnEditorSurvey *survey);
void tarn_editor_survey_unref (TarnEditorSurvey *survey);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TarnEditorSurvey, tarn_editor_survey_unref)

typedef TarnNewest TarnEditorMap;

TarnEditorMap *tarn_editor_map_new (GSourceFunc done, gpointer data);
void tarn_editor_map_free (TarnEditorMap *map); /* NULL is allowed */
/* @patient: its texts are not looked at. */
void tarn_editor_map_wish (TarnEditorMap *map, const TarnPatient *patient, guint64 state);
/* Ends what is under way: another page needs the processor. */
void tarn_editor_map_rest (TarnEditorMap *map);
/* The newest; a new reference, NULL before the first. */
TarnEditorSurvey *tarn_editor_map_survey (TarnEditorMap *map);
