/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_file.h: where the draft is kept: its file, the copy that survives a crash, and what
 * others do to the file meanwhile.
 *
 * Floor: app.  Main thread; no widgets. */
#pragma once

#include "app/editor_draft.h"

#include <gio/gio.h>

#define TARN_TYPE_EDITOR_FILE (tarn_editor_file_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorFile, tarn_editor_file, TARN, EDITOR_FILE, GObject)

/* @folder: for the copies; NULL for the person's own. */
TarnEditorFile *tarn_editor_file_new (TarnEditorDraft *draft, const char *folder);

const char *tarn_editor_file_path (TarnEditorFile *self); /* NULL: never saved */
char *tarn_editor_file_name (TarnEditorFile *self);       /* to show; free it */

/* A file into the draft; nothing changes when it cannot be read. */
gboolean tarn_editor_file_open (TarnEditorFile *self, const char *path, GError **error);
/* A patient that has no file yet into the draft.  @from: the file that it is a copy of, beside
 * which its label map lies if it has one; NULL for none. */
void tarn_editor_file_begin (TarnEditorFile *self, const TarnPatient *patient,
                             const char *from);
/* @path: NULL for the draft's own. */
gboolean tarn_editor_file_save (TarnEditorFile *self, const char *path, GError **error);
/* What is in the file now is known, and will be written over. */
void tarn_editor_file_keep_mine (TarnEditorFile *self);

/* A draft that an earlier program left, and that is not saved. */
gboolean tarn_editor_file_has_left (TarnEditorFile *self);
gboolean tarn_editor_file_take_up (TarnEditorFile *self, GError **error);
void tarn_editor_file_forget (TarnEditorFile *self);
/* Writes the copy that survives a crash at once, if there is anything to keep. */
void tarn_editor_file_flush (TarnEditorFile *self);

/* The draft as a file of its own, for the bedside; NULL when it is not a patient yet. */
const char *tarn_editor_file_trial (TarnEditorFile *self, GError **error);

/* Signal "changed-outside": somebody else has written the draft's file, or taken it away. */
