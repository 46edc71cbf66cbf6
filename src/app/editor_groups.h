/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_groups.h: the list of what a draft consists of, with its structures and how many
 * problems each part has.
 *
 * Floor: app.  Main thread. */
#pragma once

#include "app/editor_draft.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_GROUPS (tarn_editor_groups_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorGroups, tarn_editor_groups, TARN, EDITOR_GROUPS, GtkWidget)

/* The last row: not of the patient, but where the probe stands for the plane. */
#define TARN_EDITOR_TEST_POSE ((int)TARN_GROUPS)

GtkWidget *tarn_editor_groups_new (TarnEditorDraft *draft);
/* Without the signal.  @structure: -1 for the group itself. */
void tarn_editor_groups_choose (TarnEditorGroups *self, int group, int structure);
/* @problems: of TarnEditorProblem. */
void tarn_editor_groups_mark (TarnEditorGroups *self, GArray *problems);

/* Signal "chosen" (int group, int structure). */
