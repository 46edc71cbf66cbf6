/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_section_private.h: what the files of a section share. */
#pragma once

#include "app/editor_section.h"

typedef enum
{
  GRASP_NONE,
  GRASP_CUT,
  GRASP_MOVE,
  GRASP_MAJOR, /* one end of an axis of the ellipse */
  GRASP_MINOR,
} Grasp;

struct _TarnEditorSection
{
  GtkWidget parent_instance;
  TarnEditorDraft *draft;
  TarnSectionKind kind;
  TarnEditorShot *shot;
  int chosen;

  Grasp grasp;
  double from_x, from_y; /* where the drag began, widget pixels */
  TarnStructure grasped; /* as it was then */
  TarnVec3 grasp_axis;   /* the axis that is pulled, patient frame, unit */
  double grasp_length_px;
};

/* In widget pixels. */
TarnSection tarn_editor_section_cut (TarnEditorSection *self);
/* Where all cuts meet. */
TarnVec3 tarn_editor_section_where (TarnEditorSection *self);
/* NULL when there is none of that number. */
const TarnStructure *tarn_editor_section_structure (TarnEditorSection *self, int index);

/* editor_section_draw.c */
void tarn_editor_section_snapshot (GtkWidget *widget, GtkSnapshot *snapshot);
