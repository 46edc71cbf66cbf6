/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_map_window.h: the draft's acoustic window as a map, on which the test pose is put with
 * the pointer or moved with the arrows.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/editor_map.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_MAP_WINDOW (tarn_editor_map_window_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorMapWindow, tarn_editor_map_window, TARN, EDITOR_MAP_WINDOW,
                      GtkWindow)

GtkWidget *tarn_editor_map_window_new (GtkWindow *parent);
/* @survey: NULL while none is known; @patient: whom it is of; @current: as he stands now. */
void tarn_editor_map_window_show (TarnEditorMapWindow *self, TarnEditorSurvey *survey,
                                  const TarnPatient *patient, gboolean current);
/* Where the test pose is. */
void tarn_editor_map_window_set_pose (TarnEditorMapWindow *self, const TarnPose *pose);
/* Where it was put here, and how much of the pannus is lifted for it. */
const TarnPose *tarn_editor_map_window_pose (TarnEditorMapWindow *self, double *lift);

/* Signal "posed": the test pose was put elsewhere. */
