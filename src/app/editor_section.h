/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_section.h: one straight cut through the draft, in which structures are taken hold of.
 *
 * Floor: app.  Main thread.
 *
 * By pointer: a structure is chosen, moved, and resized at its four marks; a press anywhere
 * else puts the cuts there.  By keyboard: the arrows move the chosen structure (with Shift in
 * steps of 5 mm), with Control they resize it; without one they move the cuts.  Page Up and
 * Page Down move this cut.  Numbers can be typed in the structure's fields. */
#pragma once

#include "app/editor_draft.h"
#include "app/editor_live.h"

#include <gtk/gtk.h>

#define TARN_TYPE_EDITOR_SECTION (tarn_editor_section_get_type ())
G_DECLARE_FINAL_TYPE (TarnEditorSection, tarn_editor_section, TARN, EDITOR_SECTION, GtkWidget)

GtkWidget *tarn_editor_section_new (TarnEditorDraft *draft, TarnSectionKind kind);
/* @shot: NULL for none yet. */
void tarn_editor_section_set_shot (TarnEditorSection *self, TarnEditorShot *shot);
/* Which structure is marked; -1: none. */
void tarn_editor_section_choose (TarnEditorSection *self, int structure);
/* In device pixels. */
void tarn_editor_section_size (TarnEditorSection *self, int *width, int *height);

/* Signals: "chosen" (int structure); "cut" (double x, y, z, mm): the cuts are to go through
 * there. */
