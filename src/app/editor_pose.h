/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_pose.h: where the probe stands for the editor's plane, as numbers.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "engine/contact/contact.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_POSE (tarn_editor_pose_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorPose, tarn_editor_pose, TARN, EDITOR_POSE, GtkWidget)

GtkWidget *tarn_editor_pose_new (void);
/* Without the signal. */
void tarn_editor_pose_show (TarnEditorPose *self, const TarnPose *pose, double lift);
/* @lift: out, 0..1. */
TarnPose tarn_editor_pose_get (TarnEditorPose *self, double *lift);

/* Signal "moved". */
