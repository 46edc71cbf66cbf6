/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_views.h: the draft as it lives: three sections, the plane at a test pose, and what it
 * holds in figures.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/editor_draft.h"
#include "app/editor_live.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_VIEWS (tarn_editor_views_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorViews, tarn_editor_views, TARN, EDITOR_VIEWS, GtkWidget)

GtkWidget *tarn_editor_views_new (TarnEditorDraft *draft);

/* Where the probe of the plane stands, and how much of the pannus is lifted, 0..1. */
const TarnPose *tarn_editor_views_pose (TarnEditorViews *self);
double tarn_editor_views_lift (TarnEditorViews *self);
void tarn_editor_views_set_pose (TarnEditorViews *self, const TarnPose *pose, double lift);
/* The attempt whose draw is shown; 0: as written. */
void tarn_editor_views_set_seed (TarnEditorViews *self, guint64 seed);
void tarn_editor_views_choose (TarnEditorViews *self, int structure);
/* The newest; belongs to the views.  NULL before the first. */
TarnEditorShot *tarn_editor_views_shot (TarnEditorViews *self);

/* Signals: "shot": there is a new one; "chosen" (int structure): somebody took hold of it;
 * "posed": the pose was changed here. */
