/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_page_private.h: what the files of the editor's page share. */
#pragma once

#include "app/editor_page.h"

#include "app/editor_file.h"
#include "app/editor_form.h"
#include "app/editor_groups.h"
#include "app/editor_map.h"
#include "app/editor_pose.h"
#include "app/editor_problems.h"
#include "app/editor_views.h"
#include "app/editor_window_card.h"

/* What the notice asks. */
typedef enum
{
  TARN_EDITOR_ASKS_NOTHING,
  TARN_EDITOR_ASKS_OUTSIDE, /* the file is another one now: reload, or keep mine */
  TARN_EDITOR_ASKS_LEFT,    /* a draft was left: take it up, or throw it away */
  TARN_EDITOR_ASKS_UNSAVED, /* go on without saving, or stay */
} TarnEditorQuestion;

struct _TarnEditorPage
{
  GtkWidget parent_instance;
  TarnPatientList *patients;
  TarnSettings *settings;
  TarnEditorDraft *draft;
  TarnEditorFile *file;
  TarnEditorMap *map;

  GtkWidget *content, *left, *middle, *right, *cards, *window_scroller;
  GtkWidget *new_button, *undo, *redo, *file_name;
  GtkDropDown *seed;
  GtkWidget *notice, *notice_text, *notice_first, *notice_second;
  GtkWidget *problems, *problems_heading;
  TarnEditorGroups *groups;
  TarnEditorForm *form;
  TarnEditorPose *pose;
  TarnEditorViews *views;
  TarnEditorWindowCard *window_card;

  TarnEditorQuestion question;
  char *pending_path;   /* to be opened when the question is answered */
  char *pending_from;   /* the file that @pending is a copy of, or NULL */
  TarnPatient *pending; /* or to begin with */
  GtkFileChooserNative *chooser;
  GArray *found; /* of TarnEditorProblem, as listed */
  char *title;
  guint sealing;
  gboolean resting; /* works out no acoustic windows */
};

/* Shows one part; @focus: also puts the focus there. */
void tarn_editor_page_show_part (TarnEditorPage *self, int group, int structure);

/* ---- editor_page_files.c ---- */

void tarn_editor_page_install_files (GtkWidgetClass *widget_class);
/* Connects the file, the drop target and the menu of starts. */
void tarn_editor_page_connect_files (TarnEditorPage *self);
void tarn_editor_page_show_file (TarnEditorPage *self);
/* What an earlier program left is asked about. */
void tarn_editor_page_ask_left (TarnEditorPage *self);
void tarn_editor_page_drop_pending (TarnEditorPage *self);
