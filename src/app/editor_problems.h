/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_problems.h: what is wrong with a draft, each with the field to go to.
 *
 * Floor: app.  Main thread; no widgets. */
#pragma once

#include "app/editor_live.h"
#include "app/editor_map.h"
#include "engine/patient/fields.h"

#include <glib.h>

typedef struct
{
  char *text;             /* one sentence, with the field's word */
  const TarnField *field; /* NULL: of none */
  TarnFieldGroup group;   /* where it is */
  int structure;          /* -1: of none */
  gboolean warning;       /* the patient can be, but teaches nobody */
} TarnEditorProblem;

/**
 * @shot: the newest, or NULL; what it says of another state of the draft than @state is left
 *   out.
 * @survey: of the patient as he stands, or NULL.
 *
 * Returns a new array of TarnEditorProblem; unref it.
 */
GArray *tarn_editor_problems (const TarnPatient *patient, guint64 state,
                              const TarnEditorShot *shot, const TarnEditorSurvey *survey);
