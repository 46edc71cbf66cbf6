/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_draft.h: the patient that is being written, and every step back.
 *
 * Floor: app.  Main thread; no widgets.
 *
 * 1. A draft may be impossible as a patient: its problems are for the page to list.  But each
 *    number in it is always within its own range.
 * 2. What is not stated stands at its default, and follows what the default derives from.
 * 3. Each edit makes a step; further edits of the same thing belong to the step until it is
 *    sealed, so that a slider's whole way is undone at once.  Steps are kept without limit, and
 *    those that change no text share their texts. */
#pragma once

#include "engine/patient/fields.h"

#include <glib-object.h>

#define TARN_TYPE_EDITOR_DRAFT (tarn_editor_draft_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorDraft, tarn_editor_draft, TARN, EDITOR_DRAFT, GObject)

/* A copy of @patient; what a file must say is stated from the start. */
TarnEditorDraft *tarn_editor_draft_new (const TarnPatient *patient);

/* As it stands now; changes with the signal "changed" only. */
const TarnPatient *tarn_editor_draft_patient (TarnEditorDraft *self);
/* Another number for every state, the same for the same one. */
guint64 tarn_editor_draft_state (TarnEditorDraft *self);

/* ---- Edits.  @structure: which one, for fields of that group; else ignored.  They return
 * whether the edit could be made; one that changes nothing makes no step. ---- */

gboolean tarn_editor_draft_set_number (TarnEditorDraft *self, const TarnField *field,
                                       int structure, int component, double value);
/* All three numbers of a VECTOR at once. */
gboolean tarn_editor_draft_set_vector (TarnEditorDraft *self, const TarnField *field,
                                       int structure, TarnVec3 value);
gboolean tarn_editor_draft_set_id (TarnEditorDraft *self, const char *id);
/* @locale: "" for the untranslated text.  @text: "" takes it away. */
gboolean tarn_editor_draft_set_text (TarnEditorDraft *self, const TarnField *field,
                                     const char *locale, const char *text);
/* Back to the default.  FALSE for what a file must say. */
gboolean tarn_editor_draft_reset (TarnEditorDraft *self, const TarnField *field, int structure);
/* Returns the new structure's index, or -1 when there is no room for one more. */
int tarn_editor_draft_add_structure (TarnEditorDraft *self, TarnStructureKind kind,
                                     TarnVec3 centre_mm, TarnVec3 radii_mm);
int tarn_editor_draft_duplicate_structure (TarnEditorDraft *self, int structure);
gboolean tarn_editor_draft_remove_structure (TarnEditorDraft *self, int structure);
/* Another patient altogether, as one step. */
void tarn_editor_draft_replace (TarnEditorDraft *self, const TarnPatient *patient);
/* Another patient, from which no step leads back: a file has been opened. */
void tarn_editor_draft_restart (TarnEditorDraft *self, const TarnPatient *patient);

/* ---- Steps ---- */

void tarn_editor_draft_seal (TarnEditorDraft *self);
/* What "undo" would take back: its field, NULL for a structure or a whole patient; FALSE when
 * there is nothing.  Redo likewise. */
gboolean tarn_editor_draft_can_undo (TarnEditorDraft *self, const TarnField **field);
gboolean tarn_editor_draft_can_redo (TarnEditorDraft *self, const TarnField **field);
void tarn_editor_draft_undo (TarnEditorDraft *self);
void tarn_editor_draft_redo (TarnEditorDraft *self);

/* The draft as it stands is what the file holds. */
void tarn_editor_draft_note_saved (TarnEditorDraft *self);
gboolean tarn_editor_draft_is_saved (TarnEditorDraft *self);

/* Signal "changed": the patient, the steps or what is saved. */
