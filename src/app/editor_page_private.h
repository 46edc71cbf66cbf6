/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * editor_page_private.h: what the files of the editor's page share. */
#pragma once

#include "app/editor_page.h"

#include "app/editor_file.h"
#include "app/editor_form.h"
#include "app/editor_groups.h"
#include "app/editor_map.h"
#include "app/editor_map_window.h"
#include "app/editor_pose.h"
#include "app/editor_problems.h"
#include "app/editor_views.h"
#include "app/editor_window_card.h"

/* What the notice asks. */
typedef enum
{
  TARN_EDITOR_ASKS_NOTHING,
  TARN_EDITOR_ASKS_OUTSIDE,    /* the file is another one now: reload, or keep mine */
  TARN_EDITOR_ASKS_LEFT,       /* a draft was left: take it up, or throw it away */
  TARN_EDITOR_ASKS_UNSAVED,    /* go on without saving, or stay */
  TARN_EDITOR_ASKS_SAVE_FIRST, /* save under a name and import then, or not */
  TARN_EDITOR_ASKS_FOLDER,     /* whether the library should look where it was saved */
  TARN_EDITOR_ASKS_EXPORT,     /* it is under way, and can be cancelled */
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
  GtkWidget *new_button, *more_button, *undo, *redo, *file_name;
  GtkDropDown *seed;
  GtkWidget *notice, *notice_text, *notice_first, *notice_second;
  GtkWidget *problems, *problems_heading;
  TarnEditorGroups *groups;
  TarnEditorForm *form;
  TarnEditorPose *pose;
  TarnEditorViews *views;
  TarnEditorWindowCard *window_card;
  TarnEditorMapWindow *map_window; /* weak; NULL while closed */

  TarnEditorQuestion question;
  char *pending_path;   /* to be opened when the question is answered */
  char *pending_from;   /* the file that @pending is a copy of, or NULL */
  TarnPatient *pending; /* or to begin with */
  GtkFileChooserNative *chooser;
  gboolean then_import;         /* once it has been saved */
  TarnEditorExport export_kind; /* that @chooser chooses for; TARN_EXPORTS: an import */
  GCancellable *exporting;      /* NULL: nothing is */
  char *export_path;
  GArray *found; /* of TarnEditorProblem, as listed */
  char *title;
  guint sealing;
  gboolean resting;      /* works out no acoustic windows */
  TarnPatient *numbers;  /* without id and texts, as last seen */
  guint64 numbers_state; /* the draft's, at which they were last others */
  guint64 asked;         /* whose window is being worked out; 0: nobody's */
};

/* Shows one part; @focus: also puts the focus there. */
void tarn_editor_page_show_part (TarnEditorPage *self, int group, int structure);

void tarn_editor_page_list_problems (TarnEditorPage *self);
/* What keeps the patient from being at all; NULL: nothing. */
const char *tarn_editor_page_first_error (TarnEditorPage *self);

/* ---- editor_page_window.c ---- */

void tarn_editor_page_install_window (GtkWidgetClass *widget_class);
/* There is news of it; @data: the page. */
gboolean tarn_editor_page_on_survey (gpointer data);
void tarn_editor_page_ask_window (TarnEditorPage *self);
void tarn_editor_page_rest_window (TarnEditorPage *self);
/* Of the draft as it stands, or NULL; a new reference. */
TarnEditorSurvey *tarn_editor_page_survey (TarnEditorPage *self);
void tarn_editor_page_show_window (TarnEditorPage *self);
/* The test pose was moved on the page. */
void tarn_editor_page_show_pose (TarnEditorPage *self);
void tarn_editor_page_close_map (TarnEditorPage *self);

/* ---- editor_page_files.c ---- */

void tarn_editor_page_install_files (GtkWidgetClass *widget_class);
/* Connects the file, the drop target and the menu of starts. */
void tarn_editor_page_connect_files (TarnEditorPage *self);
void tarn_editor_page_show_file (TarnEditorPage *self);
/* What an earlier program left is asked about. */
void tarn_editor_page_ask_left (TarnEditorPage *self);
void tarn_editor_page_drop_pending (TarnEditorPage *self);
/* @yes: "Close" when NULL.  @no: NULL for none. */
void tarn_editor_page_ask (TarnEditorPage *self, TarnEditorQuestion question, const char *text,
                           const char *yes, const char *no);
/* Whether the draft has a file of its own, and no shipped one. */
gboolean tarn_editor_page_may_write (TarnEditorPage *self);
/* A chooser that begins where patients are kept; not shown yet. */
void tarn_editor_page_make_chooser (TarnEditorPage *self, const char *title,
                                    GtkFileChooserAction action);
void tarn_editor_page_let_chooser_go (TarnEditorPage *self);

/* ---- editor_page_exchange.c ---- */

void tarn_editor_page_install_exchange (GtkWidgetClass *widget_class);
void tarn_editor_page_fill_exchange (TarnEditorPage *self);
void tarn_editor_page_choose_map (TarnEditorPage *self);
